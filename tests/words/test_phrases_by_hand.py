"""Classes of words, breaks, how something new begins: lines made for this, looked over by eye."""

import pytest

from tapscore.words.line import read_line
from tapscore.words.phrasing import _parting, phrasing_of, words_of
from tapscore.words.word_classes import classes_of, finer_classes

BEGINS = {
    "bump did you feel the floor": {"did": "turned"},
    "where is the teapot what is in the cup": {"what": "asks"},
    "I know what it is": {},
    "look what a mess": {},
    "that is the one it's mine": {"it's": "says"},
    "say it's time": {},
    "in the box it is": {},
    "shake the blanket here it comes": {"here": "there"},
    "clap your hands let's go": {"let's": "let"},
    "please don't let go": {},
    "quack quack let's go home": {"let's": "let"},
    "sit on the cushion good night moon": {"good": "call"},
    "open the basket don't look in": {"don't": "not"},
    "row the boat and we go home": {"and": "joins"},
    "a hen and a duck": {},
    "stop and look": {"and": "joins"},
    "pop goes the lid": {},
    "bang went the door": {},
    "boo who is there": {"who": "asks"},
    "boom boom the drum": {"the": "after"},
    "stamp stamp stamp your feet": {"your": "after"},
    "one two three go": {"go": "counts"},
    "ready one two three and jump": {"one": "counts", "and": "joins"},
    "dig a hole plant a seed": {"plant": "bids"},
    "we are here Sol is late": {"Sol": "this"},
    "row the boat the hen is wet": {"the": "this"},
    "row the boat the red old hen is wet": {"the": "this"},
    "row the boat the big red old hen is wet": {},
    "boom boat mum is here": {"boat": "after"},
    "on the way to the shop we met": {"we": "fronted"},
    "slowly the moon is up": {},
    "now it's gone": {},
    "quiet now it's gone": {"now": "says"},
    "jump up oh we fell": {"oh": "says"},
    "is it you": {},
    "where are you going": {},
    "come in please": {},
    "hello hello who is it": {"who": "asks"},
    "what a big fish": {},
    "up and down round and round": {},
}


@pytest.mark.parametrize("words", BEGINS)
def test_how_something_new_begins(words: str) -> None:
    said = read_line(words)
    clauses = phrasing_of(said).clauses
    found = {s.text: name for s, name in zip(said, clauses, strict=True) if name and s.first}
    assert {word: name for word, name in found.items() if word in BEGINS[words]} == BEGINS[words]
    assert {name for word, name in found.items() if word not in BEGINS[words]} <= {"bids"}


@pytest.mark.parametrize(
    ("words", "pauses", "classes", "finer"),
    [
        ("the wheels on the bus", (), "article full preposition article full", ""),
        ("up the hill and down", (), "preposition article full joining particle", ""),
        ("up", (), "particle", ""),
        ("down we go", (), "particle pronoun attend", ""),
        (
            "roll it over there",
            (),
            "full pronoun preposition adverb",
            "verb pronoun preposition adverb",
        ),
        ("look up high", (1,), "attend particle full", ""),
        ("bake the cake", (), "full article full", "verb article full"),
        ("the bake", (), "article full", ""),
        ("knead the dough", (), "full article full", ""),
        ("we knead the dough", (), "pronoun full article full", "pronoun verb article full"),
        ("warm the bread", (), "describing article full", "verb article full"),
        ("the warm bread", (), "article describing full", ""),
        (
            "walking to the sea",
            (),
            "full preposition article full",
            "doing preposition article full",
        ),
        ("morning sun", (), "full full", ""),
        ("he jumped in", (), "pronoun full particle", "pronoun past particle"),
        ("bring", (), "full", "verb"),
        ("red", (), "describing", ""),
        ("the king", (), "article full", ""),
    ],
)
def test_classes_of_words(words: str, pauses: tuple[int, ...], classes: str, finer: str) -> None:
    parts = words.split()
    found = classes_of(parts, [at in pauses for at in range(len(parts))])
    assert " ".join(found) == classes
    assert " ".join(finer_classes(parts, found)) == (finer or classes)


def test_words_of_syllables() -> None:
    words, of = words_of(read_line("The lan-tern's ‘glow’, 'twas Łódź"))
    assert words == ["the", "lantern's", "glow", "'twas", "lodz"]
    assert of == [0, 1, 1, 2, 3, 4]


def test_a_line_syllable_by_syllable() -> None:
    """The wheels on the bus: stresses on wheels and bus."""
    line = phrasing_of(read_line("the wheels on the lantern"))
    assert line.classes == ("article1", "full1", "preposition1", "article1", "full+", "full-")
    assert line.heavies == (1, 4)
    assert line.heavy == (False, True, False, False, True, False)
    assert line.run == (0, 2, 1, 0, 9, 9)
    assert line.again == (False,) * 6, "the word that returns is three words before"
    assert line.turns[0] == 8
    assert line.turns[5] == 9
    assert line.after[4] == -1
    assert line.after[5] == 6
    assert line.since == (0, 6, 0, 0, max(line.after[1:4]), 0)
    again = phrasing_of(read_line("round and round and up"))
    assert again.again == (False, False, True, True, False)


@pytest.mark.parametrize(
    ("words", "turns"),
    [
        ("we zip the coat", [8, 3, 1, 0]),
        ("the kite is mine", [8, 0, 1, 0]),
        ("shake it loud shake it low", [8, 1, 1, 5, 4, 1]),
        ("row row row", [8, 2, 2]),
        ("look and look", [8, 1, 0]),
        ("hop up then hop", [8, 1, 0, 4]),
    ],
)
def test_what_speaks_for_something_new(words: str, turns: list[int]) -> None:
    said = read_line(words)
    assert [turn for turn, s in zip(phrasing_of(said).turns, said, strict=True) if s.first] == turns


@pytest.mark.parametrize(
    ("words", "breaks"),
    [
        ("the cake is big", [0, 1, 0, 6]),
        ("row row row", [2, 2, 6]),
        ("in in the box", [2, 0, 0, 6]),
        ("the hen, the duck", [0, 5, 0, 6]),
        ("a mat, the duck", [0, 4, 0, 6]),
        ("bread it is", [1, 1, 6]),
        ("big boats they go", [0, 4, 2, 6]),
        ("a red hen", [0, 0, 6]),
        ("up hill so steep", [0, 2, 0, 6]),
    ],
)
def test_breaks_between_words(words: str, breaks: list[int]) -> None:
    said = read_line(words)
    assert [one for one, s in zip(phrasing_of(said).after, said, strict=True) if s.last] == breaks


@pytest.mark.parametrize(
    ("heavies", "after", "at"),
    [
        ((0, 5), (1, 2, 0, 0, 1, 6), 2),
        ((0, 5), (0, 1, 2, 1, 0, 6), 3),
        ((0, 3), (1, 0, 1, 6), 3),
        ((2,), (4, 0, 0, 6), 1),
        ((2,), (3, 0, 0, 6), None),
        ((0, 3), (0, 0, 0, 6), None),
        ((), (1, 1, 6), None),
        ((), (5, 1, 6), 1),
    ],
)
def test_where_the_second_part_begins(
    heavies: tuple[int, ...], after: tuple[int, ...], at: int | None
) -> None:
    """At the strongest break, less the more it lies off the middle; the later of two as good."""
    assert _parting(heavies, after) == at
