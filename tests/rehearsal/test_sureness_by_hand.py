"""How sure a place is, what the null model is made of, what is learned: worked out by hand."""

import json
from collections.abc import Sequence

import numpy as np
import pytest
from attrs import evolve

from tapscore.rehearsal import confidence
from tapscore.rehearsal import listen as listening
from tapscore.rehearsal import plausibility as plausible
from tapscore.rehearsal.alignment import Alignment
from tapscore.rehearsal.bands import BANDS, BandLevels, Floats
from tapscore.rehearsal.candidates import FEATURES, Candidates
from tapscore.rehearsal.confidence import line_inputs, stands_between, whole_inputs
from tapscore.rehearsal.detector import Detector
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.plausibility import Plausibility, better_than_chance, unexplained
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine
from tapscore.resources import resource_path

FOUR = WrittenLine(0, np.array([0.0, 0.5, 1.0, 2.0]), 0.0, np.ones(4), 1.0, False)


def told(start: float, ratio: float, margin: float, heard: str = "xxxx") -> ToldLine:
    sec = start + ratio * FOUR.taps_sec
    return ToldLine(0, 0.0, sec, np.array([each == "x" for each in heard]), ratio, margin=margin)


LOST = ToldLine(0, 0.0, np.zeros(0), np.zeros(0, np.bool_), margin=99.0)


def alignment(score: float, *taps: Sequence[int]) -> Alignment:
    every = tuple(np.array(each, np.intp) for each in taps)
    return Alignment(every, (9,) * len(taps), (0.0,) * len(taps), score)


def test_what_tells_a_recording_of_this_story_from_another() -> None:
    """Of six lines the second to the fifth: 11 of 16 taps heard, 3 of 4 lines found.

    Margins 0 (not found), 4, 8 and -3 (taken for 0): the upper quarter begins at 5.  Tempos of
    1, 1.2 and 1: none is off by the middle.  The third, found, starts 0.5 s late: 0.4 beyond 1.1.
    """
    placed = [LOST, told(1, 1, 4), told(4.5, 1.2, 8, "xxx."), LOST, told(20, 1, -3), LOST]
    plain = whole_inputs(placed, [FOUR] * 6, alignment(24.0), Plausibility(0.4, 0.1))
    late = 1 - (0.4 / 0.275 - 1) / 2
    assert plain == pytest.approx([1, 11 / 16, 3 / 4, 0.5, 0.5, 0, 0, 0.8, late, 0.4])
    # Each has a limit.
    far = [told(1, 0.5, 60), told(30, 1, 60), told(60, 4, 60)]
    for score, better, much, limits in (
        (999.0, 9.0, 0.9, [2, 2.5, 2.5, 0, 1.6, -1, 2]),
        (-99.0, -9.0, 0.5, [-2 / 3, 2.5, 2.5, 0, -1, -1, 2]),
    ):
        found = whole_inputs(far, [FOUR] * 3, alignment(score), Plausibility(better, much))
        assert found[3:] == pytest.approx(limits)
    uneven = [told(1, 1, 1), told(20, 1.1, 1), told(40, 1.2, 1)]
    found = whole_inputs(uneven, [FOUR] * 3, alignment(0), Plausibility(0, 0))
    assert found[5] == pytest.approx(5 * 1.4826 * np.log(1.2 / 1.1))
    nothing = whole_inputs([LOST, LOST], [FOUR] * 2, alignment(4), Plausibility(0, 0))
    assert nothing == pytest.approx([1, 0, 0, 1 / 6, 0, 0, 0, 0, 0, 0])


def test_how_far_taps_lie_off_a_line_s_tempo() -> None:
    """Two of four 0.1 s late: 0.05 around the middle, counted twenty times; in one line 0.15 at
    most; of two taps nothing can be said."""
    late = evolve(told(1, 1, 1), taps_sec=np.array([1.0, 1.6, 2.0, 3.1]))
    far = evolve(late, taps_sec=np.array([1.0, 2.5, 2.0, 4.0]))
    two = evolve(late, heard=np.array([True, True, False, False]))
    taps = alignment(0, *[range(4)] * 4)
    evidence = Evidence(np.arange(4.0), np.full(4, 3, np.float32), 1.0, 0.1)
    found = line_inputs([late, far, two, LOST], [FOUR] * 4, taps, evidence)
    assert found[:, 6] == pytest.approx([1, 3, 0, 0])
    whole = whole_inputs([late, late, two], [FOUR] * 3, taps, Plausibility(0, 0))
    assert whole[6] == pytest.approx(1)


