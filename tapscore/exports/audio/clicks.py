"""When the beat is heard: in lines and the count-in, and just before a line after silence."""

from fractions import Fraction

from attrs import frozen

from tapscore.rhythm.performance import Beat, Performance, SegmentKind

LEAST_LEAD_IN = 2
"""Clicks that lead in to a line after a wait or an offering, at the least."""

_SILENT = (SegmentKind.WAIT, SegmentKind.OFFER)


@frozen
class Click:
    """One click of the beat."""

    onset_beats: Fraction
    onset_sec: float
    downbeat: bool


def clicks(performance: Performance) -> tuple[Click, ...]:
    """Every click in order of time.

    Waits and offerings are silent, but for the last bar before a line that follows.
    """
    heard = [_first_heard(performance, index) for index in range(len(performance.segments))]
    return tuple(
        Click(beat.onset_beats, beat.onset_sec, beat.downbeat)
        for beat in performance.beats
        if _is_heard(beat, heard)
    )


def _is_heard(beat: Beat, heard: list[Fraction | None]) -> bool:
    first = heard[beat.segment]
    return first is not None and beat.onset_beats >= first


def _first_heard(performance: Performance, index: int) -> Fraction | None:
    """From which beat on a segment has clicks; None if it has none."""
    segments = performance.segments
    here = segments[index]
    if here.kind not in _SILENT:
        return here.start_beats
    if index + 1 == len(segments) or segments[index + 1].kind is not SegmentKind.LINE:
        return None
    end = here.start_beats + here.beats
    bar = here.metre.beats
    downbeat = end - (here.bar_phase_beats + here.beats) % bar
    while end - downbeat < min(Fraction(LEAST_LEAD_IN), here.beats):
        downbeat -= bar
    return downbeat
