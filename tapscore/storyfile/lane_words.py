"""Do the words of a line and its lane have the same number of syllables?"""

from collections.abc import Iterator

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.lane import Lane
from tapscore.model.story import Item, Line, Story

LONGEST_LINE = 2000


def lane_word_findings(story: Story) -> Iterator[Finding]:
    """A finding for every line whose words and lane don't match, saying where they part."""
    for refrain in story.refrains:
        yield from _in_items(refrain.items, ("refrains", refrain.name))
    for index, section in enumerate(story.sections):
        yield from _in_items(section.items, ("story", index, "lines"))


def _in_items(items: tuple[Item, ...], path: StoryPath) -> Iterator[Finding]:
    for index, item in enumerate(items):
        if not isinstance(item, Line):
            continue
        if len(item.words) > LONGEST_LINE:
            yield _too_long(item, (*path, index))
        elif item.lane is not None and len(item.syllables) != item.lane.syllables:
            yield _mismatch(item, item.lane, (*path, index))


def _too_long(line: Line, path: StoryPath) -> Finding:
    return Finding(
        "line-too-long",
        Severity.MUST_MEND,
        f"This line has {len(line.words)} letters; no breath is so long.",
        "Divide it into several lines.",
        (*path, "words"),
    )


def _mismatch(line: Line, lane: Lane, path: StoryPath) -> Finding:
    words, places = len(line.syllables), lane.syllables
    if words > places:
        first = line.syllables[places]
        where = f"“{first.text}” is the first without one"
        remedy = (
            f"Add {_count(words - places, 'mark')} (`x` or `o`) to the rhythm, or join "
            "syllables by taking a hyphen out."
        )
        path = (*path, "words")
    else:
        bar, step = _place(lane, words)
        where = f"the first place without one is in {bar}, step {step}"
        remedy = (
            f"Divide words with hyphens (`lan-tern`), or take {_count(places - words, 'mark')} "
            "out of the rhythm; a tap without a syllable is `t`."
        )
        path = (*path, "lane")
    return Finding(
        "words-and-lane",
        Severity.MUST_MEND,
        f"The words have {_count(words, 'syllable')} and the rhythm has places for {places}; "
        f"{where}.",
        remedy,
        path,
    )


def _place(lane: Lane, nth: int) -> tuple[str, int]:
    seen = 0
    for number, bar in enumerate(lane.all_bars, 0 if lane.pickup else 1):
        for step, cells in enumerate(bar, 1):
            for cell in cells:
                if cell.mark.said:
                    if seen == nth:
                        return (f"bar {number}" if number else "the pickup"), step
                    seen += 1
    raise AssertionError("fewer places than counted")


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
