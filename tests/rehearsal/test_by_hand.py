"""Levels, moments, taps written and told, tempo and loudness: small cases worked out by hand."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve
from numpy.typing import NDArray
from scipy.optimize import least_squares, minimize  # type: ignore[import-untyped]
from scipy.stats import siegelslopes  # type: ignore[import-untyped]

from tapscore.rehearsal.alignment import Alignment
from tapscore.rehearsal.bands import BANDS, HOP_SEC, RATE_HZ, BandLevels, levels_of
from tapscore.rehearsal.between import other_tellings, with_false_starts, words_spoken
from tapscore.rehearsal.candidates import FEATURES, Candidates, candidates_in
from tapscore.rehearsal.confidence import confidences, line_inputs, neighbours_agree
from tapscore.rehearsal.detector import Detector
from tapscore.rehearsal.differences import differences
from tapscore.rehearsal.evidence import Evidence, evidence_for
from tapscore.rehearsal.listen import Round, _learned, _likeliest, line_ratio, placed_line
from tapscore.rehearsal.loudness import (
    line_level,
    loudness_for_steps,
    swelling,
    tap_levels_db,
    theil_sen,
)
from tapscore.rehearsal.own_board import BoardTaps, learn_board
from tapscore.rehearsal.plausibility import Plausibility, _backwards, _each_backwards, _shuffled
from tapscore.rehearsal.recording import blocks_of, look_into, part_of
from tapscore.rehearsal.told import Certainty, ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.hill import HEAD, STORY, line, lines_of


def sine(hz: float, amplitude: float = 0.5) -> np.ndarray:
    now = np.arange(RATE_HZ) / RATE_HZ
    return (amplitude * np.sin(2 * np.pi * hz * now)).astype(np.float32)


@pytest.mark.parametrize(
    ("hz", "band"), [(100, 0), (225, 1), (450, 2), (900, 3), (1800, 4), (3300, 5), (5900, 6)]
)
def test_a_tone_is_loud_in_its_own_band(hz: float, band: int) -> None:
    """Half of full scale: a power of 1/8, half of it in the lines that are kept: -12.04 dB.

    A steady sound is its own floor, which is added: 3.01 dB more.
    """
    found = levels_of([sine(hz)[None]])
    assert found.loudest_db == pytest.approx(-12.04, abs=0.01)
    row = found.db[100]
    assert row[band] == pytest.approx(-12.04 + 3.01, abs=0.8)
    assert np.all(np.delete(row, band) < row[band] - 6)
    assert len(found.db) == 199  # windows of 20 ms every 5 ms, the first from 10 ms before
    assert found.length_sec == 1
    both = levels_of([np.stack([sine(hz), sine(hz)])])
    assert both.loudest_db == pytest.approx(found.loudest_db + 3.01, abs=0.01)


def test_a_click_is_loudest_in_the_row_of_its_time_and_full_scale_is_counted() -> None:
    sound = np.zeros(RATE_HZ, np.float32)
    sound[8_000:8_010] = [0.99, -0.986] * 5
    sound[8_010] = 0.984
    found = levels_of([sound[None, :5_000], sound[None, 5_000:]])
    assert int(found.db.sum(axis=1).argmax()) == 100
    assert found.clipped == pytest.approx(10 / RATE_HZ)
    assert levels_of([]).length_sec == 0
    # Silence is filled to 60 dB below the loudest band's loudest moments.
    assert found.db[0].max() <= found.db.max() - 50


def test_a_part_of_levels_counts_from_its_own_beginning() -> None:
    whole = BandLevels(np.arange(300 * BANDS, dtype=np.float32).reshape(300, BANDS), 1.5, 0.25, -7)
    part = whole.between(0.1, 0.25)
    assert part.db.tolist() == whole.db[20:50].tolist()
    assert [part.length_sec, part.clipped, part.loudest_db] == pytest.approx([0.15, 0.25, -7])
    assert len(whole.between(-1, 99).db) == 300


def two_moments() -> BandLevels:
    """A touch at 0.5 s that fades by half a dB a row, and 6 dB for 50 ms at 1 s."""
    db = np.full((300, BANDS), -50, np.float32)
    db[100:160] = -20 - 0.5 * np.arange(60)[:, None]
    db[200:210] = -44
    return BandLevels(db, 1.5, 0, 0)


def test_what_is_told_of_a_moment() -> None:
    """The window sees a touch two rows early, so that 40 to 75 ms after it are rows 6 to 13: on
    average 4.75 dB less at the first, and 3 dB (half the rows) at the second.  A rise counts for
    25 dB at most in all bands together.  Of 300 rows the loudest 15 are above the 95th
    percentile: -27.475 dB.
    """
    found = candidates_in(two_moments())
    assert found.sec == pytest.approx([0.5, 1.0], abs=0.0005)
    assert found.rise_db == pytest.approx(np.repeat([[30.0], [6.0]], BANDS, 1))
    assert found.peak_db == pytest.approx(np.repeat([[-20.0], [-44.0]], BANDS, 1))
    told = [[30, 30, 4.75, 7.475], [6, 6, 3, -16.525]]
    last = [[25, 25, 30], [6, 6, 6]]
    by_hand = np.concatenate([np.repeat(told, BANDS, 1), last], axis=1) / 10
    assert by_hand.shape == (2, FEATURES)
    assert found.features == pytest.approx(by_hand, abs=1e-3)
    only = found.chosen(np.array([1]))
    assert (len(only), only.sec[0]) == (1, found.sec[1])
    assert only.peak_db.tolist() == found.peak_db[1:].tolist()


def test_of_two_moments_within_25_ms_the_stronger_counts() -> None:
    for apart, count in ((4, 1), (30, 2)):
        db = np.full((300, BANDS), -50, np.float32)
        db[100 : 100 + apart] = -30
        db[100 + apart : 110 + apart] = -10
        assert len(candidates_in(BandLevels(db, 1.5, 0, 0))) == count


SIMPLE = Detector(
    np.array([1.0, 0.0], np.float32), np.array([2.0, 1.0], np.float32),
    np.array([3.0, -1.0], np.float32), 0.5,
)  # fmt: skip


def test_odds_by_hand() -> None:
    """(5 - 1) / 2 x 3 - 2 + 0.5, and (1 - 1) / 2 x 3 + 1 + 0.5."""
    assert SIMPLE.log_odds(np.array([[5, 2], [1, -1]], np.float32)).tolist() == [4.5, 1.5]


def test_what_is_learned_of_a_recording_is_the_likeliest_that_is_held_to_what_was_known() -> None:
    rng = np.random.default_rng(2)
    features = rng.normal(0, 2, (60, 2)).astype(np.float32)
    is_tap = (rng.uniform(size=60) < 0.4).astype(np.float32)
    counts = rng.choice([0.0, 0.5, 1.0], 60).astype(np.float32)
    scaled = (features - SIMPLE.middle) / SIMPLE.spread
    start, held = np.array([3.0, -1.0, 0.5]), np.array([12.0, 12.0, 0.5])

    def unlikely(now: np.ndarray) -> float:
        odds = scaled @ now[:2] + now[2]
        return float(
            (counts * (np.logaddexp(0, odds) - is_tap * odds)).sum()
            + (held * (now - start) ** 2).sum() / 2
        )

    best = minimize(unlikely, start, tol=1e-10).x
    found = SIMPLE.adapted(features, is_tap, counts)
    assert [*found.weights, found.bias] == pytest.approx(best, abs=1e-3)
    assert found.middle is SIMPLE.middle


@pytest.mark.parametrize(
    ("odds", "share", "evidence"),
    [
        (0.0, 0.5, 0.0),
        (1.0, 0.2, 1 + np.log(4)),
        (1.0, 0.8, 1 - np.log(4)),
        (9.0, 0.5, 5.0),
        (-9.0, 0.5, -5.0),
        (0.0, 0.0, np.log(49)),
        (0.0, 1.0, -np.log(19)),
    ],
)
def test_evidence_is_odds_without_how_often_taps_are(
    odds: float, share: float, evidence: float
) -> None:
    """And for each moment that is no tap three of a hundred taps belong to no line."""
    likely = 1 / (np.exp(-evidence) + 0.03)
    found = evidence_for(np.array([odds], np.float32), share)
    assert found[0] == pytest.approx(np.log(likely), abs=1e-5)


def test_what_is_written_of_the_hill() -> None:
    """A beat a second, four a line; the turns take 4 x 30 s, the waits 12 and 8.

    An accent is half a step more than quiet (1).
    """
    four, three = [1.5, 1, 1, 1], [1.5, 1, 1]
    assert [
        (each.segment, each.start_sec, each.length_sec, each.gap_sec, each.waits_after)
        for each in written_lines(perform(STORY))
    ] == [
        (0, 0, 3, 1, False),
        (1, 4, 3, 121, True),
        (3, 128, 2, 14, True),
        (5, 144, 3, 1, False),
        (6, 148, 2, 10, True),
        (8, 160, 0, 0, False),
    ]
    assert [each.steps.tolist() for each in written_lines(perform(STORY))] == [
        *(four, four, three, four, three, [1.5])
    ]


def test_taps_together_are_one_touch_as_loud_as_the_louder_and_words_alone_none() -> None:
    """A step is 125 ms at 240 beats a minute: two adults' taps half a step apart are two."""
    story = lines_of(
        "      - {words: a b c, lane: '| x X . t(cyd)t(dot) x . . . |', by: [ann, bea]}\n"
        "      - {words: c, lane: '| s . . . . . . . |'}\n" + line("so", "loudness: loud"),
        HEAD.replace("tempo: 60", "tempo: 240"),
    )
    one, two = written_lines(perform(story))
    assert one.taps_sec == pytest.approx([0, 0.125, 0.375, 0.4375, 0.5])
    assert (one.steps.tolist(), two.steps.tolist()) == ([1, 1.5, 1, 1, 1], [3])
    assert (two.segment, two.start_sec, one.gap_sec) == (2, 2, 1.5)
    # Thirds of a step at 300 beats a minute are 33 ms: the second is one with the first.
    fast = lines_of(
        "      - {words: a b c d, lane: '| x . . x(cyd)X(dot)x(bea) . . . . |', by: ann}\n",
        HEAD.replace("tempo: 60", "tempo: 300").replace("loudness: quiet", "loudness: loud"),
    )
    (touches,) = written_lines(perform(fast))
    assert touches.taps_sec == pytest.approx([0, 0.3, 0.3667], abs=1e-4)
    assert touches.steps.tolist() == [3, 3.5, 3]


