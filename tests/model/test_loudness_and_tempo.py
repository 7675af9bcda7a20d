"""Loudness, swells, tempos and strokes: words to values and back."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.loudness import (
    LETTERS,
    WORDS,
    Loudness,
    cut_swell,
    level_of,
    parse_loudness,
    parse_swell,
    swell_text,
)
from tapscore.model.strokes import STROKE_WORDS, Stroke, parse_stroke
from tapscore.model.tempo import Tempo, cut_tempo, number_text, parse_tempo, tempo_text

swells = st.lists(st.sampled_from(Loudness), min_size=1, max_size=5).map(tuple)


def test_five_steps_with_their_letters() -> None:
    """pp, p, mf, f, ff: the usual Italian abbreviations (any theory primer)."""
    assert [(level.word, level.letters) for level in Loudness] == list(
        zip(WORDS, LETTERS, strict=True)
    )
    for text in (*WORDS, *LETTERS):
        assert parse_loudness(text.upper()) is parse_loudness(f"  {text} ")
    assert parse_loudness("mp") is None


@given(swells)
def test_swells_as_words(swell: tuple[Loudness, ...]) -> None:
    assert parse_swell(swell_text(swell)) == swell


@pytest.mark.parametrize("text", ["", "to", "quiet to", "to loud", "quiet - loud", "quieter"])
def test_no_swells(text: str) -> None:
    assert parse_swell(text) is None


@given(swells, st.fractions(0, 1))
def test_levels_of_a_swell(swell: tuple[Loudness, ...], share: Fraction) -> None:
    level = level_of(swell, share.numerator, share.denominator)
    assert min(swell) <= level <= max(swell)
    assert level_of(swell, 0, 1) == swell[0]
    assert level_of(swell, 1, 1) == swell[-1]
    assert level_of(swell, -1, 1) == swell[0]
    assert level_of(swell, 2, 1) == swell[-1]
    for index, step in enumerate(swell[:-1]):
        assert level_of(swell, index, len(swell) - 1) == step
    rest = 1 - share
    assert level_of(swell[::-1], rest.numerator, rest.denominator) == level


@given(st.integers(20 * 10**6, 300 * 10**6), st.none() | st.integers(20 * 10**6, 300 * 10**6))
def test_tempos_as_words(start: int, end: int | None) -> None:
    tempo = Tempo(Fraction(start, 10**6), None if end is None else Fraction(end, 10**6))
    assert parse_tempo(tempo_text(tempo)) == tempo
    assert tempo.last == (tempo.start if tempo.end is None else tempo.end)


@pytest.mark.parametrize("text", ["19", "301", "60 to 10", "10 to 60", "60 to 301"])
def test_both_ends_of_a_tempo_have_bounds(text: str) -> None:
    assert parse_tempo(text) is None


def test_words_for_a_change_of_tempo() -> None:
    changes = [parse_tempo(text) for text in ("54 to 40", "40 to 54", "54", "54 to 54")]
    assert [tempo.change_word for tempo in changes if tempo] == ["slowing", "quickening", "", ""]


@given(st.integers(0, 10**10))
def test_numbers_keep_their_six_decimals(millionths: int) -> None:
    assert Fraction(number_text(Fraction(millionths, 10**6))) == Fraction(millionths, 10**6)


def test_strokes_as_words() -> None:
    assert [parse_stroke(word) for word in STROKE_WORDS] == list(Stroke)
    assert parse_stroke(" Flat  Hand ") is Stroke.FLAT_HAND
    assert parse_stroke("slap") is None


@pytest.mark.parametrize(
    ("swell", "way", "one", "two"),
    [
        ("quiet", "1/2", "quiet", "quiet"),
        ("quiet to loud", "1/2", "quiet to medium", "medium to loud"),
        ("loud to quiet", "1/2", "loud to medium", "medium to quiet"),
        # Between two steps they meet at the softer one: never louder than it was written.
        ("quiet to medium", "1/2", "quiet", "quiet to medium"),
        ("medium to quiet", "1/2", "medium to quiet", "quiet"),
        ("quiet to medium", "2/3", "quiet to medium", "medium"),
        ("quiet to loud to quiet", "1/2", "quiet to loud", "loud to quiet"),
        ("quiet to loud to quiet", "1/4", "quiet to medium", "medium to loud to quiet"),
        ("quiet to loud", "0", "quiet", "quiet to loud"),
        ("quiet to loud", "1", "quiet to loud", "loud"),
        ("quiet to loud", "3/2", "quiet to loud", "loud"),
        ("quiet to loud", "-1", "quiet", "quiet to loud"),
    ],
)
def test_a_swell_goes_on_where_it_was_cut(swell: str, way: str, one: str, two: str) -> None:
    whole = parse_swell(swell)
    assert whole is not None
    assert [swell_text(each) for each in cut_swell(whole, Fraction(way))] == [one, two]


@pytest.mark.parametrize(
    ("tempo", "way", "one", "two"),
    [
        ("54", "1/2", "54", "54"),
        # Half way in beats the period is half way: 2 / (1/60 + 1/30) = 40.
        ("60 to 30", "1/2", "60 to 40", "40 to 30"),
        ("30 to 60", "1/2", "30 to 40", "40 to 60"),
        ("60 to 30", "0", "60", "60 to 30"),
        ("60 to 30", "2", "60 to 30", "30"),
    ],
)
def test_a_tempo_goes_on_where_it_was_cut(tempo: str, way: str, one: str, two: str) -> None:
    whole = parse_tempo(tempo)
    assert whole is not None
    assert [tempo_text(each) for each in cut_tempo(whole, Fraction(way))] == [one, two]
