"""When papers were last made of a story, and of which state of it; in the user's own folder.

Lost or deleted, it only means that nobody can say whether papers are out of date.
"""

import hashlib
import time
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


def note_printed(path: Path, story: Story, record: Path | None = None) -> None:
    """Note that papers were made of a story just now; not being able to is no matter."""
    noted = dict(read_record(record or _record()))
    noted[key_of(path)] = [digest_of(write_story(story).encode("utf-8")), time.time()]
    newest = sorted(noted.items(), key=lambda each: _at(each[1]))[-MOST_NOTED:]
    with suppress(OSError):
        write_record(record or _record(), dict(newest))


def last_printed(record: Path | None = None) -> dict[str, LastPrinted]:
    """By path, as ``key_of`` gives it, what was printed last."""
    found: dict[str, LastPrinted] = {}
    for key, said in read_record(record or _record()).items():
        match said:
            case [str(digest), int() | float() as at]:
                found[key] = LastPrinted(digest, float(at))
    return found


def key_of(path: Path) -> str:
    """What names a story in the record."""
    return str(path.absolute())


def _at(said: object) -> float:
    match said:
        case [str(), int() | float() as at]:
            return float(at)
    return 0.0


def _record() -> Path:
    import platformdirs

    return platformdirs.user_state_path("tapscore", appauthor=False) / "papers made.json"
