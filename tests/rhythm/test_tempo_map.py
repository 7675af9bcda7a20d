"""The one function from beats to seconds, against closed forms and its own fast twin."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.tempo import parse_tempo
from tapscore.rhythm.tempo_map import TempoMap
from tests.rhythm.passages import tempo_map

beats = st.fractions(0, 64, max_denominator=48)
periods = st.builds(
    lambda tempo: 60 / tempo, st.fractions(20, 300, max_denominator=10).filter(lambda f: f > 0)
)
stretches = st.lists(st.tuples(beats, periods, periods), min_size=1, max_size=6)


def _one(beats: int, start: int, end: int) -> TempoMap:
    return tempo_map([(Fraction(beats), Fraction(60, start), Fraction(60, end))])


def test_ritardando_in_the_period() -> None:
    """120 to 80 over 16 beats: the mean period is (0.5 + 0.75) / 2 s, so exactly 10 s."""
    times = _one(16, 120, 80)
    assert times.seconds(Fraction(16)) == 10
    # after x beats: x*p0 + (p1 - p0)*x*x / (2*16), here at half way
    assert times.seconds(Fraction(8)) == 4 + Fraction(1, 2)


def test_accelerando_is_the_ritardando_backwards() -> None:
    slow, fast = _one(16, 120, 80), _one(16, 80, 120)
    for beat in range(17):
        assert fast.seconds(Fraction(beat)) == 10 - slow.seconds(Fraction(16 - beat))


def test_dotted_crotchet_of_six_eight() -> None:
    """Dotted crotchet = 72: a beat is 60/72 s, a quaver a third of it (arithmetic)."""
    times = _one(4, 72, 72)
    assert times.seconds(Fraction(1)) == Fraction(5, 6)
    assert times.seconds(Fraction(1, 3)) == Fraction(5, 18)
    assert round(float(times.seconds(Fraction(2, 3))) * 1e6) == 555_556


def test_sixty_beats_a_minute_is_a_clock() -> None:
    times = _one(300, 60, 60)
    assert [times.seconds(Fraction(n, 7)) for n in range(50)] == [Fraction(n, 7) for n in range(50)]


@given(stretches, st.lists(beats, min_size=2, max_size=8))
def test_later_beats_come_later(stretch: list[tuple[Fraction, ...]], at: list[Fraction]) -> None:
    times = tempo_map((b, p, q) for b, p, q in stretch)
    if not times.pieces:
        assert times.seconds(at[0]) == 0
        return
    ordered = sorted(set(at))
    seconds = [times.seconds(beat) for beat in ordered]
    assert seconds == sorted(set(seconds))


@given(stretches)
def test_pieces_join_without_a_gap(stretch: list[tuple[Fraction, ...]]) -> None:
    times = tempo_map((b, p, q) for b, p, q in stretch)
    assert [piece.beats for piece in times.pieces] == [b for b, _, _ in stretch if b]
    end = second = Fraction(0)
    for piece in times.pieces:
        assert piece.start_beats == end
        assert piece.start_sec == second == times.seconds(end)
        end += piece.beats
        second += piece.beats * (piece.first_period_sec + piece.last_period_sec) / 2
        assert times.seconds(end) == second


@given(stretches, st.fractions(0, 1, max_denominator=60))
def test_every_beat_follows_the_closed_form(
    stretch: list[tuple[Fraction, ...]], share: Fraction
) -> None:
    """Integral of a period that is linear in the beat, worked out apart from the code."""
    times = tempo_map((b, p, q) for b, p, q in stretch)
    for piece in times.pieces:
        x = piece.beats * share
        last = piece.first_period_sec + (piece.last_period_sec - piece.first_period_sec) * share
        wanted = piece.start_sec + x * (piece.first_period_sec + last) / 2
        if share < 1:
            assert times.seconds(piece.start_beats + x) == wanted


@given(stretches, st.integers(1, 48))
def test_the_whole_number_clock_says_the_same(
    stretch: list[tuple[Fraction, ...]], per_beat: int
) -> None:
    times = tempo_map((b, p, q) for b, p, q in stretch)
    for piece in times.pieces:
        clock = piece.clock(per_beat)
        ticks = [0, 1, int(piece.beats * per_beat) // 2, int(piece.beats * per_beat)]
        ticks = sorted({t for t in ticks if t <= piece.beats * per_beat})
        for tick in ticks:
            beat = piece.start_beats + Fraction(tick, per_beat)
            assert clock.exact(tick) == times.seconds(beat)
            assert clock.seconds(tick) == float(times.seconds(beat))
        for first, last in pairwise(ticks):
            assert clock.between(first, last) == float(clock.exact(last) - clock.exact(first))
            assert clock.spans([(first, last)]) == [
                (clock.seconds(first), clock.between(first, last))
            ]


def test_after_the_end_the_last_beat_goes_on() -> None:
    times = _one(16, 120, 80)
    assert times.seconds(Fraction(18)) == 10 + 2 * Fraction(3, 4)


@pytest.mark.parametrize("period", [Fraction(0), Fraction(-1, 2)])
def test_a_beat_must_last(period: Fraction) -> None:
    with pytest.raises(ValueError, match="must last some time"):
        tempo_map([(Fraction(1), Fraction(1), period)])


@pytest.mark.parametrize("text", ["0", "10000", "19.9", "300.1", "54 to 10", "fast", "54 bis 40"])
def test_tempos_that_nobody_taps(text: str) -> None:
    assert parse_tempo(text) is None
