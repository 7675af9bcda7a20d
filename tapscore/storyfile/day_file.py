"""The day file: a few lines of YAML beside the story, with who is here and who does what.

here: [AB, CD, prop handler]
roles:
  leader: AB
  beat-keeper: CD
"""

from attrs import evolve, frozen

from tapscore.model.day import Day
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.storyfile import nodes
from tapscore.storyfile.near import did_you_mean

KEYS = ("here", "roles")
LONGEST_NAME = 40
_NO_DAY = (
    "There is no day here: a day file says who is here, and who takes which role.",
    "Write `here: [AB, CD]`, and below it `roles:` with a line such as `leader: AB` for each.",
)


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
        return DayText(None, tuple(known) or (Finding("no-day", Severity.MUST_MEND, *_NO_DAY),))
    reader = _Reader(story, list(tree.findings))
    return DayText(reader.day(tree.root), tuple(reader.findings))


class _Reader:
    def __init__(self, story: Story, findings: list[Finding]) -> None:
        self._story = story
        self.findings = findings

    def day(self, root: nodes.Mapping) -> Day:
        here: tuple[str, ...] = ()
        takes: tuple[tuple[str, str], ...] = ()
        for entry in root.entries:
            if entry.key.value == "here":
                here = tuple(dict.fromkeys(self._adults(entry.value)))
            elif entry.key.value == "roles":
                takes = self._roles(entry.value)
            else:
                self._report(
                    entry.key,
                    "unknown-key",
                    f"A day file has no “{entry.key.value}”.{did_you_mean(entry.key.value, KEYS)}",
                    "It says who is `here:`, and in `roles:` who takes which role.",
                )
        named = tuple(adult for _, adult in takes)
        return Day(tuple(dict.fromkeys((*here, *named))), takes)

    def _roles(self, node: nodes.Node) -> tuple[tuple[str, str], ...]:
        if not isinstance(node, nodes.Mapping):
            self._shape(node, "`roles:` names a role and who takes it on each line below it.")
            return ()
        takes: list[tuple[str, str]] = []
        for entry in node.entries:
            role = entry.key.value
            if role not in self._story.role_names:
                self._report(
                    entry.key,
                    "unknown-role",
                    f"The story has no role “{role}”.{did_you_mean(role, self._story.role_names)}",
                    f"Its roles are {', '.join(self._story.role_names)}.",
                )
                continue
            adults = self._adults(entry.value)
            if len(adults) > 1:
                self._shape(entry.value, "One adult takes a role; name the others in `here:`.")
            takes += [(role, adult) for adult in adults[:1]]
        return tuple(takes)

    def _adults(self, node: nodes.Node) -> list[str]:
        if isinstance(node, nodes.Scalar):
            written = [node]
        elif isinstance(node, nodes.Sequence):
            written = [item for item in node.items if isinstance(item, nodes.Scalar)]
            for item in node.items:
                if not isinstance(item, nodes.Scalar):
                    self._shape(item, "Write each adult as initials or as the name of a role.")
        else:
            self._shape(node, "Write adults as a list: `[AB, CD]`.")
            return []
        return [name for item in written if (name := self._adult(item))]

    def _adult(self, node: nodes.Scalar) -> str | None:
        name = " ".join(node.value.split())
        if not name:
            return None
        board = self._story.board
        if board and any(place.name == name for place in board.places):
            self._report(
                node,
                "pupil-in-day",
                f"“{name}” is the place of a pupil on the board.",
                "A day file holds adults alone: write two initials, or the name of a role.",
            )
            return None
        if len(name) > LONGEST_NAME:
            self._shape(node, "Initials or the name of a role are enough.")
            return None
        return name

    def _shape(self, node: nodes.Node, remedy: str) -> None:
        self._report(node, "day-shape", "This is not written as a day file needs it.", remedy)

    def _report(self, node: nodes.Node, code: str, message: str, remedy: str) -> None:
        found = Finding(code, Severity.MUST_MEND, message, remedy)
        self.findings.append(evolve(found, span=node.span))