def test_what_a_line_s_place_has_for_it_has_limits() -> None:
    """Tempos of 1, 2 and 1: 0.69 counts for 0.6, and for 0.4 against a neighbour's."""
    placed = [told(1, 1, 60), told(9, 2, 16), told(30, 1, 13)]
    taps = alignment(0, [0, -1, 1, 2], [3, -1, -1, -1], range(4))
    evidence = Evidence(np.arange(4.0), np.array([6, 3, 0, 1.5], np.float32), 1.0, 0.1)
    found = line_inputs(placed, [FOUR] * 3, taps, evidence)
    assert found[:, 1].tolist() == [2.4] * 3
    assert found[:, 2] == pytest.approx(np.log([61, 17, 14]))
    assert found[:, 3] == pytest.approx([1.3, 0.4, 0.1])
    assert found[:, 5] == pytest.approx([1, 0.5, 2.625 / 3])
    assert found[:, 7] == pytest.approx([0, 3, 0])
    assert found[:, 8] == pytest.approx([2, 2, 2])
    assert found[:, 9] == pytest.approx([1.5, 1.3, 1.5])
    # A tempo counts against the middle one's, whatever that is.
    quick = [told(1, 0.8, 9), told(9, 0.8, 9), told(30, 0.9, 9)]
    own = line_inputs(quick, [FOUR] * 3, alignment(0, *[range(4)] * 3), evidence)[:, 7]
    assert own == pytest.approx([0, 0, 5 * np.log(0.9 / 0.8)])
    (only,) = line_inputs(placed[:1], [FOUR], alignment(0, range(4)), evidence)
    assert only[7:12].tolist() == [0, 1.5, 0, 0, 0]


def test_a_tap_missing_at_an_end_and_a_moment_left_over_speak_against_a_line() -> None:
    """Two lines of taps 0, 0.5, 1 and 2 s in, at 10 and 14 s.  Where one more tap would stand,
    from 0.6 to 1.4 of the gap before the first and after the last; or within; not soon after a
    tap, and 3 is the most that counts."""
    placed = [told(10, 1, 9), told(14, 1, 9, ".xxx")]
    own = [10, 10.5, 11, 12, 14.5, 15, 16]

    def over(*sec: float, strong: float = 1.5) -> list[list[float]]:
        every = np.sort([*own, *sec])
        for_tap = np.where(np.isin(every, sec), strong, 3).astype(np.float32)
        at = [np.flatnonzero(every == each)[0] for each in own]
        taps = alignment(0, at[:4], [-1, *at[4:]])
        evidence = Evidence(every, for_tap, 1.0, 0.1)
        rows = line_inputs(placed, [FOUR] * 2, taps, evidence)
        assert rows[:, 12].tolist() == [0, 0.5]
        assert rows[:, 15] == pytest.approx(
            [(0.5 + rows[1, 13:15].max()) / 2, rows[0, 13:15].max() / 2]
        )
        assert rows[:, 16] == pytest.approx(np.full(2, 2 * np.std(np.log([0.5, 0.5, 1]))))
        return [[float(one), float(two)] for one, two in rows[:, 13:15]]

    nothing = [0.0, 0.0]
    assert over() == [nothing, nothing]
    assert over(9.69) == [[0.5, 0], nothing]
    assert over(9.31) == [[0.5, 0], nothing]
    assert over(9.71) == over(9.29) == [nothing, nothing]
    assert over(11.26) == [[0, 0.5], nothing]
    assert over(11.24) == [nothing, nothing]
    assert over(11.6, strong=9) == [[0, 1], nothing]
    assert over(11.6, strong=-1) == [nothing, nothing]
    assert over(16.61) == over(17.39) == [nothing, [0.5, 0]]
    assert over(16.59) == over(17.41) == [nothing, nothing]
    assert over(14.2) == [nothing, [0, 0.5]]
    nobody = line_inputs(
        [LOST], [FOUR], alignment(0, []), Evidence(np.zeros(0), np.zeros(0, np.float32), 1, 0.1)
    )
    assert nobody[0, 12:16].tolist() == [0, 0, 0, 0]
    even = WrittenLine(0, np.array([0.0, 1.0]), 0.0, np.ones(2), 1.0, False)
    two = evolve(LOST, taps_sec=np.array([1.0, 2.0]), heard=np.ones(2, np.bool_))
    (row,) = line_inputs(
        [two],
        [even],
        alignment(0, [0, 1]),
        Evidence(np.array([1.0, 2]), np.ones(2, np.float32), 1, 0.1),
    )
    assert row[16] == 0


