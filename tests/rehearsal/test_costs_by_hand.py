"""What one way costs: a few taps of which the best way is plain, its score added up by hand."""

import numpy as np
import pytest

from tapscore.rehearsal.alignment import Alignment, aligned, on_first_hands
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.written import WrittenLine

SLOWEST, FASTEST, EVEN = 1.72, 0.58, float(np.sqrt(0.58 * 1.72))
"""Told against written length; the even one lies in the middle of the rest."""
MISSED = float(np.log(0.1))


def line(*taps: float, gap: float = 0.0, waits: bool = False) -> WrittenLine:
    return WrittenLine(0, np.array(taps), 0.0, np.ones(len(taps)), gap, waits)


def scored(lines: list[WrittenLine], sec: list[float], noise: float = 1.0) -> Alignment:
    found = aligned(lines, Evidence(np.array(sec), np.full(len(sec), 5, np.float32), noise, 0.1))
    assert found is not None
    return found


def near(gap: float, off: float = 0.0) -> float:
    """Log density of a gap between taps that is so many standard deviations off."""
    sigma = np.hypot(0.045, 0.035 * gap)
    return float(-(off**2) / 2 - np.log(sigma * np.sqrt(2 * np.pi)))


def test_a_gap_as_written_counts_against_the_moments_there_are_by_chance() -> None:
    both = line(0, 0.5)
    score = 10 + near(0.5 * EVEN)
    for noise, by_chance in ((1.0, 1.0), (4.0, 4.0), (0.25, 0.25), (0.2, 0.2), (0.1, 0.2)):
        found = scored([both], [1, 1 + 0.5 * EVEN], noise)
        # No less than one in five seconds; a tempo near by may fit the shorter gap as well.
        assert found.score == pytest.approx(score - np.log(by_chance), abs=0.01)


def test_how_far_off_its_time_a_tap_may_be_and_what_a_pause_costs_within_a_line() -> None:
    """Slower than the slowest: within 3.2 deviations it is a tap off its time, beyond a pause,
    at 5.5 and 1 for each 0.6 s after two deviations."""
    gap = 0.5 * SLOWEST
    sigma = np.hypot(0.045, 0.035 * gap)
    off = scored([line(0, 0.5)], [1, 1 + gap + 3.1 * sigma])
    assert off.score == pytest.approx(10 + near(gap, 3.1), abs=0.01)
    for more in (3.6 * sigma, 0.5, 0.9):
        pause = scored([line(0, 0.5)], [1, 1 + gap + more])
        assert pause.score == pytest.approx(10 - 5.5 - (more - 2 * sigma) / 0.6, abs=0.01)
        assert pause.taps[0].tolist() == [0, 1]
    long = scored([line(0, 0.5)], [1, 1 + gap + 3.0])
    assert long.score == pytest.approx(5 + MISSED)


def test_what_a_line_s_last_gap_drawn_out_costs() -> None:
    """1, by the density about 1.15 of the gap; of two taps there is no last gap, only one."""
    gap = 0.5 * SLOWEST
    wide = float(np.hypot(0.045, 0.08 * 1.15 * gap))
    for longer, off in ((1.15, 0.0), (1.25, 0.1 * gap / wide)):
        found = scored([line(0, 0.5, 1)], [1, 1 + gap, 1 + (1 + longer) * gap])
        drawn = -(off**2) / 2 - np.log(wide * np.sqrt(2 * np.pi)) - 1
        assert found.score == pytest.approx(15 + near(gap) + drawn, abs=0.01)
        assert found.taps[0].tolist() == [0, 1, 2]
        two = scored([line(0, 0.5)], [1, 1 + longer * gap])
        assert two.score < 10 + drawn


def test_of_two_lines_alike_of_which_one_is_left_out_one_is_told() -> None:
    """Either is as likely, so that the margin is nothing; both were called left out once."""
    lines = [line(*WIDE, gap=1.0), line(*FOUR, gap=1.0), line(*FOUR, gap=1.0), line(*WIDE)]
    sec = told_from(1, EVEN, WIDE)
    sec += told_from(sec[-1] + EVEN, EVEN, FOUR)
    sec += told_from(sec[-1] + EVEN, EVEN, WIDE)
    found = scored(lines, sec)
    assert [taps.tolist() for taps in found.taps] == [
        [0, 1, 2, 3],
        [4, 5, 6, 7],
        [],
        [8, 9, 10, 11],
    ]
    assert found.margin[1] == pytest.approx(0, abs=0.02)


def test_two_taps_on_end_may_be_missing_and_no_more() -> None:
    some = scored([line(0, 0.5, 1, 1.5)], [1, 1 + 1.5 * EVEN])
    assert some.taps[0].tolist() == [0, -1, -1, 1]
    assert some.score == pytest.approx(10 + 2 * MISSED + near(1.5 * EVEN), abs=0.01)
    for far in (1 + 2 * SLOWEST, 60.0):
        few = scored([line(0, 0.5, 1, 1.5, 2)], [1, far])
        assert few.score == pytest.approx(5 + 4 * MISSED)


