"""The rhymes and stanzas that the fit is learnt from and scored on."""

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from attrs import evolve

from tests.training import rhymes as reader
from tests.training.rhymes import Rhyme, RhymeLine

__all__ = [
    "RHYMES",
    "SONGS_UNSEEN",
    "STORIES_FIRST",
    "STORIES_PLAIN",
    "STORIES_SET_AGAIN",
    "STORIES_UNSEEN",
    "STORIES_UNSEEN_LAST",
    "STORIES_UNSEEN_LATER",
    "STORIES_UNSEEN_SET_AGAIN",
    "UNSEEN",
    "Rhyme",
    "RhymeLine",
    "by_anybody",
    "read_rhymes",
    "with_stops",
    "without_stops",
]

RHYMES = Path(__file__).resolve().parent.parent / "data" / "rhymes.txt"
UNSEEN = RHYMES.with_name("rhymes_unseen.txt")
SONGS_UNSEEN = RHYMES.with_name("songs_unseen.txt")
STORIES_FIRST = RHYMES.with_name("story_lines.txt")
STORIES_SET_AGAIN = RHYMES.with_name("story_lines_set_again.txt")
STORIES_UNSEEN_SET_AGAIN = RHYMES.with_name("story_lines_unseen_set_again.txt")
STORIES_UNSEEN = RHYMES.with_name("story_lines_unseen.txt")
STORIES_UNSEEN_LAST = RHYMES.with_name("story_lines_unseen_last.txt")
STORIES_PLAIN = RHYMES.with_name("story_lines_plain.txt")
STORIES_UNSEEN_LATER = RHYMES.with_name("story_lines_unseen_later.txt")


def read_rhymes(path: Path = RHYMES, *, by_steps: bool = False) -> tuple[Rhyme, ...]:
    """All rhymes of a file."""
    return reader.read_rhymes(path, by_steps=by_steps)


def by_anybody(texts: Sequence[Rhyme], again: Sequence[Rhyme]) -> list[Rhyme]:
    """The same lines, with the settings of others as well."""
    return _joined(
        texts, again, lambda one, other: RhymeLine(one.words, (*one.settings, *other.settings))
    )


def with_stops(texts: Sequence[Rhyme], again: Sequence[Rhyme]) -> list[Rhyme]:
    """The same lines with the stops that another wrote inside them, where there are any."""
    return _joined(
        texts, again, lambda one, other: evolve(one, words=max(one.words, other.words, key=len))
    )


def _joined(
    texts: Sequence[Rhyme],
    again: Sequence[Rhyme],
    join: Callable[[RhymeLine, RhymeLine], RhymeLine],
) -> list[Rhyme]:
    return [
        evolve(text, lines=tuple(map(join, text.lines, other.lines)))
        for text, other in zip(texts, again, strict=True)
    ]


def without_stops(texts: Sequence[Rhyme]) -> list[Rhyme]:
    """The same lines as if nobody had written a stop or comma inside them."""
    return [
        evolve(text, lines=tuple(evolve(line, words=_bare(line.words)) for line in text.lines))
        for text in texts
    ]


def _bare(words: str) -> str:
    return re.sub(r"[.,!?](?=\s|$)", "", words)
