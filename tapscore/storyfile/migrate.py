"""Older story files brought up to today's version, one step at a time.

A step takes the text of one version and gives the text of the next, by splicing, so
that comments stay.
"""

import re
from collections.abc import Callable, Iterator, Mapping

from tapscore.storyfile import nodes

Migration = Callable[[str], str]
_BRACKETS = re.compile(r"(\([^()]*\))")
_MARKS_OF_1 = str.maketrans({"o": "s", "-": "_"})


def _to_2(text: str) -> str:
    """Version 2: in a lane ``s`` is said alone (was ``o``) and ``_`` holds (was ``-``)."""
    root = nodes.parse_yaml(text).root
    if root is None:
        return text
    version = root.get("tapscore")
    spans = [lane.span for lane in _lanes(root)] + ([version.span] if version else [])
    for span in sorted(spans, key=lambda span: span.start, reverse=True):
        said = text[span.start : span.end]
        new = said.replace("1", "2") if version and span == version.span else _lane_of_2(said)
        text = text[: span.start] + new + text[span.end :]
    return text


def _lane_of_2(lane: str) -> str:
    """A lane's text with the new marks; names in brackets stay."""
    parts = _BRACKETS.split(lane)
    return "".join(part if i % 2 else part.translate(_MARKS_OF_1) for i, part in enumerate(parts))


def _lanes(root: nodes.Mapping) -> Iterator[nodes.Scalar]:
    """The lanes of a story's lines; what else is called so is the teacher's own."""
    refrains = root.get("refrains")
    lists: list[nodes.Node | None] = []
    if isinstance(refrains, nodes.Mapping):
        lists += [entry.value for entry in refrains.entries]
    story = root.get("story")
    for section in story.items if isinstance(story, nodes.Sequence) else ():
        if isinstance(section, nodes.Mapping):
            lists.append(section.get("lines"))
    for items in lists:
        for item in items.items if isinstance(items, nodes.Sequence) else ():
            lane = item.get("lane") if isinstance(item, nodes.Mapping) else None
            if isinstance(lane, nodes.Scalar):
                yield lane


MIGRATIONS: Mapping[int, Migration] = {1: _to_2}


def bring_up_to_date(
    text: str, version: int, wanted: int, migrations: Mapping[int, Migration]
) -> str:
    """Apply the steps from ``version`` to ``wanted``; each must raise the version by one.

    Raises KeyError if a step is missing (a bug, not a mistake of the teacher's).
    """
    for step in range(version, wanted):
        text = migrations[step](text)
    return text
