"""Older story files brought up to today's version, one step at a time.

A step takes the text of one version and gives the text of the next, by splicing, so
that comments stay.
"""

import re
from collections.abc import Callable, Iterator, Mapping

from tapscore.model.finding import Span
from tapscore.storyfile import nodes

Migration = Callable[[str], str]
_BRACKETS = re.compile(r"(\([^()]*\))")
_PRINTED_HYPHEN = re.compile(r"(?<=[^\W_])-{2,}(?=[^\W_])")
_MARKS_OF_1 = str.maketrans({"o": "s", "-": "_"})


def _to_2(text: str) -> str:
    """Version 2: other marks for said alone and hold in a lane, and for a printed hyphen.

    ``s`` for ``o``, ``_`` for ``-``; in words ``=`` for a doubled hyphen.
    """
    root = nodes.parse_yaml(text).root
    if root is None:
        return text
    version = root.get("tapscore")
    changes: list[tuple[Span, Migration]]
    changes = [(lane.span, _lane_of_2) for lane in _of_lines(root, "lane")]
    changes += [(words.span, _words_of_2) for words in _of_lines(root, "words")]
    changes += [(version.span, lambda one: one.replace("1", "2"))] if version else []
    for span, change in sorted(changes, key=lambda change: change[0].start, reverse=True):
        text = text[: span.start] + change(text[span.start : span.end]) + text[span.end :]
    return text


def _lane_of_2(lane: str) -> str:
    """A lane's text with the new marks; names in brackets stay."""
    parts = _BRACKETS.split(lane)
    return "".join(part if i % 2 else part.translate(_MARKS_OF_1) for i, part in enumerate(parts))


def _words_of_2(words: str) -> str:
    return _PRINTED_HYPHEN.sub("=", words)


def _of_lines(root: nodes.Mapping, key: str) -> Iterator[nodes.Scalar]:
    """What lines say for a key; what is called so elsewhere is the teacher's own."""
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
            found = item.get(key) if isinstance(item, nodes.Mapping) else None
            if isinstance(found, nodes.Scalar):
                yield found


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
