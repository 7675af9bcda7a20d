"""Do the words of a line and its lane have the same number of syllables?"""

from collections.abc import Iterator

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.lane import Lane
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.wording.about import About

LONGEST_LINE = 2000


def lane_word_findings(story: Story) -> Iterator[Finding]:
    """A finding for every line whose words and lane don't match, saying where they part."""
    for path, item in written_items(story):
        if not isinstance(item, Line):
            continue
        if len(item.words) > LONGEST_LINE:
            yield _too_long(item, path)
        elif item.lane is not None and len(item.syllables) != item.lane.syllables:
            yield _mismatch(item, item.lane, path)


def _too_long(line: Line, path: StoryPath) -> Finding:
    return Finding(
        "line-too-long",
        Severity.MUST_MEND,
        (*path, "words"),
        about=About(letters=len(line.words)),
    )


def _mismatch(line: Line, lane: Lane, path: StoryPath) -> Finding:
    words, places = len(line.syllables), lane.syllables
    about = About(words=words, places=places, missing=abs(words - places))
    if words > places:
        first = line.syllables[places].text
        path, about = (*path, "words"), about.and_also(case="more-words", first=first)
    else:
        bar, step = _place(lane, words)
        path, about = (*path, "lane"), about.and_also(case="more-marks", bar=bar, step=step)
    return Finding("words-and-lane", Severity.MUST_MEND, path, about=about)


def _place(lane: Lane, nth: int) -> tuple[int, int]:
    """Bar (0 the pickup) and step of the nth mark that is said, from 0."""
    seen = 0
    for number, bar in enumerate(lane.all_bars, 0 if lane.pickup else 1):
        for step, cells in enumerate(bar, 1):
            for cell in cells:
                if cell.mark.said:
                    if seen == nth:
                        return number, step
                    seen += 1
    raise AssertionError("fewer places than counted")
