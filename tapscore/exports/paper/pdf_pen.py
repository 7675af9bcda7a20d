"""The pen that draws text and shapes on a PDF page, with embedded fonts."""

from collections.abc import Callable
from io import BytesIO
from typing import TYPE_CHECKING, Any

from attrs import evolve

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import FROM_RIGHT, Element, Panel, Photo, Shape, TextRun
from tapscore.exports.paper.inks import Ink

if TYPE_CHECKING:
    from tapscore.exports.paper.shaping import Glyphs


class Pen:
    """Draws elements, whose y counts down from the top of a page ``height`` points high."""

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        self.height = 0.0

    def draw(self, element: Element, after: Element | None) -> None:
        """Draw one element; ``after`` is what comes next in its paragraph."""
        if isinstance(element, TextRun):
            parted = isinstance(after, TextRun) and _parted(element, after)
            self._text(element, " " if parted else "")
        elif isinstance(element, Shape):
            self._shape(element)
        elif isinstance(element, Panel):
            self._panel(element)
        elif isinstance(element, Photo):
            self._photo(element)
        else:
            canvas = self._canvas
            canvas.setStrokeColorRGB(*element.ink.parts)
            canvas.setLineWidth(element.thick_pt)
            canvas.setLineCap(0)
            canvas.setDash()
            y0, y1 = self.height - element.y0, self.height - element.y1
            canvas.line(element.x0, y0, element.x1, y1)

    def _text(self, text: TextRun, space: str) -> None:
        """Draw a run; a space that shows nothing keeps it from running into the next."""
        self._fill(text.ink)
        if text.way == FROM_RIGHT:
            self.shaped(text)
        elif not text.way and fonts.right_to_left(text.text):
            from tapscore.exports.paper.both_ways import both_ways

            look = (text.text, text.bold, text.ink)
            runs, _ = both_ways([[look]], text.size_pt, from_right=False, base_lines=[text.y])
            for run in runs:
                self._text(evolve(run, x=text.x + run.x), "")
        else:
            x = text.x
            for part in fonts.runs(text.text + space, text.bold):
                self._glyphs(part.font, text.size_pt, x, text.y, part.text)
                x += part.width_em * text.size_pt

    def shaped(self, text: TextRun, opened: Callable[[str | None], None] | None = None) -> None:
        """Draw letters from right to left; each part is ``opened`` and closed, if wanted.

        It is opened with the letter it says, or with None if its glyphs do.  Points, and
        all letters of one glyph but the first, are said by parts that show nothing, and
        drawn by parts that say nothing: where they stand is not where they are read.
        """
        from tapscore.exports.paper.shaping import shaped

        self._fill(text.ink)
        size = text.size_pt
        for cluster in shaped(text.text, text.bold).clusters:
            head = cluster.glyphs[0]
            if opened:
                for letter in reversed(cluster.more):
                    opened(letter)
                    self._unseen(head.font, size, text.x + cluster.x_em * size, text.y)
            for glyphs in cluster.points:
                if opened:
                    opened("")
                self._at(text, glyphs)
            if opened:
                opened(cluster.letter or None)
            for glyphs in cluster.glyphs:
                self._at(text, glyphs)

    def _at(self, text: TextRun, glyphs: "Glyphs") -> None:
        x, y = text.x + glyphs.x_em * text.size_pt, text.y - glyphs.y_em * text.size_pt
        self._glyphs(glyphs.font, text.size_pt, x, y, glyphs.text)

    def _glyphs(self, font: str, size_pt: float, x: float, y: float, words: str) -> None:
        self._canvas.setFont(font, size_pt)
        self._canvas.drawString(x, self.height - y, words)

    def _unseen(self, font: str, size_pt: float, x: float, y: float) -> None:
        """A space so narrow that it takes no room."""
        text = self._canvas.beginText(x, self.height - y)
        text.setFont(font, size_pt)
        text.setHorizScale(1)
        text.textOut(" ")
        text.setHorizScale(100)
        self._canvas.drawText(text)

    def _shape(self, shape: Shape) -> None:
        path = self._canvas.beginPath()
        at = self.height
        for name, v in shape.ops:
            if name == "M":
                path.moveTo(v[0], at - v[1])
            elif name == "L":
                path.lineTo(v[0], at - v[1])
            elif name == "C":
                path.curveTo(v[0], at - v[1], v[2], at - v[3], v[4], at - v[5])
            else:
                path.close()
        self._fill(shape.ink)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def _photo(self, photo: Photo) -> None:
        from reportlab.lib.utils import ImageReader  # type: ignore[import-untyped]

        foot = self.height - photo.y - photo.height_pt
        picture = ImageReader(BytesIO(photo.jpeg))
        self._canvas.drawImage(picture, photo.x, foot, photo.width_pt, photo.height_pt)

    def _panel(self, panel: Panel) -> None:
        canvas = self._canvas
        if panel.fill:
            self._fill(panel.fill)
        if panel.edge:
            canvas.setStrokeColorRGB(*panel.edge.parts)
            canvas.setLineWidth(panel.edge_pt)
            canvas.setDash([panel.dash_pt, panel.dash_pt * 0.7] if panel.dash_pt else [])
        canvas.roundRect(
            panel.x,
            self.height - panel.y - panel.height_pt,
            panel.width_pt,
            panel.height_pt,
            min(panel.radius_pt, panel.width_pt / 2, panel.height_pt / 2),
            stroke=1 if panel.edge else 0,
            fill=1 if panel.fill else 0,
        )
        canvas.setDash([])

    def _fill(self, ink: Ink) -> None:
        self._canvas.setFillColorRGB(*ink.parts)


def _parted(one: TextRun, other: TextRun) -> bool:
    """Whether a space belongs between two runs: not inside a word, nor where one is drawn."""
    if one.way or other.spoken == "" or one.text.endswith(" ") or other.text.startswith(" "):
        return False
    touching = abs(one.x + one.width_pt - other.x) < 0.05 * one.size_pt and one.y == other.y
    return not touching
