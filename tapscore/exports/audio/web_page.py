"""What pages that play sound are made of: their files, and data for their scripts."""

import json
import re
from collections.abc import Callable, Iterator

from tapscore.exports.audio.tags import one_line
from tapscore.exports.paper.fonts import right_to_left
from tapscore.exports.paper.text_flow import own
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.model.walk import written_items
from tapscore.model.words import printed
from tapscore.resources import resource_path


def page_file(folder: str, name: str) -> str:
    """A page's template, style or script, of a folder in ``resources/``."""
    return resource_path(f"{folder}/{name}").read_text("utf-8")


def kept_apart(story: Story) -> Callable[[str], str]:
    """Sentences of ours on one line, the story's names from right to left kept apart in them.

    They are isolated (UAX #9), so that they don't turn round what is beside them.
    """
    names = {one_line(name) for name in _names(story) if right_to_left(name)} - {""}
    longest_first = sorted(names, key=lambda name: (-len(name), name))
    pattern = re.compile("|".join(map(re.escape, longest_first)) or r"(?!)")
    return lambda text: pattern.sub(lambda name: own(name[0]), one_line(text))


def _names(story: Story) -> Iterator[str]:
    yield story.title
    yield from (role.name for role in story.roles)
    yield from (section.title for section in story.sections)
    yield from (refrain.name for refrain in story.refrains)
    for prop in story.props:
        yield from (prop.name, prop.what, prop.instead or "")
    if story.board is not None:
        yield from (spot.name for spot in story.board.spots)
    for _, item in written_items(story):
        if isinstance(item, Line):
            yield from (printed(item.words), item.warn_first or "", item.do or "")
        if isinstance(item, Line | Offer | Wait):
            yield item.look_for or ""


def for_script(data: object) -> str:
    """Plain data as a script of a page reads it: nothing in it ends the script or a line."""
    safe = json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
    return safe.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
