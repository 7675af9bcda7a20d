"""Taps read as rhythms: tempo, places and paces, worked out by hand."""

import math
from fractions import Fraction

import pytest

from tapscore.model.metre import Metre
from tapscore.words.line import read_line
from tapscore.words.tapped import _line_through, read_taps

TWO, SIX = Metre(2, 4), Metre(6, 8)
WORDS = read_line("Jack and Jill went up the hill")


def test_a_line_through_points() -> None:
    assert _line_through([(0.0, 1.0), (1.0, 1.5), (2.0, 2.0)]) == pytest.approx((0.5, 1.0))
    assert _line_through([(-1.0, 0.0), (1.0, 1.0)]) == pytest.approx((0.5, 0.5))
    slope, begin = _line_through([(0.0, 0.0), (1.0, 1.2), (2.0, 1.8)])
    assert (slope, begin) == pytest.approx((0.9, 0.1))
    assert _line_through([(1.0, 3.0), (1.0, 5.0)]) == (0.7, 4.0), "no two beats: the usual one"
    assert _line_through([(0.0, 1.0), (1.0, 1.0)])[0] == 0.001, "time never stands still"


@pytest.mark.parametrize("beat_sec", [0.5, 0.8, 1.1])
def test_even_taps_in_two(beat_sec: float) -> None:
    taps = [2.0 + beat_sec * half / 2 for half in (0, 1, 2, 3, 4, 5, 6)]
    best, *others = read_taps(taps, WORDS, TWO)
    assert best.places_beats == tuple(Fraction(half, 2) for half in range(7))
    assert best.tempo == pytest.approx(60 / beat_sec)
    assert best.beat_sec == pytest.approx(beat_sec)
    assert best.downbeat_sec == pytest.approx(2.0)
    assert (best.bars, best.pace, best.missed) == (2, "as tapped", ())
    assert best.syllables == tuple(range(7))
    paces = {one.pace: one for one in others}
    half, twice = paces["half as fast"], paces["twice as fast"]
    assert half.places_beats == tuple(Fraction(n, 4) for n in range(7))
    assert twice.places_beats == tuple(Fraction(n) for n in range(7))
    assert (half.bars, twice.bars) == (1, 4)
    assert (half.tempo, twice.tempo) == pytest.approx((30 / beat_sec, 120 / beat_sec))
    assert (half.beat_sec, twice.beat_sec) == pytest.approx((2 * beat_sec, beat_sec / 2))
    for one in others:
        assert one.downbeat_sec == best.downbeat_sec
        odd = abs(math.log(one.beat_sec / 0.7)) / 0.4
        assert one.cost == pytest.approx(best.cost + odd + 1.0)
    assert [one.cost for one in others] == sorted(one.cost for one in others)


def test_the_order_of_taps_does_not_matter() -> None:
    taps = [0.0, 0.8, 1.6, 2.4, 3.2, 4.0, 4.8]
    assert read_taps(taps[::-1], WORDS, TWO) == read_taps(taps, WORDS, TWO)


def test_a_pickup_is_before_the_first_downbeat() -> None:
    words = read_line("the lantern glows")
    taps = [1.0 + 0.9 * third / 3 for third in (-1, 0, 2, 3)]
    best = read_taps(taps, words, SIX)[0]
    assert best.places_beats == tuple(Fraction(third, 3) for third in (-1, 0, 2, 3))
    assert best.downbeat_sec == pytest.approx(1.0)
    assert best.bars == 1


def test_two_taps_are_enough() -> None:
    assert read_taps([1.0, 1.8], read_line("row boat"), TWO) != ()
    assert read_taps([1.0], read_line("row boat"), TWO) == ()
    assert read_taps([1.0, 1.8], (), TWO) == ()


def test_a_first_tap_too_early_is_extra() -> None:
    taps = [0.2, *(2.0 + 0.8 * half / 2 for half in range(7))]
    best = read_taps(taps, WORDS, TWO)[0]
    assert best.syllables == (None, *range(7))
    assert best.places_beats[0] is None
    assert best.missed == ()


def test_a_syllable_without_a_tap_at_the_end() -> None:
    taps = [2.0 + 0.8 * half / 2 for half in range(6)]
    best = read_taps(taps, WORDS, TWO)[0]
    assert best.missed == (6,)
    assert best.syllables == tuple(range(6))
