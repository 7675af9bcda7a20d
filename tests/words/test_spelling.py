"""Spelling: British words are known, slips are found, and likely words are offered.

The expected spellings are the usual British ones (common practice; a school dictionary has them).
"""

import pytest

from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.words import spelling
from tapscore.words.spelling import plain_word, suggestions, unknown_words, words_in
from tapscore.workflow.find_words import texts


@pytest.mark.parametrize(
    ("british", "other"),
    [("colour", "color"), ("favourite", "favorite"), ("centre", "center"), ("pyjamas", "pajamas")],
)
def test_british_words_are_known_and_american_ones_are_not(british: str, other: str) -> None:
    assert unknown_words([british]) == frozenset()
    assert unknown_words([other]) == {other}


@pytest.mark.parametrize(
    ("slip", "meant"), [("wich", "which"), ("freind", "friend"), ("lanturn", "lantern")]
)
def test_a_slip_is_found_and_what_was_meant_is_offered(slip: str, meant: str) -> None:
    assert unknown_words([f"the {slip} came"]) == {slip}
    assert meant in suggestions(slip)


def test_what_is_no_word_of_a_dictionary_is_let_be() -> None:
    assert words_in("Shhhh! 12 x 300, wooooosh") == ()
    assert unknown_words(["Splash! went the moon’s boat, don’t it? 7 o’clock"]) == frozenset()
    assert unknown_words(["tippy tappy"], own=["Tippy", "tappy"]) == frozenset()
    assert plain_word("Don’t") == "don't"


def test_a_name_with_a_capital_is_right() -> None:
    assert unknown_words(["We went to London."]) == frozenset()


def test_without_a_dictionary_nothing_is_marked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spelling, "_hunspell", lambda: None)
    assert unknown_words(["lanturn"]) == frozenset()


def test_sounds_of_stories_are_words() -> None:
    assert not unknown_words(["Tippy tap, hippity hop, ev’ryone: Humpty Dumpty"])
    assert unknown_words(["Pitter and patter, plip plop, pittter, brmbl"]) == {"brmbl"}


def test_our_own_stories_are_rightly_spelt() -> None:
    for path in demo_stories():
        story = read_file(path).story
        assert story is not None
        said = (text for _, _, text in texts(story))
        assert not unknown_words(said, story.divided_words), path.name
