"""Where the parts of a window are, with much room for letters and with little."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLayout,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.window_panels import add_panels
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.gui.main_window import MainWindow

LEAST_PX = (480, 320)
SIDE_PX = 400
MOST_FOR_SIDE = 0.45
BOARD_AND_PANELS_PX = (320, 420)
ROOMY_LINES = 30
"""Lines of text that the window must have room for, so that the board is always seen."""


class StoryAndSide(QSplitter):
    """The side is as wide as it was made, while the story has the larger half."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._wanted_px = SIDE_PX
        self.splitterMoved.connect(self._moved)

    def _moved(self) -> None:
        self._wanted_px = self.sizes()[1]

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: a narrow window leaves the side less, a wide one what was wanted again."""
        super().resizeEvent(event)
        whole = sum(self.sizes())
        side = min(self._wanted_px, round(whole * MOST_FOR_SIDE))
        if side != self.sizes()[1]:
            self.setSizes([whole - side, side])


def lay_out(window: "MainWindow") -> tuple[QSplitter, QSplitter]:
    """Put the window's parts where they go: the splitter across, and the one at the right."""
    left = QWidget()
    column = QVBoxLayout(left)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(window.hints)
    column.addWidget(window.guesses)
    column.addWidget(window.tap_strip)
    column.addWidget(window.finding)
    column.addWidget(window.spelling_strip)
    beside = QHBoxLayout()
    beside.setSpacing(0)
    beside.addWidget(window.view, 1)
    beside.addWidget(window.overview)
    column.addLayout(beside, 1)
    add_panels(window)
    right = QSplitter(Qt.Orientation.Vertical)
    right.addWidget(window.felt)
    right.addWidget(window.side)
    right.setSizes(BOARD_AND_PANELS_PX)
    window.felt.board_came.connect(lambda: right.setSizes(BOARD_AND_PANELS_PX))
    across = StoryAndSide()
    across.addWidget(left)
    across.addWidget(right)
    across.setSizes([880, SIDE_PX])
    across.setStretchFactor(0, 1)
    whole = QWidget()
    rows = QVBoxLayout(whole)
    rows.setContentsMargins(0, 0, 0, 0)
    rows.setSpacing(0)
    rows.addWidget(window.action_row)
    rows.addWidget(across, 1)
    rows.addWidget(window.listening.bar)
    window.setCentralWidget(whole)
    # Whatever panels would like, the window is as small as one makes it.
    layout = window.layout()
    if layout is not None:
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
    window.setMinimumSize(*LEAST_PX)
    window.setAcceptDrops(True)
    return across, right


def make_room(window: "MainWindow") -> None:
    """Let the board be one of the panels where there is little room for the letters."""
    roomy = window.height() >= ROOMY_LINES * window.fontMetrics().height()
    beside = not window.side.has(window.board_panel)
    if roomy and not beside:
        window.side.remove(window.board_panel)
        window.splitters[1].insertWidget(0, window.board_panel.takeWidget())
        window.felt.show()
        window.splitters[1].setSizes(BOARD_AND_PANELS_PX)
    elif beside and not roomy:
        window.board_panel.setWidget(window.felt)
        window.side.add(window.board_panel, say("Board"))
    window.action_row.head.setVisible(roomy)
