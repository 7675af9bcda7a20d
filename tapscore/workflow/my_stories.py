"""The stories of a folder: what each is called, how long it lasts, what about it is out of date.

The list is made from the story files alone.
"""

import os
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from time import monotonic

from attrs import evolve, frozen

from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say
from tapscore.workflow.known_story import MOST_STORIES, KeptFacts, KnownStory, known_story
from tapscore.workflow.names import STORY_ENDINGS
from tapscore.workflow.printed import last_printed

ARCHIVE = "Archive"
DEEPEST = 2
"""Folders in folders that are looked into: a term's, and a story's."""
MOST_LOOKED_AT = 50_000
BETWEEN_LISTS_SEC = 0.5
"""So often a list that grows is told again."""


@frozen
class StoryList:
    """The stories of a folder, the newest first."""

    folder: Path
    stories: tuple[KnownStory, ...] = ()
    problem: str = ""
    """Why there are none, or not all; empty if nothing stood in the way."""


def stories_in(
    folder: Path,
    *,
    cache: Path | None = None,
    whole: bool = True,
    printed_record: Path | None = None,
    given_up: Callable[[], bool] = lambda: False,
    so_far: Callable[[StoryList], None] = lambda _: None,
    every_sec: float = BETWEEN_LISTS_SEC,
) -> StoryList:
    """List a folder's stories; never raises OSError.

    What stands at the head of each file or is kept from before comes first: that is quick even
    for hundreds.  ``whole``, the rest is worked out then, the newest story first, and
    ``so_far`` is told the list at once and again every ``every_sec``.  ``given_up`` is
    asked between files.
    """
    kept = KeptFacts(cache)
    noted = last_printed(printed_record)
    found: dict[str, KnownStory] = {}
    looked, problem = 0, ""
    try:
        for entry in _candidates(folder, DEEPEST):
            if given_up():
                return StoryList(folder, (), say("Stopped."))
            looked += 1
            if looked > MOST_LOOKED_AT or len(found) >= MOST_STORIES:
                problem = (
                    say(
                        "Only the first {most:,} stories are listed",
                        most=MOST_STORIES,
                    )
                    if len(found) >= MOST_STORIES
                    else say(
                        "Only the first {most:,} files were looked at",
                        most=MOST_LOOKED_AT,
                    )
                )
                problem += say(": put stories into a folder of their own.")
                break
            with suppress(OSError):
                known = known_story(Path(entry), kept, noted, whole=False)
                if known is not None:
                    found[entry] = known
    except OSError as error:
        problem = _why_not(folder, error)
    if whole:
        so_far(_in_order(folder, found, problem))
        told_sec = monotonic()
        for each in _in_order(folder, found, problem).stories:
            if given_up():
                break
            if each.known:
                continue
            try:
                known = known_story(each.path, kept, noted, whole=True)
            except OSError:  # gone since, or its drive: the head is what is known of it
                continue
            if known is not None:
                found[str(each.path)] = known
            if monotonic() - told_sec > every_sec:
                so_far(_in_order(folder, found, problem))
                told_sec = monotonic()
        kept.save(found)
    return _in_order(folder, found, problem)


def _why_not(folder: Path, error: OSError) -> str:
    """Why a folder can't be looked into, or not to its end."""
    if isinstance(error, FileNotFoundError):
        return say("There is no folder {folder}. Choose another one.", folder=folder)
    if isinstance(error, NotADirectoryError):
        return say("{folder} is a file, not a folder. Choose its folder.", folder=folder)
    return say(
        "{folder} can't be looked into: {why}. Is its drive there?",
        folder=folder,
        why=reason(error),
    )


def _in_order(folder: Path, found: Mapping[str, KnownStory], problem: str) -> StoryList:
    """The list with the newest first, and those of one title marked."""
    times = Counter(each.title.casefold() for each in found.values())
    marked = (evolve(each, twin=times[each.title.casefold()] > 1) for each in found.values())
    ordered = sorted(marked, key=lambda each: (-each.changed_sec, str(each.path)))
    return StoryList(folder, tuple(ordered), problem)


def _candidates(folder: Path, deeper: int) -> Iterator[str]:
    """Files that may be stories, of a folder and those in it; raises OSError for the first."""
    folders: list[str] = []
    with os.scandir(folder) as entries:
        for entry in entries:
            name = entry.name
            if name.startswith("."):
                continue
            if name.endswith(STORY_ENDINGS):
                yield entry.path
            elif deeper and "." not in name and name != ARCHIVE:
                with suppress(OSError):
                    if entry.is_dir(follow_symlinks=False) and not name.endswith(" recordings"):
                        folders.append(entry.path)
    for each in sorted(folders):
        with suppress(OSError):
            yield from _candidates(Path(each), deeper - 1)
