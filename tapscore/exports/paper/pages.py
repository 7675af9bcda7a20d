"""Sizes of paper, standard ones and the user's own, and the margins office printers need."""

import re

from attrs import frozen

from tapscore.wording.catalogue import say

PT_PER_MM = 72 / 25.4
MARGIN_MM = 6.5
"""Wider than the strip that office printers leave blank."""
REACH_MM = 5.0
"""The strip at each edge that many office printers leave blank: common practice, no source."""
SMALLEST_MM = (74.0, 105.0)
"""A7 (ISO 216): no smaller paper is printed on."""
LARGEST_MM = (297.0, 420.0)
"""A3 (ISO 216): no larger paper is printed on."""
LEAST_INNER_MM = 40.0

_STANDARD_MM = {
    # ISO 216
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "A6": (105.0, 148.0),
    # ANSI/ASME Y14.1, size A: 8.5 by 11 inches
    "Letter": (215.9, 279.4),
}
PAPERS = tuple(_STANDARD_MM)
_HALF = {"A3": "A4", "A4": "A5", "A5": "A6"}
_LEAST_PART_MM = (100.0, 135.0)
"""A sheet is not halved into parts smaller than this."""
_SIDE = r"(\d{1,6}(?:[.,]\d{1,3})?)"
_OWN = re.compile(rf"{_SIDE}\s*(?:mm)?\s*[x×*]\s*{_SIDE}\s*(?:mm)?", re.I)


@frozen
class Paper:
    """One page: its size and margin in points."""

    name: str
    width_pt: float
    height_pt: float
    margin_pt: float

    @property
    def inner_width_pt(self) -> float:
        """Width between the margins."""
        return self.width_pt - 2 * self.margin_pt

    @property
    def inner_height_pt(self) -> float:
        """Height between the margins."""
        return self.height_pt - 2 * self.margin_pt

    @property
    def margin_mm(self) -> float:
        """The margin in millimetres."""
        return self.margin_pt / PT_PER_MM


def paper_name(text: str) -> str:
    """How a paper is written here: ``"A5"``, ``"Letter"`` or ``"120 x 180 mm"``.

    ``text`` is a standard paper or its sides in millimetres, the short or the long one
    first.  Raises ValueError, with what can be written, for anything else and for paper
    smaller than A7 or larger than A3.
    """
    wanted = text.strip()
    for name in PAPERS:
        if wanted.casefold() == name.casefold():
            return name
    own = _OWN.fullmatch(wanted)
    if own is None:
        raise ValueError(
            say(
                "paper “{paper}” is not known: choose from {known:list}, or give its sides in "
                "millimetres, such as 120x180",
                paper=text,
                known=tuple(PAPERS),
            )
        )
    short, long = sorted(float(side.replace(",", ".")) for side in own.groups())
    if short < SMALLEST_MM[0] or long < SMALLEST_MM[1]:
        raise ValueError(
            say(
                "paper of {short} x {long} mm is too small: choose {sides} (A7) or more",
                short=short,
                long=long,
                sides=_sides(SMALLEST_MM),
            )
        )
    if short > LARGEST_MM[0] or long > LARGEST_MM[1]:
        raise ValueError(
            say(
                "paper of {short} x {long} mm is too large: choose {sides} (A3) or less",
                short=short,
                long=long,
                sides=_sides(LARGEST_MM),
            )
        )
    standard = {sides: name for name, sides in _STANDARD_MM.items()}
    return standard.get((short, long)) or _sides((short, long))


def sides_mm(name: str) -> tuple[float, float]:
    """The short and the long side of a paper; raises ValueError as ``paper_name`` does."""
    known = paper_name(name)
    if known in _STANDARD_MM:
        return _STANDARD_MM[known]
    short, long = known.removesuffix(" mm").split(" x ")
    return float(short), float(long)


def paper(name: str, *, landscape: bool, margin_mm: float | None = None) -> Paper:
    """Give a sheet lying or standing; ``margin_mm`` is as usual if not said.

    ``name`` is as ``paper_name`` reads it.  Raises ValueError for a paper there is none of
    and for a margin that leaves no room.
    """
    short, long = sides_mm(name)
    margin = MARGIN_MM if margin_mm is None else margin_mm
    if not 0 <= margin <= (short - LEAST_INNER_MM) / 2:
        raise ValueError(
            say(
                "a margin of {margin} mm leaves no room on {paper}: choose 0 to {most} mm, or "
                "larger paper",
                margin=margin,
                paper=paper_name(name),
                most=(short - LEAST_INNER_MM) / 2,
            )
        )
    width, height = (long, short) if landscape else (short, long)
    return Paper(paper_name(name), width * PT_PER_MM, height * PT_PER_MM, margin * PT_PER_MM)


def parts(name: str, most: int) -> tuple[str, int]:
    """Halve a sheet again and again, into ``most`` parts (1, 2 or 4) or until they grow small.

    Gives the paper of one part, and how many there are.
    """
    part, count = paper_name(name), 1
    while count < most:
        short, long = sides_mm(part)
        half = _HALF.get(part) or _sides((min(short, long / 2), max(short, long / 2)))
        try:
            sides = sides_mm(half)
        except ValueError:
            break
        if any(side < least for side, least in zip(sides, _LEAST_PART_MM, strict=True)):
            break
        part, count = half, count * 2
    return part, count


def _sides(sides: tuple[float, float]) -> str:
    return f"{round(sides[0], 3):g} x {round(sides[1], 3):g} mm"
