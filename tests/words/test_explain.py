"""Sentences about fits."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.metre import Metre
from tapscore.words.explain import NO_CHANGE, clashes, explain_fit, what_changes, word_shown
from tapscore.words.fit import Fit, fit_line
from tapscore.words.line import read_line

TWO = Metre(2, 4)


def placed(*halves: int) -> Fit:
    onsets = tuple(Fraction(half, 2) for half in halves)
    return Fit(onsets, 2, max(Fraction(0), -onsets[0]), 0.0, TWO)


def test_a_word_turned_round_is_named() -> None:
    sentence = explain_fit(read_line("butterfly"), placed(-2, -1, 0))
    assert sentence.startswith(
        "but-ter-FLY lands on the strong beat, though the word is said BUT-ter-fly"
    )


def test_stressed_syllables_on_the_beats() -> None:
    sentence = explain_fit(read_line("Jack and Jill"), placed(0, 1, 2))
    assert sentence == "The stressed syllables fall on the beats: JACK and JILL."


def test_a_word_with_two_beats_is_named_once() -> None:
    said = read_line("blackberry pie")
    sentence = explain_fit(said, placed(0, 2, 3, 4))
    assert sentence == "The stressed syllables fall on the beats: BLACK-BER-ry and PIE."
    turned = what_changes(said, placed(0, 1, 2, 4), placed(-2, 0, 1, 4))
    assert turned == "Black-BER-ry comes on the strong beat."


def test_a_pickup_is_told() -> None:
    sentence = explain_fit(read_line("to fetch a pail"), placed(-1, 0, 1, 2))
    assert "“to” leads in before the first strong beat" in sentence


def test_a_stressed_word_between_beats_is_told() -> None:
    sentence = explain_fit(read_line("boat row"), placed(0, 1))
    assert "“row” comes between two beats" in sentence


def test_words_set_against_each_other_are_named() -> None:
    said = read_line("oh my turn your turn")
    assert explain_fit(said, placed(-1, 0, 1, 2, 3)) == (
        "MY and YOUR are set against each other, so they come on the beats"
        "; “oh” leads in before the first strong beat."
    )
    assert "set against" not in explain_fit(said, placed(0, 1, 2, 3, 4))


def test_light_words_and_no_words() -> None:
    assert "light words" in explain_fit(read_line("and it was so"), placed(-1, 0, 1, 2))
    assert explain_fit((), Fit((), 1, Fraction(0), 0.0, TWO)) == (
        "There are no words to fit in this line."
    )


def test_clash_counts_syllables() -> None:
    said = read_line("a lantern")
    (clash,) = clashes(said, placed(-2, -1, 0))
    assert (clash.light, clash.heavy) == (2, 1)
    assert word_shown(said, 2) == "lan-TERN"


def test_what_changes_names_what_comes_on_the_strong_beat() -> None:
    said = read_line("the lantern song")
    before, after = placed(-1, 0, 1, 2), placed(0, 2, 3, 4)
    there = "THE and SONG come on the strong beat; LAN-tern no longer does."
    back = "LAN-tern comes on the strong beat; THE and SONG no longer do."
    assert what_changes(said, before, after) == there
    assert what_changes(said, after, before) == back
    assert what_changes(said, before, before) == NO_CHANGE


def test_what_changes_between_the_strong_beats() -> None:
    said = read_line("the lantern song")
    sentence = what_changes(said, placed(-1, 0, 1, 2), placed(-1, 0, 2, 3))
    assert sentence == "The strong beats stay, “tern” and “song” between them move."
    longer = Fit(placed(-1, 0, 1, 2).onsets_beats, 3, Fraction(1, 2), 0.0, TWO)
    assert what_changes(said, placed(-1, 0, 1, 2), longer) == "3 bars instead of 2."


def test_what_changes_in_another_metre() -> None:
    """The same onsets: every second beat of 4/4 is no first beat any more."""
    said = read_line("row the boat")
    four = Fit(placed(0, 1, 4).onsets_beats, 1, Fraction(0), 0.0, Metre(4, 4))
    assert what_changes(said, placed(0, 1, 4), four) == (
        "BOAT no longer on the strong beat; 1 bar instead of 2."
    )


@given(
    st.lists(
        st.sampled_from(["row", "the", "lantern", "butterfly", "away", "12", "and"]), min_size=1
    )
)
def test_every_fit_has_one_sentence(words: list[str]) -> None:
    said = read_line(" ".join(words))
    sentence = explain_fit(said, fit_line(said, TWO)[0])
    assert sentence.endswith(".")
    assert sentence.count(". ") == 0
