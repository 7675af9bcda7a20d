"""The rhymes and stanzas that the fit is learnt from and scored on."""

from pathlib import Path

from tests.training import rhymes as reader
from tests.training.rhymes import Rhyme, RhymeLine

__all__ = [
    "RHYMES",
    "SONGS_UNSEEN",
    "STORIES_UNSEEN",
    "STORIES_UNSEEN_LATER",
    "UNSEEN",
    "Rhyme",
    "RhymeLine",
    "read_rhymes",
]

RHYMES = Path(__file__).resolve().parent.parent / "data" / "rhymes.txt"
UNSEEN = RHYMES.with_name("rhymes_unseen.txt")
SONGS_UNSEEN = RHYMES.with_name("songs_unseen.txt")
STORIES_UNSEEN = RHYMES.with_name("story_lines_unseen.txt")
STORIES_UNSEEN_LATER = RHYMES.with_name("story_lines_unseen_later.txt")


def read_rhymes(path: Path = RHYMES, *, by_steps: bool = False) -> tuple[Rhyme, ...]:
    """All rhymes of a file."""
    return reader.read_rhymes(path, by_steps=by_steps)
