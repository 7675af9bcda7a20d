"""A line slowed until something in it has time enough."""

from collections.abc import Callable
from fractions import Fraction
from math import floor

from attrs import evolve

from tapscore.checks.facts import LineFacts, line_facts
from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.model.tempo import SLOWEST, Tempo
from tapscore.model.walk import edit_line, item_path
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import SegmentKind


def slowed(
    story: Story,
    path: StoryPath,
    lasting_sec: Callable[[LineFacts], float | None],
    wanted_sec: float,
) -> Story | None:
    """The story with the line at ``path`` slowed until ``lasting_sec`` of it is as wanted.

    None where there is nothing to slow, or where it would have to be slower than any tempo.
    """
    at = item_path(path)
    segment = next(
        (s for s in perform(story).segments if s.kind is SegmentKind.LINE and s.path == at), None
    )
    if segment is None:
        return None
    lasts = lasting_sec(line_facts(segment, story.role_names))
    tempo = segment.manner.tempo
    if tempo is None or lasts is None or lasts <= 0:
        return None
    share = lasts / wanted_sec
    start = floor(float(tempo.start) * share)
    end = None if tempo.end is None else Fraction(floor(float(tempo.end) * share))
    if min(start, start if end is None else end) < SLOWEST:
        return None
    new = Tempo(Fraction(start), end)
    return edit_line(story, path, lambda line: evolve(line, manner=evolve(line.manner, tempo=new)))
