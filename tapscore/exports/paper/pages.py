"""Sizes of paper (ISO 216) and the margins office printers need."""

from attrs import frozen

PT_PER_MM = 72 / 25.4
MARGIN_MM = 6.5
"""Wider than the strip that office printers leave blank (about 5 mm; common practice)."""

_A_SERIES_MM = {"A4": (210, 297), "A5": (148, 210), "A6": (105, 148)}
PAPERS = tuple(_A_SERIES_MM)


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


def paper(name: str, *, landscape: bool, margin_mm: float = MARGIN_MM) -> Paper:
    """Give an ISO 216 sheet lying or standing.

    Raises ValueError, with the names there are, for another name.
    """
    size = _A_SERIES_MM.get(name.strip().upper())
    if size is None:
        raise ValueError(f"paper {name!r} is not known: choose from {', '.join(PAPERS)}")
    short, long = (side * PT_PER_MM for side in size)
    width, height = (long, short) if landscape else (short, long)
    return Paper(name.strip().upper(), width, height, margin_mm * PT_PER_MM)
