"""The board with a row to choose whose map is shown, and what the map says in words."""

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, QSignalBlocker, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from tapscore.board.facade import bare_board, places_on
from tapscore.board.words import MODEL_SENTENCE, WORDS
from tapscore.gui.background import TYPING_PAUSE_MS, Background
from tapscore.gui.felt.answer import (
    FeltAnswer,
    FeltPicture,
    FeltWish,
    PictureRoom,
    answer,
    whole_text,
)
from tapscore.gui.felt.band_colours import colours_of
from tapscore.gui.felt.details import NO_PLACE
from tapscore.gui.felt.no_board import NoBoard
from tapscore.gui.fonts import font
from tapscore.gui.palettes import LIGHT, Inks
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.model.board import Board
from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.screen.rows import Row
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

WORD_PX = 12
_HALO_PX = 4.0


def word_boxes() -> tuple[tuple[int, int], ...]:
    """Width and height (pixels) that each word on the map needs."""
    metrics = QFontMetricsF(font(WORD_PX, bold=True))
    high = round(metrics.height()) + 2
    return tuple((round(metrics.horizontalAdvance(word)) + 8, high) for word in WORDS)


class MapUnderlay:
    """A picture of the map, stretched into the sheet's frame until a new one is there."""

    def __init__(self, picture: FeltPicture, width: int) -> None:
        high, wide, _ = picture.pixels.shape
        self._image = QImage(
            picture.pixels.tobytes(), wide, high, 3 * wide, QImage.Format.Format_RGB888
        ).copy()
        self._words = picture.words
        self._width = width

    def paint(self, painter: QPainter, frame: QRectF, inks: Inks) -> None:
        """Paint it into ``frame``, its words on it."""
        whole = QPainterPath()
        whole.addRoundedRect(frame, 6, 6)
        painter.save()
        painter.setClipPath(whole)
        painter.drawImage(frame, self._image)
        scale = frame.width() / self._width
        for word, x, y in self._words:
            middle = QPointF(frame.left() + x * scale, frame.top() + y * scale)
            _haloed(painter, middle, WORDS[word], inks)
        painter.restore()


def _haloed(painter: QPainter, middle: QPointF, text: str, inks: Inks) -> None:
    face = font(WORD_PX, bold=True)
    metrics = QFontMetricsF(face)
    left = middle.x() - metrics.horizontalAdvance(text) / 2
    path = QPainterPath()
    path.addText(QPointF(left, middle.y() + metrics.capHeight() / 2), face, text)
    pen = QPen(QColor(inks.paper), _HALO_PX)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(path, pen)
    painter.fillPath(path, QColor(inks.ink))


NOTHING = say("nothing")
AS_TAPPED = say("as tapped")
_SMALLEST = 40
_LEAST_CHOICE_PX = 90
"""A choice may be cut off; it never makes the window wider."""
_ANY_HEIGHT = 16777215
"""Qt's QWIDGETSIZE_MAX, which PySide6 doesn't name."""


