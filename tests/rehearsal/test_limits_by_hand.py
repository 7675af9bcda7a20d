"""From where on something is said, and what comes first: just at each limit and just beside it."""

import subprocess
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve
from scipy.stats import linregress, theilslopes  # type: ignore[import-untyped]

from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.rehearsal import recording
from tapscore.rehearsal.bands import BANDS, HOP_SEC, BandLevels, levels_of
from tapscore.rehearsal.between import (
    halfway,
    other_tellings,
    rest_after,
    seems_told_twice,
    with_false_starts,
    words_spoken,
)
from tapscore.rehearsal.candidates import FEATURES, Candidates, _onsets_sec, candidates_in
from tapscore.rehearsal.detector import learned_detector
from tapscore.rehearsal.differences import (
    Difference,
    differences,
    line_names,
    share_word,
    told_tempo,
)
from tapscore.rehearsal.loudness import line_level, loudness_for_steps, swelling, tap_levels_db
from tapscore.rehearsal.pace import clearly_otherwise, paused_before
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.storyfile.read import read_text
from tests.hill import HEAD, STORY, lines_of

HILL = perform(STORY)


def as_written(line: WrittenLine, level_db: float = -30.0) -> ToldLine:
    sec = 2 + line.start_sec + line.taps_sec
    count = len(sec)
    return ToldLine(
        line.segment, 0.99, sec, np.ones(count, np.bool_), 1.0, np.full(count, level_db)
    )


def said(
    performance: Performance, lines: list[ToldLine], *, words: bool = True
) -> list[Difference]:
    told = ToldRehearsal(tuple(lines), 300.0, words)
    return list(differences(performance, written_lines(performance), told))


def one_line(count: int, sec: float, ratio: float, heard: int | None = None) -> float | None:
    """Whether a line of so many taps over so long is said to be quicker or slower."""
    x = np.linspace(0, sec, count)
    which = np.arange(count) < (count if heard is None else heard)
    written = WrittenLine(0, x, 0.0, np.ones(count), 0.0, False)
    return clearly_otherwise(written, ToldLine(0, 0.99, 5 + ratio * x, which, ratio), 1.0)


@pytest.mark.parametrize(
    ("pace", "speaks"), [(1.221, True), (1.219, False), (0.789, True), (0.791, False)]
)
def test_a_line_that_is_exactly_a_fifth_off(pace: float, speaks: bool) -> None:
    for usual in (1.0, 1.3):
        x = np.linspace(0, 4, 9)
        written = WrittenLine(0, x, 0.0, np.ones(9), 0.0, False)
        ratio = 1 / pace / usual
        line = ToldLine(0, 0.99, 5 + ratio * x, np.ones(9, np.bool_), ratio)
        assert clearly_otherwise(written, line, usual) == (pytest.approx(pace) if speaks else None)
        # The two slopes agree within 6 in 100.
        for apart, agree in ((0.059, speaks), (0.061, False)):
            other = evolve(
                line, taps_sec=5 + ratio * float(np.exp(apart if pace < 1 else -apart)) * x
            )
            assert (clearly_otherwise(written, other, usual) is not None) is agree


def test_of_how_much_a_line_s_pace_is_told() -> None:
    """Four taps, seven of ten, a second."""
    assert one_line(4, 3, 0.7) is not None
    assert one_line(3, 3, 0.7) is None
    assert one_line(10, 3, 0.7, heard=7) is not None
    assert one_line(9, 3, 0.7, heard=6) is None
    assert one_line(8, 1.0, 0.6) is not None
    assert one_line(8, 0.99, 0.6) is None


@pytest.mark.parametrize("beside", [2, 4])
def test_a_line_is_quick_only_where_its_neighbours_hold_it(beside: int) -> None:
    """The one before is parted by a wait; the one after is not, and must be sure and near."""
    lines = [as_written(line) for line in written_lines(HILL)]
    quick = evolve(lines[3], ratio=0.6, taps_sec=lines[3].taps_sec[0] + 0.6 * np.arange(4.0))
    told = [evolve(line, taps_sec=line.taps_sec - 1.2 * (at > 3)) for at, line in enumerate(lines)]
    told[3] = quick
    assert [each.finding.code for each in said(HILL, told)] == ["told-tempo"]
    told[beside] = evolve(told[beside], confidence=0.84)
    assert len(said(HILL, told)) == (beside == 2)
    gap = written_lines(HILL)[3].gap_sec
    least = max(0.15, 0.25 * 0.8 * gap)
    for off, count in ((2.9 * least, 1), (3.1 * least, 0)):
        later = off - 0.2 * gap
        moved = [evolve(each, taps_sec=each.taps_sec + later) for each in told[4:]]
        moved[0] = evolve(moved[0], confidence=0.99)
        found = said(HILL, [*told[:4], *moved])
        assert [each.finding.code for each in found].count("told-tempo") == count


