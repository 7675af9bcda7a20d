"""What is known of one story file: from its head at once, the rest once it is worked out.

What takes long to work out (the length, which recordings are missing) is kept in a file of the
user's cache, which may be deleted at any time.
"""

import re
import time
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import Any

from attrs import evolve, field, frozen

from tapscore.disc.ours import read_record, write_record
from tapscore.disc.reading import read_bounded, text_of
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.model.wordings import joined
from tapscore.model.words import printed
from tapscore.wording.catalogue import language, say
from tapscore.wording.dates import day_and_month
from tapscore.workflow.printed import LastPrinted, digest_of, key_of
from tapscore.workflow.recordings_beside import recordings_beside
from tapscore.workflow.today.day_beside import day_lying

MOST_STORIES = 3000
MOST_STORY_BYTES = 4_000_000
_HEAD_BYTES = 16_000
_IS_STORY = re.compile(r"^[\"']?tapscore[\"']?\s*:", re.M)
_HEAD_LINE = re.compile(r"^(title|metre|term|class)\s*:[ \t]*(\S.*)$", re.M)
Noted = Mapping[str, Mapping[str, LastPrinted]]
_RESTED_SEC = 3.0
"""A change after this bears another time on any disc: FAT counts in steps of two seconds."""
_SHAPE = 1
"""Of what is kept; another number, and all is worked out anew."""


@frozen
class KnownStory:
    """One story file, as the list shows it."""

    path: Path
    title: str
    metre: str = ""
    term: str = ""
    class_name: str = ""
    changed_sec: float = 0.0
    """When the file was saved last, in seconds since 1970."""
    likely_sec: tuple[float, float] | None = None
    """How long a telling is likely to last; None while that is not worked out."""
    out_of_date: tuple[str, ...] = ()
    """What no longer fits the story, in sentences."""
    words: str = field(default="", repr=False)
    """All words to find it by, in small letters."""
    known: bool = False
    """Whether everything about it is worked out."""
    twin: bool = False
    """Whether another story of the list has its title."""

    @property
    def changed(self) -> date:
        """The day it was saved last."""
        return datetime.fromtimestamp(self.changed_sec).date()

    @property
    def length_words(self) -> str:
        """``"4 to 9 minutes"``; empty while it is not worked out."""
        if self.likely_sec is None:
            return ""
        low, high = (max(round(sec / 60), 1) for sec in self.likely_sec)
        return (
            say("{low} to {high} minutes", low=low, high=high)
            if low != high
            else say("about {low} min", low=low)
        )

    def has(self, sought: str) -> bool:
        """Whether all words of ``sought`` are in its title, term, class, file's name or lines."""
        head = f"{self.title} {self.term} {self.class_name} {self.path.stem}".casefold()
        return all(word in head or word in self.words for word in sought.casefold().split())


def known_story(path: Path, kept: "KeptFacts", noted: Noted, *, whole: bool) -> KnownStory | None:
    """What is known of a file; None where it is no story."""
    stat = path.stat()
    if stat.st_size > MOST_STORY_BYTES:
        return None
    sounds = recordings_beside(path)
    # some facts are sentences: another language makes them anew
    stamp = [stat.st_mtime_ns, stat.st_size, _changed_ns(sounds), language()]
    facts = kept.facts(path, stamp)
    if facts is None:
        head = _head(path)
        if head is None:
            return None
        facts = _worked_out(path, head) if whole else None
        if facts is None:
            return evolve(head, changed_sec=stat.st_mtime, out_of_date=_other_day(path))
        if time.time() - max(stat.st_mtime, _changed_ns(sounds) / 1e9) > _RESTED_SEC:
            kept.keep(path, stamp, facts)
    return KnownStory(
        path,
        facts["title"],
        facts["metre"],
        facts["term"],
        facts["class"],
        stat.st_mtime,
        tuple(facts["likely"]) if facts["likely"] else None,
        (
            *_papers(path, facts["digest"], noted),
            *facts["missing"],
            *_other_day(path),
            *facts["unread"],
        ),
        facts["words"],
        known=True,
    )


def _head(path: Path) -> KnownStory | None:
    """What stands at the head of a story file."""
    import yaml

    with path.open("rb") as file:
        text = text_of(file.read(_HEAD_BYTES), "replace")
    if not _IS_STORY.search(text):
        return None
    said: dict[str, str] = {}
    for key, rest in _HEAD_LINE.findall(text):
        with suppress(yaml.YAMLError, ValueError):
            plain = rest[0] not in "\"'" and " #" not in rest
            value = rest if plain else yaml.safe_load(rest)
            said.setdefault(key, " ".join(str(value).split()))
    return KnownStory(
        path,
        said.get("title") or path.stem,
        said.get("metre", ""),
        said.get("term", ""),
        said.get("class", ""),
    )


