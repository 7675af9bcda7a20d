"""What every part of a row is painted with: the painter, the inks, the sizes."""

from attrs import frozen
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from tapscore.gui.editor.row_geometry import RowSizes, text_width
from tapscore.gui.fonts import font
from tapscore.gui.listening.cursor_painting import CursorColours
from tapscore.gui.palettes import Inks

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


@frozen
class RowState:
    """What a row is besides its content."""

    selected: bool = False
    focused: bool = False
    event: int | None = None
    """Which mark of the row the cursor is on."""
    playing_share: float | None = None
    """How far through the line the sound is, from 0 to 1."""
    finding: str = ""
    """``"must mend"``, ``"look again"`` or nothing."""
    noted: bool = False
    """Whether the class record, which is open, has notes on it."""
    unknown: frozenset[int] = frozenset()
    """Numbers of its words that the dictionary lacks."""


@frozen(eq=False)
class RowBrush:
    """Paints with one painter, in the inks that a row's state asks for."""

    painter: QPainter
    inks: Inks
    scale: float
    sizes: RowSizes
    state: RowState

    @property
    def ink(self) -> QColor:
        """For words and marks."""
        return QColor(self.inks.on_selected if self.state.selected else self.inks.ink)

    @property
    def muted(self) -> QColor:
        """For labels."""
        return QColor(self.inks.on_selected if self.state.selected else self.inks.muted)

    @property
    def ground(self) -> QColor:
        """What is painted on."""
        return QColor(self.inks.selected if self.state.selected else self.inks.paper)

    @property
    def teal(self) -> QColor:
        """For the cursor and the focus."""
        return self._unless_ground(self.inks.teal)

    @property
    def plum(self) -> QColor:
        """For swells."""
        return self._unless_ground(self.inks.plum)

    @property
    def cursor_colours(self) -> CursorColours:
        """For the cursor that moves with the sound."""
        return CursorColours(self.teal, self.ground)

    def text(
        self, x: float, y: float, high: float, text: str, size_px: float, ink: QColor, bold: bool
    ) -> float:
        """Write a text; gives where it ends."""
        self.painter.setFont(font(size_px, bold=bold))
        self.painter.setPen(ink)
        width = text_width(text, size_px, bold)
        self.painter.drawText(QRectF(x, y, width + 4, high), LEFT, text)
        return x + width

    def _unless_ground(self, ink: str) -> QColor:
        hidden = self.state.selected and self.inks.selected == ink
        return QColor(self.inks.on_selected if hidden else ink)