def paused(
    ratio: float, sec: float, *, before: int = 4, count: int = 8
) -> tuple[WrittenLine, ToldLine]:
    """A line of even taps at one tempo, with a pause before one of them."""
    x = np.linspace(0, (count - 1) / 2, count)
    y = 5 + ratio * x + np.where(np.arange(count) >= before, sec, 0)
    written = WrittenLine(0, x, 0.0, np.ones(count), 0.0, False)
    return written, ToldLine(0, 0.99, y, np.ones(count, np.bool_), ratio)


@pytest.mark.parametrize(
    ("ratio", "sec", "pace"),
    [
        (0.65, 0.0, 1 / 0.65),
        (0.65, 0.06, 1 / 0.65),
        (0.65, 0.2, None),
        (0.75, 0.5, None),
        (0.75, 0.9, None),
        (1.0, 0.9, None),
        (1.0, 2.0, None),
        (1.2, 1.0, None),  # slower by its pause alone
        (1.4, 0.06, 1 / 1.4),
        (1.4, 1.0, None),
    ],
)
def test_a_pause_makes_no_tempo(ratio: float, sec: float, pace: float | None) -> None:
    found = clearly_otherwise(*paused(ratio, sec), 1.0)
    assert found == (None if pace is None else pytest.approx(pace))


@pytest.mark.parametrize(("ratio", "sec", "count"), [(0.7, 1.0, 12), (0.65, 2.0, 16)])
def test_a_pause_early_in_a_long_quick_line_takes_its_quickness(
    ratio: float, sec: float, count: int
) -> None:
    """Robust slopes pass it over: with the pause counted in it is no fifth quicker."""
    before = 2 if count == 12 else 3
    assert clearly_otherwise(*paused(ratio, 0.0, before=before, count=count), 1.0) is not None
    assert clearly_otherwise(*paused(ratio, sec, before=before, count=count), 1.0) is None


def test_how_long_a_pause_is_one_and_where() -> None:
    """A third of a second more than the gap is at the line's tempo, and a third of that more; of
    the last gap, which is drawn out as it is, seven tenths."""
    assert paused_before(*paused(1.0, 0.37)) == 4
    assert paused_before(*paused(1.0, 0.35)) is None
    assert paused_before(*paused(2.2, 0.40)) == 4
    assert paused_before(*paused(2.2, 0.39)) is None
    assert paused_before(*paused(1.0, 0.9, before=1)) == 1
    assert paused_before(*paused(1.0, 0.37, before=7)) == 7
    assert paused_before(*paused(1.2, 0.43, before=7)) == 7
    assert paused_before(*paused(1.2, 0.41, before=7)) is None
    assert paused_before(*paused(1.0, 0.9, before=2, count=4)) == 2
    assert paused_before(*paused(1.0, 0.9, before=2, count=3)) is None


def test_a_pause_is_four_times_what_the_other_gaps_are_off() -> None:
    written, line = paused(1.0, 0.4)
    for early, told in ((0.099, 4), (0.101, None)):
        off = np.where(np.arange(8) >= 6, -early, 0.0)
        assert paused_before(written, evolve(line, taps_sec=line.taps_sec + off)) == told


def test_where_a_tap_was_not_heard_or_the_rest_is_uneven_no_pause_is_told() -> None:
    written, line = paused(1.0, 0.9)
    for lost, told in ((2, 4), (3, None), (4, None), (6, 4)):
        heard = np.arange(8) != lost
        assert paused_before(written, evolve(line, heard=heard)) == told
    assert paused_before(written, evolve(line, heard=np.arange(8) > 2)) is None
    off = np.where(np.arange(8) == 6, 0.13, 0.0)
    assert paused_before(written, evolve(line, taps_sec=line.taps_sec + off)) is None
    assert paused_before(written, evolve(line, taps_sec=line.taps_sec + off / 1.2)) == 4
    again = np.where(np.arange(8) >= 6, 1.2, 0.0)
    assert paused_before(written, evolve(line, taps_sec=line.taps_sec + again)) == 6


