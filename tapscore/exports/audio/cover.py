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
    board = (_MARGIN, 580, _DRAWN_PX - _MARGIN, 940)
    if own is None:
        draw.rounded_rectangle(board, 36, fill=_CREAM, outline=_TEAL, width=12)
        _draw_taps(draw, line, board)
    else:
        room = (board[2] - board[0], board[3] - board[1] + 80)
        photo = ImageOps.contain(Image.open(BytesIO(own.jpeg)), room)
        picture.paste(photo, ((_DRAWN_PX - photo.width) // 2, board[3] - photo.height))
    small = _font(REGULAR, 72)
    draw.text((_MARGIN, 1012), _cut(below, small), fill=_TEAL, font=small)
    out = BytesIO()
    picture.reduce(_DRAWN_PX // SIDE_PX).save(out, "PNG")
    return out.getvalue()


def _draw_taps(draw: "ImageDraw", line: Segment | None, board: tuple[int, int, int, int]) -> None:
    if line is None:
        return
    left, top, right, bottom = board
    inner, middle = right - left - 160, (top + bottom) / 2
    for tap in line.taps:
        x = left + 80 + inner * (tap.onset_sec - line.start_sec) / line.length_sec
        radius = 16 + 6 * float(tap.level) + (16 if tap.accent else 0)
        draw.ellipse((x - radius, middle - radius, x + radius, middle + radius), fill=_INK)


def _fitted(title: str) -> "tuple[str, FreeTypeFont | ImageFont]":
    """The title in at most three lines, in the largest letters that allow it."""
    for size in _SIZES:
        font = _font(BOLD, size)
        lines = _wrapped(title, font)
        if len(lines) <= _MOST_LINES:
            return "\n".join(lines), font
    return "\n".join([*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1]} ..."]), font


def _wrapped(text: str, font: "FreeTypeFont | ImageFont") -> list[str]:
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(joined) <= _DRAWN_PX - 2 * _MARGIN:
            lines[-1] = joined
        else:
            lines.append(_cut(word, font))
    return lines


def _cut(text: str, font: "FreeTypeFont | ImageFont") -> str:
    while len(text) > 1 and font.getlength(text) > _DRAWN_PX - 2 * _MARGIN:
        text = text[:-1]
    return text


def _font(name: str, size: int) -> "FreeTypeFont | ImageFont":
    from PIL import ImageFont as Fonts

    path = font_path(name)
    return Fonts.load_default(size) if path is None else Fonts.truetype(str(path), size)
