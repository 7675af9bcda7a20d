"""Dialogs for large letters and small screens: columns that scroll, sizes that follow."""

from textwrap import wrap

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFrame, QLayout, QScrollArea, QWidget

WIDEST_PX = 580
"""Wider than this, the column scrolls sideways, so that what stands beside it has room."""


def scrolled(layout: QLayout, name: str) -> QScrollArea:
    """Put a layout into a frameless area that scrolls; ``name`` is for screen readers."""
    inside = QWidget()
    inside.setLayout(layout)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setAccessibleName(name)
    area.setWidget(inside)
    area.setMinimumWidth(min(inside.sizeHint().width() + 24, WIDEST_PX))
    return area


LINE_LETTERS = 44
"""Of what stands beside a box in a dialog."""


def in_lines(words: str, letters: int) -> str:
    """Words for a box to tick, which doesn't wrap them by itself: so many letters a line."""
    return "\n".join(wrap(words, letters, break_long_words=False, break_on_hyphens=False))


USUAL_LINE_PX = 19
_KEPT_FREE_PX = 60
_FROM_EDGE_PX = 24


def open_roomy(dialog: QDialog, width_px: int, height_px: int) -> None:
    """Give a dialog its usual size, more for larger letters, as far as the screen goes."""
    dialog.ensurePolished()
    share = max(dialog.fontMetrics().height() / USUAL_LINE_PX, 1.0)
    screen = dialog.screen().availableSize()
    wide, high = screen.width() - _KEPT_FREE_PX, screen.height() - _KEPT_FREE_PX
    dialog.resize(
        min(max(width_px, round(width_px * share)), wide),
        min(max(height_px, round(height_px * share)), high),
    )
    open_beside(dialog)


def open_beside(dialog: QDialog) -> None:
    """Let a dialog begin at the right of its window: the story, at the left, is seen beside it."""
    parent = dialog.parentWidget()
    if parent is None:
        return
    window, screen = parent.window().frameGeometry(), dialog.screen().availableGeometry()
    x = min(window.right(), screen.right()) - dialog.width() - _FROM_EDGE_PX
    y = window.top() + (window.height() - dialog.height()) // 2
    dialog.move(
        max(x, screen.left()),
        max(min(y, screen.bottom() - dialog.height() - _FROM_EDGE_PX), screen.top()),
    )