@pytest.mark.parametrize("seed", range(40))
def test_a_pace_is_told_where_scipy_s_slopes_and_their_limits_say_so(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 9))
    x = np.linspace(0, (count - 1) / 2, count)
    ratio = rng.choice([rng.uniform(0.65, 0.83), rng.uniform(1.25, 1.5)])
    y = 3 + ratio * x + rng.normal(0, rng.choice([0.005, 0.03, 0.06]), count)
    straight = linregress(x, y)
    error = max(straight.stderr, 0.02 / np.sqrt(((x - x.mean()) ** 2).sum())) / straight.slope
    robust = theilslopes(y, x, alpha=0.9)
    usual = rng.choice([1.0, 0.95, 1.06])
    pace, unsure = 1 / straight.slope / usual, np.exp(1.65 * error)
    slow = min(pace / unsure, 1 / robust.high_slope / usual)
    fast = max(pace * unsure, 1 / robust.low_slope / usual)
    clear = (pace >= 1.22 and slow > 1.15) or (pace <= 0.79 and fast < 0.85)
    agree = robust.low_slope > 0 and abs(np.log(robust.slope / straight.slope)) <= 0.06
    written = WrittenLine(0, x, 0.0, np.ones(count), 0.0, False)
    line = ToldLine(0, 0.99, y, np.ones(count, np.bool_), straight.slope)
    found = clearly_otherwise(written, line, usual)
    assert found == (pytest.approx(pace) if clear and agree else None)


def test_words_for_shares_at_their_limits() -> None:
    limits = [0.6, 0.71, 0.775, 1.0, 1.225, 1.29, 1.42, 1.75]
    below = ["slow", "third", "quarter", "fifth", "fifth", "quarter", "third", "half"]
    at = ["third", "quarter", "fifth", "fifth", "quarter", "third", "half", "twice"]
    assert [share_word(limit - 1e-6) for limit in limits] == below
    assert [share_word(limit) for limit in limits] == at


def test_a_tempo_as_told_is_a_whole_one_that_can_be_written() -> None:
    lines = "      - {words: a b c d, lane: '| x . x . x . x . |', tempo: 60 to 90}\n"
    (segment,) = perform(lines_of(lines)).lines
    for ratio, tempos in ((1.0, (60, 90)), (0.8, (75, 112)), (0.2, (300, 300)), (4.0, (20, 22))):
        assert told_tempo(segment, ratio) == tempos
    assert told_tempo(HILL.lines[0], 1.1) == (55, None)


@pytest.mark.parametrize(
    ("pace", "speaks"), [(1.25, True), (1.249, False), (0.78, True), (0.781, False)]
)
def test_all_of_it_quicker_or_slower(pace: float, speaks: bool) -> None:
    lines = []
    for line in written_lines(HILL):
        made = as_written(line)
        sec = 2 + (line.start_sec + line.taps_sec) / pace
        lines.append(evolve(made, taps_sec=sec, ratio=1 / pace))
    found = [each for each in said(HILL, lines) if each.finding.code == "told-tempo-whole"]
    assert [(each.weight, each.segment, each.at_sec) for each in found] == [(3.0, 0, None)] * speaks


def with_levels(levels: list[float]) -> list[Difference]:
    """Lines of four beats, written quiet, loud, loud and quiet, told so many dB loud."""
    told = "".join(
        f"      - {{words: a b c d, lane: '| x . x . x . x . |', loudness: {how}}}\n"
        for how in ("quiet", "loud", "loud", "quiet")
    )
    performance = perform(lines_of(told))
    lines = written_lines(performance)
    return said(performance, [as_written(*each) for each in zip(lines, levels, strict=True)])


ERROR_DB = 1.65 * 1.2533 * 1.5 / 2 * 2**0.5
"""Of the difference between two middles of four taps, each of which scatters by 1.5 dB."""


