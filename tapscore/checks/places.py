"""Places of a story named in words, so that a name survives edits elsewhere.

A line is named by its own words, whatever its number: it may be moved, others may come and
go before it, and its hyphens may change.  If its words change it is another line.
"""

from tapscore.checks.facts import plain
from tapscore.model.edits import items_at
from tapscore.model.finding import StoryPath
from tapscore.model.story import Item, Line, Offer, RefrainUse, Story, Wait
from tapscore.model.words import printed


def place_name(story: Story, path: StoryPath) -> str | None:
    """A place in words, such as ``Splash!`` or ``wait after Splash!``; None for the story."""
    match path:
        case ("story", int(section), "lines", int(index), *_):
            return _item_name(
                items_at(story, path[:3]), index, story.sections[section].title or "the story"
            )
        case ("story", int(section), *_) if section < len(story.sections):
            return f"section {story.sections[section].title}"
        case ("refrains", str(name), int(index), *_):
            return _item_name(items_at(story, path[:2]), index, name)
        case ("refrains", str(name)):
            return f"refrain {name}"
        case ("props", str(name), "cautions", str(caution)):
            return f"prop {name}, {caution}"
        case (("props" | "roles") as kind, str(name), *_):
            return f"{kind[:-1]} {name}"
        case ("board", *_):
            return "board"
    return None


def same_place(one: str | None, other: str | None) -> bool:
    """Whether two names mean one place: marks, hyphens and capitals don't matter."""
    return _bare(one) == _bare(other)


def _bare(name: str | None) -> str | None:
    return None if name is None else plain(name) or name.strip()


def _item_name(items: tuple[Item, ...], index: int, home: str) -> str:
    if index >= len(items):
        return home
    item = items[index]
    if isinstance(item, Line) and item.words:
        return printed(item.words)
    before = next(
        (_said(each) for each in reversed(items[:index]) if _said(each)), f"the start of {home}"
    )
    what = "line"
    if isinstance(item, Wait):
        what = "wait"
    elif isinstance(item, Offer):
        what = f"turns with {item.prop}"
    elif isinstance(item, RefrainUse):
        what = f"refrain {item.name}"
    elif isinstance(item, Line):
        what = "tapping"
    return f"{what} after {before}"


def _said(item: Item) -> str:
    if isinstance(item, Line):
        return printed(item.words)
    return item.name if isinstance(item, RefrainUse) else ""
