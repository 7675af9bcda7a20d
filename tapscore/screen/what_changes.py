"""What a step would change, in the window's words: for saying so before it is taken."""

from tapscore.model.edits import found
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane
from tapscore.model.story import Line, Story
from tapscore.rhythm.unroll import as_written
from tapscore.wording.catalogue import say
from tapscore.wording.english import LABELS
from tapscore.workflow.keeping.changes import Change, said_of, story_changes

MOST = 4


def what_changes(old: Story, new: Story) -> str:
    """A line for each change from ``old`` to ``new``; the first few, and how many more."""
    numbers = {placed.path: placed.number for placed in as_written(new)}
    changes = story_changes(old, new)
    said = [_said(change, old, new, numbers) for change in changes[:MOST]]
    if len(changes) > MOST:
        said.append(say("and {count} more", count=len(changes) - MOST))
    return "\n".join(dict.fromkeys(said))


def _said(change: Change, old: Story, new: Story, numbers: dict[StoryPath, int | None]) -> str:
    path: StoryPath = change.path
    around = (path[: len(path) - n] for n in range(len(path)))
    place = next((each for each in around if numbers.get(each) is not None), None)
    where = say("Line {number}", number=numbers[place]) if place else _capital(change.where)
    key = path[-1]
    if key == "lane" and place is not None:
        return f"{where}: {_taps(found(old, place), found(new, place))}"
    if not isinstance(key, int):
        where = f"{where}: {LABELS.get(key, key)}"
    if change.old is None:
        return say("{where}: {new} comes", where=where, new=said_of(change.new))
    if change.new is None:
        return say("{where}: {old} goes", where=where, old=said_of(change.old))
    return say(
        "{where}: {new} instead of {old}",
        where=where,
        new=said_of(change.new),
        old=said_of(change.old),
    )


def _taps(before: object, after: object) -> str:
    counts = [
        sum(cell.mark.tapped for bar in lane.all_bars for step in bar for cell in step)
        for line in (before, after)
        if isinstance(line, Line) and isinstance(lane := line.lane, Lane)
    ]
    if len(counts) == 2 and counts[0] != counts[1]:
        return say("{now} taps instead of {before}", now=counts[1], before=counts[0])
    return say("the taps fall otherwise")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