@pytest.mark.parametrize(
    ("levels", "expected"),
    [
        ([0, 1.51 - ERROR_DB, 0, 0], []),
        ([0, 1.49 - ERROR_DB, 0, 0], [("told-no-louder", 1, 2.2)]),
        ([0, 9, 18 + ERROR_DB / 2, 0], [("told-much-louder", 2, 4.5 + (1 + ERROR_DB / 2) / 6)]),
        ([0, 10, 18.01 + ERROR_DB / 2, 0], [("told-much-louder", 2, 4.5017 + ERROR_DB / 12)]),
        ([0, 10, 17.99 + ERROR_DB / 2, 0], []),
        ([0, 40, 40, 40], []),
        ([0, 40, 40, 49 + ERROR_DB / 2], [("told-much-louder", 3, 4.5 + (1 + ERROR_DB / 2) / 6)]),
    ],
)  # fmt: skip
def test_a_line_no_louder_or_much_louder_than_the_one_before(
    levels: list[float], expected: list[tuple[str, int, float]]
) -> None:
    found = with_levels(levels)
    assert [(each.finding.code, each.segment) for each in found] == [each[:2] for each in expected]
    assert [each.weight for each in found] == pytest.approx(
        [each[2] for each in expected], abs=1e-4
    )
    assert all(each.as_told for each in found)
    for each in found:
        assert (each.finding.about["earlier"], each.finding.about["loudness"]) == {
            1: (1, 3),
            2: (3, 3),
            3: (3, 1),
        }[each.segment]


@pytest.mark.parametrize(
    ("written", "rises_db", "sounded"),
    [
        ("quiet to loud", 0.1, None),
        ("quiet to loud", -0.1, "even"),
        ("quiet to loud", -0.9, "even"),
        ("quiet to loud", -1.1, "other"),
        ("loud to quiet", -0.1, None),
        ("loud to quiet", 0.9, "even"),
        ("loud to quiet", 1.1, "other"),
        ("quiet to medium", -9, None),  # one step is too little to be heard
        ("quiet", -9, None),
    ],
)
def test_a_swell_that_sounded_even_or_the_other_way(
    written: str, rises_db: float, sounded: str | None
) -> None:
    lane = "lane: '| x x x x x . . . |'"
    words = "      - {words: a b c d e, " + lane + f", loudness: {written}}}\n"
    performance = perform(lines_of(words))
    (line,) = written_lines(performance)
    swell = evolve(as_written(line), level_db=np.linspace(-30, -30 + rises_db, 5))
    found = said(performance, [swell])
    assert [each.finding.about["sounded"] for each in found] == [sounded] * (sounded is not None)
    for each in found:
        assert (each.weight, each.finding.code) == (2.5, "told-swell")
        assert each.finding.about["written"] == ("grows" if "to loud" in written else "fades")
    heard = np.arange(5) > 0
    few = evolve(swell, heard=heard, level_db=np.where(heard, swell.level_db, np.nan))
    assert said(performance, [few]) == []


@pytest.mark.parametrize(("gone", "speaks"), [([2], True), ([1, 2], True), ([1, 2, 3], False)])
def test_one_or_two_taps_that_were_not_heard(gone: list[int], speaks: bool) -> None:
    performance = perform(lines_of("      - {words: one two three four five, "
                                   "lane: '| x x x x x . . . |'}\n"))  # fmt: skip
    (line,) = written_lines(performance)
    heard = ~np.isin(np.arange(5), gone)
    some = evolve(as_written(line), heard=heard)
    found = said(performance, [some], words=False)
    first = {1: "two", 2: "three"}[gone[0]]
    assert [each.finding.about["syllable"] for each in found] == [first] * speaks
    assert [each.weight for each in found] == [1.5] * speaks
    assert said(performance, [some]) == []


