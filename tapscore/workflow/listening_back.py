"""A rehearsal's recording against the story: what was told otherwise."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.wordings import clock
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.rehearsal.bands import BandLevels
    from tapscore.rehearsal.detector import Detector
    from tapscore.rehearsal.differences import Difference
    from tapscore.rehearsal.told import ToldRehearsal
    from tapscore.rehearsal.written import WrittenLine

NO_PUPILS = say(
    "Record adults alone: no pupil is recorded. The recording is read and forgotten; nothing of "
    "it is kept unless you keep it yourself."
)
"""Said each time before a recording is made or brought in."""
OVERLOADED = 0.01
SILENT_DB = -75.0
_JUST_NOW_SEC = 60.0
_LONG_SEC, _LONG_SHARE = 1200.0, 2.5
"""A recording this long, and so many times as long as the story, is trimmed by itself."""
_MOST_SHARE, _MORE_SEC = 2.0, 180.0


class ListeningStopped(Exception):  # noqa: N818 - it is no error
    """Nobody waits for the answer any more."""


@frozen
class Trim:
    """The part of a recording to look at, in seconds; to its end if that is None."""

    begin_sec: float = 0.0
    end_sec: float | None = None


WHOLE = Trim()


@frozen(eq=False)
class Heard:
    """What came of listening back."""

    performance: Performance
    told: "ToldRehearsal | None"
    """None where there was nothing to look for, or nothing to hear."""
    differences: "tuple[Difference, ...]" = ()
    remarks: tuple[Finding, ...] = ()
    """On the recording: why it can't be told, that only a part is there, that it is overloaded."""

    @property
    def can_tell(self) -> bool:
        """Whether anything may be said of the telling."""
        return self.told is not None and self.told.can_tell

    @property
    def overloaded(self) -> bool:
        """Whether loud taps were cut off, so that nothing is said of loudness."""
        return any(remark.code == "sound-overloaded" for remark in self.remarks)


def listen_back(
    story: Story,
    path: Path,
    trim: Trim = WHOLE,
    *,
    going: Callable[[float], None] = lambda _: None,
    stopped: Callable[[], bool] = lambda: False,
    detector: "Detector | None" = None,
) -> Heard:
    """Read a recording and find the story in it; the recording is not kept.

    ``detector`` knows the board (``own_board``); without one taps are known as learned.

    Raises RecordingUnusable for a file without sound, ListeningStopped if ``stopped`` says so.
    """
    from tapscore.rehearsal.bands import levels_of
    from tapscore.rehearsal.recording import LONGEST_SEC, blocks_of, look_into

    recording = look_into(path)
    whole = trim.end_sec or min(recording.length_sec or 600.0, LONGEST_SEC)
    length = max(whole - trim.begin_sec, 1.0)

    def blocks() -> "object":
        done = 0.0
        for block in blocks_of(recording, trim.begin_sec, trim.end_sec):
            if stopped():
                raise ListeningStopped
            done += block.shape[1] / 16_000
            going(min(done / length, 1.0) * 0.5)
            yield block

    remarks = []
    if recording.is_video:
        remarks.append(_remark("sound-video"))
    if recording.telephone:
        remarks.append(_remark("sound-telephone", khz=recording.rate_hz / 1000))
    levels = levels_of(blocks())  # type: ignore[arg-type]

    def further(share: float) -> None:
        if stopped():
            raise ListeningStopped
        going(0.5 + 0.5 * share)

    heard = hear(story, levels, trim.begin_sec, going=further, detector=detector)
    return evolve(heard, remarks=(*remarks, *heard.remarks))


def changed_since(story_file: Path | None, recording: Path) -> Finding | None:
    """That the story was saved after the recording was made, if it was."""
    if story_file is None:
        return None
    try:
        later = story_file.stat().st_mtime - recording.stat().st_mtime
    except OSError:
        return None
    return _remark("told-changed") if later > _JUST_NOW_SEC else None


def hear(
    story: Story,
    levels: "BandLevels",
    begin_sec: float = 0.0,
    *,
    going: Callable[[float], None] = lambda _: None,
    detector: "Detector | None" = None,
) -> Heard:
    """The same from a recording's levels, which begin at ``begin_sec`` of the file."""
    from tapscore.rehearsal.differences import differences
    from tapscore.rehearsal.written import written_lines

    performance = perform(story)
    lines = written_lines(performance)
    if not lines:
        return Heard(performance, None, (), (_remark("told-no-lines"),))
    if levels.loudest_db < SILENT_DB:
        return Heard(performance, None, (), (_remark("told-silent"),))
    remarks: list[Finding] = []
    levels, begin_sec = _busiest(levels, lines, begin_sec, remarks)
    told = _last_telling(levels, lines, begin_sec, remarks, going, detector)
    found = differences(performance, lines, told)
    if levels.clipped > OVERLOADED:
        remarks.append(_remark("sound-overloaded"))
        found = tuple(each for each in found if each.finding.code not in _OF_LOUDNESS)
    if not told.can_tell:
        remarks.insert(0, _remark("told-cant-tell", sure=_sure(told), lines=len(told.lines)))
    elif len(told.span) < len(lines):
        remarks.append(_part(performance, told))
    if told.can_tell and not told.mostly:
        remarks.append(_remark("told-some", sure=_sure(told), lines=len(told.span)))
    return Heard(performance, told, found, tuple(remarks))


