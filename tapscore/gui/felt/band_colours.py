"""Colours of the bands of a felt map for each set of inks; greys tell them apart, too."""

from attrs import frozen

from tapscore.gui.palettes import Inks

_TINTS = {
    "light": ("#CFE6E2", "#8FC1BC", "#A7A4AC"),
    "dark": ("#12484C", "#1B6268", "#6E6B76"),
    "high contrast": ("#2E2E2E", "#585858", "#8C8C8C"),
}


@frozen
class BandColours:
    """Colours as ``#RRGGBB``: the ground of each band (weakest first), hatching, contours."""

    grounds: tuple[str, str, str, str, str]
    hatching: str
    contour: str


def colours_of(inks: Inks) -> BandColours:
    """The bands' colours that go with some inks; the weaker bands are told by their lines."""
    stronger, strongest, hatching = _TINTS[inks.name]
    paper = inks.paper
    return BandColours((paper, paper, paper, stronger, strongest), hatching, inks.ink)
