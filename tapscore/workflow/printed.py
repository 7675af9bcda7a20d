"""When papers were last made or printed, and of which state of a story; in the user's own folder.

Each kind of paper is noted for itself: a new cue sheet does not make the cards new.

Lost or deleted, it only means that nobody can say whether papers are out of date.
"""

import hashlib
import time
from collections.abc import Collection
from contextlib import suppress
from pathlib import Path

from attrs import frozen

from tapscore.disc.ours import read_record, write_record
from tapscore.model.story import Story
from tapscore.storyfile.write import write_story

MOST_NOTED = 5000


@frozen
class LastPrinted:
    """The state of a story that papers were made of."""

    digest: str
    at_sec: float
    """Seconds since 1970."""


def digest_of(data: bytes) -> str:
    """What names a state of a story file."""
    return hashlib.sha256(data).hexdigest()


def note_printed(
    path: Path, story: Story, kinds: Collection[str], record: Path | None = None
) -> None:
    """Note that papers of these kinds were made just now; not being able to is no matter."""
    if not kinds:
        return
    noted = dict(read_record(record or _record()))
    now = [digest_of(write_story(story).encode("utf-8")), time.time()]
    before = noted.get(key_of(path))
    noted[key_of(path)] = (before if isinstance(before, dict) else {}) | dict.fromkeys(kinds, now)
    newest = sorted(noted.items(), key=lambda each: _newest(each[1]))[-MOST_NOTED:]
    with suppress(OSError):
        write_record(record or _record(), dict(newest))


def last_printed(record: Path | None = None) -> dict[str, dict[str, LastPrinted]]:
    """By path, as ``key_of`` gives it, and by kind of paper, what was printed last."""
    noted = ((key, _read(said)) for key, said in read_record(record or _record()).items())
    return {key: kinds for key, kinds in noted if kinds}


def _read(said: object) -> dict[str, LastPrinted]:
    if isinstance(said, list):
        said = {"": said}  # as it was noted before kinds were
    found: dict[str, LastPrinted] = {}
    for kind, noted in said.items() if isinstance(said, dict) else ():
        match noted:
            case [str(digest), int() | float() as at]:
                found[str(kind)] = LastPrinted(digest, float(at))
    return found


def key_of(path: Path) -> str:
    """What names a story in the record."""
    return str(path.absolute())


def _newest(said: object) -> float:
    return max((each.at_sec for each in _read(said).values()), default=0.0)


def _record() -> Path:
    import platformdirs

    return platformdirs.user_state_path("tapscore", appauthor=False) / "papers made.json"