def test_what_comes_first() -> None:
    """A wait cut short weighs 3.6, and more the shorter it was; a long one 2; a line left out 4."""
    lines = [as_written(line) for line in written_lines(HILL)]
    for later, weight in ((-9.0, 3.6 + 0.75), (-7.0, 3.6 + 7 / 12), (28.0, 2.0)):
        moved = [
            evolve(line, taps_sec=line.taps_sec + later * (at > 2)) for at, line in enumerate(lines)
        ]
        assert [each.weight for each in said(HILL, moved)] == pytest.approx([weight])
    # Half of the 12 s, or twice as much, is said; a little less is not.
    for later, count in ((-6.0, 1), (-5.9, 0), (11.9, 0), (12.0, 1)):
        moved = [
            evolve(line, taps_sec=line.taps_sec + later * (at > 2)) for at, line in enumerate(lines)
        ]
        assert len(said(HILL, moved)) == count
    lost = ToldLine(lines[3].segment, 0.0, np.zeros(0), np.zeros(0, np.bool_))
    assert [each.weight for each in said(HILL, [*lines[:3], lost, *lines[4:]])] == [4]
    # Asked about only between two that are sure.
    for beside in (2, 4):
        some = [*lines[:3], lost, *lines[4:]]
        some[beside] = evolve(some[beside], confidence=0.84)
        assert said(HILL, some) == []
    again = evolve(lines[3], begun_before_sec=140.0)
    assert [each.weight for each in said(HILL, [*lines[:3], again, *lines[4:]])] == [1]
    start = lines[3].taps_sec[0]
    quick = evolve(lines[3], ratio=0.6, taps_sec=start + 0.6 * np.arange(4.0))
    sooner = [evolve(line, taps_sec=line.taps_sec - 1.2) for line in lines[4:]]
    found = said(HILL, [*lines[:3], quick, *sooner])
    assert [each.weight for each in found] == pytest.approx([2.5 + 2 * np.log(1 / 0.6)])


def test_from_how_much_a_step_is_louder_something_is_learned() -> None:
    """A dB a step, and 6 at most; of 20 taps, whose steps spread by a tenth."""
    steps = np.array([1.0, 3.0] * 10)
    at = np.arange(20)
    for slope, learned in ((0.99, False), (1.01, True)):
        assert (loudness_for_steps(slope * steps, at, steps, [1.0]) != {}) is learned
    assert loudness_for_steps(2 * steps[:19], at[:19], steps[:19], [1.0]) == {}
    for apart, learned in ((0.31, False), (0.32, True)):
        some = np.array([2 - apart, 2 + apart] * 10)
        assert (loudness_for_steps(3 * some, at, some, [2.0]) != {}) is learned
    # 2.5 dB a step, without any scatter: all of them spread by hypot(2.5, 2.5) around the second.
    plain = loudness_for_steps(2.5 * steps, at, steps, [1.0])[1.0]
    assert plain[0] == pytest.approx(0.3 * (0.25 + np.log(2**0.5)), abs=1e-6)
    # 9 dB a step count as 6: 3 dB are left over at each, and scatter by 4.448 around the middle.
    steep = loudness_for_steps(np.append(9 * steps, 18.0), np.arange(20), steps, [1.0])[1.0]
    every = np.hypot(1.4826 * 3, 6)
    like = 0.3 * (-0.5 * (6 / (1.4826 * 3)) ** 2 + np.log(every / (1.4826 * 3)))
    assert steep[20] == pytest.approx(like, abs=1e-3)


def moments(sec: list[float]) -> Candidates:
    nothing = np.zeros((len(sec), BANDS), np.float32)
    return Candidates(np.array(sec), np.zeros((len(sec), FEATURES), np.float32), nothing, nothing)


@pytest.mark.parametrize(
    ("sec", "cut"),
    [
        ([1, 2, 3, 9, 10, 11], 3.3),
        ([1, 2, 3, 9, 10, 11, 20], 3.3),  # 3 of 7 before, rather than 6
        ([1, 2, 3, 5.9, 7, 8], None),  # no pause of 3 s
        ([1, 2, 3, 6, 7, 8], 3.3),
        ([1, 2, 3, 4, 5, 6, 7, 20, 21, 22], None),  # 7 of 10 are no half
        ([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 20, *range(21, 28)], 13.3),  # 13 of 21 are
    ],
)
def test_where_two_tellings_may_meet(sec: list[float], cut: float | None) -> None:
    odds = np.full(len(sec), 1.01, np.float32)
    assert halfway(moments(sec), odds) == ([] if cut is None else [pytest.approx(cut)])
    # What is not likely to be a tap counts as none.
    every = moments([*sec, 50.0, 60.0])
    assert halfway(every, np.array([*odds, 1.0, 1.0])) == halfway(moments(sec), odds)
    assert halfway(moments(sec), odds - 1) == []