@pytest.mark.parametrize(
    ("much", "better", "most"),
    [
        (0.0, 1, 1),
        (0.2, 0.51, 1),
        (0.2, 0.49, 0.5),
        (0.201, 0.59, 0.5),
        (0.35, 0.61, 1),
        (0.351, 9, 0.5),
    ],
)
def test_a_confidence_adds_up_the_recording_and_the_line(
    monkeypatch: pytest.MonkeyPatch, much: float, better: float, most: float
) -> None:
    """The recording's log odds, within 5 either way, count as one thing more of each line."""
    placed = [told(1, 1, 20), told(4.2, 1.1, 9, "xx.x"), LOST]
    lines, taps = [FOUR] * 3, alignment(40.0, range(4), [4, 5, -1, 6], [])
    evidence = Evidence(np.arange(8.0), np.full(8, 3, np.float32), 1.0, 0.1)
    fits = Plausibility(better, much)
    of_whole, of_line = np.zeros(10), np.linspace(-0.2, 0.3, 18)
    monkeypatch.setattr(confidence, "_weights", lambda: (of_whole, of_line))
    for level, odds in ((1.0, 1.0), (-2.0, -2.0), (5.1, 5.0), (-99.0, -5.0)):
        of_whole[0] = level
        own = line_inputs(placed, lines, taps, evidence)
        each = own @ of_line[:17] + odds / 3 * of_line[17]
        by_hand = [*np.minimum(1 / (1 + np.exp(-each)), most)[:2], 0]
        found = confidence.confidences(placed, lines, taps, evidence, fits)
        assert [line.confidence for line in found] == pytest.approx(by_hand)


@pytest.mark.parametrize("waits", [None, 0, 1])
@pytest.mark.parametrize("at", [0, 1, 2])
@pytest.mark.parametrize("unsure", [0, 1, 2])
def test_a_line_is_held_by_sure_neighbours_that_no_wait_parts_from_it(
    waits: int | None, at: int, unsure: int
) -> None:
    lines = [evolve(FOUR, waits_after=number == waits) for number in range(3)]
    placed = [
        evolve(told(1 + 3 * n, 1, 9), confidence=0.99 - 0.3 * (n == unsure)) for n in (0, 1, 2)
    ]
    beside = abs(unsure - at) == 1 and waits != min(unsure, at)
    assert stands_between(lines, placed, at) is not beside
    # a second and a half late: one that no wait parts from it is too far
    later = [evolve(each, confidence=0.99, taps_sec=each.taps_sec + 1.5) for each in placed]
    late = [evolve(placed[0], confidence=0.99), *later[1:]]
    assert stands_between(lines, late, at) is (at == 2 or waits == 0)


EVEN = WrittenLine(0, np.arange(4.0), 0.0, np.ones(4), 1.0, False)
SLOWING = evolve(EVEN, taps_sec=np.array([0, 1, 2.3, 3.6]))