class FeltPane(QWidget):
    """Holds the board panel; nothing is worked out while nothing is to be shown."""

    answered = Signal(object)
    offered = Signal(bool)
    """Whether there is a place to choose."""
    """An Answer, or None when nothing is shown."""
    board_came = Signal()
    """There is a board to be shown, where there was none: it needs more room."""

    def __init__(self, board: BoardPanel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.board = board
        self.working = Background(lambda wish, _: answer(wish), self, pause_ms=TYPING_PAUSE_MS)
        self.inks: Inks = LIGHT
        self.found: FeltAnswer | None = None
        self._story: Story | None = None
        self._path: StoryPath | None = None
        self._shown_for: tuple[Board, str, str] | None = None
        self._asked: FeltWish | None = None
        self.place = QComboBox()
        self.stroke = QComboBox()
        self.said = QLabel()
        self.no_board = NoBoard()
        self.no_board.hide()
        self._choices = QWidget()
        self._build()
        self._offer(())

    def _build(self) -> None:
        head = QLabel(say("Show &what is felt"))
        head.setBuddy(self.place)
        for field, name, words in (
            (self.place, say("Show what is felt"), 7),
            (self.stroke, say("Stroke of the map"), 8),
        ):
            field.setAccessibleName(name)
            field.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            field.setMinimumContentsLength(words)
            field.setMinimumWidth(_LEAST_CHOICE_PX)
            field.currentTextChanged.connect(self._wish)
        with QSignalBlocker(self.stroke):
            self.stroke.addItem(AS_TAPPED, None)
            for word in STROKE_WORDS:
                self.stroke.addItem(term(word), parse_stroke(word))
        row = QHBoxLayout(self._choices)
        row.setContentsMargins(12, 6, 12, 0)
        row.setSpacing(8)
        row.addWidget(head)
        row.addWidget(self.place, 1)
        row.addWidget(self.stroke, 1)
        self.said.setWordWrap(True)
        self.said.setContentsMargins(12, 0, 12, 6)
        self.said.setAccessibleDescription(say("What each place gets"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.no_board)
        column.addWidget(self._choices)
        column.addWidget(self.board, 1)
        column.addWidget(self.said)
        self.working.answered.connect(self._show)
        self.board.installEventFilter(self)

    @property
    def wanted(self) -> str | None:
        """The place whose map is wanted."""
        place = self.place.currentData()
        return place if isinstance(place, str) else None

    def show_story(self, story: Story) -> None:
        """Show another story, or another state of it."""
        self._story = story
        self._make_room(story.board is None)
        self._offer(tuple(place.name for place in places_on(story.board)))
        self._wish()

    def show_row(self, row: Row | None) -> None:
        """Speak of the taps of another line."""
        path = row.path if row is not None and row.line is not None else None
        if path != self._path:
            self._path = path
            self._wish()

    def set_inks(self, inks: Inks) -> None:
        """Paint with other inks."""
        self.inks = self.board.inks = inks
        self._drop()
        self._wish()

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self.working.stop()

    def _make_room(self, bare: bool) -> None:
        """Without a board there is only what to do about it, no higher than it need be."""
        came = self.no_board.isVisibleTo(self) and not bare
        self.no_board.setVisible(bare)
        self._choices.setVisible(not bare)
        self.board.setVisible(not bare)
        self.setMaximumHeight(self.no_board.heightForWidth(self.width()) if bare else _ANY_HEIGHT)
        if came:
            self.board_came.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: a narrower sentence is higher."""
        super().resizeEvent(event)
        if self._story is not None:
            self._make_room(self._story.board is None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: a map for another size of the board's picture."""
        if watched is self.board and event.type() == QEvent.Type.Resize:
            self._wish()
        return super().eventFilter(watched, event)

    def _offer(self, places: tuple[str, ...]) -> None:
        choices = {NOTHING: None, **{say("for place {name}", name=each): each for each in places}}
        with QSignalBlocker(self.place):
            if [self.place.itemText(i) for i in range(self.place.count())] != list(choices):
                before = self.place.currentText()
                self.place.clear()
                for text, place in choices.items():
                    self.place.addItem(text, place)
                self.place.setCurrentText(before if before in choices else NOTHING)
        self.place.setEnabled(len(choices) > 1)
        self.place.setToolTip("" if places else NO_PLACE)
        self.offered.emit(bool(places))
        self.stroke.setVisible(self.wanted is not None)
        self.said.setVisible(self.wanted is not None)

    def _wish(self) -> None:
        place, story = self.wanted, self._story
        self.stroke.setVisible(place is not None)
        self.said.setVisible(place is not None)
        if place is None or story is None or story.board is None:
            self.working.give_up()
            self._drop()
            if self.found is not None:
                self.found = None
                self.answered.emit(None)
            return
        chosen = self.stroke.currentText()
        shown_for = (bare_board(story.board), place, chosen)
        if shown_for != self._shown_for:
            self._drop()
            self._shown_for = shown_for
            self.said.setText(f"{say('Working it out.')} {MODEL_SENTENCE}")
        stroke = self.stroke.currentData()
        room = self._room()
        if room is not None:
            wish = FeltWish(story, self._path, place, stroke, room)
            if wish != self._asked:
                self._asked = wish
                self.working.ask(wish)

    def _room(self) -> PictureRoom | None:
        frame = self.board.frame()
        wide, high = round(frame.width()), round(frame.height())
        if min(wide, high) < _SMALLEST:
            return None
        fine = self.devicePixelRatioF()
        taken = self.board.taken()
        return PictureRoom(wide, high, fine, taken, word_boxes(), colours_of(self.inks))

    def _drop(self) -> None:
        self._shown_for = self._asked = None
        if self.board.underlay is not None:
            self.board.underlay = None
            self.board.update()

    def _show(self, found: FeltAnswer) -> None:
        self.found = found
        frame = self.board.frame()
        picture = found.picture
        self.board.underlay = (
            MapUnderlay(picture, max(round(frame.width()), 1)) if picture is not None else None
        )
        self.board.update()
        self.said.setText(
            "\n".join(
                (
                    found.summary,
                    f"{say('Map: {place}, {manner}.', place=found.place, manner=found.manner)} "
                    f"{MODEL_SENTENCE}",
                )
            )
        )
        self.said.setAccessibleDescription(whole_text(found))
        self.answered.emit(found)
