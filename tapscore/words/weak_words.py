"""Words that are said lightly in a sentence, from ``resources/words/weak_words.txt``."""

from collections.abc import Mapping
from functools import cache

from tapscore.resources import resource_path

CLITIC = "clitic"
FUNCTION = "function"
LIGHT = "light"
LONG = "long"


def parse_weak_words(text: str) -> dict[str, str]:
    """Read ``kind: word word``; lines that begin with # are remarks."""
    kinds: dict[str, str] = {}
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            kind, _, words = line.partition(":")
            for word in words.split():
                kinds.setdefault(word, kind.strip())
    return kinds


@cache
def weak_words() -> Mapping[str, str]:
    """Kind of every weak word, small letters, straight apostrophes."""
    text = resource_path("words/weak_words.txt").read_text(encoding="utf-8")
    return parse_weak_words(text)


def is_unstressed(word: str) -> bool:
    """Whether a word (small letters) has no stress of its own in a sentence."""
    return weak_words().get(word) in (CLITIC, FUNCTION)
