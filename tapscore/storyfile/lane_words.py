"""Do the words of a line and its lane have the same number of syllables?"""

from collections.abc import Iterator

from attrs import evolve

from tapscore.model.by_identity import ByIdentity
from tapscore.model.edits import item_lists
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Lane
from tapscore.model.story import Item, Line, Story
from tapscore.wording.about import About

LONGEST_LINE = 2000


def lane_word_findings(story: Story) -> Iterator[Finding]:
    """A finding for every line whose words and lane don't match, saying where they part."""
    for above, items in item_lists(story):
        for at, item in enumerate(items):
            found = _found_in(item)
            if found is not None:
                yield evolve(found, path=(*above, at, *found.path))


def _in_item(item: Item) -> Finding | None:
    if isinstance(item, Line):
        if len(item.words) > LONGEST_LINE:
            return _too_long(item)
        if item.lane is not None and len(item.syllables) != item.lane.syllables:
            return _mismatch(item, item.lane)
    return None


_found_in: ByIdentity[Item, Finding | None] = ByIdentity(_in_item)


def _too_long(line: Line) -> Finding:
    about = About(letters=len(line.words))
    return Finding("line-too-long", Severity.MUST_MEND, ("words",), about=about)


def _mismatch(line: Line, lane: Lane) -> Finding:
    words, places = len(line.syllables), lane.syllables
    about = About(words=words, places=places, missing=abs(words - places))
    if words > places:
        first = line.syllables[places].text
        key, about = "words", about.and_also(case="more-words", first=first)
    else:
        bar, step = _place(lane, words)
        key, about = "lane", about.and_also(case="more-marks", bar=bar, step=step)
    return Finding("words-and-lane", Severity.MUST_MEND, (key,), about=about)


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
