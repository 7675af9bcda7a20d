"""The last states of each story that were saved, in the user's own data folder.

A folder for each story file, by where it lies; in it a plain story file for each state,
named by when it was kept.  They are bounded: ten for each story, and room for all together.
"""

import hashlib
import os
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from shutil import rmtree

from attrs import field, frozen

from tapscore.disc.ours import read_record, write_record
from tapscore.disc.reading import read_bounded
from tapscore.disc.whole import write_whole_bytes
from tapscore.wording.catalogue import say
from tapscore.wording.dates import short_date
from tapscore.workflow.names import slug

MOST_VERSIONS = 10
MOST_BYTES = 200_000_000
MOST_BYTES_OF_ONE = 5_000_000
_ABOUT = "about.json"
_TIME = "%Y-%m-%d %H.%M.%S.%f"


def versions_folder() -> Path:
    """Where they are: ``TAPSCORE_VERSIONS`` if set, else the platform's place for data."""
    chosen = os.environ.get("TAPSCORE_VERSIONS")
    if chosen:
        return Path(chosen)
    from platformdirs import user_data_path

    return user_data_path("tapscore", appauthor=False) / "earlier versions"


@frozen
class Version:
    """One state of a story as it was saved."""

    kept_in: Path
    when: datetime
    """Local time."""

    @property
    def when_words(self) -> str:
        """``Thu 26 Nov 2026, 14:05:09``."""
        return f"{when_in_words(self.when)}:{self.when:%S}"

    def data(self) -> bytes:
        """The bytes of the story file then; raises OSError."""
        return read_bounded(self.kept_in, MOST_BYTES_OF_ONE)


@frozen
class Versions:
    """All kept states of all stories, in one folder."""

    folder: Path = field(factory=versions_folder)

    def of(self, path: Path) -> tuple[Version, ...]:
        """States of the story file at ``path``, the newest first."""
        found: list[Version] = []
        with suppress(OSError):
            for file in self.place(path).glob("[!.]*.yaml"):
                with suppress(ValueError):
                    found.append(Version(file, datetime.strptime(file.stem, _TIME)))
        return tuple(sorted(found, key=lambda each: each.when, reverse=True))

    def keep(self, path: Path, data: bytes) -> Path | None:
        """Keep a state, unless it is the newest one already; where it is, None for no story.

        Raises OSError if it can't be kept.
        """
        if len(data) > MOST_BYTES_OF_ONE:
            return None
        known = self.of(path)
        with suppress(OSError):
            if known and known[0].data() == data:
                return known[0].kept_in
        place = self.place(path)
        place.mkdir(parents=True, exist_ok=True)
        when = datetime.now()
        if known and known[0].when >= when:  # a clock put back keeps the order
            when = known[0].when + timedelta(microseconds=1)
        kept_in = place / f"{when.strftime(_TIME)}.yaml"
        write_whole_bytes(kept_in, data)
        if not (place / _ABOUT).exists():
            write_record(place / _ABOUT, {"states of": str(_whole_path(path))})
        for old in known[MOST_VERSIONS - 1 :]:
            with suppress(OSError):
                old.kept_in.unlink()
        self._make_room(place)
        return kept_in

    def place(self, path: Path) -> Path:
        """The folder for the states of one story file."""
        whole = _whole_path(path)
        told_apart = hashlib.sha256(os.fsencode(whole)).hexdigest()[:16]
        return self.folder / f"{slug(whole.stem)[:30]}-{told_apart}"

    def story_path(self, place: Path) -> str:
        """Which story file a folder is for; nothing if it does not say."""
        return str(read_record(place / _ABOUT).get("states of", ""))

    def _make_room(self, spared: Path) -> None:
        """Let the stories go that were saved longest ago, where all take too much room."""
        with suppress(OSError):
            sizes: dict[Path, tuple[float, int]] = {}
            for place in self.folder.iterdir():
                files = [file.stat() for file in place.glob("[!.]*.yaml")] if place.is_dir() else []
                newest = max((each.st_mtime for each in files), default=0.0)
                sizes[place] = newest, sum(each.st_size for each in files)
            room = MOST_BYTES - sizes.pop(spared, (0.0, 0))[1]
            for place, (_, size) in sorted(sizes.items(), key=lambda each: -each[1][0]):
                room -= size
                if room < 0:
                    rmtree(place, ignore_errors=True)


def when_in_words(when: datetime) -> str:
    """A local time as people say it."""
    return say("{date}, {time}", date=short_date(when), time=f"{when:%H:%M}")


def _whole_path(path: Path) -> Path:
    """Where a story lies whatever way it is named; links count as what they lead to."""
    try:
        return path.resolve()
    except (OSError, RuntimeError):
        return path.absolute()
