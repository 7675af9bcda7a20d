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
    near = _near(plain)
    for name in words_of_hazards():
        suggests, misleads = (tuple(near.get((name, kind), ())) for kind in _KINDS)
        if not suggests:
            continue
        suggest = _suggesting(suggests)
        # most don't match, and masking makes no match: the longer pattern is made if need be
        if not suggest.search(plain):
            continue
        lead_astray = _misleading(name, suggests, misleads)
        seen = lead_astray.sub(_MASK, plain) if lead_astray else plain
        if match := suggest.search(seen):
            found.append((name, match.group()))
    return tuple(found)


_KINDS = range(2)
"""What suggests, and what misleads; as in ``words_of_hazards``."""


def _near(plain: str) -> dict[tuple[str, int], list[str]]:
    """For each hazard the entries that may be in a text: those whose first word begins one there.

    A pattern of all entries takes longer to be made than all other rules of a story together.
    """
    near: dict[tuple[str, int], dict[str, None]] = {}
    whole = f" {plain} "
    for word in dict.fromkeys(plain.split()):
        for end in range(len(word) + 1):
            for name, kind, entry in _by_first_word().get(word[:end], ()):
                if _may_stand(entry, whole):
                    near.setdefault((name, kind), {})[entry] = None
    order = _order()
    return {key: sorted(entries, key=order[key].__getitem__) for key, entries in near.items()}


def _may_stand(entry: str, whole: str) -> bool:
    """Whether an entry may be in a text, with spaces about it: sure where no sign is in the entry.

    Making a pattern takes a hundred times longer than looking for letters.
    """
    said = _SIGN.search(entry)
    if said is None:
        return any(f" {entry}{ending} " in whole for ending in ("", "s", "es"))
    return f" {entry[: said.start()].rstrip()}" in whole


@lru_cache(maxsize=1)
def _by_first_word() -> dict[str, list[tuple[str, int, str]]]:
    found: dict[str, list[tuple[str, int, str]]] = {}
    for name, lists in words_of_hazards().items():
        for kind in _KINDS:
            for entry in lists[kind]:
                first = entry.partition(" ")[0]
                if not first.isalpha():  # far fewer have a star, a hyphen or a digit
                    match = _FIRST.match(entry)
                    first = match[0] if match else ""
                found.setdefault(first, []).append((name, kind, entry))
    return found


@lru_cache(maxsize=1)
def _order() -> dict[tuple[str, int], dict[str, int]]:
    return {
        (name, kind): {entry: at for at, entry in enumerate(lists[kind])}
        for name, lists in words_of_hazards().items()
        for kind in _KINDS
    }


_FIRST = re.compile(r"\w+")
_SIGN = re.compile(r"[^\w ]")


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


@lru_cache(maxsize=2048)
def _suggesting(suggests: tuple[str, ...]) -> re.Pattern[str]:
    """What suggests a hazard."""
    return re.compile(rf"\b(?:{_any_of(suggests)})\b")


@lru_cache(maxsize=2048)
def _misleading(
    name: str, suggests: tuple[str, ...], misleads: tuple[str, ...]
) -> re.Pattern[str] | None:
    """What misleads, if anything may."""
    astray = [_form(words) for words in misleads]
    if name in MADE:
        astray.append(rf"{NOT_REAL} (?:{_any_of(suggests)})")
    return re.compile(rf"\b(?:{'|'.join(astray)})\b") if astray else None


def _any_of(entries: tuple[str, ...]) -> str:
    """A pattern of any entry, the longest first."""
    return "|".join(sorted(map(_form, entries), key=len, reverse=True))


def _form(words: str) -> str:
    """An entry as a pattern: ``lamp`` finds lamps, ``twinkl*`` twinkling, ``rose #`` rose red."""
    ending = "" if words.endswith("*") else "(?:s|es)?"
    pattern = words.replace("*", r"\w*").replace(" ~ ", r"(?: \w+){0,2} ")
    return pattern.replace("#", COLOUR) if "#" in words else pattern + ending
