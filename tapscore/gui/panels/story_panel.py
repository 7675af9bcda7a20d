"""The story's own details: name, metre, tempo, loudness, pupils, comfort, board."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial
from typing import Any

from attrs import evolve
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from tapscore.board.default_board import USUAL_BOARD
from tapscore.gui.document import Document
from tapscore.gui.forms.choices import ChoiceEntry, PictureEntry, SwellEntry
from tapscore.gui.forms.entries import FlagEntry, KindEntry, WordsEntry
from tapscore.gui.forms.form import Form, FormPart, part
from tapscore.model.board import HEADINGS, Board, Point, Sheet, Sides, Strips
from tapscore.model.comfort import Comfort
from tapscore.model.furnishing import resized
from tapscore.model.loudness import swell_text
from tapscore.model.story import Spoken, Story
from tapscore.rhythm.unroll import story_manner
from tapscore.storyfile.kinds import number
from tapscore.storyfile.records import Field
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term
from tapscore.workflow.bring_picture import pictures_beside
from tapscore.workflow.refitting import refitted

WEATHER = say("in rain under the porch; in wind without the silk")
PUPILS = say("How many take a turn. Their names stay out of the story.")


def _beside(document: Document) -> tuple[str, ...]:
    return pictures_beside(document.path)


def _things(typed: str) -> tuple[str, ...]:
    return tuple(words for part in typed.split(";") if (words := " ".join(part.split())))


def _no_picture(_: object) -> str:
    return say("none")


class StoryPanel(QScrollArea):
    """Forms of the story's details; every change is a step at once."""

    said = Signal(str)
    measure_wanted = Signal()

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        beside = partial(_beside, document)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.story = Form(
            [
                part(Story, "title", say("Name")),
                part(Story, "metre", say("Metre"), nothing=_usual(lambda m: str(m.metre))),
                part(
                    Story, "tempo", say("Beats a minute"), nothing=lambda s: story_manner(s).tempo
                ),
                part(
                    Story,
                    "loudness",
                    say("Loudness"),
                    SwellEntry(),
                    nothing=_usual(lambda m: swell_text(m.loudness)),
                ),
                part(Story, "stroke", say("Stroke"), nothing=_usual(lambda m: m.stroke.word)),
                FormPart(
                    "glossary",
                    say("Words of your own"),
                    WordsEntry(say("HIG-gle-dy, wel-lies: how they divide"), reads=_spoken),
                    lambda story: ", ".join(spoken.syllables for spoken in story.glossary),
                    lambda story, typed: evolve(story, glossary=_spoken(typed or "")),
                ),
                part(Story, "term", say("Term"), WordsEntry(say("Autumn 2026"))),
                part(Story, "class", say("Class"), WordsEntry(say("Willow"))),
                FormPart(
                    "next year",
                    say("To change next year"),
                    WordsEntry(say("fewer waves; one ; between things"), reads=_things),
                    lambda story: "; ".join(story.next_year),
                    lambda story, typed: evolve(story, next_year=_things(typed or "")),
                ),
                part(Story, "outdoors", say("Tapped out of doors"), WordsEntry(say("a bench"))),
                part(Story, "weather", say("Settled for the weather"), WordsEntry(WEATHER)),
                part(Story, "pupils", say("Pupils"), nothing=lambda story: story.pupil_count),
                part(
                    Story,
                    "picture",
                    say("Picture for covers"),
                    PictureEntry(beside),
                    nothing=_no_picture,
                ),
            ],
            self._change_story,
        )
        self.story.note(PUPILS)
        self.comfort = Form(
            [
                part(Comfort, "stage", say("Pupils are")),
                part(Comfort, "ceiling", say("Nothing above")),
                part(
                    Comfort,
                    "largest jump",
                    say("Unwarned steps"),
                    nothing=lambda c: c.jump_steps,
                ),
                part(Comfort, "least wait", say("Waits at least"), nothing=lambda c: c.wait_sec),
                part(Comfort, "introduce gently", "", FlagEntry(say("Introduce gently"))),
            ],
            self._change_comfort,
        )
        self.board = Form(
            [
                _side(
                    "width_mm", say("Board, width in cm"), lambda b, mm: resized(b, mm, b.depth_mm)
                ),
                _side(
                    "depth_mm", say("Board, depth in cm"), lambda b, mm: resized(b, b.width_mm, mm)
                ),
                part(Board, "gap_mm", say("Raised by, in mm"), nothing=lambda _: ""),
                part(Board, "oldest pupil", say("Oldest pupil, years"), nothing=lambda _: ""),
                FormPart(
                    "way out",
                    say("Way out, for the door"),
                    ChoiceEntry(
                        [(say("at the {side} side", side=term(side)), side) for side in HEADINGS]
                    ),
                    _way_out_side,
                    _with_way_out,
                ),
                part(
                    Board,
                    "picture",
                    say("Picture of the room"),
                    PictureEntry(beside),
                    nothing=_no_picture,
                ),
            ],
            self._change_board,
        )
        self.sheet = Form(
            [
                part(Sheet, "thickness_mm", say("Ply, thick in mm"), nothing=lambda _: ""),
                part(Sheet, "grain", say("Grain runs")),
                part(Sheet, "wood", say("Wood"), WordsEntry(say("birch"))),
                part(Sheet, "plies", say("Layers"), nothing=lambda _: ""),
                part(Sheet, "mass_kg", say("Weighed, in kg"), nothing=lambda _: ""),
                part(Sheet, "stiffness_long_nm", say("Stiff along, N m"), nothing=lambda _: ""),
                part(Sheet, "stiffness_short_nm", say("Stiff across, N m"), nothing=lambda _: ""),
            ],
            self._change_sheet,
        )
        self.strips = Form(
            [part(Strips, side, say("Held at the {side}", side=term(side))) for side in HEADINGS],
            self._change_strips,
        )
        self.sides = Form(
            [
                part(
                    Sides,
                    side,
                    say("Room's word for {side}", side=term(side)),
                    nothing=lambda _: "",
                )
                for side in HEADINGS
            ],
            self._change_sides,
        )
        self.measure = QPushButton(say("Measure your board ..."))
        self.measure.clicked.connect(self.measure_wanted)
        content = QWidget()
        column = QVBoxLayout(content)
        self._headings: dict[Form, QLabel] = {}
        for heading, form in (
            (say("The story"), self.story),
            (say("What pupils are used to"), self.comfort),
            (say("The board"), self.board),
            (say("Its sheet of wood"), self.sheet),
            (say("How its sides are held"), self.strips),
            (say("The room's words for its sides"), self.sides),
        ):
            self._headings[form] = QLabel(f"<b>{heading}</b>")
            column.addWidget(self._headings[form])
            column.addWidget(form)
            form.said.connect(self.said)
        column.addWidget(self.measure)
        column.addStretch(1)
        self.setWidget(content)
        self.setAccessibleName(say("Story details"))
        document.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the story as it is now."""
        story = self._document.story
        comfort, board = story.comfort or Comfort(), story.board or USUAL_BOARD
        self.story.show_things(0, [story], story)
        self.comfort.show_things(0, [comfort], comfort)
        self.board.show_things(0, [board])
        self.sheet.show_things(0, [board.sheet or Sheet()])
        self.strips.show_things(0, [board.strips or Strips()])
        self.sides.show_things(0, [board.sides or Sides()])

    def go_to_board(self) -> None:
        """Go to the board's measures, which stand far down."""
        width = self.board["width_mm"]
        self.verticalScrollBar().setValue(self._headings[self.board].y())
        width.setFocus()

    def _change_story(
        self, _: Any, name: str, change: Callable[[Story], Story], join: str | None
    ) -> None:
        before = self._document.story
        made = refitted(before, change(before))
        if self._document.edit(name, made.story, join=join) and made.sentence:
            self.said.emit(made.sentence)

    def _change_comfort(
        self, _: Any, name: str, change: Callable[[Comfort], Comfort], join: str | None
    ) -> None:
        story = self._document.story
        comfort = change(story.comfort or Comfort())
        new = None if comfort == Comfort() else comfort
        self._document.edit(name, evolve(story, comfort=new), join=join)

    def _change_board(
        self, _: Any, name: str, change: Callable[[Board], Board], join: str | None
    ) -> None:
        story = self._document.story
        new = evolve(story, board=change(story.board or USUAL_BOARD))
        self._document.edit(name, new, join=join)

    def _change_sheet(
        self, target: Any, name: str, change: Callable[[Sheet], Sheet], join: str | None
    ) -> None:
        def changed(board: Board) -> Board:
            return evolve(board, sheet=change(board.sheet or Sheet()))

        self._change_board(target, name, changed, join)

    def _change_strips(
        self, target: Any, name: str, change: Callable[[Strips], Strips], join: str | None
    ) -> None:
        def changed(board: Board) -> Board:
            strips = change(board.strips or Strips())
            return evolve(board, strips=None if strips == Strips() else strips)

        self._change_board(target, name, changed, join)

    def _change_sides(
        self, target: Any, name: str, change: Callable[[Sides], Sides], join: str | None
    ) -> None:
        def changed(board: Board) -> Board:
            sides = change(board.sides or Sides())
            return evolve(board, sides=None if sides == Sides() else sides)

        self._change_board(target, name, changed, join)