def told_line(sec: list[float], confidence: float = 0.99) -> ToldLine:
    return ToldLine(0, confidence, np.array(sec), np.ones(len(sec), np.bool_))


@pytest.mark.parametrize(
    ("confidence", "certainty"),
    [(0.85, "sure"), (0.849, "it sounded as if"), (0.6, "it sounded as if"), (0.59, "can't tell")],
)
def test_how_sure_a_line_is(confidence: float, certainty: str) -> None:
    assert told_line([1.0], confidence).certainty is Certainty(certainty)
    assert told_line([], confidence).certainty is Certainty.CANT_TELL
    assert told_line([1.0], confidence).sure == (certainty == "sure")


@pytest.mark.parametrize(
    ("lines", "span", "tells", "mostly"),
    [
        ("SSS", (0, 3), True, True),
        ("S", (0, 1), True, True),
        ("SS.", (0, 2), False, False),  # of three lines three are needed
        (".SSS.", (1, 4), True, True),
        (".SSS......", (1, 4), True, True),  # three of ten
        (".SSS.......", (1, 4), False, False),  # are three of eleven too few
        ("SS?SS", (0, 5), True, True),  # four of five in the span
        ("S?S?S", (0, 5), True, False),
        ("S??S?S", (0, 6), True, False),
        ("S??.S?S?SS??S?.", (0, 14), True, False),
        ("SSS?????S??S?", (0, 13), False, False),  # five of thirteen are fewer than two in five
        ("...", (0, 0), False, False),
        ("???", (0, 3), False, False),
    ],
)
def test_from_how_many_sure_lines_something_is_told(
    lines: str, span: tuple[int, int], tells: bool, mostly: bool
) -> None:
    """``S`` is sure, ``?`` found and not sure, a dot not found."""
    made = {"S": told_line([1.0]), "?": told_line([1.0], 0.84), ".": told_line([])}
    told = ToldRehearsal(tuple(made[each] for each in lines), 60)
    assert (told.span.start, told.span.stop) == span
    assert told.can_tell is tells
    assert told.mostly is mostly


