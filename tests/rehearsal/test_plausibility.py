"""Recordings like a telling that are none: another story, talk in the rhythm, drums on the beat."""

import numpy as np
import pytest
from attrs import evolve

from tapscore.rehearsal.alignment import Alignment, aligned
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.listen import listen
from tapscore.rehearsal.plausibility import (
    NOT_AT_ALL,
    better_than_chance,
    plausibility,
    unexplained,
)
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.rehearsal.rehearsals import levels
from tests.rehearsal.simulated.lookalikes import (
    drums,
    free_talk,
    hard_telling,
    same_metre,
    short_story,
    talk_in_rhythm,
)

RHYTHMS = ([0, 1, 1.5, 3, 3.5, 4], [0, 0.5, 1, 3, 4], [0, 2, 2.5, 3, 3.5], [0, 0.5, 2, 3, 5])


def _lines() -> list[WrittenLine]:
    return [
        WrittenLine(at, np.array(taps, np.float64), 8.0 * at, np.ones(len(taps)), 2.0, False)
        for at, taps in enumerate(RHYTHMS)
    ]


def _told(sec: list[float]) -> Evidence:
    return Evidence(np.array(sec), np.full(len(sec), 3.0, np.float32), 0.3, 0.1)


def _as_written() -> list[float]:
    now, sec = 1.0, []
    for taps in RHYTHMS:
        sec += [now + each for each in taps]
        now = sec[-1] + 2.0
    return sec


def _of(evidence: Evidence) -> Alignment:
    found = aligned(_lines(), evidence)
    assert found is not None
    return found


def test_a_story_fits_better_than_itself_in_another_order() -> None:
    evidence = _told(_as_written())
    assert better_than_chance(_lines(), _of(evidence), evidence, [0, 1, 2, 3]) > 1


def test_even_taps_fit_no_better_than_chance() -> None:
    even = _told([1 + 0.5 * step for step in range(60)])
    found = _of(even)
    at = [n for n, taps in enumerate(found.taps) if len(taps)]
    assert better_than_chance(_lines(), found, even, at) < 0.5


def test_tap_like_moments_within_lines_that_the_story_has_not_are_counted() -> None:
    evidence = _told(_as_written())
    found = _of(evidence)
    sec = evidence.sec
    assert unexplained(found, evidence, sec, np.full(len(sec), 2.0)) == 0
    between = np.array([1.25, 3.25, 7.75])
    both = np.sort(np.concatenate([sec, between]))
    alike = np.full(len(both), 2.0)
    assert unexplained(found, evidence, both, alike) == pytest.approx(3 / len(both))
    unlike = np.where(np.isin(both, sec), 2.0, -1.0)
    assert unexplained(found, evidence, both, unlike) == 0
    assert plausibility(_lines(), found, evidence, both, unlike).unexplained == 0


def test_what_follows_a_tap_at_once_is_no_tap_too_many() -> None:
    """A hand that is late, a stick that bounces."""
    evidence = _told(_as_written())
    found = _of(evidence)
    both = np.sort(np.concatenate([evidence.sec, evidence.sec + 0.2]))
    assert unexplained(found, evidence, both, np.full(len(both), 2.0)) == 0


def test_where_no_line_is_found_nothing_speaks_for_the_story() -> None:
    evidence = _told(_as_written())
    nowhere = evolve(_of(evidence), taps=tuple(np.zeros(0, np.intp) for _ in RHYTHMS))
    odds = np.full(len(evidence.sec), 2.0)
    assert plausibility(_lines(), nowhere, evidence, evidence.sec, odds) == NOT_AT_ALL


@pytest.mark.parametrize("seed", [9, 27])
def test_what_is_like_the_story_cannot_be_told(seed: int) -> None:
    """Seeds at which talk or another story passed for this one before there was a guard."""
    story = short_story(30_000 + seed)
    performance = perform(story)
    lines = written_lines(performance)
    for sound in (
        same_metre(story, 32_000 + seed, "L2"),
        talk_in_rhythm(performance, 33_000 + seed),
        free_talk(performance, 34_000 + seed),
        drums(performance, 35_000 + seed),
    ):
        told = listen(levels(sound), lines)
        assert not told.can_tell
        assert not any(line.sure for line in told.lines)


@pytest.mark.parametrize("seed", [7, 23])
def test_taps_unlike_any_learned_are_told_all_the_same(seed: int) -> None:
    story = short_story(30_000 + seed)
    telling, sound = hard_telling(story, 31_000 + seed, "L2")
    told = listen(levels(sound), written_lines(perform(story)))
    true = {line.segment: line for line in telling.lines}
    assert told.can_tell
    for line in told.lines:
        if line.sure:
            off = line.taps_sec - np.array(true[line.segment].taps_sec)
            assert abs(float(np.median(off))) < 0.2