def _way_out_side(board: Board) -> str | None:
    """The side at which the way out is, None where there is none."""
    at = board.way_out
    if at is None:
        return None
    far = (board.depth_mm - at.y_mm, board.width_mm - at.x_mm, at.y_mm, at.x_mm)
    return HEADINGS[far.index(min(far))]


def _with_way_out(board: Board, side: str | None) -> Board:
    """The way out in the middle of a side; from there it can be moved on the picture."""
    wide, deep = board.width_mm, board.depth_mm
    middles = ((wide / 2, deep), (wide, deep / 2), (wide / 2, Fraction(0)), (Fraction(0), deep / 2))
    return evolve(board, way_out=Point(*middles[HEADINGS.index(side)]) if side else None)


def _usual(word: Callable[[Any], str]) -> Callable[[Story], str]:
    return lambda story: say("as usual: {word}", word=word(story_manner(story)))


def _side(attribute: str, label: str, put: Callable[[Board, Fraction], Board]) -> FormPart:
    centimetres = Field(attribute, attribute, number(10, 500, "120", "centimetres"), required=True)
    return FormPart(
        attribute,
        label,
        KindEntry(centimetres, step=10),
        lambda board: getattr(board, attribute) / 10,
        lambda board, cm: put(board, 10 * cm),
    )


def _spoken(typed: str) -> tuple[Spoken, ...]:
    """Words as typed: hyphens where they divide, the stressed part in capitals."""
    found: dict[str, Spoken] = {}
    for each in typed.replace(",", " ").split():
        word = each.replace("-", "").casefold()
        if word:
            found[word] = Spoken(word, each)
    return tuple(found.values())
