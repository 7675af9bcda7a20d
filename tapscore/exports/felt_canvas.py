"""A page of pixels to draw a map on: text with its fonts, shapes, rasters; saved as PNG."""

from collections.abc import Iterable
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import Element, Panel, Shape, StraightLine, TextRun, outlines
from tapscore.exports.paper.inks import Ink
from tapscore.exports.paper.text_width import width_pt
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

FINE = 2
"""Drawn so many times larger and made small at the end, so that edges are smooth."""
_DOTS_PER_INCH = 150


class Canvas:
    """Coordinates and sizes are in pixels of the finished picture, y down."""

    def __init__(self, width: int, height: int, ground: Ink) -> None:
        from PIL import Image, ImageDraw

        self.width, self.height = width, height
        self._image = Image.new("RGB", (width * FINE, height * FINE), ground.hex)
        self._draw = ImageDraw.Draw(self._image)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        ink: Ink,
        *,
        bold: bool = False,
        align: float = 0.0,
        halo: Ink | None = None,
    ) -> None:
        """Write on the line ``y``; with ``align`` 0 it starts at x, with 1 it ends there."""
        at = x - align * width_pt(text, size, bold=bold)
        for run in fonts.runs(text, bold):
            font = _font(run.font, round(size * FINE))
            self._draw.text(
                (at * FINE, y * FINE),
                run.text,
                fill=ink.hex,
                font=font,
                anchor="ls",
                stroke_width=round(size * FINE * 0.16) if halo else 0,
                stroke_fill=halo.hex if halo else None,
            )
            if halo:
                self._draw.text((at * FINE, y * FINE), run.text, ink.hex, font, anchor="ls")
            at += run.width_em * size

    def draw(self, elements: Iterable[Element]) -> None:
        """Draw the elements of a picture."""
        for element in elements:
            if isinstance(element, TextRun):
                size, bold = element.size_pt, element.bold
                self.text(element.x, element.y, element.text, size, element.ink, bold=bold)
            elif isinstance(element, Panel):
                self.panel(
                    element.x,
                    element.y,
                    element.width_pt,
                    element.height_pt,
                    radius=element.radius_pt,
                    fill=element.fill,
                    edge=element.edge,
                    edge_width=element.edge_pt,
                )
            elif isinstance(element, Shape):
                for points in outlines(element):
                    fine = [(x * FINE, y * FINE) for x, y in points]
                    self._draw.polygon(fine, element.ink.hex)
            elif isinstance(element, StraightLine):
                ends = [(element.x0, element.y0), (element.x1, element.y1)]
                self.line(ends, element.ink, element.thick_pt)

    def line(self, points: list[tuple[float, float]], ink: Ink, width: float) -> None:
        """Draw a line through points."""
        fine = [(px * FINE, py * FINE) for px, py in points]
        self._draw.line(fine, ink.hex, round(width * FINE), joint="curve")

    def panel(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        radius: float = 0.0,
        fill: Ink | None = None,
        edge: Ink | None = None,
        edge_width: float = 2.0,
    ) -> None:
        """Draw a rectangle with round corners."""
        self._draw.rounded_rectangle(
            (x * FINE, y * FINE, (x + width) * FINE, (y + height) * FINE),
            radius * FINE,
            fill.hex if fill else None,
            edge.hex if edge else None,
            round(edge_width * FINE),
        )

    def raster(self, x: int, y: int, colours: NDArray[np.uint8]) -> None:
        """Put pixels (height, width, 3), ``FINE`` times as many as the picture has, at (x, y)."""
        from PIL import Image

        self._image.paste(Image.fromarray(colours), (x * FINE, y * FINE))

    def png(self) -> bytes:
        """The finished picture."""
        from PIL import Image

        small = self._image.resize((self.width, self.height), Image.Resampling.BOX)
        out = BytesIO()
        small.save(out, "PNG", optimize=True, dpi=(_DOTS_PER_INCH, _DOTS_PER_INCH))
        return out.getvalue()


def wrapped(text: str, size: float, width: float) -> list[str]:
    """Split a text into lines no wider than ``width``."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width_pt(longer, size, bold=False) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def shortened(text: str, size: float, width: float) -> str:
    """A bold text, cut with an ellipsis where it would be wider than ``width``."""
    if width_pt(text, size, bold=True) <= width:
        return text
    while text and width_pt(f"{text}…", size, bold=True) > width:
        text = text[:-1].rstrip()
    return f"{text}…"


@cache
def _font(name: str, size: int) -> "FreeTypeFont":
    from PIL import ImageFont

    path = fonts.font_path(name)
    if path is None:
        raise FileNotFoundError(
            say("the font {name} is missing: install tapscore again", name=name)
        )
    return ImageFont.truetype(str(path), size)
