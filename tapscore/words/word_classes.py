"""What each word of a line does in the sentence, from ``resources/words/word_classes.txt``."""

from collections.abc import Mapping, Sequence
from functools import cache

from tapscore.resources import resource_path

FULL, VERB, DOING, PAST = "full", "verb", "doing", "past"
PARTICLE, PREPOSITION = "particle", "preposition"
DESCRIBING = "describing"
_BEFORE_NOUNS = frozenset(("article", "owner", "pointing", "amount", "number", DESCRIBING))
_NOUNS_IN_ING = frozenset(
    ("morning", "evening", "spring", "string", "ceiling", "pudding", "wedding")
)
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
    found = [_plain_class(word) for word in words]
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


def _plain_class(word: str) -> str:
    name = word_classes().get(word, FULL)
    return FULL if name == VERB else name


def finer_classes(words: Sequence[str], classes: Sequence[str]) -> list[str]:
    """The same classes, with ``verb``, ``doing`` and ``past`` told apart among full words.

    A word that may be a noun or a verb is a verb unless an article or the like stands before
    it; an unknown word is one if an article follows (*knead the dough*).
    """
    found = list(classes)
    for at, name in enumerate(classes):
        before = found[at - 1] if at else ""
        after = classes[at + 1] if at + 1 < len(classes) else ""
        if before in _BEFORE_NOUNS or name not in (FULL, DESCRIBING):
            continue
        if name == DESCRIBING:
            found[at] = VERB if after in ("article", "owner", "pronoun") else name
        else:
            found[at] = _verb_form(words[at], after, at) or name
    return found


def _verb_form(word: str, after: str, at: int) -> str:
    if word_classes().get(word) == VERB:
        return VERB
    if len(word) > 5 and word.endswith("ing") and word not in _NOUNS_IN_ING:
        return DOING
    if len(word) > 4 and word.endswith("ed"):
        return PAST
    return VERB if at and after in ("article", "owner") else ""