_OF_LOUDNESS = ("told-no-louder", "told-much-louder", "told-swell")


def _remark(code: str, **about: str | float) -> Finding:
    return Finding(code, Severity.ADVICE, about=About(**about))


def _part(performance: Performance, told: "ToldRehearsal") -> Finding:
    from tapscore.rehearsal.differences import line_names

    names = line_names(performance)
    span = told.span
    first, last = told.lines[span[0]], told.lines[span[-1]]
    about = About(
        first=names[first.segment],
        last=names[last.segment],
        begin=clock(told.begin_sec + first.start_sec),
        end=clock(told.begin_sec + last.end_sec),
    )
    return Finding("told-part", Severity.ADVICE, about=about)


def _busiest(
    levels: "BandLevels", lines: "tuple[WrittenLine, ...]", begin_sec: float, remarks: list[Finding]
) -> "tuple[BandLevels, float]":
    """Of a very long recording the part with most taps; any other whole."""
    import numpy as np

    from tapscore.rehearsal.candidates import candidates_in
    from tapscore.rehearsal.detector import learned_detector

    story_sec = lines[-1].start_sec + lines[-1].length_sec
    if levels.length_sec < max(_LONG_SEC, _LONG_SHARE * story_sec):
        return levels, begin_sec
    every = candidates_in(levels)
    taps = every.sec[learned_detector().log_odds(every.features) > 1]
    length = min(_MOST_SHARE * story_sec + _MORE_SEC, levels.length_sec)
    starts = np.arange(0, levels.length_sec - length + 10, 10.0)
    inside = np.searchsorted(taps, starts + length) - np.searchsorted(taps, starts)
    # of places as good as the best the middle one
    good = starts[inside >= 0.98 * inside.max()]
    start = float(good[len(good) // 2])
    part = levels.between(start, start + length)
    begin = begin_sec + start
    remarks.append(
        _remark(
            "told-trimmed",
            length=clock(levels.length_sec),
            begin=clock(begin),
            end=clock(begin + part.length_sec),
        )
    )
    return part, begin


def _last_telling(
    levels: "BandLevels",
    lines: "tuple[WrittenLine, ...]",
    begin_sec: float,
    remarks: list[Finding],
    going: Callable[[float], None],
    detector: "Detector | None",
) -> "ToldRehearsal":
    """What was told; of two tellings in one recording the last one that can be told."""
    from tapscore.rehearsal.between import (
        halfway,
        other_tellings,
        rest_after,
        seems_told_twice,
    )
    from tapscore.rehearsal.candidates import candidates_in
    from tapscore.rehearsal.detector import learned_detector
    from tapscore.rehearsal.listen import listen

    told = evolve(listen(levels, lines, going=going, detector=detector), begin_sec=begin_sec)
    every = candidates_in(levels)
    odds = learned_detector().log_odds(every.features)
    best = once = told
    twice = not told.mostly and seems_told_twice(lines, odds)
    if twice:
        # lines begun again take from both tellings; a line told once leaves one alone
        alone = listen(levels, lines, detector=detector, begun_again=False)
        once = evolve(alone, begin_sec=begin_sec)
        best = once if once.mostly else told
    cuts = other_tellings(once, lines, every, odds)
    if twice and not cuts:
        cuts = rest_after(once) if once.mostly else halfway(every, odds)
    for cut in cuts:
        later = evolve(
            listen(levels.between(cut, levels.length_sec), lines, detector=detector),
            begin_sec=begin_sec + cut,
        )
        if later.can_tell and _sure(later) >= 0.7 * _sure(best):
            best = later
    if best is not told:
        first, last = best.lines[best.span[0]], best.lines[best.span[-1]]
        begin, end = best.begin_sec + first.start_sec, best.begin_sec + last.end_sec
        remarks.append(_remark("told-twice", begin=clock(begin), end=clock(end)))
    return best


def _sure(told: "ToldRehearsal") -> int:
    return sum(line.sure for line in told.lines)
