"""Which hazards a description suggests, by the lists in ``resources/words/hazards.txt``."""

import re
from functools import lru_cache

from tapscore.resources import resource_path

NOT_MEANT = (
    r"(?:pictures?|photos?|photographs?|drawings?|paintings?|posters?|symbols?|recordings?|"
    r"sounds?|songs?|story|videos?) of (?:(?!with\b|on\b|and\b|that\b|in\b|under\b)\w+ ?)+",
    r"(?:no|not|without|never|nothing|un)(?: (?:any|a|the|too|more|its|to))?(?: \w+){1,2}",
    r"\w+ free\b",
    r"\w+ colou?red\b",
    r"\b(?:away|clear|far) (?:away )?from (?:the |their |any |every |each )?\w+",
    r"(?:toy|pretend|model|play) (?:fire engine|food|fruit|oven|kitchen|cooker|kettle|train|car|"
    r"iron|cake|bread|egg|ice cream|flower|cup|tea set|lamp|torch|camera|bus|boat)\w*",
)
"""Ways of speaking in which no hazard is meant, whatever it is."""
NOT_REAL = (
    r"(?:toy|pretend|felt|knitted|crochet|crocheted|wooden|plastic|painted|printed|paper|"
    r"cardboard|card|fabric|silk|plush|velvet|woolly|cloth)"
)
"""Before food, plants, snow and fire: made of something else."""
MADE = ("food", "plants", "heat", "water", "airborne", "noise")
"""Hazards that what is made of something else doesn't have."""
COLOUR = r"(?:red|blue|green|pink|white|brown|yellow|purple|grey|gray|black|gold|silver|orange)"


@lru_cache(maxsize=1)
def words_of_hazards() -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """For each hazard the words that suggest it, and the phrases that mislead."""
    whole = resource_path("words/hazards.txt").read_text(encoding="utf-8")
    blocks = [block for block in whole.split("\n\n") if not block.startswith("#")]
    found = {}
    for block in blocks:
        name, _, lists = block.strip().partition("\n")
        suggests, _, misleads = " ".join(lists.split()).partition(" misleads: ")
        found[name] = _listed(suggests.removeprefix("suggests: ")), _listed(misleads)
    return found


def _listed(words: str) -> tuple[str, ...]:
    return tuple(word for word in words.split(", ") if word)


@lru_cache(maxsize=2048)
def hazards_in(text: str) -> tuple[tuple[str, str], ...]:
    """Hazards that a description suggests, in the table's order, each with its word."""
    plain = _plain(text)
    for pattern in _not_meant():
        plain = pattern.sub(_MASK, plain)
    found: list[tuple[str, str]] = []
    for name in words_of_hazards():
        misleads, suggests = _patterns(name)
        match = suggests.search(misleads.sub(_MASK, plain))
        if match:
            found.append((name, match.group()))
    return tuple(found)


_MASK = " , "


def _plain(text: str) -> str:
    """Small letters and single spaces; what ends a clause is a comma."""
    folded = "".join(
        c if c.isalnum() else "," if c in ".,;:!?()|" else " " for c in text.casefold()
    )
    return " ".join(folded.replace(",", " , ").split())


@lru_cache(maxsize=1)
def _not_meant() -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(rf"\b{pattern}") for pattern in NOT_MEANT)


@lru_cache(maxsize=64)
def _patterns(name: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    suggests = "|".join(sorted(map(_form, words_of_hazards()[name][0]), key=len, reverse=True))
    misleads = [_form(words) for words in words_of_hazards()[name][1]]
    if name in MADE:
        misleads.append(rf"{NOT_REAL} (?:{suggests})")
    return re.compile(rf"\b(?:{'|'.join(misleads)})\b"), re.compile(rf"\b(?:{suggests})\b")


def _form(words: str) -> str:
    """An entry as a pattern: ``lamp`` finds lamps, ``twinkl*`` twinkling, ``rose #`` rose red."""
    ending = "" if words.endswith("*") else "(?:s|es)?"
    pattern = words.replace("*", r"\w*").replace(" ~ ", r"(?: \w+){0,2} ")
    return pattern.replace("#", COLOUR) if "#" in words else pattern + ending
