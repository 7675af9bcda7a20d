"""The rhymes that the fit is learnt from and scored on."""

from pathlib import Path

from tapscore.words.build import rhymes as reader
from tapscore.words.build.rhymes import Rhyme, RhymeLine

__all__ = ["RHYMES", "UNSEEN", "Rhyme", "RhymeLine", "read_rhymes"]

RHYMES = Path(__file__).resolve().parent.parent / "data" / "rhymes.txt"
UNSEEN = RHYMES.with_name("rhymes_unseen.txt")


def read_rhymes(path: Path = RHYMES) -> tuple[Rhyme, ...]:
    """All rhymes of a file."""
    return reader.read_rhymes(path)