@pytest.mark.parametrize(
    ("lines", "heard", "extra", "margin", "doubted"),
    [
        ([EVEN] * 3, ["xxxx", "xxxx", "xxx."], [], 8.0, "???"),
        ([EVEN] * 3, ["xxxx", "xxxx", "xxx."], [], 8.1, "!!!"),
        ([EVEN] * 3, ["xxxx", "xxxx", "xxxx"], [12.0], 8.0, "!!!"),  # one too many alone
        ([EVEN] * 3, ["xxxx", "xx.x", "xxxx"], [], 8.0, "!!!"),  # one too few alone, within
        ([EVEN] * 3, ["xxxx", "xx.x", "xxxx"], [12.0], 8.0, "???"),
        ([EVEN] * 3, ["xxxx", "", "xxxx"], [], 8.0, "? ?"),
        ([EVEN, evolve(EVEN, waits_after=True), EVEN], ["xxxx"] * 2 + ["xxx."], [], 8.0, "!!!"),
        ([EVEN, evolve(EVEN, waits_after=True), EVEN], ["xxx."] + ["xxxx"] * 2, [], 8.0, "??!"),
        ([EVEN, evolve(EVEN, gap_sec=1.3), EVEN], ["xxxx"] * 2 + ["xxx."], [], 8.0, "!!!"),
        ([EVEN, evolve(EVEN, gap_sec=1.27), EVEN], ["xxxx"] * 2 + ["xxx."], [], 8.0, "???"),
        ([EVEN, SLOWING, EVEN], ["xxxx", "xxx.", "xxxx"], [], 8.0, "!!!"),
    ],
)
def test_lines_in_one_row_of_even_taps_may_all_be_one_tap_astray(
    monkeypatch: pytest.MonkeyPatch,
    lines: list[WrittenLine],
    heard: list[str],
    extra: list[float],
    margin: float,
    doubted: str,
) -> None:
    """Three lines at 0, 4 and 8 s; any that was found would be sure but for that."""
    own = [4 * at + line.taps_sec for at, line in enumerate(lines)]
    known = [np.array([each == "x" for each in some], np.bool_) for some in heard]
    placed = [
        ToldLine(0, 0.0, sec if len(which) else np.zeros(0), which, margin=margin)
        for sec, which in zip(own, known, strict=True)
    ]
    kept = [sec[which] for sec, which in zip(own, known, strict=True) if len(which)]
    every = np.sort(np.concatenate([*kept, extra]))
    taps = [
        np.where(which, np.searchsorted(every, sec), -1) if len(which) else np.zeros(0, np.intp)
        for sec, which in zip(own, known, strict=True)
    ]
    evidence = Evidence(every, np.full(len(every), 3, np.float32), 1.0, 0.1)
    weights = np.zeros(10), np.append(9.0, np.zeros(17))
    monkeypatch.setattr(confidence, "_weights", lambda: weights)
    found = confidence.confidences(
        placed,
        lines,
        alignment(99.0, *(each.tolist() for each in taps)),
        evidence,
        Plausibility(1.0, 0.0),
    )
    marks = {0.0: " ", 0.5: "?", 1.0: "!"}
    assert "".join(marks[round(line.confidence, 2)] for line in found) == doubted


def test_the_weights_are_those_that_were_learned() -> None:
    learned = json.loads(resource_path("rehearsal/confidence.json").read_text())
    whole, line = confidence._weights()
    assert (whole.tolist(), line.tolist()) == (learned["whole"], learned["line"])
    assert (len(whole), len(line)) == (10, 18)


Noted = list[tuple[list[WrittenLine], Evidence]]


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Noted:
    """What is to be aligned; the scores are 100, then 10, 20, 30 and 40."""
    noted: Noted = []

    def aligned(lines: Sequence[WrittenLine], evidence: Evidence) -> Alignment:
        noted.append((list(lines), evidence))
        return alignment([100.0, 10.0, 20.0, 30.0, 40.0][len(noted) - 1])

    monkeypatch.setattr(plausible, "aligned", aligned)
    return noted


def uneven(count: int, at: int = 0) -> WrittenLine:
    gaps = np.where(np.arange(count - 1) % 3 == 0, 0.3, 0.7)
    sec = np.concatenate([[0.0], np.cumsum(gaps)])
    return WrittenLine(at, sec, 10.0 * at, np.ones(count), 1.0, False)


