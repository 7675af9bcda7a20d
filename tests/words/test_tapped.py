"""Reading taps: simulated players with jitter, drift, missed and extra taps."""

import random
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.metre import Metre, parse_metre
from tapscore.words.line import read_line
from tapscore.words.tapped import read_taps
from tests.words.rhymes import UNSEEN, RhymeLine, read_rhymes

SIX = Metre(6, 8)
JACK = "Jack and Jill went up the hill"
JACK_BEATS = [Fraction(n, 3) for n in (0, 2, 3, 5, 6, 8, 9)]


def taps_of(
    onsets: list[Fraction], beat_sec: float, jitter_sec: float, drift: float, dice: random.Random
) -> list[float]:
    """Seconds of taps; ``drift`` is the change of the beat's length from first to last."""
    first, span = onsets[0], max(1.0, float(onsets[-1] - onsets[0]))
    times = []
    for onset in onsets:
        passed = float(onset - first)
        times.append(
            3.0 + beat_sec * (passed + drift * passed**2 / (2 * span)) + dice.gauss(0, jitter_sec)
        )
    return sorted(times)


def test_exact_taps_give_tempo_places_and_downbeat() -> None:
    taps = taps_of(JACK_BEATS, 0.8, 0.0, 0.0, random.Random(1))
    best = read_taps(taps, read_line(JACK), SIX)[0]
    assert list(best.places_beats) == JACK_BEATS
    assert best.tempo == pytest.approx(75.0)
    assert best.downbeat_sec == pytest.approx(3.0)
    assert best.syllables == tuple(range(7))
    assert best.missed == ()
    assert best.bars == 2
    assert best.pace == "as tapped"


def test_half_and_double_are_offered() -> None:
    taps = taps_of(JACK_BEATS, 0.8, 0.0, 0.0, random.Random(1))
    found = read_taps(taps, read_line(JACK), SIX)
    paces = {one.pace: one.tempo for one in found}
    assert paces == pytest.approx({"as tapped": 75.0, "half as fast": 37.5, "twice as fast": 150.0})


def test_a_missed_tap_is_found() -> None:
    taps = taps_of(JACK_BEATS, 0.8, 0.0, 0.0, random.Random(1))
    del taps[3]
    best = read_taps(taps, read_line(JACK), SIX)[0]
    assert best.missed == (3,)
    assert list(best.places_beats) == JACK_BEATS[:3] + JACK_BEATS[4:]


def test_an_extra_tap_is_found() -> None:
    taps = taps_of(JACK_BEATS, 0.8, 0.0, 0.0, random.Random(1))
    taps.insert(5, taps[4] + 0.09)
    best = read_taps(taps, read_line(JACK), SIX)[0]
    assert best.syllables.count(None) == 1
    assert [place for place in best.places_beats if place is not None] == JACK_BEATS


def test_too_little_to_read() -> None:
    assert read_taps([], read_line(JACK), SIX) == ()
    assert read_taps([1.0], read_line(JACK), SIX) == ()
    assert read_taps([1.0, 2.0], (), SIX) == ()


def share_right(lines: list[tuple[str, RhymeLine]], jitter_sec: float) -> float:
    dice = random.Random(7)
    right = total = 0
    for signature, line in lines:
        metre = parse_metre(signature)
        assert metre is not None
        syllables = read_line(line.words)
        onsets = list(line.onsets_beats)
        taps = taps_of(onsets, dice.uniform(0.5, 1.0), jitter_sec, dice.uniform(-0.1, 0.1), dice)
        found = read_taps(taps, syllables, metre)
        total += 1
        right += any(list(one.places_beats) == onsets for one in found)
    return right / total


def test_jitter_and_drift() -> None:
    """Whole lines right, half and double pace counted; tempo drifts by up to a tenth."""
    lines = [
        (str(rhyme.metre), line)
        for rhyme in read_rhymes(UNSEEN)
        for line in rhyme.lines
        if len(read_line(line.words)) == len(line.onsets_beats)
    ]
    assert share_right(lines, 0.02) >= 0.9
    assert share_right(lines, 0.04) >= 0.8


@settings(deadline=None, max_examples=25)
@given(st.lists(st.floats(0, 20), min_size=2, max_size=12))
def test_any_taps_are_read_or_refused(times: list[float]) -> None:
    for one in read_taps(times, read_line(JACK), SIX):
        assert len(one.places_beats) == len(times)
        assert one.tempo > 0
