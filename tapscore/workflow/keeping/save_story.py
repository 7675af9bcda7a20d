"""The one way in which a story file is saved.

What would be saved is read again first: a file that the program could not open any more is
never put in the place of one that it can.  What was in the file before is among the kept
versions.
"""

import hashlib
from contextlib import suppress
from pathlib import Path

from attrs import frozen

from tapscore.disc.reading import read_bounded
from tapscore.disc.whole import write_whole_bytes
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.storyfile.kinds import Doc
from tapscore.storyfile.read import read_bytes
from tapscore.wording.catalogue import say
from tapscore.workflow.keeping.changes import story_changes
from tapscore.workflow.keeping.versions import Versions
from tapscore.workflow.of_one_name import keep_for_twin

MOST_BYTES = 8_000_000


class NotSavedError(Exception):
    """The file was left as it was; the message says why."""


class UnreadableAgainError(NotSavedError):
    """What would be saved could not be opened again; the message says why and what to do."""


class ReadsOtherwiseError(NotSavedError):
    """What would be saved reads otherwise than it should; the message says what would be lost."""


class ChangedSinceError(NotSavedError):
    """Somebody else wrote the file since it was read."""


@frozen
class Seen:
    """What was in a file when it was looked at; to be compared, not kept."""

    digest: bytes | None
    """None where there was no file."""


@frozen
class Saved:
    """A story that was saved."""

    path: Path
    seen: Seen
    earlier_in: Path | None
    """Where earlier versions are; None where they could not be kept."""


def save_story(
    path: Path,
    text: str,
    story: Story | None = None,
    *,
    seen: Seen | None = None,
    versions: Versions | None = None,
) -> Saved:
    """Put a story's text in the file at ``path``, in one step.

    ``story``, if given, is what the text has to say.  With ``seen``, the file has to be as it
    was then.  Raises UnreadableAgainError, ReadsOtherwiseError, ChangedSinceError, and OSError;
    nothing is changed then.
    """
    data = readable_again(text, story)
    before = _bytes_of(path)
    if seen is not None and before is not None and seen != seen_of(before):
        raise ChangedSinceError(path.name)
    kept = Versions() if versions is None else versions
    with suppress(OSError):
        if before:
            kept.keep(path, before)
    if before is None:
        keep_for_twin(path)
    write_whole_bytes(path, data)
    earlier_in: Path | None = None
    with suppress(OSError):
        kept.keep(path, data)
        earlier_in = kept.place(path)
    return Saved(path, seen_of(data), earlier_in)


def readable_again(text: str, story: Story | None = None) -> bytes:
    """The bytes of a text that can be opened again as the same story.

    Raises UnreadableAgainError and ReadsOtherwiseError.
    """
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError as error:
        line = text.count("\n", 0, error.start) + 1
        raise UnreadableAgainError(
            say(
                "Line {line} has half a letter in it that no file can hold. Type it anew.",
                line=line,
            )
        ) from error
    read = read_bytes(data)
    if read.story is None:
        raise UnreadableAgainError(_why(read.findings))
    lost = (
        []
        if story is None
        else [
            change.sentence
            for change in story_changes(read.story, story)
            if _plain(change.old) != _plain(change.new)
        ]
    )
    if lost:
        raise ReadsOtherwiseError("\n".join(lost))
    return data


def look(path: Path | None) -> Seen:
    """What is in a file now; raises OSError where that can't be told."""
    return Seen(None) if path is None else seen_of(_bytes_of(path))


def seen_of(data: bytes | None) -> Seen:
    """What is noted of a file's bytes."""
    return Seen(None if data is None else hashlib.sha256(data).digest())


def _bytes_of(path: Path) -> bytes | None:
    try:
        return read_bounded(path, MOST_BYTES)
    except FileNotFoundError:
        return None


def _why(findings: tuple[Finding, ...]) -> str:
    first = next((each for each in findings if each.must_mend), findings[0])
    place = say("Line {line} of the file: ", line=first.span.line) if first.span else ""
    return f"{place}{first.message} {first.remedy}"


def _plain(doc: Doc | None) -> Doc | None:
    """What a value says, however many spaces there are in it."""
    if isinstance(doc, str):
        return " ".join(doc.split())
    if isinstance(doc, list):
        return [_plain(each) or "" for each in doc]
    if isinstance(doc, dict):
        return {key: _plain(each) or "" for key, each in doc.items()}
    return None
