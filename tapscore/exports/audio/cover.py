"""The cover of a story's sound files: its own picture, or a board with its first line's taps."""

from io import BytesIO
from typing import TYPE_CHECKING

from tapscore.exports.own_pictures import OwnPicture
from tapscore.exports.paper.fonts import BOLD, REGULAR, font_path
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance, Segment
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont, ImageFont

SIDE_PX = 600
_DRAWN_PX = 2 * SIDE_PX
"""Drawn twice as large, for smooth edges."""
_PAPER, _INK, _TEAL, _CREAM = "#FFFDF6", "#1C1B22", "#0A5A5F", "#FFF1D6"
_MARGIN = 96
_ROOM = _DRAWN_PX - 2 * _MARGIN
_TOP, _BOTTOM = 580, 940
"""Of the board, and the lower edge of a picture in its place."""
_MOST_LINES = 3
_SIZES = (128, 108, 92, 76, 64)


def tapped_line(performance: Performance) -> Segment | None:
    """The first line with taps, which stands for a performance on its cover."""
    return next((segment for segment in performance.lines if segment.taps), None)


def cover_png(
    story: Story, line: Segment | None, below: str, own: OwnPicture | None = None
) -> bytes:
    """A square picture with the title, a word on the version, and between them the story's own
    picture, or a board with a line's taps.
    """
    from PIL import Image, ImageDraw, ImageOps

    picture = Image.new("RGB", (_DRAWN_PX, _DRAWN_PX), _PAPER)
    draw = ImageDraw.Draw(picture)
    title, font = _fitted(story.title or say("Story"))
    draw.multiline_text((_MARGIN, 80), title, fill=_INK, font=font, spacing=16)
    if own is None:
        board = (_MARGIN, _TOP, _MARGIN + _ROOM, _BOTTOM)
        draw.rounded_rectangle(board, 36, fill=_CREAM, outline=_TEAL, width=12)
        if line is not None:
            _draw_taps(draw, line)
    else:
        photo = ImageOps.contain(Image.open(BytesIO(own.jpeg)), (_ROOM, 440))
        picture.paste(photo, ((_DRAWN_PX - photo.width) // 2, _BOTTOM - photo.height))
    small = _font(REGULAR, 72)
    draw.text((_MARGIN, 1012), _cut(below, small), fill=_TEAL, font=small)
    out = BytesIO()
    picture.reduce(_DRAWN_PX // SIDE_PX).save(out, "PNG")
    return out.getvalue()


def _draw_taps(draw: "ImageDraw", line: Segment) -> None:
    """Along the board's middle in time, the louder the larger."""
    y = (_TOP + _BOTTOM) / 2
    for tap in line.taps:
        x = _MARGIN + 80 + (_ROOM - 160) * (tap.onset_sec - line.start_sec) / line.length_sec
        radius = 16 + 6 * float(tap.level) + (16 if tap.accent else 0)
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=_INK)


def _fitted(title: str) -> "tuple[str, FreeTypeFont | ImageFont]":
    """The title in at most three lines, in the largest letters that allow it."""
    for size in _SIZES:
        font = _font(BOLD, size)
        lines = _wrapped(title, font)
        if len(lines) <= _MOST_LINES:
            return "\n".join(lines), font
    *whole, last = lines[:_MOST_LINES]
    return "\n".join([*whole, _cut(last, font, " ...")]), font


def _wrapped(text: str, font: "FreeTypeFont | ImageFont") -> list[str]:
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(joined) <= _ROOM:
            lines[-1] = joined
        else:
            lines.append(_cut(word, font))
    return lines


def _cut(text: str, font: "FreeTypeFont | ImageFont", more: str = "") -> str:
    """As much of a text as there is room for, with what says that there is more."""
    while font.getlength(text + more) > _ROOM:
        text = text[:-1]
    return text + more


def _font(name: str, size: int) -> "FreeTypeFont | ImageFont":
    from PIL import ImageFont as Fonts

    path = font_path(name)
    return Fonts.load_default(size) if path is None else Fonts.truetype(str(path), size)