@pytest.mark.parametrize(
    ("found", "counts", "first", "last"),
    [
        ([1, 2, 4], [10] * 6, 1, 4),  # from the first found to the last
        ([0, 1, 2, 3], [40] * 4, 0, 2),  # a hundred taps are enough
        ([0, 1, 3], [50] * 4, 0, 1),
        ([0, 1, 3], [50, 49, 1, 1], 0, 3),  # 100 in a line that was not found: one more
        ([2], [4] * 4, 2, 2),
    ],
)
def test_which_lines_the_null_model_is_made_of(
    asked: Noted, found: list[int], counts: list[int], first: int, last: int
) -> None:
    """Moments from a second before their first tap to a second after their last; loudness aside."""
    lines = [uneven(count, at) for at, count in enumerate(counts)]
    sec = np.arange(0.0, 80.0, 0.5)
    taps = [[-1, 20 * at + 4, 20 * at + 9, -1] if at in found else [] for at in range(len(lines))]
    evidence = Evidence(sec, sec.astype(np.float32), 0.7, 0.1, {1.0: np.ones(len(sec), np.float32)})
    better = better_than_chance(lines, alignment(0, *taps), evidence, found)
    part = range(first, last + 1)
    assert better == pytest.approx((100 - 25) / sum(counts[at] for at in part))
    assert len(asked) == 5
    begin, end = 10 * first + 2 - 1, 10 * last + 4.5 + 1
    for each, here in asked:
        assert sorted(line.segment for line in each) == list(part)
        assert (
            here.sec.tolist() == here.for_tap.tolist() == np.arange(begin, end + 0.1, 0.5).tolist()
        )
        assert (here.for_step, here.noise_per_sec, here.missed) == ({}, 0.7, 0.1)
    own, one, two, turned, whole = (each for each, _ in asked)
    assert own == lines[first : last + 1]
    for line in own:
        for other in (one, two, turned, whole):
            (same,) = (each for each in other if each.segment == line.segment)
            assert same.length_sec == pytest.approx(line.length_sec)
            assert sorted(np.diff(same.taps_sec)) == pytest.approx(sorted(np.diff(line.taps_sec)))
    assert any((a.taps_sec != b.taps_sec).any() for a, b in zip(one, two, strict=True))
    assert [line.segment for line in turned] == list(part)
    assert [line.segment for line in whole] == list(part)[::-1]
    for line, back in zip(own, turned, strict=True):
        assert np.diff(back.taps_sec) == pytest.approx(np.diff(line.taps_sec)[::-1])


def test_gaps_that_are_alike_within_a_third_get_others() -> None:
    rng = np.random.default_rng(1)
    for longest, kept in ((1.29, False), (1.31, True)):
        line = evolve(uneven(4), taps_sec=np.array([0, 1, 1 + longest, 2 + longest]))
        made = np.sort(np.diff(plausible._shuffled(line, rng).taps_sec))
        assert bool(np.allclose(made, [1, 1, longest])) is kept
        assert made.sum() == pytest.approx(2 + longest)


@pytest.mark.parametrize(
    ("stray", "odds", "share"),
    [
        (0.89, 2.0, 0),  # a tenth of a second before the first tap is outside
        (0.91, 2.0, 1 / 4),
        (3.09, 2.0, 0),  # soon after a tap
        (2.4, 2.0, 1 / 4),
        (2.24, 2.0, 0),
        (2.26, 2.0, 1 / 4),
        (3.2, 2.0, 0),
        (2.6, 1.0, 1 / 4),  # as likely as the middle one of the taps, 1
        (2.6, 0.9, 0),
    ],
)
def test_one_moment_that_the_story_does_not_explain(
    stray: float, odds: float, share: float
) -> None:
    """Taps at 1, 2 and 3 s, of odds 0, 1 and 2; all of them strong count, but the weakest."""
    evidence = Evidence(np.array([1.0, 2.0, 3.0]), np.zeros(3, np.float32), 1.0, 0.1)
    sec = np.array([1.0, 2.0, 3.0, stray])
    order = np.argsort(sec)
    own = np.array([1.0, 1.0, 2.0, odds], np.float32)
    found = unexplained(alignment(0, [0, 1, 2]), evidence, sec[order], own[order])
    assert found == pytest.approx(share)


