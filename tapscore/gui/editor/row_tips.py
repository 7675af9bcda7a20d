"""What stands at a point of a row, in words."""

from PySide6.QtCore import QModelIndex, QPointF, QRectF

from tapscore.gui.editor.row_geometry import (
    MARGIN,
    RowSizes,
    finding_box,
    fold_box,
    prop_tags,
    slip_box,
    tag_width,
    warn_high,
)
from tapscore.gui.editor.story_rows import NOTED_ROLE, UNKNOWN_ROLE, StoryRows
from tapscore.model.words import printed
from tapscore.screen.rows import Row, prop_words, row_text
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted

FOLD, UNFOLD = say("Fold what is below away (Left)"), say("Show what is below (Right)")
LIFT = say("Drag to put it elsewhere (Alt+Up, Alt+Down)")
NOTED = say("The class record has notes on this")
_NEAR_PX = 6


def tip(
    rows: StoryRows, index: QModelIndex, row: Row, rect: QRectF, at: QPointF, scale: float
) -> str:
    """Words for the sign at a point, or for the whole row where there is no sign."""
    sizes = RowSizes(scale)
    if row.fold is not None and fold_box(rect, row, sizes).contains(at):
        return UNFOLD if row.folded is not None else FOLD
    found = rows.found_in(row)
    if found and _near(finding_box(rect, sizes), at):
        return "\n".join(found)
    if index.data(NOTED_ROLE) and _near(slip_box(rect, sizes), at):
        return NOTED
    for text, box in _tags(row, rect, sizes):
        if box.contains(at):
            return text
    if row.item is not None and row.within is None and at.x() - rect.left() < sizes.gutter - 10:
        return LIFT
    odd = index.data(UNKNOWN_ROLE)
    if odd and row.line is not None:
        words = printed(row.line.words).split()
        named = ", ".join(quoted(words[n]) for n in sorted(odd) if n < len(words))
        return f"{row_text(row)}\n{say('Not in the dictionary: {named}', named=named)}"
    return row_text(row)


def _near(box: QRectF, at: QPointF) -> bool:
    return box.adjusted(-_NEAR_PX, -_NEAR_PX, _NEAR_PX, _NEAR_PX).contains(at)


def _tags(row: Row, rect: QRectF, sizes: RowSizes) -> list[tuple[str, QRectF]]:
    """The props' tags from the right, each with what it means."""
    line = row.line
    if line is None:
        return []
    top = rect.top() + MARGIN + warn_high(line, sizes, round(rect.width()))
    right = rect.right() - MARGIN
    found: list[tuple[str, QRectF]] = []
    for tag, text in reversed(tuple(zip(prop_tags(line), prop_words(line), strict=True))):
        width = tag_width(tag, sizes)
        found.append((text, QRectF(right - width, top, width, sizes.label_high)))
        right -= width + 8
    return found
