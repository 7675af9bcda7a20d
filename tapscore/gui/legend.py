"""What the marks mean: every mark of the rows, drawn as it is there, with words."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from tapscore.exports import marks
from tapscore.gui.asking import close_button
from tapscore.gui.enter import CalmDialog
from tapscore.gui.fonts import font
from tapscore.gui.painting import outline, tap_outline
from tapscore.gui.palettes import Inks
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

_WIDE, _HIGH, _UNIT = 84, 36, 22.0
Draw = Callable[[QPainter, Inks], None]


def _tap(word: str, *, level: float = 2.0, accent: bool = False, tail: float | None = None) -> Draw:
    def draw(painter: QPainter, inks: Inks) -> None:
        stroke = parse_stroke(word)
        assert stroke is not None
        painter.translate(_WIDE / 2 - (tail or 0) / 2, _HIGH / 2 + 3)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(inks.ink))
        size = marks.mark_size(level, _UNIT * 1.3)
        painter.drawPath(tap_outline(stroke, round(size, 1), _UNIT, accent, tail))

    return draw


def _alone(painter: QPainter, inks: Inks) -> None:
    painter.setPen(QPen(QColor(inks.muted), 1.5))
    painter.drawEllipse(QPointF(_WIDE / 2, _HIGH / 2), _UNIT * 0.14, _UNIT * 0.14)


def _silence(painter: QPainter, inks: Inks) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(inks.muted))
    painter.drawRect(QRectF(_WIDE / 2 - 15, _HIGH / 2 - _UNIT * 0.2, 2, _UNIT * 0.4))
    painter.drawEllipse(QPointF(_WIDE / 2 + 14, _HIGH / 2), 1.5, 1.5)


def _bar(painter: QPainter, inks: Inks) -> None:
    painter.setPen(QPen(QColor(inks.line), 1.2))
    painter.drawLine(QPointF(_WIDE / 2, 3), QPointF(_WIDE / 2, _HIGH - 3))


def _swell(painter: QPainter, inks: Inks) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(inks.plum))
    points = [(12.0, 1.0), (_WIDE - 12.0, 9.0)]
    painter.drawPath(outline(lambda sink: marks.hairpin(sink, points, _HIGH / 2, 1.5)))


def _wait(painter: QPainter, inks: Inks) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(inks.ink))
    box = QRectF(6, 5, _WIDE - 12, _HIGH - 10)
    painter.drawRoundedRect(box, 4, 4)
    _letters(painter, inks.paper, box, say("Wait 10"))


def _warning(painter: QPainter, inks: Inks) -> None:
    painter.setPen(QPen(QColor(inks.amber), 2, Qt.PenStyle.DashLine))
    painter.setBrush(QColor(inks.cream))
    painter.drawRoundedRect(QRectF(6, 7, _WIDE - 12, _HIGH - 14), 4, 4)


def _prop(painter: QPainter, inks: Inks) -> None:
    painter.setPen(QPen(QColor(inks.ink), 1.5))
    points = ((8, 18), (18, 7), (_WIDE - 8, 7), (_WIDE - 8, 29), (18, 29))
    painter.drawPath(outline(lambda sink: marks.polygon(sink, points)))
    _letters(painter, inks.ink, QRectF(18, 7, _WIDE - 26, 22), say("bell in"))


def _refrain(painter: QPainter, inks: Inks) -> None:
    painter.fillRect(QRectF(_WIDE / 2 - 2, 0, 4, _HIGH), QColor(inks.teal))


def _sign(sign: str) -> Draw:
    def draw(painter: QPainter, inks: Inks) -> None:
        painter.setPen(QPen(QColor(inks.amber), 1.5))
        box = QRectF(_WIDE / 2 - 9, _HIGH / 2 - 9, 18, 18)
        painter.drawRect(box)
        _letters(painter, inks.amber, box, sign)

    return draw


def _spelling(painter: QPainter, inks: Inks) -> None:
    _letters(painter, inks.ink, QRectF(0, 2, _WIDE, _HIGH - 10), "freind")
    painter.setPen(QPen(QColor(inks.plum), 2))
    for x in range(22, _WIDE - 22, 9):
        painter.drawLine(QPointF(x, _HIGH - 8), QPointF(x + 5, _HIGH - 8))


def _letters(painter: QPainter, ink: str, box: QRectF, text: str) -> None:
    painter.setPen(QColor(ink))
    painter.setFont(font(15, bold=True))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


MARKS: tuple[tuple[Draw, str], ...] = (
    *((_tap(word), say("Tap: {stroke}", stroke=term(word))) for word in STROKE_WORDS),
    (_tap("flat hand", level=0.0), say("A very quiet tap is small")),
    (_tap("flat hand", level=4.0), say("A very loud tap is large")),
    (_tap("fingertips", accent=True), say("A strong tap: a little stronger than its neighbours")),
    (_tap("fingertips", tail=40.0), say("A tap that is held so long")),
    (_alone, say("Said, not tapped")),
    (_silence, say("Nothing: on a beat, and between beats")),
    (_bar, say("A bar begins")),
    (_swell, say("Grows louder, or softer, on the way")),
    (_wait, say("Silence until the pupils answer, so many seconds at least")),
    (_warning, say("Warn first: something louder comes")),
    (_prop, say("A prop comes on to the board, or leaves it")),
    (_refrain, say("These lines are the refrain")),
    (_sign("!"), say("To be mended before cards can be made")),
    (_sign("?"), say("Look again")),
    (_spelling, say("Not in the dictionary")),
)


class LegendDialog(CalmDialog):
    """Every mark beside its words."""

    def __init__(self, parent: QWidget, inks: Inks, scale: float) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("What the marks mean"))
        open_roomy(self, 520, 640)
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setColumnStretch(1, 1)
        for number, (draw, words) in enumerate(MARKS):
            picture, said = QLabel(), QLabel(words)
            picture.setPixmap(_drawn(draw, inks, scale, self.devicePixelRatioF()))
            picture.setAccessibleName(say("Mark: {words}", words=words))
            said.setWordWrap(True)
            grid.addWidget(picture, number, 0)
            grid.addWidget(said, number, 1)
        grid.setRowStretch(len(MARKS), 1)
        buttons = close_button()
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        area = scrolled(grid, say("Marks"))
        area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        column.addWidget(area, 1)
        column.addWidget(buttons)


def _drawn(draw: Draw, inks: Inks, scale: float, ratio: float) -> QPixmap:
    size = QSize(round(_WIDE * scale), round(_HIGH * scale))
    picture = QPixmap(size * ratio)
    picture.setDevicePixelRatio(ratio)
    picture.fill(QColor(inks.paper))
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(scale, scale)
    draw(painter, inks)
    painter.end()
    return picture
