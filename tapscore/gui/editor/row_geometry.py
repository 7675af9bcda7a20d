"""How high a row is and where its parts stand, at the text size in use."""

from functools import lru_cache

from attrs import frozen
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF

from tapscore.gui.editor.lane_layout import LaneLayout, Spacing, lay_out
from tapscore.gui.fonts import font
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, RefrainUse, Wait
from tapscore.screen.rows import Row, RowKind, done_words, tapped_words
from tapscore.wording.catalogue import say

WORDS_PX = 22
LABEL_PX = 15
GUTTER = 72
MARGIN = 12
BESIDE = 14
"""From a wait's sign, or a name, to the words beside it."""
_LEAST_ROOM = 120.0
KEPT = "\N{NO-BREAK SPACE}"


@frozen
class RowSizes:
    """Everything that follows from the text size (1 is the usual one)."""

    scale: float

    @property
    def words_px(self) -> float:
        """Height of the story's letters."""
        return WORDS_PX * self.scale

    @property
    def label_px(self) -> float:
        """Height of the labels' letters."""
        return LABEL_PX * self.scale

    @property
    def gutter(self) -> float:
        """Room for the number, left of the words."""
        return GUTTER * max(self.scale, 1.0)

    @property
    def words_high(self) -> float:
        """Height of the row of words."""
        return self.words_px * 1.35

    @property
    def lane_high(self) -> float:
        """Height of the row of marks."""
        return self.words_px * 1.6

    @property
    def label_high(self) -> float:
        """Height of a row of labels."""
        return self.label_px * 1.6

    @property
    def spacing(self) -> Spacing:
        """Widths within the lane."""
        unit = self.words_px
        return Spacing(
            step=unit * 1.5,
            word_gap=unit * 0.5,
            syllable_gap=unit * 0.4,
            bar_gap=unit * 0.55,
        )


@lru_cache(maxsize=64)
def metrics(size_px: float, bold: bool = False) -> QFontMetricsF:
    """Measures of the story's font."""
    return QFontMetricsF(font(size_px, bold=bold))


@lru_cache(maxsize=8192)
def text_width(text: str, size_px: float, bold: bool = False) -> float:
    """Width of a text in pixels."""
    return metrics(size_px, bold).horizontalAdvance(text)


@lru_cache(maxsize=4096)
def in_lines(text: str, size_px: float, room: float) -> tuple[str, ...]:
    """A text in lines no wider than the room; a word that is wider stays whole."""
    lines: list[str] = []
    for word in filter(None, text.split(" ")):  # never at what is kept together
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_px) <= max(room, _LEAST_ROOM):
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines) or ("",)


@lru_cache(maxsize=256)
def line_layout(line: Line, metre: Metre, scale: float, width: int) -> LaneLayout:
    """Where the syllables and marks of a line stand."""
    sizes = RowSizes(scale)
    room = max(width - sizes.gutter - 2 * MARGIN, 160.0)
    return lay_out(
        line, metre, lambda text: text_width(text, sizes.words_px, bold=True), sizes.spacing, room
    )


@lru_cache(maxsize=4096)
def _outline(line: Line, metre: Metre, scale: float, width: int) -> tuple[int, float]:
    """How many strips a line has and how wide the first is.

    Heights are asked of all rows, layouts only of those that are seen: these are kept longer.
    """
    strips = line_layout(line, metre, scale, width).strips
    return len(strips), strips[0].width


def strip_high(row: Row, sizes: RowSizes) -> float:
    """Height of one strip of words over marks."""
    lane = row.line is not None and row.line.lane is not None
    return sizes.words_high + (sizes.lane_high if lane else 0.0)


def foot_lines(row: Row, sizes: RowSizes, width: float) -> tuple[str, ...]:
    """The small words below a line: how it is tapped, what is done and what to look for."""
    line = row.line
    if line is None:
        return ()
    # what holds together stays on one line
    tapped = (text.replace(" ", KEPT) for text in tapped_words(row))
    room = width - sizes.gutter - 2 * MARGIN
    return tuple(
        one
        for text in (f"{KEPT * 2}· {KEPT}".join(tapped), *done_words(line))
        if text
        for one in in_lines(text, sizes.label_px, room)
    )


def warn_label_width(sizes: RowSizes) -> float:
    """Width of what stands before a warning's words, with the box's margin."""
    return text_width(warn_label(), sizes.label_px, True) + 18


def warn_label() -> str:
    """What stands before a warning's words."""
    return say("Warn first:")


def warn_lines(line: Line, sizes: RowSizes, width: float) -> tuple[str, ...]:
    """A warning's words in the room beside their label."""
    room = width - sizes.gutter - 2 * MARGIN - warn_label_width(sizes) - 14
    return in_lines(line.warn_first or "", sizes.label_px, room)


