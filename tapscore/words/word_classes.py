"""What each word of a line does in the sentence, from ``resources/words/word_classes.txt``."""

from collections.abc import Mapping, Sequence
from functools import cache

from tapscore.resources import resource_path

FULL = "full"
PARTICLE, PREPOSITION = "particle", "preposition"
_AFTER_PARTICLES = frozenset((PREPOSITION, "joining", "pronoun", "subject", PARTICLE))


@cache
def word_classes() -> Mapping[str, str]:
    """Class of every listed word, small letters, straight apostrophes."""
    classes: dict[str, str] = {}
    for line in resource_path("words/word_classes.txt").read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            name, _, words = line.partition(":")
            for word in words.split():
                classes.setdefault(word, name.replace(" ", "-"))
    return classes


def classes_of(words: Sequence[str], pauses: Sequence[bool]) -> list[str]:
    """The class of every word of a line; ``pauses`` tells after which ones a stop is written."""
    listed = word_classes()
    found = [listed.get(word, FULL) for word in words]
    last = len(words) - 1
    return [
        PREPOSITION
        if name == PARTICLE
        and at < last
        and not pauses[at]
        and found[at + 1] not in _AFTER_PARTICLES
        else name
        for at, name in enumerate(found)
    ]