def moments(sec: list[float]) -> Candidates:
    features = np.zeros((len(sec), FEATURES), np.float32)
    features[:, 0] = np.arange(len(sec)) % 4
    nothing = np.zeros((len(sec), BANDS), np.float32)
    return Candidates(np.array(sec), features, nothing, nothing)


def test_what_is_aligned_and_how_much_by_chance(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two rounds: 40 moments in 20 s, of which twice as many as the 12 taps are looked at.

    12 are missed by 0.12: 24 - 10.56 moments in 20 s are chance, and 3 of 10 taps.
    """
    every = moments([0.5 * n for n in range(40)])
    lines = [uneven(4, at) for at in range(3)]
    levels = BandLevels(np.zeros((4_000, BANDS), np.float32), 20.0, 0, 0)
    weights = np.zeros(FEATURES, np.float32)
    weights[0] = 1.0
    detector = Detector(np.zeros_like(weights), np.ones_like(weights), weights, 0.0)
    asked: list[tuple[Evidence, bool]] = []
    shares: list[float] = []

    def aligned(_: object, evidence: Evidence, *, begun_again: bool) -> Alignment:
        asked.append((evidence, begun_again))
        return alignment(0, [], [], [])

    def evidence_for(odds: np.ndarray, share: float) -> np.ndarray:
        shares.append(share)
        return odds

    monkeypatch.setattr(listening, "aligned", aligned)
    monkeypatch.setattr(listening, "evidence_for", evidence_for)
    monkeypatch.setattr(listening, "candidates_in", lambda _: every)
    gone: list[float] = []
    last = listening.rounds(levels, lines, detector, gone.append, begun_again=False)
    assert last is not None
    assert gone == pytest.approx([0.1, 0.525, 0.95])
    assert shares == [0.3, 0.3]
    for evidence, begun_again in asked:
        assert not begun_again
        assert len(evidence.sec) == 24
        assert evidence.for_tap.min() >= 1
        assert evidence.noise_per_sec == pytest.approx((24 - 12 * 0.88) / 20)
        assert (evidence.missed, evidence.for_step) == (0.12, {})
    assert len(asked) == 2
    shares.clear()
    # Few moments: all are looked at; 0.6 of them are taps at most, a fifth chance at least.
    monkeypatch.setattr(listening, "candidates_in", lambda _: moments([1.0, 2, 3, 4]))
    assert listening.rounds(levels, lines, detector) is not None
    assert shares == [0.6, 0.6]
    assert asked[-1][0].noise_per_sec == pytest.approx(0.2 * 4 / 20)
    assert asked[-1][1]
    monkeypatch.setattr(listening, "candidates_in", lambda _: moments([1.0, 2, 3]))
    assert listening.rounds(levels, lines, detector) is None
    assert listening.rounds(levels, [], detector) is None


def test_loudness_is_learned_from_lines_that_are_surely_placed() -> None:
    """Taps 0 and 1 of the first line, 1 and 2 of the second; the third is not sure enough, of the
    fourth too little was heard."""
    asked = []

    def noted(
        _: object, at: np.ndarray, steps: np.ndarray, wanted: set[float]
    ) -> dict[float, Floats]:
        asked.append((at.tolist(), steps.tolist(), wanted))
        return {1.0: np.ones(1, np.float32)}

    every = moments([float(n) for n in range(12)])
    some = np.arange(2, 12)
    lines = [evolve(uneven(3, at), steps=at + np.array([0, 0.5, 1.0])) for at in range(4)]
    taps = alignment(0, [0, 1, -1], [-1, 3, 4], [5, 6, 7], [8, -1, -1])
    nothing = np.zeros(12, np.float32)
    evidence = Evidence(every.sec[2:], nothing[2:], 1.0, 0.1)
    sure = evolve(taps, margin=(6.0, 7.0, 5.9, 9.0))
    last = listening.Round(every.chosen(some), evidence, sure, every, nothing)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(listening, "loudness_for_steps", noted)
        assert list(listening._by_loudness(lines, last, some)) == [1.0]
        unsure = evolve(last, alignment=evolve(taps, margin=(5.0,) * 4))
        assert listening._by_loudness(lines, unsure, some) == {}
    steps = {0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0}
    assert asked == [([2, 3, 5, 6], [0, 0.5, 1.5, 2], steps)]