def test_where_another_telling_may_begin_and_whether_there_is_one() -> None:
    line = WrittenLine(0, np.arange(4.0), 0.0, np.ones(4), 1.0, False)
    for likely, twice in ((6, True), (5, False)):
        odds = np.array([1.01] * likely + [1.0] * 9, np.float32)
        assert seems_told_twice([line], odds) is twice
    # Two likely moments half a second from the beginning and from a line at 1.4 s are half of it.
    told = ToldRehearsal((ToldLine(0, 0.99, 1.4 + np.arange(4.0), np.ones(4, np.bool_)),), 5)
    odds = np.full(2, 1.1, np.float32)
    assert other_tellings(told, [line], moments([0.51, 0.89]), odds) == pytest.approx([0.4])
    for sec, less in (([0.49, 0.89], 0.0), ([0.51, 0.91], 0.0), ([0.51, 0.89], 0.2)):
        assert other_tellings(told, [line], moments(sec), odds - np.float32(less)) == []


def test_another_telling_may_follow_where_half_as_much_time_is_left() -> None:
    """One line from 10 to 13 s and one from 20 to 23: 13 s."""
    lines = [ToldLine(0, 1.0, sec + np.arange(4.0), np.ones(4, np.bool_)) for sec in (10.0, 20.0)]
    lost = ToldLine(0, 0.0, np.zeros(0), np.zeros(0, np.bool_))
    for length, cuts in ((29.5, [23.3]), (29.4, [])):
        told = ToldRehearsal((lost, *lines, lost), length)
        assert rest_after(told) == pytest.approx(cuts)


def test_of_very_many_moments_the_twelve_strongest_a_second_are_kept() -> None:
    """In 2 s a rise every 50 ms, each a tenth of a dB higher than the last; 39 rows hold none."""
    db = np.full((400, BANDS), -50, np.float32)
    for number in range(36):
        db[20 + 10 * number : 23 + 10 * number] = -30 + 0.1 * number
    found = candidates_in(BandLevels(db, 2.0, 0, 0))
    assert len(found) == 24
    assert found.sec[0] == pytest.approx(0.1 + 0.05 * 12, abs=0.02)
    for rows, count in ((39, 0), (40, 1)):
        short = np.full((rows, BANDS), -50, np.float32)
        short[20:23] = -20
        assert len(candidates_in(BandLevels(short, rows * 0.005, 0, 0))) == count
    # Nine dB over all bands together are a moment.
    for rise, count in ((9.1, 1), (8.9, 0)):
        soft = np.full((100, BANDS), -50, np.float32)
        soft[50:60] += rise / BANDS
        assert len(candidates_in(BandLevels(soft, 0.5, 0, 0))) == count


def spoken(tap_db: float = 40, rest: float = 0, rest_db: float = 20, before_db: float = 0) -> bool:
    """Eight taps a second apart, so many dB over the room; a share of what lies between them
    louder, and what comes just before every other tap."""
    db = np.full((2_000, BANDS), -60, np.float32)
    sec = np.arange(1.0, 9.0)
    for number, row in enumerate(range(200, 1_800, 200)):
        db[row] = -60 + tap_db
        db[row + 1 : row + 10] = -66 + tap_db
        db[row - 16 : row - 6] += before_db * (number % 2)
    free = [row for at in range(200, 1_600, 200) for row in range(at + 80, at + 180)]
    db[free[: round(rest * 7 * 110)], 2:5] = -60 + rest_db
    told = ToldLine(0, 0.99, sec, np.ones(8, np.bool_))
    return words_spoken(BandLevels(db, 10.0, 0, 0), [told])


def test_from_when_on_somebody_speaks() -> None:
    """Taps 18 dB over the rest, 7 in 100 of it 10 dB over the room, 10 dB before some taps."""
    assert [spoken(tap_db) for tap_db in (17.9, 18.1)] == [True, False]
    assert [spoken(rest=share) for share in (0.068, 0.072)] == [False, True]
    assert [spoken(rest=0.2, rest_db=over) for over in (9.9, 10.1)] == [False, True]
    assert [spoken(before_db=over) for over in (9.9, 10.1)] == [False, True]


def test_a_refrain_s_lines_are_told_by_their_place_in_it() -> None:
    told = (
        HEAD
        + """refrains:
  two:
    - {words: up we go, lane: "| X . x . x . . . |"}
    - {words: down we go, lane: "| X . x . x . . . |"}
  one:
    - {words: home, lane: "| X . . . . . . . |"}
story:
  - section: Morning
    lines:
      - {words: here, lane: "| X . . . . . . . |"}
      - refrain: two
      - refrain: one
      - {words: there, lane: "| X . . . . . . . |"}
"""
    )
    story = read_text(told).story
    assert story is not None
    names = line_names(perform(story))
    assert [(names[at].number, names[at].refrain, names[at].place) for at in sorted(names)] == [
        *((1, None, None), (None, "two", 1), (None, "two", 2), (None, "one", None)),
        (2, None, None),
    ]


