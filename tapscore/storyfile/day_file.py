"""The day file: a few lines of YAML beside the story, with who is here and who does what.

here: [AB, CD, prop handler]
roles:
  leader: AB
  beat-keeper: CD
pupils: [A, C]                 # places, or a number
tell: short                    # or whole, lighter, refrain
"""

from collections.abc import Sequence

from attrs import frozen

from tapscore.model.day import Day, Telling
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.storyfile import nodes
from tapscore.storyfile.near import nearest
from tapscore.wording.about import About, Datum

KEYS = ("here", "roles", "pupils", "tell")
TELLINGS = tuple(each.value for each in Telling if each is not Telling.NOT_TODAY)
MOST_PUPILS = 99
LONGEST_NAME = 40
MOST_BYTES = 1_000_000


@frozen
class DayText:
    """A day as it was read."""

    day: Day | None
    """None where the file could not be read at all."""
    findings: tuple[Finding, ...]


def read_day(text: str, story: Story) -> DayText:
    """Read a day file against the story it is for."""
    tree = nodes.parse_yaml(text.removeprefix("\ufeff")) if text.strip() else None
    if tree is None or tree.root is None:
        known = [f for f in (tree.findings if tree else ()) if f.code != "no-story"]
        return DayText(None, tuple(known) or (Finding("no-day", Severity.MUST_MEND),))
    reader = _Reader(story, list(tree.findings))
    return DayText(reader.day(tree.root), tuple(reader.findings))


class _Reader:
    def __init__(self, story: Story, findings: list[Finding]) -> None:
        self._story = story
        self.findings = findings

    def day(self, root: nodes.Mapping) -> Day:
        here: tuple[str, ...] = ()
        takes: tuple[tuple[str, str], ...] = ()
        places: tuple[str, ...] | None = None
        pupils: int | None = None
        tell: Telling | None = None
        for entry in root.entries:
            if entry.key.value == "here":
                here = tuple(dict.fromkeys(self._adults(entry.value)))
            elif entry.key.value == "roles":
                takes = self._roles(entry.value)
            elif entry.key.value == "pupils":
                places, pupils = self._pupils(entry.value)
            elif entry.key.value == "tell":
                tell = self._tell(entry.value)
            else:
                key = entry.key.value
                self._report(entry.key, "unknown-key", case="day", key=key, near=nearest(key, KEYS))
        named = tuple(adult for _, adult in takes)
        return Day(tuple(dict.fromkeys((*here, *named))), takes, places, pupils, tell)

    def _pupils(self, node: nodes.Node) -> tuple[tuple[str, ...] | None, int | None]:
        """Places that are named, or a number."""
        if isinstance(node, nodes.Scalar) and node.value.strip().isdecimal():
            number = int(node.value) if len(node.value) < 6 else MOST_PUPILS + 1
            if number <= MOST_PUPILS:
                return None, number
        elif not isinstance(node, nodes.Mapping):
            items = node.items if isinstance(node, nodes.Sequence) else (node,)
            letters = [item for item in items if isinstance(item, nodes.Scalar)]
            if len(letters) == len(items):
                return self._places(letters), None
        self._report(node, "day-shape", case="pupils")
        return None, None

    def _places(self, letters: Sequence[nodes.Scalar]) -> tuple[str, ...]:
        board = self._story.board
        known = tuple(place.name for place in board.places) if board else ()
        for node in letters:
            if node.value not in known:
                self._report(node, "no-such-place", name=node.value, known=known)
        return tuple(dict.fromkeys(node.value for node in letters if node.value in known))

    def _tell(self, node: nodes.Node) -> Telling | None:
        if isinstance(node, nodes.Scalar) and node.value in TELLINGS:
            return Telling(node.value)
        self._report(node, "day-shape", case="tell")
        return None

    def _roles(self, node: nodes.Node) -> tuple[tuple[str, str], ...]:
        if not isinstance(node, nodes.Mapping):
            self._report(node, "day-shape", case="roles")
            return ()
        takes: list[tuple[str, str]] = []
        for entry in node.entries:
            role = entry.key.value
            if role not in self._story.role_names:
                known = self._story.role_names
                near = nearest(role, known)
                self._report(entry.key, "unknown-role", role=role, near=near, known=known)
                continue
            adults = self._adults(entry.value)
            if len(adults) > 1:
                self._report(entry.value, "day-shape", case="one-adult")
            takes += [(role, adult) for adult in adults[:1]]
        return tuple(takes)

    def _adults(self, node: nodes.Node) -> list[str]:
        if isinstance(node, nodes.Scalar):
            written = [node]
        elif isinstance(node, nodes.Sequence):
            written = [item for item in node.items if isinstance(item, nodes.Scalar)]
            for item in node.items:
                if not isinstance(item, nodes.Scalar):
                    self._report(item, "day-shape", case="adult")
        else:
            self._report(node, "day-shape", case="list")
            return []
        return [name for item in written if (name := self._adult(item))]

    def _adult(self, node: nodes.Scalar) -> str | None:
        name = " ".join(node.value.split())
        if not name:
            return None
        board = self._story.board
        if board and any(place.name == name for place in board.places):
            self._report(node, "pupil-in-day", name=name)
            return None
        if len(name) > LONGEST_NAME:
            self._report(node, "day-shape", case="long")
            return None
        return name

    def _report(self, node: nodes.Node, code: str, **about: Datum) -> None:
        found = Finding(code, Severity.MUST_MEND, (), node.span, About(**about))
        self.findings.append(found)
