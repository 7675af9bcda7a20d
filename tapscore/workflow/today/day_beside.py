"""The day file that lies beside a story: found, read, and written without losing anything."""

from itertools import chain, count
from pathlib import Path

from attrs import frozen

from tapscore.disc.reading import read_bounded, text_of
from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole_bytes
from tapscore.model.day import Day
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.storyfile import emit, nodes
from tapscore.storyfile.day_file import MOST_BYTES, read_day
from tapscore.storyfile.kinds import Bare, Doc, NamedDoc
from tapscore.storyfile.origins import Source
from tapscore.storyfile.splice import Splicer
from tapscore.wording.catalogue import say
from tapscore.workflow.of_one_name import DAY, lying_at, own_path, take_apart


class DayChangedError(Exception):
    """Somebody else wrote the day file since it was read."""


@frozen
class DayBeside:
    """What is in the day file beside a story."""

    path: Path
    """Where it is written; ``lies`` until then, where it is another story's of this name, too."""
    data: bytes | None = None
    """Its bytes as they were read; None where there is no file."""
    day: Day | None = None
    """None where there is no file, or none that can be read."""
    findings: tuple[Finding, ...] = ()
    unreadable: str | None = None
    """Why it can't be opened as text."""

    @property
    def lies(self) -> Path:
        """Where it is by now."""
        return lying_at(self.path, DAY)

    @property
    def troubles(self) -> tuple[str, ...]:
        """Sentences on what could not be read, each with its place."""
        if self.unreadable is not None:
            return (
                say(
                    "{file} can't be read: {unreadable}.",
                    file=self.lies.name,
                    unreadable=self.unreadable,
                ),
            )
        return tuple(
            f"{self.lies.name}{say(', line {line}', line=found.span.line) if found.span else ''}: "
            f"{found.message} {found.remedy}"
            for found in self.findings
        )


def day_path(story_path: Path) -> Path:
    """Where the day of a story is kept: ``boat.yaml`` has ``boat today.yaml``."""
    return own_path(story_path, DAY)


def day_lying(story_path: Path) -> Path:
    """Where the day of a story is looked for."""
    return lying_at(day_path(story_path), DAY)


def load_day(path: Path, story: Story) -> DayBeside:
    """Read a day file; what is wrong with it is in what it gives."""
    try:
        data = read_bounded(lying_at(path, DAY), MOST_BYTES)
    except FileNotFoundError:
        return DayBeside(path)
    except OSError as error:
        return DayBeside(path, unreadable=reason(error))
    try:
        text = text_of(data)
    except UnicodeDecodeError as error:
        return DayBeside(path, data, unreadable=reason(error))
    read = read_day(text, story)
    return DayBeside(path, data, read.day, read.findings)


def day_text(day: Day, before: str = "") -> str:
    """A day as the text of a file; comments in ``before`` stay where they can."""
    new = _doc(day)
    spliced = _spliced(before, new)
    if spliced is not None:
        return spliced
    head = "".join(f"{line}\n" for line in before.splitlines() if line.startswith("#"))
    return head + "".join(emit.entry(key, value, 0) + "\n" for key, value in new.items())


def save_day(beside: DayBeside, day: Day, story: Story) -> DayBeside:
    """Write a day in one step; gives what is beside the story then.

    A file that could not be read is kept beside the new one.  Raises DayChangedError if the
    file is not as it was read, and OSError; nothing is changed then.
    """
    try:
        now: bytes | None = read_bounded(beside.lies, MOST_BYTES)
    except FileNotFoundError:
        now = None
    if now != beside.data:
        raise DayChangedError
    take_apart(beside.path, DAY)
    before = text_of(now) if now is not None and beside.day else ""
    if now and beside.day is None:  # what nobody could read is not lost
        write_whole_bytes(_unread_path(beside.path), now)
    write_whole_bytes(beside.path, day_text(day, before).encode("utf-8"))
    return load_day(beside.path, story)


def _unread_path(path: Path) -> Path:
    numbers = chain([""], (f" {number}" for number in count(2)))
    paths = (path.with_name(f"{path.stem} (not read{number}){path.suffix}") for number in numbers)
    return next(each for each in paths if not each.exists())


def _doc(day: Day) -> dict[str, Doc]:
    doc: dict[str, Doc] = {"here": list(day.here)}
    if day.takes:
        doc["roles"] = NamedDoc(day.takes)
    if day.places is not None:
        doc["pupils"] = list(day.places)
    elif day.pupils is not None:
        doc["pupils"] = Bare(day.pupils)
    if day.tell is not None:
        doc["tell"] = day.tell.value
    return doc


def _spliced(before: str, new: dict[str, Doc]) -> str | None:
    root = nodes.parse_yaml(before).root if before.strip() else None
    if root is None:
        return None
    old = _plain(root)
    if not isinstance(old, dict):
        return None
    roles = old.get("roles")
    if isinstance(roles, dict):
        old["roles"] = NamedDoc(roles.items())
    try:
        text = Splicer(Source(before, root)).splice(old, new)
    except (IndexError, ValueError):
        return None
    again = nodes.parse_yaml(text).root
    return text if again is not None and _plain(again) == new else None


def _plain(node: nodes.Node) -> Doc:
    if isinstance(node, nodes.Scalar):
        return node.value
    if isinstance(node, nodes.Sequence):
        return [_plain(item) for item in node.items]
    return {entry.key.value: _plain(entry.value) for entry in node.entries}
