"""Which way the letters of a line run: the Unicode Bidirectional Algorithm (UAX #9).

Levels and order come from a library, which tells them as a reordered text.  So that it also
tells which characters run from right to left, each is followed by two tags: characters of
the class BN, which the algorithm looks through (UAX #9, X9 and 5.2) and keeps beside the
character they follow, to its right or, in letters that run from right to left, to its left.
"""

import unicodedata
from functools import lru_cache

from attrs import frozen

_HIGH, _LOW, _TAGS = 0xE0020, 0xE0040, 32
_PART = 500
"""Characters looked at together: with as many that close what is left open they are fewer than
there are pairs of tags."""
_ISOLATE, _END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
_ISOLATES = "\N{LEFT-TO-RIGHT ISOLATE}\N{RIGHT-TO-LEFT ISOLATE}\N{FIRST STRONG ISOLATE}"
_EMBEDDINGS = (
    "\N{LEFT-TO-RIGHT EMBEDDING}\N{RIGHT-TO-LEFT EMBEDDING}"
    "\N{LEFT-TO-RIGHT OVERRIDE}\N{RIGHT-TO-LEFT OVERRIDE}"
)
_END_EMBEDDING = "\N{POP DIRECTIONAL FORMATTING}"
_MARKS = {
    "L": "\N{LEFT-TO-RIGHT MARK}",
    "R": "\N{RIGHT-TO-LEFT MARK}",
    "AL": "\N{ARABIC LETTER MARK}",
}


@frozen
class Stretch:
    """Characters that stand side by side and run the same way."""

    start: int
    end: int
    """Where they are in the text: from ``start``, up to but not with ``end``."""
    from_right: bool


def begins_from_right(text: str) -> bool:
    """Whether the first letter with a direction runs from right to left (UAX #9, P2 and P3).

    What is kept apart is passed over, but where there is nothing else.
    """
    return (_strong(_outside(text)) or _strong(text)) in ("R", "AL")


@lru_cache(maxsize=4096)
def stretches(text: str, *, from_right: bool, before: str = "") -> tuple[Stretch, ...]:
    """The stretches of one line, in the order they stand in from the left.

    ``from_right`` is the direction of the paragraph, ``before`` what of it stands on the
    lines before: numbers and signs at the beginning of a line go with the letters there.
    """
    context = _context(before, text)
    found: list[Stretch] = []
    for at in range(0, len(text), _PART):
        part = text[at : at + _PART]
        whole = context + part
        # What is left open would take in the mark that ends the line; closing too much is ignored.
        whole += _END * _count(whole, _ISOLATES) + _END_EMBEDDING * _count(whole, _EMBEDDINGS)
        order = [
            (at + index - len(context), turned)
            for index, turned in _order(whole, from_right)
            if 0 <= index - len(context) < len(part)
        ]
        made = _joined(order)
        found = [*made, *found] if from_right else [*found, *made]
    return tuple(found)


def _count(text: str, characters: str) -> int:
    return sum(map(text.count, characters))


def _order(text: str, from_right: bool) -> list[tuple[int, bool]]:
    """Index of every character from the left, and whether it runs from right to left."""
    from bidi import get_display  # type: ignore[import-untyped]

    base = "R" if from_right else "L"
    end = _MARKS[base]
    tagged = "".join(
        character + chr(_HIGH + index // _TAGS) + chr(_LOW + index % _TAGS)
        for index, character in enumerate(text)
    )
    shown: str = get_display(tagged + end, base_dir=base)
    shown = shown[1:] if from_right else shown[:-1]
    order: list[tuple[int, bool]] = []
    for one, high, other in zip(shown[0::3], shown[1::3], shown[2::3], strict=True):
        turned = _LOW <= ord(one) < _LOW + _TAGS
        low = one if turned else other
        order.append(((ord(high) - _HIGH) * _TAGS + ord(low) - _LOW, turned))
    return order


def _joined(order: list[tuple[int, bool]]) -> list[Stretch]:
    made: list[Stretch] = []
    for index, turned in order:
        last = made[-1] if made else None
        if last and last.from_right == turned and turned and last.start == index + 1:
            made[-1] = Stretch(index, last.end, turned)
        elif last and last.from_right == turned and not turned and last.end == index:
            made[-1] = Stretch(last.start, index + 1, turned)
        else:
            made.append(Stretch(index, index + 1, turned))
    return made


def _context(before: str, text: str) -> str:
    """What stands for the lines before: an isolate that goes on, or the last strong letter."""
    opened: list[int] = []
    for at, character in enumerate(before):
        if character == _ISOLATE:
            opened.append(at)
        elif character == _END and opened:
            opened.pop()
    if opened:
        inside = before[opened[-1] + 1 :] + text
        return _ISOLATE + _MARKS["R" if begins_from_right(inside) else "L"]
    return _MARKS.get(_strong(before[::-1]) or "", "")


def _outside(text: str) -> str:
    """A text without what stands between an isolate and its end."""
    depth, kept = 0, []
    for character in text:
        depth += character == _ISOLATE
        kept += [] if depth else [character]
        depth -= character == _END and depth > 0
    return "".join(kept)


def _strong(text: str) -> str | None:
    """Class of the first character with a direction of its own."""
    return next((c for c in map(unicodedata.bidirectional, text) if c in _MARKS), None)