def warn_high(line: Line | None, sizes: RowSizes, width: float) -> float:
    """How much of a row a warning takes."""
    if line is None or not line.warn_first:
        return 0.0
    return len(warn_lines(line, sizes, width)) * sizes.label_high + 8


def head_of(row: Row) -> str:
    """What stands out in a row without words of its own: how long a wait is, a name."""
    if isinstance(row.item, Wait):
        return say("Wait {least:g}", least=float(row.item.least_sec))
    if isinstance(row.item, Offer):
        return say("Offer {prop}", prop=row.item.prop)
    if isinstance(row.item, RefrainUse):
        return row.item.name
    return say("Not understood") if row.kind is RowKind.UNREAD else ""


def beside_lines(row: Row, sizes: RowSizes, width: float) -> tuple[str, ...]:
    """The words beside it, in the room that is left."""
    room = width - beside_left(row, sizes) - MARGIN
    return in_lines(_beside(row), sizes.label_px, room)


def beside_left(row: Row, sizes: RowSizes) -> float:
    """From the row's left to those words."""
    head = head_of(row)
    if isinstance(row.item, Wait):
        return sizes.gutter + wait_width(head, sizes) + BESIDE
    wide = text_width(head, sizes.words_px * 0.9, True) + BESIDE if head else 0.0
    return sizes.gutter + wide


def wait_width(label: str, sizes: RowSizes) -> float:
    """Width of a wait's sign."""
    return text_width(label, sizes.label_px, True) + 28


def _beside(row: Row) -> str:
    item = row.item
    if isinstance(item, Wait):
        if not item.look_for:
            return say("what to look for is not written yet")
        return say("Look for: {look_for}", look_for=item.look_for)
    if isinstance(item, Offer):
        return say(
            "to each pupil, at least {turn:g} seconds each{look:=|*=, look for: {look}}",
            turn=float(item.turn_sec),
            look=item.look_for,
        )
    if isinstance(item, RefrainUse):
        return say("the refrain returns")
    if row.kind is RowKind.UNREAD:
        return say("mend it in the file: see Look again")
    return row.title


def prop_tags(line: Line) -> tuple[str, ...]:
    """What comes and goes with a line, in words."""
    return (
        *(say("{prop} in", prop=entrance.prop) for entrance in line.props_in),
        *(say("{prop} out", prop=prop) for prop in line.props_out),
    )


def tag_width(tag: str, sizes: RowSizes) -> float:
    """Width of a prop's tag."""
    return text_width(tag, sizes.label_px, True) + 30


def tags_above(row: Row, scale: float, width: int) -> bool:
    """Whether the props' tags need a row of their own: beside the words they would overlap."""
    line = row.line
    if line is None:
        return False
    sizes = RowSizes(scale)
    tags = sum(tag_width(tag, sizes) + 8 for tag in prop_tags(line))
    words = _outline(line, row.metre, scale, width)[1]
    return bool(tags) and sizes.gutter + words + tags + 2 * MARGIN > width


def words_top(row: Row, scale: float, width: int) -> float:
    """From the row's top to its words."""
    sizes = RowSizes(scale)
    top = float(MARGIN) + warn_high(row.line, sizes, width)
    if tags_above(row, scale, width):
        top += sizes.label_high + 6
    return top


def fold_box(rect: QRectF, row: Row, sizes: RowSizes) -> QRectF:
    """Where the mark is that folds what is below a row, large enough to be pressed."""
    side = max(sizes.label_px * 1.7, 24.0)
    right = rect.left() + (sizes.gutter if row.kind is RowKind.RETURN else MARGIN + side) - 2
    return QRectF(right - side, rect.center().y() - side / 2, side, side)


def finding_box(rect: QRectF, sizes: RowSizes) -> QRectF:
    """Where the sign is that something was found in a row."""
    size = sizes.label_px
    return QRectF(rect.left() + 18, rect.bottom() - size - 8, size * 1.2, size * 1.2)


def slip_box(rect: QRectF, sizes: RowSizes) -> QRectF:
    """Where the sign is that the class record has notes on a row."""
    size = sizes.label_px
    return QRectF(rect.right() - size - 14, rect.bottom() - size - 8, size * 0.9, size)


def row_height(row: Row, scale: float, width: int) -> int:
    """Height of a row in pixels."""
    sizes = RowSizes(scale)
    if row.kind in (RowKind.SECTION, RowKind.REFRAIN):
        return round(sizes.words_px * 2.2)
    line = row.line
    if line is None:
        lines = len(beside_lines(row, sizes, width))
        return round(max(lines, 1) * sizes.label_high + 2 * MARGIN)
    strips = _outline(line, row.metre, scale, width)[0]
    high = words_top(row, scale, width) + MARGIN + strips * strip_high(row, sizes)
    high += len(foot_lines(row, sizes, width)) * sizes.label_high
    if len(row.manner.loudness) > 1 and line.lane is not None:
        high += strips * sizes.label_px * 0.8
    return round(high)
