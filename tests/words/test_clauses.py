"""Where something new begins in a line without stops; lines made for this test."""

import pytest

from tapscore.words.line import read_line
from tapscore.words.phrasing import CLAUSE, phrasing_of


def begins(words: str) -> list[str]:
    """The words that something surely begins with."""
    said = tuple(read_line(words))
    after = phrasing_of(said).after
    return [one.text for at, one in enumerate(said) if at and after[at - 1] == CLAUSE]


@pytest.mark.parametrize(
    ("words", "new"),
    [
        ("bump did you feel the floor", ["did"]),
        ("where is the teapot what is in the cup", ["what"]),
        ("the kite is in the tree I want it back", ["I"]),
        ("shake out the blanket here it comes", ["here"]),
        ("paint on my elbow now it's on my nose", ["now"]),
        ("quack quack let's go home", ["let's"]),
        ("sit on the cushion good night moon", ["good"]),
        ("open the basket don't look in", ["don't"]),
        ("what can you hear pigs in the pen", ["pigs"]),
        ("what can you see a kite", ["a"]),
        ("where can you put the box", []),
        ("there it is one two three", ["one"]),
        ("splosh in come my toes", ["in"]),
        ("moo that is my supper", ["that"]),
        ("we have a drum", []),
        ("the duck and the hen and the little brown goose", []),
        ("on the top of the hill we saw a cow", []),
        ("crunch goes the biscuit", []),
        ("pop the lid on the pan", []),
        ("see if it is in the shed", []),
        ("splash splash splash", []),
    ],
)
def test_where_something_new_begins(words: str, new: list[str]) -> None:
    assert begins(words) == new


def test_a_stop_begins_something_new_whatever_the_words() -> None:
    assert begins("the mat, a mug") == ["a"]


@pytest.mark.parametrize("words", ["", "oh", "now", "and", "what", "it", "good", "no no", "here"])
def test_few_words_have_no_second_part(words: str) -> None:
    assert phrasing_of(tuple(read_line(words))).parting in (None, 1)