def told_from(start: float, ratio: float, taps: tuple[float, ...]) -> list[float]:
    return [start + ratio * tap for tap in taps]


FOUR, WIDE = (0.0, 0.5, 1.0, 1.5), (0.0, 2.0, 4.0, 6.0)


def test_what_a_wait_and_another_tempo_cost_between_lines() -> None:
    """A wait 3, and 0.03 a second after the first 0.2; the tempo 0.55 a step, 4.5 at most."""
    lines = [line(*WIDE, gap=1.0, waits=True), line(*WIDE)]
    for second, costs in ((FASTEST, 0.0), (SLOWEST, 4.5), (0.58 * (1.72 / 0.58) ** (1 / 3), 3.3)):
        first = told_from(1, FASTEST, WIDE)
        found = scored(lines, [*first, *told_from(first[-1] + 20.2, second, WIDE)])
        gaps = 3 * near(2 * FASTEST) + 3 * near(2 * second)
        assert found.score == pytest.approx(40 + gaps - costs - 3 - 0.6, abs=0.03)


def test_what_a_line_too_late_or_too_early_costs() -> None:
    """Late 3 and 1 for each 2.5 s; early 6, and as much for what is beyond a fifth of a second."""
    lines = [line(*FOUR, gap=2.0), line(*FOUR)]
    first = told_from(1, EVEN, FOUR)
    gaps = 6 * near(0.5 * EVEN)
    late = scored(lines, [*first, *told_from(first[-1] + 2 * EVEN + 3, EVEN, FOUR)])
    assert late.score == pytest.approx(40 + gaps - 3 - 3 / 2.5, abs=0.02)
    early = scored(lines, [*first, *told_from(first[-1] + 0.5, EVEN, FOUR)])
    assert early.score == pytest.approx(40 + gaps - 6 - 0.3 / 2.5, abs=0.02)
    sigma = np.hypot(0.07, 0.08 * 2 * EVEN)
    just = scored(lines, [*first, *told_from(first[-1] + 2 * EVEN, EVEN, FOUR)])
    between = -np.log(sigma * np.sqrt(2 * np.pi))
    assert just.score == pytest.approx(40 + gaps + between, abs=0.01)


def test_what_a_line_told_twice_costs() -> None:
    """5, and 1 for each 2 s after the first 0.3; no line, where none may be begun again."""
    sec = [*told_from(1, EVEN, FOUR), *told_from(4, EVEN, FOUR)]
    found = scored([line(*FOUR)], sec)
    gap = 3 - 1.5 * EVEN - 0.3
    assert found.score == pytest.approx(40 + 6 * near(0.5 * EVEN) - 5 - gap / 2, abs=0.02)
    assert found.taps[0].tolist() == [4, 5, 6, 7]
    evidence = Evidence(np.array(sec), np.full(8, 5, np.float32), 1.0, 0.1)
    once = aligned([line(*FOUR)], evidence, begun_again=False)
    assert once is not None
    assert once.score == pytest.approx(20 + 3 * near(0.5 * EVEN), abs=0.02)


@pytest.mark.parametrize("out", [1, 2, 3])
def test_what_lines_left_out_cost(out: int) -> None:
    """At an end 6, in the middle 5 and a wait; each more 2.5."""
    lines = [line(*FOUR, gap=1.0, waits=True) for _ in range(out)]
    gaps = 3 * near(0.5 * EVEN)
    told = told_from(1, EVEN, FOUR)
    last = scored([line(*FOUR, gap=1.0, waits=True), *lines], told)
    assert last.score == pytest.approx(20 + gaps - 6 - 2.5 * (out - 1), abs=0.02)
    both = [*told, *told_from(told[-1] + 10.2, EVEN, FOUR)]
    middle = scored([line(*FOUR, gap=1.0, waits=True), *lines, line(*FOUR)], both)
    apart = 3 + 0.03 * 10 + 5 + 2.5 * (out - 1)
    assert middle.score == pytest.approx(40 + 2 * gaps - apart, abs=0.02)
    assert [len(taps) for taps in middle.taps] == [4, *[0] * out, 4]
    assert middle.tempo == (9, *[-1] * out, 9)


def test_one_touch_is_one_tap_where_the_first_or_the_last_may_be_missing() -> None:
    """Three of four even taps: either way is as likely, and none is a mixture of both."""
    found = scored([line(*FOUR)], told_from(1, EVEN, FOUR[:3]))
    assert found.taps[0].tolist() == [0, 1, 2, -1]


def test_what_a_pause_costs_in_what_was_told_before() -> None:
    """As within a line: two taps, one second more than is written, two more, and the line anew."""
    half = 0.5 * EVEN
    sec = [1, 1 + half, 2 + 2 * half, 2 + 3 * half, *told_from(6, EVEN, FOUR)]
    found = scored([line(*FOUR)], sec)
    sigma = np.hypot(0.045, 0.035 * half)
    pause = 5.5 + (1 - 2 * sigma) / 0.6
    gap = 6 - (2 + 3 * half) - 0.3
    assert found.score == pytest.approx(40 + 5 * near(half) - pause - 5 - gap / 2, abs=0.02)
    assert found.taps[0].tolist() == [4, 5, 6, 7]