def _worked_out(path: Path, head: KnownStory) -> dict[str, Any]:
    """All that is kept of a story: plain data."""
    from tapscore.storyfile.read import read_text

    data = read_bounded(path, MOST_STORY_BYTES)
    story, findings = None, 0
    with suppress(UnicodeDecodeError):
        read = read_text(text_of(data))
        story, findings = read.story, len(read.findings)
    facts: dict[str, Any] = {
        "title": head.title,
        "metre": head.metre,
        "term": head.term,
        "class": head.class_name,
        "digest": digest_of(data),
        "likely": None,
        "missing": [],
        "unread": [],
        "words": "",
    }
    if story is None or findings:
        facts["unread"] = [say("Something in the file can't be read: open it to see what.")]
    if story is None:
        return facts
    from tapscore.rhythm.perform import perform
    from tapscore.rhythm.running_time import total_time

    total = total_time(perform(story))
    return facts | {
        "title": story.title or head.title,
        "metre": _metres(story),
        "term": story.term or "",
        "class": story.class_name or "",
        "likely": list(total.likely_sec),
        "missing": _missing(story, recordings_beside(path)),
        "words": "\n".join(_all_words(story)).casefold(),
    }


def _metres(story: Story) -> str:
    metres = [story.manner.metre, *(section.manner.metre for section in story.sections)]
    return joined(tuple(dict.fromkeys(str(metre) for metre in metres if metre)))


def _all_words(story: Story) -> Iterator[str]:
    for _, item in written_items(story):
        if isinstance(item, Line):
            yield printed(item.words)
    yield from (f"{prop.name} {prop.what}" for prop in story.props)
    yield from (section.title for section in story.sections)


def _missing(story: Story, folder: Path) -> list[str]:
    """Lines that nobody recorded, where some are recorded."""
    if not folder.is_dir():
        return []
    from tapscore.workflow.recording_lines import lines_to_record

    lines = lines_to_record(story, folder)
    missing = sum(line.file is None for line in lines)
    if not missing or missing == len(lines):
        return []
    return [
        say(
            "{missing} of {lines} lines {missing:is|are} not recorded.",
            missing=missing,
            lines=len(lines),
        )
    ]


def _papers(path: Path, digest: str, noted: Noted) -> list[str]:
    kinds = noted.get(key_of(path), {})
    older = {kind: last for kind, last in kinds.items() if last.digest != digest}
    if not older:
        return []
    made = datetime.fromtimestamp(max(last.at_sec for last in older.values()))
    names = joined(kind.replace("-", " ") for kind in older if kind)
    which = f": {names}" if names else ""
    return [
        say(
            "Papers of {day} are older than the last change{which}.",
            day=day_and_month(made),
            which=which,
        )
    ]


def _other_day(path: Path) -> tuple[str, ...]:
    """A day file that was not saved today."""
    try:
        saved = datetime.fromtimestamp(day_lying(path).stat().st_mtime)
    except OSError:
        return ()
    if saved.date() == date.today():
        return ()
    return (say("Who is here is of {day}.", day=day_and_month(saved)),)


def _changed_ns(path: Path) -> int:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


class KeptFacts:
    """What was worked out before, by path and by the state of file and recordings."""

    def __init__(self, file: Path | None) -> None:
        self._file = file or _cache_file()
        said = read_record(self._file)
        known = said.get("stories") if said.get("shape") == _SHAPE else None
        self._known: dict[str, Any] = known if isinstance(known, dict) else {}
        self._new = False

    def facts(self, path: Path, stamp: list[Any]) -> dict[str, Any] | None:
        """What was worked out of a file in that state."""
        match self._known.get(str(path)):
            case [kept, {"words": str(), "digest": str(), "title": str()} as facts]:
                return facts if kept == stamp else None
        return None

    def keep(self, path: Path, stamp: list[Any], facts: dict[str, Any]) -> None:
        """Keep what was worked out of a file in that state."""
        self._known[str(path)] = [stamp, facts]
        self._new = True

    def save(self, found: Mapping[str, KnownStory]) -> None:
        """Write what is new; the stories that were found stay, of others the last thousands."""
        if not self._new:
            return
        others = [key for key in self._known if key not in found]
        for key in others[: max(len(self._known) - 2 * MOST_STORIES, 0)]:
            del self._known[key]
        with suppress(OSError):
            write_record(self._file, {"shape": _SHAPE, "stories": self._known})


def _cache_file() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("tapscore", appauthor=False) / "my stories.json"
