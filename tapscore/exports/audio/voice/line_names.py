"""Names of spoken lines, for the files of their recordings and for people to read.

A numbered line has its number (``03``); a refrain's lines have its name and their own
number in it (``row home 1``), however often it returns.
"""

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.rhythm.performance import Performance, SegmentKind


@frozen
class SpokenLine:
    """A line that somebody may record."""

    path: StoryPath
    name: str
    words: str
    """As they are read: without the marks that divide syllables."""
    length_sec: float


def spoken_lines(performance: Performance) -> tuple[SpokenLine, ...]:
    """Every line once, by where it is written, in order of first hearing."""
    found: dict[StoryPath, SpokenLine] = {}
    lines_of: dict[str, int] = {}
    for segment in performance.segments:
        if segment.kind is not SegmentKind.LINE or segment.path in found:
            continue
        if segment.refrain is None:
            name = f"{segment.number or 0:02d}"
        else:
            lines_of[segment.refrain] = lines_of.get(segment.refrain, 0) + 1
            name = f"{segment.refrain} {lines_of[segment.refrain]}"
        words = segment.printed_words
        found[segment.path] = SpokenLine(segment.path, name, words, segment.length_sec)
    return tuple(found.values())


def line_names(performance: Performance) -> dict[StoryPath, str]:
    """The name of every line, by where it is written."""
    return {line.path: line.name for line in spoken_lines(performance)}