@pytest.mark.parametrize("heard", [1, 4])
def test_what_two_lines_gone_back_to_cost(heard: int) -> None:
    """5 and 1.5, and 1 for each 2 s after the first 0.3; the second may have been broken off."""
    uneven = (0, 0.25, 1.0, 1.5)
    two = [line(*FOUR, gap=1.0), line(*uneven)]
    first = [*told_from(1, EVEN, FOUR), *told_from(1 + 2.5 * EVEN, EVEN, uneven)[:heard]]
    again = first[-1] + 2
    sec = [*first, *told_from(again, EVEN, FOUR), *told_from(again + 2.5 * EVEN, EVEN, uneven)]
    found = scored(two, sec)
    assert [taps.tolist() for taps in found.taps] == [
        list(range(4 + heard, 8 + heard)),
        list(range(8 + heard, 12 + heard)),
    ]
    sigma = np.hypot(0.07, 0.08 * EVEN)
    between = -np.log(sigma * np.sqrt(2 * np.pi))
    inside = 3 * near(0.5 * EVEN)
    other = [near(0.25 * EVEN), near(0.75 * EVEN), near(0.5 * EVEN)]
    score = 2 * inside + sum(other) + sum(other[: heard - 1]) + 2 * between + 5 * (12 + heard)
    assert found.score == pytest.approx(score - 5 - 1.5 - 1.7 / 2, abs=0.03)


def hands(
    behind: float, first: str, *, strong: float = 1.1, before: float | None = None
) -> list[list[int]]:
    """A line of six taps a second apart, found on hands that are so far behind; ``first`` has a
    mark where somebody tapped in time.  The taps found then, as moments; ``before`` is the last
    tap of a line before it."""
    late = 10 + np.arange(6.0)
    own = late[[mark == "x" for mark in first]] - behind
    every = np.sort(np.concatenate([late, own, [] if before is None else [before]]))
    for_tap = np.where(np.isin(every, own), strong, 3).astype(np.float32)
    lines = [np.searchsorted(every, late)]
    if before is not None:
        lines.insert(0, np.searchsorted(every, [before]))
    alignment = Alignment(tuple(lines), (9,) * len(lines), (5.0,) * len(lines), 0.0)
    moved = on_first_hands(alignment, Evidence(every, for_tap, 1.0, 0.1))
    assert (moved.tempo, moved.margin) == (alignment.tempo, alignment.margin)
    return [taps.tolist() for taps in moved.taps]


def test_a_line_found_on_hands_that_are_always_as_late_is_where_the_first_ones_are() -> None:
    found = [1, 3, 5, 7, 9, 11]
    assert hands(0.2, "xxxxxx") == [[0, 2, 4, 6, 8, 10]]
    assert hands(0.2, "xx.x.x") == [[0, 2, -1, 5, -1, 8]]
    assert hands(0.2, "x..x.x") == [[0, -1, -1, 4, -1, 7]]
    assert hands(0.2, "x..x..") == [[1, 2, 3, 5, 6, 7]]
    assert hands(0.26, "xxxxxx") == hands(0.08, "xxxxxx") == [[0, 2, 4, 6, 8, 10]]
    assert hands(0.28, "xxxxxx") == hands(0.06, "xxxxxx") == [found]
    assert hands(0.2, "xxxxxx", strong=0.9) == [found]


def test_first_hands_are_none_that_another_line_holds_and_stay_behind_it() -> None:
    assert hands(0.2, "xxxxxx", before=9.7) == [[0], [1, 3, 5, 7, 9, 11]]
    assert hands(0.2, "xxxxxx", before=9.9) == [[1], [2, 4, 6, 8, 10, 12]]
    assert hands(0.2, ".xxxxx", before=9.8) == [[0], [-1, 2, 4, 6, 8, 10]]


def test_hands_that_are_now_more_now_less_late_are_no_first_ones() -> None:
    """Of four taps those two that are 0.03 s alike are too few; as many, nearer, are enough, and
    what is like no tap stands where there is nothing better."""
    late = 10 + np.arange(4.0)
    for behind, moved in (
        ((0.1, 0.14, 0.18, 0.22), False),
        ((0.1, 0.129, 0.12, 0.22), True),
        ((0.1, 0.129, 0.12, 0.11), True),
    ):
        every = np.sort(np.concatenate([late, late - behind]))
        for_tap = np.array([3, 3, 3, 3, 3, 3, -2, 3], np.float32)
        alignment = Alignment((np.arange(1, 8, 2),), (9,), (5.0,), 0.0)
        (taps,) = on_first_hands(alignment, Evidence(every, for_tap, 1.0, 0.1)).taps
        last = 6 if behind[3] == 0.11 else -1
        assert taps.tolist() == ([0, 2, 4, last] if moved else [1, 3, 5, 7])
