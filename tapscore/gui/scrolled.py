"""Dialogs for large letters and small screens: columns that scroll, sizes that follow."""

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


USUAL_LINE_PX = 19
_KEPT_FREE_PX = 60


def open_roomy(dialog: QDialog, width_px: int, height_px: int) -> None:
    """Give a dialog its usual size, more for larger letters, as far as the screen goes."""
    dialog.ensurePolished()
    share = max(dialog.fontMetrics().height() / USUAL_LINE_PX, 1.0)
    screen = dialog.screen().availableSize()
    dialog.resize(
        max(width_px, min(round(width_px * share), screen.width() - _KEPT_FREE_PX)),
        max(height_px, min(round(height_px * share), screen.height() - _KEPT_FREE_PX)),
    )