def test_what_is_farther_than_a_fifth_of_a_second_off_counts_as_by_huber_s_loss() -> None:
    written = np.array([0, 0.5, 1, 2, 2.5, 3, 4])
    told = 9 + 1.2 * written + np.where(written == 2.5, 0.9, 0)

    def off(line: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(told - line[0] - line[1] * written)

    by_scipy = least_squares(off, [9, 1.2], loss="huber", f_scale=0.2).x[1]
    assert line_ratio(written, told, 1.0) == pytest.approx(by_scipy, abs=0.002)
    assert abs(by_scipy - np.polyfit(written, told, 1)[0]) > 0.01


def test_a_tempo_is_a_straight_line_s_slope_whatever_one_tap_does() -> None:
    """Beside scipy's repeated medians, which 29 of 100 outliers don't move at all."""
    written = np.array([0, 0.5, 1, 2, 2.5, 3, 4])
    for ratio in (0.7, 1.0, 1.5):
        assert line_ratio(written, 9 + ratio * written, 1.0) == pytest.approx(ratio)
        told = 9 + ratio * written
        told[3] += 0.4
        drawn_out = 9 + ratio * written + np.where(written == 4, 0.25, 0)
        assert line_ratio(written, drawn_out, 1.0) == pytest.approx(
            np.polyfit(written, drawn_out, 1)[0]
        )
        (slope, _) = siegelslopes(told, written)
        assert line_ratio(written, told, 1.0) == pytest.approx(slope, abs=0.02)
    assert line_ratio(written[:1], np.array([5.0]), 1.3) == 1.3
    assert line_ratio(written, 9 * written, 1.0) == pytest.approx(1.72 * 1.25)
    assert line_ratio(written, 0.1 * written, 1.0) == pytest.approx(0.58 * 0.8)


def placed(taps: list[int], sec: list[float]) -> ToldLine:
    """A line of five taps half a second apart, found at these candidates."""
    every = Candidates(
        np.array(sec),
        np.zeros((len(sec), FEATURES), np.float32),
        np.zeros((len(sec), BANDS), np.float32),
        np.repeat(np.arange(len(sec), dtype=np.float32)[:, None], BANDS, 1),
    )
    nothing = np.zeros(len(sec), np.float32)
    evidence = Evidence(every.sec, nothing, 1.0, 0.1)
    found = Alignment((np.array(taps, np.intp),), (9,), (4.5,), 0.0)
    return placed_line(0, FIVE, Round(every, evidence, found, every, nothing))


FIVE = WrittenLine(7, np.array([0, 0.5, 1, 1.5, 2]), 3.0, np.ones(5), 0.0, False)


def test_taps_that_were_not_heard_stand_between_their_neighbours_or_at_the_line_s_tempo() -> None:
    line = placed([-1, 0, -1, 2, 3], [2.0, 2.3, 3.2, 3.8, 4.0])
    edges = placed([-1, 0, 1, 2, -1], [2.0, 2.6, 3.2])
    assert edges.taps_sec == pytest.approx([1.4, 2.0, 2.6, 3.2, 3.8])
    assert line.ratio == pytest.approx(1.2)
    assert line.taps_sec == pytest.approx([1.4, 2.0, 2.6, 3.2, 3.8])
    assert line.heard.tolist() == [False, True, False, True, True]
    assert line.level_db[line.heard].tolist() == [0, 2, 3]
    assert np.isnan(line.level_db[~line.heard]).all()
    assert (line.segment, line.margin, line.start_sec, line.end_sec) == (7, 4.5, 1.4, 3.8)
    single = placed([-1, -1, -1, -1, -1], [2.0])
    assert not single.found
    # Half of its taps make a line, fewer don't.
    assert not placed([0, 1, -1, -1, -1], [2.0, 2.5]).found
    whole = placed([0, 1, 2, 3, 4], [2.0, 2.5, 3.0, 3.5, 4.0])
    assert whole.ratio == pytest.approx(1.0)
    assert whole.heard.all()


def test_levels_are_of_the_three_bands_that_tell_taps_best() -> None:
    """By rise over what is no tap, against how much both scatter: bands 1, 4 and 6."""
    rise = np.array(
        [
            [20, 20, 10, 5, 20, 40, 9],
            [20, 20, 10, 5, 20, 0, 9],
            [20, 5, 10, 5, 5, 10, 0],
            [20, 5, 10, 5, 5, 10, 0],
        ],
        np.float32,
    )
    peak = np.array([[1, 2, 4, 8, 16, 32, 64]], np.float32) * np.array(
        [[1], [2], [3], [4]], np.float32
    )
    found = Candidates(np.arange(4.0), np.zeros((4, FEATURES), np.float32), rise, peak)
    own = tap_levels_db(found, np.array([True, True, False, False]))
    assert own == pytest.approx((2 + 16 + 64) / 3 * np.arange(1, 5))
    for nothing_to_tell in (np.zeros(4, np.bool_), np.ones(4, np.bool_)):
        lowest = tap_levels_db(found, nothing_to_tell)
        assert lowest == pytest.approx((1 + 2 + 4) / 3 * np.arange(1, 5))


def test_how_sure_a_line_s_loudness_is() -> None:
    """1.2533 x 1.5 dB over the root of nine taps; with a middle error of 4 dB, 1.4826 x 4."""
    line = evolve(told_line([float(n) for n in range(9)]), level_db=np.full(9, -3.0))
    level = line_level(line)
    assert level is not None
    assert [level.middle_db, level.error_db] == pytest.approx([-3, 1.2533 * 1.5 / 3])
    spread = evolve(line, level_db=np.array([-8.0, -6, -4, -4, 0, 4, 4, 6, 8]))
    level = line_level(spread)
    assert level is not None
    assert [level.middle_db, level.error_db] == pytest.approx([0, 1.2533 * 1.4826 * 4 / 3])


def test_a_swell_over_a_line_is_its_slope_times_its_length() -> None:
    sec = [2.0, 2.5, 3.0, 3.5, 4.0]
    line = evolve(told_line(sec), level_db=np.array([0.0, 2, 4, 6, 8]))
    found = swelling(line)
    assert found is not None
    assert (found.db, found.least_db, found.most_db) == (8, 8, 8)
    x, y = np.array([0.0, 1, 2, 2]), np.array([0.0, 3, 4, 9])
    # Slopes of all pairs but the two at one time: 1, 2, 3, 4.5, 6: the middle one is 3.
    slope, low, high = theil_sen(x, y)
    assert slope == 3
    assert low <= slope <= high


def moments(sec: list[float]) -> Candidates:
    nothing = np.zeros((len(sec), BANDS), np.float32)
    return Candidates(np.array(sec), np.zeros((len(sec), FEATURES), np.float32), nothing, nothing)


FOUR = WrittenLine(0, np.array([0.0, 0.5, 1.0, 2.0]), 0.0, np.ones(4), 1.0, False)


@pytest.mark.parametrize(
    ("between", "ratio", "begun"),
    [
        ([4.5, 5.0, 5.5], 1.0, 4.5),  # its first three taps, and again from 8
        ([4.5, 5.1, 5.7], 1.2, 4.5),
        ([4.5, 5.1, 5.7], 1.0, None),  # not at its tempo
        ([4.5], 1.0, None),  # one tap is none
        ([], 1.0, None),
        ([4.2, 4.5, 5.0, 5.5], 1.0, 4.5),  # one before that is something else
        ([3.1, 3.7, 4.0, 4.3, 4.5, 5.0, 5.5], 1.0, None),  # too much else
        ([7.35, 7.65], 1.0, None),  # too shortly before it
        ([6.4, 6.9, 7.4], 1.0, 6.4),  # broken off just before it
    ],
)
def test_a_line_begun_and_broken_off(
    between: list[float], ratio: float, begun: float | None
) -> None:
    """Two lines of four taps from 1 and from 8 s, and what is heard between them."""
    first = told_line([1.0, 1.5, 2.0, 3.0])
    second = evolve(told_line([8 + ratio * sec for sec in FOUR.taps_sec]), ratio=ratio)
    heard = [*first.taps_sec, *between, *second.taps_sec]
    odds = np.full(len(heard), 1.0, np.float32)
    found = with_false_starts([first, second], [FOUR, FOUR], moments(heard), odds)
    assert found[0].begun_before_sec is None
    assert found[1].begun_before_sec == begun
    # What is likely no tap, a line that is not sure, and one that follows none, say nothing.
    unlikely = with_false_starts([first, second], [FOUR, FOUR], moments(heard), -odds)
    unsure = with_false_starts(
        [first, evolve(second, confidence=0.84)], [FOUR, FOUR], moments(heard), odds
    )
    nothing = with_false_starts([told_line([]), second], [FOUR, FOUR], moments(heard), odds)
    assert [each[1].begun_before_sec for each in (unlikely, unsure, nothing)] == [None] * 3


def test_where_another_telling_may_begin() -> None:
    """Two lines of four taps: four likely moments in a stretch that no line takes speak for one."""
    lines = (told_line([10.0, 10.5, 11.0, 12.0]), told_line([14.0, 14.5, 15.0, 16.0]))
    told = ToldRehearsal(lines, 40.0)
    for stretch, cut in (
        ([2.0, 2.5, 3.0, 4.0], [9.0]),
        ([2.0, 2.5, 3.0], []),
        ([12.2, 12.4, 13.6, 13.8], []),  # within half a second of the lines
        ([12.6, 12.8, 13.1, 13.3], [12.3]),
        ([20.0, 20.5, 21.0, 22.0], [16.3]),
    ):
        heard = sorted([*lines[0].taps_sec, *lines[1].taps_sec, *stretch])
        odds = np.full(len(heard), 1.5, np.float32)
        found = other_tellings(told, [FOUR, FOUR], moments(heard), odds)
        assert found == pytest.approx(cut)
        assert other_tellings(told, [FOUR, FOUR], moments(heard), odds - 1) == []


def test_words_are_spoken_where_it_is_loud_between_taps() -> None:
    """Taps of 40 dB over the room every second; speech at 25 dB over it in half the time."""
    db = np.full((2_000, BANDS), -60, np.float32)
    sec = 1.0 + np.arange(8)
    for tap in np.rint(sec / HOP_SEC).astype(int):
        db[tap : tap + 10] = -20
    told = [told_line(list(sec))]
    assert not words_spoken(BandLevels(db, 10.0, 0, 0), told)
    for begin in range(300, 1_700, 200):
        db[begin : begin + 100, 2:5] = -35
    assert words_spoken(BandLevels(db, 10.0, 0, 0), told)
    assert words_spoken(BandLevels(db, 10.0, 0, 0), [])  # not sure is yes


def test_words_just_before_every_other_tap_are_words_too() -> None:
    db = np.full((2_000, BANDS), -60, np.float32)
    sec = 1.0 + np.arange(8)
    for number, tap in enumerate(np.rint(sec / HOP_SEC).astype(int)):
        db[tap : tap + 10] = -20
        db[tap - 16 : tap - 6] = -40 if number % 2 else -60
    assert words_spoken(BandLevels(db, 10.0, 0, 0), [told_line(list(sec))])


class Noted:
    """A detector that notes what it is to learn."""

    def __init__(self) -> None:
        self.learned: list[tuple[list[float], list[float]]] = []

    def adapted(self, features: np.ndarray, is_tap: np.ndarray, counts: np.ndarray) -> "Noted":
        assert len(features) == len(is_tap) == len(counts)
        self.learned.append((is_tap.tolist(), counts.tolist()))
        return self


def test_a_recording_s_taps_are_learned_from_its_sure_lines_alone() -> None:
    """Sixteen moments a quarter of a second apart, of which every one but the first is looked at.

    The first line has its taps at moments 1, 2, 3 and 5; the second at 7 and 9, one of three
    missed; of the third too few were heard, and the fourth is not sure.  So six taps are learned
    from, and all moments from the first to the last of each line; 2 of 20 taps and 1 of 7 missed.
    """
    every = moments([0.25 * n for n in range(16)])
    some = np.arange(1, 16)
    taps = [[0, 1, 2, 4], [6, -1, 8], [-1, 11, -1], [12, 13]]
    lines = tuple(np.array(each, np.intp) for each in taps)
    nothing = np.zeros(16, np.float32)
    evidence = Evidence(every.sec[1:], nothing[1:], 1.0, 0.1)
    found = Alignment(lines, (9,) * 4, (6.0, 9.0, 9.0, 5.9), 0.0)
    last = Round(every.chosen(some), evidence, found, every, nothing)
    detector = Noted()
    now, missed = _learned(detector, every, some, last, 0.1)  # type: ignore[arg-type]
    assert now is detector  # type: ignore[comparison-overlap]
    ((is_tap, counts),) = detector.learned
    assert [at for at, tap in enumerate(is_tap) if tap] == [1, 2, 3, 5, 7, 9]
    assert [at for at, counted in enumerate(counts) if counted] == [1, 2, 3, 4, 5, 7, 8, 9]
    assert {*is_tap, *counts} == {0, 1}
    assert missed == pytest.approx((2 + 1) / (20 + 7))
    # From five taps nothing is learned; nor from a line that may be elsewhere.
    few = evolve(last, alignment=evolve(found, taps=(lines[0][:3], *lines[1:])))
    assert _learned(detector, every, some, few, 0.15)[1] == 0.15  # type: ignore[arg-type]
    assert len(detector.learned) == 1


def test_the_likeliest_moments_in_order_of_time() -> None:
    odds = np.array([1.0, 5, -2, 4, 3], np.float32)
    assert _likeliest(odds, 3).tolist() == [1, 3, 4]
    assert _likeliest(odds, 5).tolist() == _likeliest(odds, 9).tolist() == [0, 1, 2, 3, 4]


def lines_of_taps(*taps: list[float]) -> list[WrittenLine]:
    return [
        WrittenLine(at, np.array(each), 0.0, np.ones(len(each)), 1.0 + at, at == 1)
        for at, each in enumerate(taps)
    ]


def test_the_story_backwards() -> None:
    story = lines_of_taps([0, 0.5, 2], [0, 1], [0, 0.25, 0.5, 3])
    each = _each_backwards(story)
    assert [one.taps_sec.tolist() for one in each] == [[0, 1.5, 2], [0, 1], [0, 2.5, 2.75, 3]]
    whole = _backwards(story)
    assert [one.segment for one in whole] == [2, 1, 0]
    assert [(one.gap_sec, one.waits_after) for one in whole] == [
        *((2.0, True), (1.0, False), (0.0, False))
    ]


def test_gaps_in_another_order_are_as_many_and_as_long() -> None:
    rng = np.random.default_rng(1)
    uneven, even, short = lines_of_taps([0, 0.5, 2, 3, 5], [0, 1, 2, 3], [0, 1])
    made = _shuffled(uneven, rng)
    assert sorted(np.diff(made.taps_sec)) == pytest.approx([0.5, 1, 1.5, 2])
    made = _shuffled(even, rng)
    # Alike gaps in another order would be the same line.
    assert [len(made.taps_sec), made.length_sec] == pytest.approx([4, 3])
    assert max(abs(gap - 1) for gap in np.diff(made.taps_sec)) > 0.05
    assert all(two > one for one, two in pairwise(made.taps_sec))
    assert _shuffled(short, rng) is short


def rise_alone() -> Detector:
    """Odds by the rise over all bands alone: likely from 15 dB on."""
    weights = np.zeros(FEATURES, np.float32)
    weights[-3] = 10.0
    return Detector(np.zeros(FEATURES, np.float32), np.ones(FEATURES, np.float32), weights, -15.0)


def board_taps(heights: list[float], noise: int = 0) -> BandLevels:
    """A tap each second, so many dB high, the upper bands 3 more; then 5 dB now and then."""
    db = np.full((200 * (len(heights) + noise + 1), BANDS), -60, np.float32)
    for at, high in enumerate([*heights, *[5.0] * noise], 1):
        db[200 * at : 200 * at + 20] = -60 + high
        db[200 * at : 200 * at + 20, 4:] += 3 * (high > 5)
    return BandLevels(db, len(db) * HOP_SEC, 0, 0)


def test_taps_on_one_s_own_board_are_learned_three_by_three() -> None:
    """Each group is as loud as its middle tap in the upper bands, which tell taps best; what is
    missing or too many is counted."""
    heights = [20.0, 24, 21, 30, 36, 33]
    learned = learn_board(board_taps(heights, noise=4), 2, rise_alone())
    assert isinstance(learned, BoardTaps)
    assert learned.levels_db == pytest.approx((-60 + 24, -60 + 36))
    assert learned.detector.weights[-3] > 0
    assert learn_board(board_taps(heights[:4]), 2, rise_alone()) == 4
    assert learn_board(board_taps([30.0] * 10), 2, rise_alone()) == 10
    assert isinstance(learn_board(board_taps([30.0] * 9), 2, rise_alone()), BoardTaps)


def test_a_sound_file_is_read_with_its_sides_from_where_it_is_wanted(
    tmp_path: Path,
) -> None:
    """Left is 0.5 in its first second alone, right -0.25 in its second; full scale is 1."""
    sides = np.zeros((3 * RATE_HZ, 2))
    sides[:RATE_HZ, 0], sides[RATE_HZ : 2 * RATE_HZ, 1] = 0.5, -0.25
    soundfile.write(tmp_path / "two.wav", sides, RATE_HZ)
    two = look_into(tmp_path / "two.wav")
    assert (two.channels, two.rate_hz, two.is_video, two.telephone) == (2, RATE_HZ, False, False)
    assert two.length_sec == pytest.approx(3, abs=0.01)
    sound = np.concatenate(list(blocks_of(two)), axis=1)
    assert sound.shape == (2, 3 * RATE_HZ)
    middle = [sound[side, second * RATE_HZ + 8_000] for side in (0, 1) for second in range(3)]
    assert middle == pytest.approx([0.5, 0, 0, 0, -0.25, 0], abs=1e-3)
    later = np.concatenate(list(blocks_of(two, 0.75, 2.75)), axis=1)
    assert later.shape == (2, 2 * RATE_HZ)
    assert later[:, [2_000, 8_000]].tolist() == [[0.5, 0], [0, -0.25]]
    heard = part_of(tmp_path / "two.wav", 0.5, 1.0, 2 * RATE_HZ)
    assert len(heard) == 2 * 2 * RATE_HZ  # never less than two seconds
    assert heard[[8_000, 24_000]] == pytest.approx([0.25, -0.125], abs=1e-2)
    soundfile.write(tmp_path / "one.wav", sides[:, :1], 8_000)
    one = look_into(tmp_path / "one.wav")
    assert (one.channels, one.rate_hz, one.telephone) == (1, 8_000, True)


PERFORMANCE = perform(STORY)
HILL = written_lines(PERFORMANCE)


def told_hill(later: dict[int, float]) -> ToldRehearsal:
    """The hill told as written from 2 s on, but that from some lines on it is later."""
    lines = []
    for at, written in enumerate(HILL):
        start = 2 + written.start_sec + sum(sec for first, sec in later.items() if at >= first)
        lines.append(
            ToldLine(
                written.segment,
                0.99,
                start + written.taps_sec,
                np.ones(len(written.taps_sec), np.bool_),
                1.0,
                6 * written.steps,
            )
        )
    return ToldRehearsal(tuple(lines), 300.0)


def with_line(told: ToldRehearsal, at: int, line: ToldLine) -> ToldRehearsal:
    return evolve(told, lines=(*told.lines[:at], line, *told.lines[at + 1 :]))


def said_of(told: ToldRehearsal) -> list[tuple[object, ...]]:
    return [
        (each.finding.code, each.segment, each.finding.path, each.at_sec, each.until_sec)
        for each in differences(PERFORMANCE, HILL, told)
    ]


@pytest.mark.parametrize(
    ("later", "lasted"),
    [
        ({}, None),
        ({3: -9.0}, 3),
        ({3: -11.7}, 1),  # never less than a second
        ({3: 28.0}, 40),
        ({3: -3.0}, None),
        ({3: 3.0}, None),
        ({2: -80.0}, None),  # the turns are as long as they are
        ({3: -14.5}, None),  # before the line before it ends: not what was looked for
    ],
)
def test_what_is_said_of_the_wait_of_12_seconds_and_where_to_hear_it(
    later: dict[int, float], lasted: int | None
) -> None:
    """After the refrain's last tap at 132 s; the bar's last beat and the wait make 14 s with it."""
    told = told_hill(later)
    if lasted is None:
        assert said_of(told) == []
        return
    end, start = told.lines[2].end_sec, told.lines[3].start_sec
    assert end == 132
    assert said_of(told) == [("told-wait", 4, ("story", 0, "lines", 4), end, start)]
    (found,) = differences(PERFORMANCE, HILL, told)
    assert (found.finding.about["lasted"], found.finding.about["wanted"]) == (lasted, 12)
    assert found.as_told


@pytest.mark.parametrize(("waited_sec", "lasted"), [(5.9, 6), (6.1, None)])
def test_a_wait_lasts_as_written_however_slow_the_telling(
    waited_sec: float, lasted: int | None
) -> None:
    """At half the tempo only the two seconds beside the wait of 12 are twice as long."""
    lines, at_sec = [], 2.0
    for written in HILL:
        taps = at_sec + 2 * written.taps_sec
        heard = np.ones(len(taps), np.bool_)
        lines.append(ToldLine(written.segment, 0.99, taps, heard, 2.0, 6 * written.steps))
        waits = {2: (12.0, waited_sec), 4: (8.0, 8.0)}.get(len(lines) - 1, (0.0, 0.0))
        at_sec = float(taps[-1]) + 2 * (written.gap_sec - waits[0]) + waits[1]
    found = differences(PERFORMANCE, HILL, ToldRehearsal(tuple(lines), 600.0))
    said = {each.finding.code: each.finding.about for each in found}
    assert set(said) == {"told-tempo-whole", *(["told-wait"] if lasted else [])}
    assert lasted is None or said["told-wait"]["lasted"] == lasted


def test_where_to_hear_a_line_that_went_otherwise_was_left_out_or_begun_twice() -> None:
    told = told_hill({})
    third = told.lines[3]
    quick = evolve(third, ratio=0.6, taps_sec=146 + 0.6 * np.arange(4.0))
    # What comes after is told as much earlier: with a gap there it might be a few taps astray.
    assert said_of(with_line(told, 3, quick)) == []
    sooner = [evolve(line, taps_sec=line.taps_sec - 1.2) for line in told.lines[4:]]
    moved = evolve(told, lines=(*told.lines[:3], quick, *sooner))
    (found,) = differences(PERFORMANCE, HILL, moved)
    assert (found.finding.code, found.segment, found.as_told) == ("told-tempo", 5, True)
    assert [found.at_sec, found.until_sec] == pytest.approx([146, 147.8])
    assert found.finding.about["tempo"] == 100
    lost = ToldLine(third.segment, 0.0, np.zeros(0), np.zeros(0, np.bool_))
    (found,) = differences(PERFORMANCE, HILL, with_line(told, 3, lost))
    assert (found.finding.code, found.segment, found.as_told) == ("told-left-out", 5, False)
    assert (found.at_sec, found.until_sec) == (132, 150)
    again = evolve(third, begun_before_sec=140.0)
    assert said_of(with_line(told, 3, again)) == [
        ("told-again", 5, ("story", 0, "lines", 5), 140, 149)
    ]
    # The refrain is named where it returns, and which time.
    (found,) = differences(
        PERFORMANCE, HILL, with_line(told, 4, evolve(told.lines[4], begun_before_sec=149.0))
    )
    assert found.finding.path == ("story", 0, "lines", 6)
    assert (found.finding.about["time"], found.finding.about["returns"]) == (2, "yes")


def test_what_a_moment_s_loudness_says_of_the_step_that_is_written() -> None:
    """24 taps, 4 dB louder for each step, without any scatter: 2.5 dB are taken.

    All steps together, 1 and 3, spread by one: hypot(2.5, 4) = 4.717 dB around the second.
    """
    steps = np.array([1.0, 3.0] * 12)
    levels = np.array([*(-40 + 4 * steps), -28.0, -36.0, -32.0])
    found = loudness_for_steps(levels, np.arange(24), steps, [1.0, 3.0])
    one, three = found[1.0], found[3.0]
    like = 0.3 * (0.5 * (4 / 4.717) ** 2 + np.log(4.717 / 2.5))
    assert three[24] == one[25] == pytest.approx(like, abs=1e-3)
    # Half way both are 4 dB off: less likely than a tap of any step.
    assert three[26] == pytest.approx(one[26])
    assert one[26] == pytest.approx(0.3 * (np.log(4.717 / 2.5) - 0.5 * 1.6**2), abs=1e-3)
    # Two steps off would be -1.24.
    assert three[25] == one[24] == -1
    assert loudness_for_steps(levels, np.arange(19), steps[:19], [1.0]) == {}
    assert loudness_for_steps(-levels, np.arange(24), steps, [1.0]) == {}
    assert loudness_for_steps(levels / 5, np.arange(24), steps, [1.0]) == {}
    assert loudness_for_steps(levels, np.arange(24), np.full(24, 2.0), [1.0]) == {}


def three_lines() -> tuple[list[ToldLine], list[WrittenLine]]:
    """A second apart as written; told so, but the third a fifth slower and half a second late.

    Of the fourth nothing is found.
    """
    sec, ratios = FOUR.taps_sec, (1.0, 1.0, 1.2)
    placed = [
        evolve(told_line(list(start + ratio * sec)), ratio=ratio, margin=margin)
        for start, ratio, margin in zip((1.0, 4.0, 7.5), ratios, (5.0, 20.0, 30.0), strict=True)
    ]
    return [*placed, told_line([])], [FOUR] * 4


def test_how_well_neighbours_agree() -> None:
    """Off by 0.4 s where 1.1 are expected and a quarter of that is nothing: 1 - 0.455 / 2."""
    placed, lines = three_lines()
    late = 1 - (0.4 / 0.275 - 1) / 2
    assert neighbours_agree(placed, lines) == pytest.approx(
        np.array([[0, 1], [1, late], [late, 0], [0, 0]])
    )
    waits = [evolve(FOUR, waits_after=at == 1) for at in range(4)]
    assert neighbours_agree(placed, waits).tolist() == [[0, 1], [1, 0], [0, 0], [0, 0]]
    far = [placed[0], evolve(placed[1], taps_sec=placed[1].taps_sec + 9), *placed[2:]]
    assert neighbours_agree(far, lines)[0].tolist() == [0, -1]


def test_what_tells_a_line_at_its_place_from_one_elsewhere() -> None:
    placed, lines = three_lines()
    taps = (*(np.arange(4 * at, 4 * at + 4) for at in range(3)), np.zeros(0, np.intp))
    evidence = Evidence(np.arange(12.0), np.full(12, 3, np.float32), 1.0, 0.1)
    found = line_inputs(placed, lines, Alignment(taps, (9,) * 4, (5, 20, 30, 0), 0.0), evidence)
    late, slower = 1 - (0.4 / 0.275 - 1) / 2, 5 * np.log(1.2)
    assert found[:, :12] == pytest.approx(
        np.array(
            [
                [1, 1, np.log(6), 0, 1, 1, 0, 0, 0, 1.5, 1, 0],
                [1, 2.4, np.log(21), 0.8, 1, 1, 0, 0, 0, 0.5, 1, late],
                [1, 2.4, np.log(31), 1.3, 1, 1, 0, slower, slower, 1.5, late, 0],
                [1, 0, 0, 0, 0, 0, 0, 3, 1.5, 1.5, 0, 0],
            ]
        )
    )


def test_a_line_that_was_not_found_is_never_sure_and_what_is_doubted_is_less_sure() -> None:
    placed, lines = three_lines()
    taps = (*(np.arange(4 * at, 4 * at + 4) for at in range(3)), np.zeros(0, np.intp))
    evidence = Evidence(np.arange(12.0), np.full(12, 3, np.float32), 1.0, 0.1)
    found = Alignment(taps, (9,) * 4, (5, 20, 30, 0), 40.0)
    sure, doubted = (
        confidences(placed, lines, found, evidence, Plausibility(0.55, unexplained))
        for unexplained in (0.0, 1.0)
    )
    fits_well = [
        confidences(placed, lines, found, evidence, Plausibility(0.8, unexplained))[1].confidence
        for unexplained in (0.34, 0.36)
    ]
    assert fits_well[0] > 0.5
    assert fits_well[1] == 0.5, "talk in the story's own rhythm fits as well"
    assert [line.found for line in sure] == [True, True, True, False]
    assert sure[3].confidence == doubted[3].confidence == 0
    for at in range(3):
        assert 0 < doubted[at].confidence <= 0.5
        assert doubted[at].confidence <= sure[at].confidence < 1
        assert evolve(sure[at], confidence=0).taps_sec is placed[at].taps_sec
