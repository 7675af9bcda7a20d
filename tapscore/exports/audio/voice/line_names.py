"""Names of spoken lines, for the files of their recordings and for people to read.

A numbered line has its number (``03``); a refrain's lines have its name and their own
number in it (``row home 1``), however often it returns.
"""

from tapscore.model.finding import StoryPath
from tapscore.rhythm.performance import Performance, SegmentKind


def line_names(performance: Performance) -> dict[StoryPath, str]:
    """The name of every line, by where it is written, in order of first hearing."""
    found: dict[StoryPath, str] = {}
    lines_of: dict[str, int] = {}
    for segment in performance.segments:
        if segment.kind is not SegmentKind.LINE or segment.path in found:
            continue
        if segment.refrain is None:
            found[segment.path] = f"{segment.number or 0:02d}"
            continue
        lines_of[segment.refrain] = lines_of.get(segment.refrain, 0) + 1
        found[segment.path] = f"{segment.refrain} {lines_of[segment.refrain]}"
    return found
