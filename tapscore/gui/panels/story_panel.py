"""The story's own details: name, metre, tempo, loudness, pupils, board."""

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve
from PySide6.QtWidgets import QFormLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from tapscore.gui.document import Document
from tapscore.gui.panels.comfort_fields import ComfortFields
from tapscore.gui.panels.fields import (
    choice_field,
    number_field,
    show_choice,
    show_number,
    show_words,
    whole_field,
    words_field,
)
from tapscore.model.board import GRAINS, Board, Named, Point, Sheet
from tapscore.model.loudness import WORDS, parse_swell, swell_text
from tapscore.model.manner import PartialManner
from tapscore.model.metre import SUPPORTED, parse_metre
from tapscore.model.story import Spoken, Story
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.model.tempo import FASTEST, SLOWEST, Tempo
from tapscore.rhythm.unroll import story_manner

NOT_SAID = "not said"


class StoryPanel(QScrollArea):
    """A form of the story's details; every change is a step at once."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setWidgetResizable(True)
        content = QWidget()
        column = QVBoxLayout(content)
        form = QFormLayout()
        column.addLayout(form)
        column.addStretch(1)
        self.title = words_field(
            form, "Name", lambda text: self._change("Change name", lambda s: evolve(s, title=text))
        )
        self.metre = choice_field(
            form,
            "Metre",
            lambda t: self._manner("Change metre", lambda m: evolve(m, metre=parse_metre(t))),
        )
        self.tempo = whole_field(
            form,
            "Tempo",
            SLOWEST,
            FASTEST,
            " beats a minute",
            lambda n: self._manner("Change tempo", lambda m: evolve(m, tempo=Tempo(Fraction(n)))),
        )
        self.loudness = choice_field(
            form,
            "Loudness",
            lambda t: self._manner("Change loudness", lambda m: evolve(m, loudness=parse_swell(t))),
        )
        self.stroke = choice_field(
            form,
            "Stroke",
            lambda t: self._manner("Change stroke", lambda m: evolve(m, stroke=parse_stroke(t))),
        )
        self.glossary = words_field(form, "Words of your own", self._glossary_changed)
        self.glossary.setPlaceholderText("HIG-gle-dy, wel-lies: how they divide")
        self.pupils = whole_field(
            form,
            "Pupils",
            1,
            30,
            "",
            lambda n: self._change("Change pupils", lambda s: evolve(s, pupils=n)),
        )
        note = QLabel("How many take a turn. Their names stay out of the story.")
        note.setWordWrap(True)
        form.addRow("", note)
        self.comfort = ComfortFields(form, document)
        self.board_width = number_field(
            form,
            "Board, width",
            10,
            500,
            " cm",
            lambda n: self._board(lambda b: _resized(b, _mm(n), b.depth_mm)),
        )
        self.board_depth = number_field(
            form,
            "Board, depth",
            10,
            500,
            " cm",
            lambda n: self._board(lambda b: _resized(b, b.width_mm, _mm(n))),
        )
        self.gap = whole_field(
            form,
            "Raised by",
            0,
            500,
            " mm",
            lambda n: self._board(lambda b: evolve(b, gap_mm=Fraction(n))),
        )
        self.thickness = number_field(
            form,
            "Ply, thick",
            0.5,
            30,
            " mm",
            lambda n: self._sheet(lambda p: evolve(p, thickness_mm=_tenths(n))),
        )
        self.grain = choice_field(
            form,
            "Grain runs",
            lambda t: self._sheet(lambda p: evolve(p, grain=None if t == NOT_SAID else t)),
        )
        self.measure = QPushButton("Measure your board")
        self.measure.clicked.connect(self._measure)
        form.addRow(self.measure)
        self.setWidget(content)
        self.setAccessibleName("Story details")
        document.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the story as it is now."""
        story = self._document.story
        manner = story_manner(story)
        show_words(self.title, story.title)
        show_choice(self.metre, SUPPORTED, str(manner.metre))
        show_number(self.tempo, round(manner.tempo.start))
        show_choice(self.loudness, WORDS, swell_text(manner.loudness))
        show_choice(self.stroke, STROKE_WORDS, manner.stroke.word)
        if self._words_of_own() != story.glossary:
            show_words(self.glossary, ", ".join(spoken.syllables for spoken in story.glossary))
        show_number(self.pupils, story.pupil_count)
        self.comfort.refresh()
        board = story.board or _USUAL_BOARD
        sheet = board.sheet or Sheet()
        show_number(self.board_width, float(board.width_mm / 10))
        show_number(self.board_depth, float(board.depth_mm / 10))
        show_number(self.gap, round(board.gap_mm or 0))
        show_number(self.thickness, float(sheet.thickness_mm or 0))
        show_choice(self.grain, (*GRAINS, NOT_SAID), sheet.grain or NOT_SAID)

    def _measure(self) -> None:
        from tapscore.gui.felt.measure_dialog import MeasureDialog

        board = self._document.story.board or _USUAL_BOARD
        MeasureDialog(self, self._document, board).exec()

    def _words_of_own(self) -> tuple[Spoken, ...]:
        """The words as typed: hyphens where they divide, the stressed part in capitals."""
        found: dict[str, Spoken] = {}
        for typed in self.glossary.text().replace(",", " ").split():
            word = typed.replace("-", "").casefold()
            if word:
                found[word] = Spoken(word, typed)
        return tuple(found.values())

    def _glossary_changed(self, _: str) -> None:
        words = self._words_of_own()
        self._change("Change words of your own", lambda s: evolve(s, glossary=words))

    def _change(self, name: str, change: Callable[[Story], Story]) -> None:
        new = change(self._document.story)
        if new.title:
            self._document.edit(name, new, join=name)

    def _manner(self, name: str, change: Callable[[PartialManner], PartialManner]) -> None:
        self._change(name, lambda s: evolve(s, manner=change(s.manner)))

    def _board(self, change: Callable[[Board], Board]) -> None:
        self._change("Change board", lambda s: evolve(s, board=change(s.board or _USUAL_BOARD)))

    def _sheet(self, change: Callable[[Sheet], Sheet]) -> None:
        self._board(lambda board: evolve(board, sheet=change(board.sheet or Sheet())))


def _mm(centimetres: float) -> Fraction:
    return Fraction(round(centimetres * 10))


def _tenths(value: float) -> Fraction:
    return Fraction(round(value * 10), 10)


def _resized(board: Board, width_mm: Fraction, depth_mm: Fraction) -> Board:
    """The board at another size; what stands on it keeps its share of the way across."""
    across, down = width_mm / board.width_mm, depth_mm / board.depth_mm

    def moved(point: Point) -> Point:
        return Point(Fraction(round(point.x_mm * across)), Fraction(round(point.y_mm * down)))

    return evolve(
        board,
        width_mm=width_mm,
        depth_mm=depth_mm,
        spots=tuple(Named(spot.name, moved(spot.at)) for spot in board.spots),
        seats=tuple(Named(seat.name, moved(seat.at)) for seat in board.seats),
        places=tuple(evolve(place, at=moved(place.at)) for place in board.places),
    )


_USUAL_BOARD = Board(
    Fraction(1200),
    Fraction(900),
    Sheet(thickness_mm=Fraction(4), grain="not known"),
    Fraction(20),
    (Named("middle", Point(Fraction(600), Fraction(450))),),
    (
        Named("north", Point(Fraction(600), Fraction(900))),
        Named("east", Point(Fraction(1200), Fraction(450))),
        Named("south", Point(Fraction(600), Fraction(0))),
        Named("west", Point(Fraction(0), Fraction(450))),
    ),
)