def test_what_was_learned_fits_what_is_measured() -> None:
    """Seven bands; four figures for each, and three for all of them."""
    learned = learned_detector()
    assert (BANDS, FEATURES) == (7, 31)
    assert learned.weights.shape == learned.middle.shape == learned.spread.shape == (31,)
    assert levels_of([np.ones((1, 8_000), np.float32)]).db.shape[1] == 7


def test_an_onset_is_where_it_rises_most_within_20_ms() -> None:
    """The rise of each row, squared, weighs it: four rows before to three after."""
    for at in range(-6, 7):
        steep = np.zeros((40, BANDS), np.float32)
        steep[20] = 1.0
        steep[20 + at] += 2.0
        by_hand = 20 + 4 * at / 5 if -4 <= at < 4 else 20.0
        (found,) = _onsets_sec(steep, np.array([20]))
        assert found == pytest.approx(by_hand * 0.005 + 0.0025, abs=1e-6)


@pytest.mark.parametrize(
    ("says", "length_sec", "channels", "rate_hz"),
    [
        ("Duration: 01:02:03.50\n Stream #0:0: Audio: aac, 44100 Hz, mono", 3723.5, 1, 44_100),
        ("Duration: 00:01:00\n Stream #0:0: Audio: pcm, 8000 Hz, 1 channels", 60, 1, 8_000),
        ("Duration: N/A\n Stream #0:1(und): Audio: opus, stereo", None, 2, 16_000),
    ],
)
def test_what_a_file_says_of_itself(
    says: str,
    length_sec: float | None,
    channels: int,
    rate_hz: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (tmp_path / "a.m4a").write_bytes(b"sound")
    told = subprocess.CompletedProcess([], 1, b"", says.encode())
    monkeypatch.setattr(recording, "mp3_program", lambda: "nowhere")
    monkeypatch.setattr(subprocess, "run", lambda *_, **__: told)
    found = recording.look_into(tmp_path / "a.m4a")
    assert (found.length_sec, found.channels, found.rate_hz) == (length_sec, channels, rate_hz)
    assert found.telephone is (rate_hz < 16_000)


def test_an_empty_file_is_called_so(tmp_path: Path) -> None:
    (tmp_path / "a.m4a").touch()
    with pytest.raises(RecordingUnusable, match="is empty"):
        recording.look_into(tmp_path / "a.m4a")


def test_a_file_of_less_than_two_seconds_is_too_short(tmp_path: Path) -> None:
    for frames, enough in ((31_999, False), (32_000, True)):
        soundfile.write(tmp_path / "a.wav", np.zeros(frames), 16_000)
        blocks = recording.blocks_of(recording.look_into(tmp_path / "a.wav"))
        if enough:
            assert sum(block.shape[1] for block in blocks) == frames
        else:
            with pytest.raises(RecordingUnusable, match="not even 2 seconds"):
                list(blocks)


def test_reading_may_end_before_the_file_does(tmp_path: Path) -> None:
    """The program that reads is ended too: it would wait for ever for somebody to take the rest."""
    soundfile.write(tmp_path / "a.wav", np.zeros(70 * 16_000), 16_000)
    blocks = recording.blocks_of(recording.look_into(tmp_path / "a.wav"))
    assert next(blocks).shape == (1, 20 * 16_000)
    blocks.close()  # type: ignore[attr-defined]
    assert list(blocks) == []


def test_a_wait_beside_a_line_that_is_only_said_is_not_judged() -> None:
    """How long the words took is not heard."""
    tapped = "      - {words: a b c d, lane: '| x . x . x . x . |'}\n"
    said_only = "      - {words: e f, lane: '| s . s . . . . . |'}\n"
    for between, count in (("", 1), (said_only, 0)):
        performance = perform(lines_of(tapped + between + "      - wait: 12\n" + tapped * 2))
        lines = [as_written(line) for line in written_lines(performance)]
        early = [lines[0], *(evolve(line, taps_sec=line.taps_sec - 9) for line in lines[1:])]
        assert [each.finding.code for each in said(performance, early)] == ["told-wait"] * count


def test_edges_of_bands_are_heard() -> None:
    """A sound's lines lie 50 Hz apart; each edge is the first line of its band."""
    now = np.arange(8_000) / 16_000
    for band, (low, high) in enumerate(pairwise((50, 150, 300, 600, 1200, 2400, 4200, 7600))):
        for hz in (low, high - 50):
            sound = (0.5 * np.sin(2 * np.pi * hz * now)).astype(np.float32)
            assert int(levels_of([sound[None]]).db[50].argmax()) == band


@pytest.mark.parametrize(
    ("row", "high_db", "stands_out"),
    [
        *[(row, 10, 1.5 if row >= 86 else 2.5) for row in range(84, 91)],
        (87, 9.5, 1.55),
        *[(row, 10, 1.0 if row < 93 else 2.0) for row in range(91, 95)],
        *[(row, 40, 1.5 if 106 <= row <= 108 else 2.5) for row in (105, 106, 108, 109)],
        *[(row, 10, 1.5 if 110 <= row <= 112 else 2.5) for row in range(109, 115)],
    ],
)
def test_how_a_moment_stands_out_from_those_40_and_60_ms_away(
    row: int, high_db: float, stands_out: float
) -> None:
    """30 dB at row 100, seen from row 98 on, count for 25; what stood 20 to 45 ms before is taken
    off.  What stands at row 89 or 90 is not before row 100, which has the moment then."""
    db = np.full((200, BANDS), -50, np.float32)
    db[row] += high_db
    db[100] += 30
    found = candidates_in(BandLevels(db, 1.0, 0, 0))
    at = int(np.abs(found.sec - 0.5).argmin())
    assert found.features[at, -2] == pytest.approx(stands_out)


@pytest.mark.parametrize(("rows", "enough"), [(99, False), (100, True)])
def test_half_a_second_between_taps_says_whether_somebody_speaks(rows: int, enough: bool) -> None:
    db = np.full((1_000, BANDS), -60, np.float32)
    db[200:210] = db[290 + rows : 300 + rows] = -20
    sec = (np.array([200, 290 + rows]) + 0.5) * HOP_SEC
    told = ToldLine(0, 0.99, sec, np.ones(2, np.bool_))
    assert words_spoken(BandLevels(db, 5.0, 0, 0), [told]) is not enough


def test_bands_are_chosen_by_how_far_taps_stand_out_against_the_scatter() -> None:
    """Over a spread of 1 + 2: 1.3, 1.0, 1.6, 1.3, 1.9, 1.7 and 1.0 times; three are the most."""
    out = np.array([3.9, 3.0, 4.8, 3.9, 5.7, 5.1, 3.0], np.float32)
    rise = np.stack([10 + out + 1, 10 + out - 1, np.full(7, 11), np.full(7, 9)]).astype(np.float32)
    peak = np.repeat([2.0 ** np.arange(7)], 4, 0).astype(np.float32)
    every = Candidates(np.arange(4.0), np.zeros((4, FEATURES), np.float32), rise, peak)
    levels = tap_levels_db(every, np.array([True, True, False, False]))
    assert levels == pytest.approx((4 + 16 + 32) / 3)


def test_a_first_block_shorter_than_a_window_is_kept_for_the_next() -> None:
    sound = np.random.default_rng(1).normal(0, 0.1, (1, 4_000)).astype(np.float32)
    parts = levels_of([sound[:, :50], sound[:, 50:90], sound[:, 90:]])
    assert parts.db == pytest.approx(levels_of([sound]).db, abs=1e-3)
    assert parts.length_sec == 0.25


@pytest.mark.parametrize(("first", "begun"), [(7.29, 7.29), (7.31, None)])
def test_what_comes_within_seven_tenths_of_a_line_is_its_own(
    first: float, begun: float | None
) -> None:
    written = WrittenLine(0, np.array([0, 0.25, 0.5, 1]), 0.0, np.ones(4), 1.0, False)
    ones = np.ones(4, np.bool_)
    lines = [ToldLine(0, 0.99, at + written.taps_sec, ones) for at in (1.0, 8.0)]
    every = moments([*lines[0].taps_sec, first, first + 0.25, *lines[1].taps_sec])
    found = with_false_starts(lines, [written] * 2, every, np.ones(10, np.float32))
    assert found[1].begun_before_sec == begun
    lost = ToldLine(0, 0.0, np.zeros(0), np.zeros(0, np.bool_))
    assert line_level(lost) is None
    assert swelling(lost) is None
