"""Every field of the panels by itself: what is typed stands in the story, and is read back.

Panels on a document alone, without a window.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFocusEvent, QValidator
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QComboBox
from pytestqt.qtbot import QtBot

from tapscore.board.default_board import USUAL_BOARD
from tapscore.gui.document import Document
from tapscore.gui.forms.choices import ChoiceEntry, PictureEntry, SwellEntry
from tapscore.gui.forms.entries import (
    NOT_SAID,
    SEVERAL,
    Change,
    FlagEntry,
    KindEntry,
    NamesEntry,
    WordsEntry,
)
from tapscore.gui.forms.form import Form, FormPart, part
from tapscore.gui.panels.details_panel import NOTHING_CHOSEN, DetailsPanel
from tapscore.gui.panels.furnishing_panel import FurnishingPanel
from tapscore.gui.panels.named_list import NamedListPanel
from tapscore.gui.panels.props_panel import PropsPanel
from tapscore.gui.panels.roles_panel import RolesPanel
from tapscore.gui.panels.story_panel import StoryPanel
from tapscore.model.board import Point, Strips
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.story import Entrance, Line, Offer, Prop, Spoken, Translation, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.read import read_text
from tests.gui.test_editing_by_hand import TEXT, Desk

pytestmark = pytest.mark.usefixtures("qapp")


def value_at(thing: Any, dotted: str) -> Any:
    """``sections.0.title`` of a story, and so on."""
    for name in dotted.split("."):
        thing = thing[int(name)] if name.isdecimal() else getattr(thing, name)
    return thing


def enter(field: Any, typed: str) -> None:
    """Type words or a number, choose what is called so, or press the box of that name."""
    if isinstance(field, WordsEntry):
        field.setText(typed)
        field.textEdited.emit(typed)
    elif isinstance(field, KindEntry):
        field.lineEdit().setText(typed)
        field.finish()
    elif isinstance(field, SwellEntry):
        first, _, last = typed.partition(" to ")
        enter(field.first, first)
        if last:
            enter(field.last, f"to {last}")
    elif isinstance(field, NamesEntry):
        field.boxes[typed].click()
    elif isinstance(field, FlagEntry):
        field.click()
    else:
        assert isinstance(field, QComboBox)
        index = field.findText(typed)
        assert index >= 0, [field.itemText(n) for n in range(field.count())]
        field.setCurrentIndex(index)
        field.activated.emit(index)


class Seen(list[Any]):
    """What a field told, each change made to what stood there."""

    def __init__(self, field: Any, old: Any = None) -> None:
        super().__init__()
        field.changed.connect(lambda change: self.append(change(old)))


# --- fields by themselves


@pytest.mark.parametrize(
    ("needed", "typed", "told"),
    [
        (False, "a  cup ", ["a cup"]),
        (False, "  ", [None]),
        (True, "  ", []),
        (True, "a", ["a"]),
    ],
)
def test_words_are_told_at_once(needed: bool, typed: str, told: list[str], qtbot: QtBot) -> None:
    field = WordsEntry(needed=needed)
    qtbot.addWidget(field)
    seen = Seen(field)
    enter(field, typed)
    assert seen == told
    field.show_value("a cup")
    assert field.text() == ("a  cup " if typed == "a  cup " else "a cup"), "typed gaps stay"
    assert seen == told, "what is shown is not told"


def test_hints_of_words(qtbot: QtBot) -> None:
    plain, hinted = WordsEntry(), WordsEntry("such as a cup")
    for field, hint in ((plain, "none"), (hinted, "such as a cup")):
        qtbot.addWidget(field)
        field.show_value(None, "none")
        assert (field.text(), field.placeholderText()) == ("", hint)
        field.show_value("b", "none")
        field.show_several()
        assert (field.text(), field.placeholderText()) == ("", SEVERAL)


@pytest.fixture
def story_panel(qtbot: QtBot) -> StoryPanel:
    panel = StoryPanel(Document(read_text(TEXT), None))
    qtbot.addWidget(panel)
    return panel


def test_a_number_is_told_when_it_is_done_and_once(story_panel: StoryPanel) -> None:
    field: KindEntry = story_panel.story["tempo"]
    seen, refused = Seen(field), list[str]()
    field.refused.connect(refused.append)
    assert field.lineEdit().placeholderText() == "60"
    field.lineEdit().setText("70")
    assert seen == []
    field.finish()
    field.finish()
    assert seen == [Tempo(Fraction(70))]
    field.lineEdit().setText("fast")
    field.finish()
    assert len(seen) == len(refused) == 1
    assert (field.text(), field.toolTip()) == ("fast", refused[0])
    story_panel.refresh()
    assert field.text() == "fast", "it stays to be put right"
    field.lineEdit().setText("72")
    field.finish()
    assert field.toolTip() == ""
    field.lineEdit().setText("")
    field.finish()
    assert seen[1:] == [Tempo(Fraction(72)), None]
    assert field.validate("x", 1) == (QValidator.State.Acceptable, "x", 1)
    assert field.fixup("x") == "x"


@pytest.mark.parametrize(
    ("shown", "nothing", "steps", "then"),
    [
        (Tempo(Fraction(70)), None, 1, "71"),
        (Tempo(Fraction(70)), None, -3, "67"),
        (None, Tempo(Fraction(66)), 1, "67"),
        (None, None, 1, ""),
        (Tempo(Fraction(54), Fraction(42)), None, 1, "54 to 42"),
        (Tempo(Fraction(20)), None, -1, "20"),
        (Tempo(Fraction(133, 2)), None, 1, "67.5"),
    ],
)
def test_arrows_step_from_what_holds(
    shown: Any, nothing: Any, steps: int, then: str, story_panel: StoryPanel
) -> None:
    field: KindEntry = story_panel.story["tempo"]
    field.show_value(shown, nothing)
    field.stepBy(steps)
    assert field.text() == then
    both = QAbstractSpinBox.StepEnabledFlag
    assert field.stepEnabled() == both.StepUpEnabled | both.StepDownEnabled


def test_a_number_that_is_needed_comes_back(story_panel: StoryPanel) -> None:
    field: KindEntry = story_panel.board["width_mm"]
    seen = Seen(field)
    field.lineEdit().setText("")
    field.finish()
    assert (field.text(), seen) == ("120", [])
    field.show_several()
    assert (field.text(), field.lineEdit().placeholderText()) == ("", SEVERAL)


def test_yes_no_or_some(qtbot: QtBot) -> None:
    field = FlagEntry("Lying")
    qtbot.addWidget(field)
    seen = Seen(field)
    field.show_several()
    assert field.checkState() is Qt.CheckState.PartiallyChecked
    field.show_value(True)
    assert field.checkState() is Qt.CheckState.Checked
    assert seen == []
    field.click()
    field.click()
    assert seen == [False, True]


NAMES = ("leader", "helper", "mover")


@pytest.mark.parametrize(
    ("shown", "nothing", "pressed", "old", "told"),
    [
        (("leader",), (), "helper", ("leader",), ("leader", "helper")),
        (("leader", "helper"), (), "leader", ("leader", "helper"), ("helper",)),
        ((), ("leader",), "helper", (), ("leader", "helper")),
        ((), ("leader",), "leader", (), ()),
        (("everyone",), (), "helper", ("everyone",), ("leader", "mover")),
        (("leader",), (), "helper", ("mover",), ("mover", "helper")),
        (("leader",), (), "helper", ("helper",), ("helper",)),
    ],
)
def test_a_press_is_for_one_name(
    shown: tuple[str, ...],
    nothing: tuple[str, ...],
    pressed: str,
    old: tuple[str, ...],
    told: tuple[str, ...],
    qtbot: QtBot,
) -> None:
    field = NamesEntry("taps")
    qtbot.addWidget(field)
    field.offer(NAMES)
    seen = Seen(field, old)
    field.show_value(shown, nothing)
    ticked = [name for name, box in field.boxes.items() if box.isChecked()]
    assert ticked == list(NAMES if "everyone" in shown else shown or nothing)
    field.boxes[pressed].click()
    assert seen == [told]


def test_boxes_are_made_anew_for_other_names_alone(qtbot: QtBot) -> None:
    field = NamesEntry("taps")
    qtbot.addWidget(field)
    field.offer(NAMES, {"leader": "the leader"})
    box = field.boxes["leader"]
    assert (box.text(), box.accessibleName()) == ("the leader", "the leader taps")
    field.offer(NAMES)
    assert field.boxes["leader"] is box
    field.offer(NAMES[:2])
    assert list(field.boxes) == ["leader", "helper"]
    assert field.boxes["leader"] is not box
    field.show_several()
    states = {each.checkState() for each in field.boxes.values()}
    assert states == {Qt.CheckState.PartiallyChecked}
    field.show_value(("helper",))
    assert not field.boxes["leader"].isTristate()


def texts(field: QComboBox) -> list[str]:
    return [field.itemText(n) for n in range(field.count())]


def test_choices_with_nothing_odd_and_several(qtbot: QtBot) -> None:
    field = ChoiceEntry([("one", 1), ("two", 2)])
    qtbot.addWidget(field)
    seen = Seen(field)
    for value, nothing, all_, current in (
        (2, "none", ["none", "one", "two"], "two"),
        (None, "none", ["none", "one", "two"], "none"),
        (3, "none", ["none", "3", "one", "two"], "3"),
    ):
        field.show_value(value, nothing)
        assert (texts(field), field.currentText()) == (all_, current)
    field.show_value(1)
    assert texts(field)[0] == NOT_SAID
    field.show_several()
    assert (texts(field), field.currentText()) == ([SEVERAL, "one", "two"], SEVERAL)
    field.activated.emit(0)
    assert seen == [], "several is none to choose"
    enter(field, "two")
    field.show_value(2, "none")
    enter(field, "none")
    assert seen == [2, None]


def test_what_is_needed_has_no_nothing(qtbot: QtBot) -> None:
    field = ChoiceEntry([("one", 1)], needed=True)
    qtbot.addWidget(field)
    field.show_value(1, "none")
    assert texts(field) == ["one"]
    field.show_value(None, "none")
    assert texts(field) == ["none", "one"]


def test_a_picture_is_looked_for_when_somebody_comes(qtbot: QtBot) -> None:
    there: list[str] = []
    field = PictureEntry(lambda: there)
    qtbot.addWidget(field)
    seen, wanted = Seen(field), list[bool]()
    field.bring_wanted.connect(lambda: wanted.append(True))
    field.show_value(None)
    assert texts(field) == ["none", "Bring one in ..."]
    there.append("cup.png")
    field.show_value("old.png", "none")
    assert texts(field) == ["none", "old.png", "Bring one in ..."]
    QApplication.sendEvent(field, QFocusEvent(QEvent.Type.FocusIn))
    assert texts(field) == ["none", "old.png", "cup.png", "Bring one in ..."]
    enter(field, "Bring one in ...")
    assert (field.currentText(), wanted, seen) == ("old.png", [True], [])
    enter(field, "cup.png")
    field.bring("new.png")
    assert seen == ["cup.png", "new.png"]


LOUD, QUIET, MEDIUM = (Loudness.LOUD,), (Loudness.QUIET,), (Loudness.MEDIUM,)


@pytest.mark.parametrize(
    ("old", "first", "last", "change_on"),
    [
        (None, "as usual", "and stays so", False),
        (QUIET, "quiet", "and stays so", True),
        ((*QUIET, *LOUD), "quiet", "to loud", True),
        ((*QUIET, *LOUD, *QUIET), "quiet to loud to quiet", "and stays so", False),
    ],
)
def test_a_swell_as_it_is_shown(
    old: Any, first: str, last: str, change_on: bool, qtbot: QtBot
) -> None:
    field = SwellEntry()
    qtbot.addWidget(field)
    field.show_value(old, "as usual")
    assert (field.first.currentText(), field.last.currentText()) == (first, last)
    assert field.last.isEnabled() is change_on
    field.show_several()
    assert (field.first.currentText(), field.last.currentText()) == (SEVERAL, "and stays so")
    assert not field.last.isEnabled()


@pytest.mark.parametrize(
    ("old", "which", "chosen", "told"),
    [
        (QUIET, "first", "loud", LOUD),
        ((*QUIET, *LOUD), "first", "medium", (*MEDIUM, *LOUD)),
        ((*QUIET, *LOUD), "first", NOT_SAID, None),
        ((*QUIET, *LOUD, *QUIET), "first", "loud", LOUD),
        (QUIET, "last", "to loud", (*QUIET, *LOUD)),
        ((*QUIET, *LOUD), "last", "to medium", (*QUIET, *MEDIUM)),
        ((*QUIET, *LOUD), "last", "and stays so", QUIET),
    ],
)
def test_a_swell_as_it_is_chosen(
    old: Any, which: str, chosen: str, told: Any, qtbot: QtBot
) -> None:
    field = SwellEntry()
    qtbot.addWidget(field)
    field.show_value(old)
    seen = Seen(field, old)
    enter(getattr(field, which), chosen)
    assert seen == [told]


# --- a form


Asked = tuple[Any, str, Change, str | None]


class Formed:
    """A form of a prop's words, sets and adult."""

    def __init__(self, qtbot: QtBot) -> None:
        self.asked: list[Asked] = []
        self.form = Form(
            [
                part(Prop, "what", "What it is"),
                part(Prop, "sets", "Sets"),
                part(Prop, "by", "By", ChoiceEntry([("leader", "leader")])),
            ],
            lambda *said: self.asked.append(said),
        )
        qtbot.addWidget(self.form)

    def made(self, number: int, prop: Prop) -> Prop:
        changed: Prop = self.asked[number][2](prop)
        return changed


def test_typing_on_is_one_step_and_choosing_is_its_own(qtbot: QtBot) -> None:
    formed = Formed(qtbot)
    prop = Prop("cup", what="a cup", sets=2)
    formed.form.show_things("cup", [prop])
    enter(formed.form["what"], "a mug")
    enter(formed.form["sets"], "3")
    enter(formed.form["by"], "leader")
    assert [(target, name, join) for target, name, _, join in formed.asked] == [
        ("cup", "Change what it is", "Change what it is cup"),
        ("cup", "Change sets", "Change sets cup"),
        ("cup", "Change by", None),
    ]
    assert formed.made(0, prop) == evolve(prop, what="a mug")
    assert formed.made(1, prop) == evolve(prop, sets=3)
    assert formed.made(2, prop) == evolve(prop, by="leader")


def test_what_was_typed_is_told_of_its_own_thing_and_then_forgotten(qtbot: QtBot) -> None:
    formed = Formed(qtbot)
    cup, bell = Prop("cup", sets=2), Prop("bell", sets=5)
    formed.form.show_things("cup", [cup])
    formed.form["sets"].lineEdit().setText("4")
    formed.form.show_things("cup", [cup])
    assert (formed.asked, formed.form["sets"].text()) == ([], "4")
    formed.form.show_things("bell", [bell])
    assert [said[0] for said in formed.asked] == ["cup"]
    assert formed.form["sets"].text() == "5"
    formed.form["sets"].lineEdit().setText("many")
    formed.form.show_things("cup", [cup])
    assert formed.form["sets"].text() == "2", "what could not be taken goes with its thing"
    assert len(formed.asked) == 1


def test_nothing_several_and_refusals(qtbot: QtBot) -> None:
    formed = Formed(qtbot)
    refused: list[str] = []
    formed.form.said.connect(refused.append)
    formed.form.show_things(None, [])
    assert not formed.form.isEnabled()
    formed.form.show_things("all", [Prop("cup", what="a"), Prop("bell", what="a", sets=4)])
    assert formed.form.isEnabled()
    assert formed.form["what"].text() == "a"
    assert formed.form["sets"].lineEdit().placeholderText() == SEVERAL
    enter(formed.form["sets"], "none")
    assert len(refused) == 1
    assert formed.asked == []
    named = [each.accessibleName() for each in (formed.form["what"], formed.form["by"])]
    assert named == ["What it is", "By"]


def test_a_step_has_its_own_name_where_one_is_given(qtbot: QtBot) -> None:
    asked: list[Asked] = []
    entry = WordsEntry()
    parts = [FormPart("k", "Label", entry, lambda t: t, lambda _, value: value, step="Say it")]
    form = Form(parts, lambda *said: asked.append(said))
    qtbot.addWidget(form)
    form.show_things(1, ["a"])
    enter(entry, "b")
    assert [(each[1], each[3]) for each in asked] == [("Say it", "Say it 1")]


# --- the story's own


STORY: list[tuple[str, str, str, str, Any]] = [
    ("story", "title", "Larger", "title", "Larger"),
    ("story", "metre", "3/4", "manner.metre", Metre(3, 4)),
    ("story", "tempo", "54 to 42", "manner.tempo", Tempo(Fraction(54), Fraction(42))),
    ("story", "loudness", "quiet", "manner.loudness", QUIET),
    ("story", "loudness", "quiet to loud", "manner.loudness", (*QUIET, *LOUD)),
    ("story", "stroke", "knuckles", "manner.stroke.word", "knuckles"),
    (
        *("story", "glossary", "HIG-gle-dy, wel-lies", "glossary"),
        (Spoken("higgledy", "HIG-gle-dy"), Spoken("wellies", "wel-lies")),
    ),
    ("story", "glossary", "cup - Cup", "glossary", (Spoken("cup", "Cup"),)),
    ("story", "term", "Autumn 2026", "term", "Autumn 2026"),
    ("story", "class", "Willow", "class_name", "Willow"),
    ("story", "next year", "fewer  waves; ; one", "next_year", ("fewer waves", "one")),
    ("story", "outdoors", "a bench", "outdoors", "a bench"),
    ("story", "weather", "in rain not", "weather", "in rain not"),
    ("story", "pupils", "5", "pupils", 5),
    ("comfort", "stage", "on a table", "comfort.stage_word", "on a table"),
    ("comfort", "ceiling", "medium", "comfort.ceiling", Loudness.MEDIUM),
    ("comfort", "largest jump", "1", "comfort.largest_jump", 1),
    ("comfort", "least wait", "7.5", "comfort.least_wait_sec", Fraction(15, 2)),
    ("comfort", "introduce gently", "", "comfort.introduce_gently", True),
    ("board", "width_mm", "150", "board.width_mm", 1500),
    ("board", "depth_mm", "60.5", "board.depth_mm", 605),
    ("board", "gap_mm", "12.5", "board.gap_mm", Fraction(25, 2)),
    ("board", "oldest pupil", "6", "board.oldest_years", 6),
    ("board", "way out", "at the west side", "board.way_out", Point(Fraction(0), Fraction(600))),
    ("sheet", "thickness_mm", "3.25", "board.sheet.thickness_mm", Fraction(13, 4)),
    ("sheet", "wood", "poplar", "board.sheet.wood", "poplar"),
    ("sheet", "plies", "5", "board.sheet.plies", 5),
    ("sheet", "mass_kg", "3.2", "board.sheet.mass_kg", Fraction(16, 5)),
    ("sheet", "stiffness_long_nm", "64", "board.sheet.stiffness_long_nm", 64),
    ("sheet", "stiffness_short_nm", "32", "board.sheet.stiffness_short_nm", 32),
    *(
        ("strips", side, "free", "board.strips", Strips(**{side: "free"}))
        for side in ("north", "west")
    ),
    *(
        ("sides", side, "hall", f"board.sides.{side}", "hall")
        for side in ("north", "east", "south", "west")
    ),
]


@pytest.fixture(scope="module")
def one_for_all(qapp: QApplication) -> Iterator[StoryPanel]:
    """A panel that each test leaves as it was: it has dozens of fields to make."""
    panel = StoryPanel(Document(read_text(TEXT), None))
    yield panel
    panel.deleteLater()


@pytest.mark.parametrize(("form", "key", "typed", "where", "value"), STORY)
def test_what_is_typed_stands_in_the_story(
    form: str, key: str, typed: str, where: str, value: Any, one_for_all: StoryPanel
) -> None:
    document = one_for_all._document
    before = document.story
    field = getattr(one_for_all, form)[key]
    enter(field, typed)
    assert value_at(document.story, where) == value
    assert document.undo_stack.undoText().startswith("Change ")
    again = read_text(document.text())
    assert again.story is not None, again.findings
    assert value_at(again.story, where) == value, "and in its file"
    document.undo_stack.setIndex(0)
    assert document.story == before


@pytest.mark.parametrize(
    ("form", "key", "typed", "why"),
    [
        ("story", "tempo", "19", "20 to 300"),
        ("story", "tempo", "301", "20 to 300"),
        ("story", "tempo", "quick", "20 to 300"),
        ("story", "pupils", "0", "1 to"),
        ("story", "pupils", "two", "1 to"),
        ("comfort", "largest jump", "5", "1 to 4"),
        ("comfort", "least wait", "0", "1 to 600"),
        ("board", "width_mm", "9", "10 to 500"),
        ("board", "depth_mm", "501", "10 to 500"),
        ("board", "oldest pupil", "old", ""),
        ("sheet", "plies", "many", ""),
        ("sheet", "mass_kg", "-1", ""),
    ],
)
def test_what_the_story_s_fields_refuse_is_said_and_stays(
    form: str, key: str, typed: str, why: str, story_panel: StoryPanel
) -> None:
    said: list[str] = []
    story_panel.said.connect(said.append)
    field = getattr(story_panel, form)[key]
    enter(field, typed)
    assert len(said) == 1
    assert why in said[0]
    assert (field.text(), field.toolTip()) == (typed, said[0])
    assert story_panel._document.undo_stack.count() == 0


def test_what_is_said_no_more_leaves_nothing_behind(story_panel: StoryPanel) -> None:
    """Comfort, strips and the room's words go again with the last of what they say."""
    panel, document = story_panel, story_panel._document
    for field, typed, gone in (
        (panel.comfort["least wait"], "9", ""),
        (panel.comfort["ceiling"], "loud", NOT_SAID),
        (panel.strips["east"], "elastic", texts(panel.strips["east"])[0]),
        (panel.sides["south"], "door", ""),
    ):
        enter(field, typed)
        enter(field, gone)
        story = document.story
        assert story.comfort is None
        assert story.board is None or (story.board.strips, story.board.sides) == (None, None)


def test_what_holds_where_nothing_is_said_is_shown(story_panel: StoryPanel) -> None:
    panel = story_panel
    hints = {
        "tempo": "60",
        "pupils": "1",
        "glossary": "HIG-gle-dy, wel-lies: how they divide",
    }
    for key, hint in hints.items():
        field = panel.story[key]
        line = field.lineEdit() if isinstance(field, KindEntry) else field
        assert line.placeholderText() == hint, key
    assert panel.story["stroke"].currentText() == "as usual: fingertips"
    assert panel.story["loudness"].first.currentText() == "as usual: quiet"
    assert panel.story["picture"].currentText() == "none"
    assert panel.comfort["largest jump"].lineEdit().placeholderText() == "1"
    assert panel.board["width_mm"].text() == "120"
    assert panel.board["depth_mm"].text() == "120"
    assert panel.board["gap_mm"].text() == "20"
    assert panel.sheet["thickness_mm"].text() == "4"
    assert panel.board["way out"].currentText() == NOT_SAID
    wanted: list[bool] = []
    panel.measure_wanted.connect(lambda: wanted.append(True))
    panel.measure.click()
    assert wanted == [True]


def test_a_new_metre_says_what_became_of_the_lines(story_panel: StoryPanel) -> None:
    said: list[str] = []
    story_panel.said.connect(said.append)
    enter(story_panel.story["title"], "Other")
    assert said == []
    enter(story_panel.story["metre"], "3/4")
    assert len(said) == 1


# --- lists of named things


LISTED = """\
tapscore: 2
title: Small
roles: {leader: {}, helper: {}}
props: {cup: {what: cup}, bell: {}}
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45]}
  seats: {north: [60, 90]}
  places:
    A: {at: [30, 30]}
story:
  - section: One
    lines:
      - words: first the moon
"""


class Listed:
    """A panel of named things with what it asks for."""

    def __init__(self, qtbot: QtBot, made: str) -> None:
        source = read_text(LISTED)
        assert source.story is not None, source.findings
        self.document = Document(source, None)
        self.panel: NamedListPanel
        if made in ("prop", "role"):
            self.panel = (PropsPanel if made == "prop" else RolesPanel)(self.document)
            qtbot.addWidget(self.panel)
        else:
            self.furnishing = FurnishingPanel(self.document)
            qtbot.addWidget(self.furnishing)
            self.panel = self.furnishing.lists[made]
        self.said: list[str] = []
        self.removed: list[str] = []
        self.renamed: list[str] = []
        self.panel.said.connect(self.said.append)
        self.panel.remove_wanted.connect(self.removed.append)
        self.panel.rename_wanted.connect(self.renamed.append)

    @property
    def names(self) -> list[str]:
        return [self.panel.names.item(n).text() for n in range(self.panel.names.count())]

    def add(self, name: str) -> None:
        self.panel.new_name.setText(name)
        self.panel.add.click()


@pytest.mark.parametrize(
    ("kind", "names", "new", "taken"),
    [
        ("prop", ["cup", "bell"], "beads", "There is a prop of that name already."),
        ("role", ["leader", "helper"], "mover", "There is a role of that name already."),
        ("spot", ["middle"], "by the door", "There is a spot of that name already."),
        ("seat", ["north"], "south", "There is a seat of that name already."),
        ("place", ["A"], "B", "There is a place of that name already."),
    ],
)
def test_adding_choosing_and_asking(
    kind: str, names: list[str], new: str, taken: str, qtbot: QtBot
) -> None:
    listed = Listed(qtbot, kind)
    panel = listed.panel
    assert listed.names == names
    assert panel.current == names[0]
    listed.add("  ")
    assert listed.document.undo_stack.count() == 0
    listed.add(f" {new}  ")
    assert listed.names == [*names, new]
    assert (panel.current, panel.new_name.text(), listed.said) == (new, "", [])
    assert listed.document.undo_stack.undoText() == f"Add {new}"
    listed.add(names[0])
    assert (panel.current, panel.new_name.text(), listed.said) == (names[0], names[0], [taken])
    assert listed.document.undo_stack.count() == 1
    panel.choose(new)
    panel.choose("nobody")
    assert panel.current == new
    panel.rename.click()
    panel.remove.click()
    assert (listed.renamed, listed.removed) == ([new], [new])
    listed.document.undo_stack.undo()
    assert (listed.names, panel.current) == (names, names[0])
    panel.new_name.setText(new)
    QTest.keyClick(panel.new_name, Qt.Key.Key_Return)
    assert panel.current == new
    text = listed.document.text()
    assert read_text(text).story == listed.document.story


def test_an_empty_list_has_nothing_to_take_away(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "prop")
    story = listed.document.story
    listed.document.edit("none", evolve(story, props=()))
    panel = listed.panel
    assert (listed.names, panel.current) == ([], "")
    for each in (panel.remove, panel.rename, panel.form):
        assert not each.isEnabled()
    listed.add("beads")
    for each in (panel.remove, panel.rename, panel.form):
        assert each.isEnabled()


def test_a_pupil_s_place_is_a_letter(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "place")
    for name in ("Anna", "b", "1", "AB"):
        listed.add(name)
        assert listed.said.pop() == "A pupil's place is one capital letter, never a name."
        assert listed.panel.new_name.text() == name
    assert listed.names == ["A"]


def test_the_furnishing_shows_what_was_pressed(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "spot")
    listed.add("by the door")
    panel = listed.furnishing
    assert texts(panel.kind) == ["Spots", "Seats", "Places"]
    for kind, name, shown in (
        ("place", "A", "Places"),
        ("seat", "north", "Seats"),
        ("spot", "middle", "Spots"),
        ("way out", "way out", "Spots"),
    ):
        panel.show_thing(kind, name)
        assert panel.kind.currentText() == shown
        assert not panel.lists[shown.lower()[:-1]].isHidden()
    assert panel.lists["spot"].current == "middle"
    told: list[Any] = []
    panel.remove_wanted.connect(lambda *said: told.append(("remove", *said)))
    panel.rename_wanted.connect(lambda *said: told.append(("rename", *said)))
    panel.keep_wanted.connect(lambda: told.append("keep"))
    panel.kept_wanted.connect(lambda: told.append("kept"))
    panel.said.connect(told.append)
    panel.lists["seat"].remove.click()
    panel.lists["place"].rename.click()
    panel.keep.click()
    panel.use_kept.click()
    panel.lists["place"].new_name.setText("Anna")
    panel.lists["place"].add.click()
    assert told[:4] == [("remove", "seat", "north"), ("rename", "place", "A"), "keep", "kept"]
    assert told[4].startswith("A pupil's place")


THINGS: list[tuple[str, str, str, str, Any]] = [
    ("prop", "what", "a mug", "props.0.what", "a mug"),
    ("prop", "sets", "3", "props.0.sets", 3),
    ("prop", "instead", "a spoon", "props.0.instead", "a spoon"),
    ("prop", "outdoors", "a pot", "props.0.outdoors", "a pot"),
    ("prop", "by", "helper", "props.0.by", "helper"),
    ("prop", "handed by", "helper", "props.0.handed_by", ("helper",)),
    ("role", "seat", "north", "roles.0.seat", "north"),
    ("spot", "x_mm", "30.5", "board.spots.0.at.x_mm", 305),
    ("spot", "y_mm", "10", "board.spots.0.at.y_mm", 100),
    ("seat", "x_mm", "0", "board.seats.0.at.x_mm", 0),
    ("place", "y_mm", "20", "board.places.0.at.y_mm", 200),
    ("place", "lying", "", "board.places.0.lying", True),
    ("place", "head", "north", "board.places.0.head", "north"),
    ("place", "with", "leader", "board.places.0.partner", "leader"),
]


@pytest.mark.parametrize(("kind", "key", "typed", "where", "value"), THINGS)
def test_what_is_said_of_a_thing(
    kind: str, key: str, typed: str, where: str, value: Any, qtbot: QtBot
) -> None:
    listed = Listed(qtbot, kind)
    enter(listed.panel.form[key], typed)
    assert value_at(listed.document.story, where) == value
    assert value_at(read_text(listed.document.text()).story, where) == value
    assert listed.document.undo_stack.count() == 1
    listed.document.undo_stack.undo()
    assert listed.document.text() == LISTED


def test_what_holds_of_a_thing_where_nothing_is_said(qtbot: QtBot) -> None:
    listed = [Listed(qtbot, kind) for kind in ("prop", "role", "place")]
    props, roles, places = (each.panel.form for each in listed)
    assert texts(props["by"]) == ["who handles props", "leader", "helper"]
    assert props["picture"].currentText() == "none"
    assert texts(roles["seat"]) == ["no seat yet", "north"]
    assert texts(places["with"]) == ["nobody", "leader", "helper"]
    assert places["head"].currentText() == "not said"
    spots = Listed(qtbot, "spot")
    said = spots.said
    enter(spots.panel.form["x_mm"], "501")
    assert len(said) == 1
    spots.panel.form["x_mm"].drop()
    spots.panel.form["x_mm"].show_value(Fraction(60))
    spots.panel.form["x_mm"].stepBy(1)
    assert value_at(spots.document.story, "board.spots.0.at.x_mm") == 650
    spots.panel.form["y_mm"].stepBy(-2)
    assert value_at(spots.document.story, "board.spots.0.at.y_mm") == 350


def test_a_caution_is_ticked_by_what_it_is_about(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "prop")
    boxes = listed.panel.form["cautions"].boxes
    name, box = next(iter(boxes.items()))
    box.click()
    assert value_at(listed.document.story, "props.0.cautions") == (name,)
    listed.panel.choose("bell")
    assert not box.isChecked()
    listed.panel.choose("cup")
    assert box.isChecked()


def test_a_board_begins_as_the_usual_one(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "spot")
    listed.document.edit("none", evolve(listed.document.story, board=None))
    assert listed.names == []
    listed.add("door")
    board = listed.document.story.board
    assert board is not None
    assert board.seats == USUAL_BOARD.seats
    assert {seat.name: (int(seat.at.x_mm), int(seat.at.y_mm)) for seat in board.seats} == {
        "north": (600, 1200),
        "east": (1200, 600),
        "south": (600, 0),
        "west": (0, 600),
    }
    assert [board.width_mm, board.depth_mm, board.gap_mm] == [1200, 1200, 20]
    assert [spot.name for spot in board.spots] == ["middle", "door"]


# --- details


DETAILS: list[tuple[str, str, str, str, Any]] = [
    ("line", "loudness", "quiet to loud", "manner.loudness", (*QUIET, *LOUD)),
    ("line", "stroke", "knuckles", "manner.stroke.word", "knuckles"),
    ("line", "by", "helper", "manner.by", ("leader", "helper")),
    ("line", "says", "helper", "manner.says", ("leader", "helper")),
    ("line", "tempo", "80", "manner.tempo", Tempo(Fraction(80))),
    ("line", "warn first", "a big one comes", "warn_first", "a big one comes"),
    ("line", "warned by", "helper", "warned_by", ("helper",)),
    ("line", "warned through", "touch", "warned_through", ("touch",)),
    ("line", "prop in", "cup", "props_in", (Entrance("cup"),)),
    ("line", "prop out", "cup", "props_out", ("cup",)),
    ("line", "look for", "a look", "look_for", "a look"),
    ("line", "do", "lift the cup", "do", "lift the cup"),
    ("line", "done by", "leader", "done_by", ("leader",)),
    *(
        ("line", "in", typed, "translations", found)
        for typed, found in (
            ("pl: jeden  dwa; ur: x", (Translation("pl", "jeden dwa"), Translation("ur", "x"))),
            ("pl:; nowhere at all: y;pl: b", (Translation("pl", "b"),)),
        )
    ),
    ("wait", "wait", "12.5", "least_sec", Fraction(25, 2)),
    ("wait", "look for", "still", "look_for", "still"),
    ("offer", "turn", "22.5", "turn_sec", Fraction(45, 2)),
    ("offer", "look for", "a reach", "look_for", "a reach"),
    ("section", "section", "Later", "title", "Later"),
    ("section", "loudness", "loud", "manner.loudness", LOUD),
    ("section", "tempo", "50", "manner.tempo", Tempo(Fraction(50))),
    ("section", "metre", "3/4", "manner.metre", Metre(3, 4)),
]
ROWS = {"line": "first the moon", "wait": "wait", "offer": "offering", "section": "Two"}


@pytest.mark.parametrize(("form", "key", "typed", "where", "value"), DETAILS)
def test_what_is_typed_in_the_details_stands_in_the_story(
    form: str, key: str, typed: str, where: str, value: Any, qtbot: QtBot
) -> None:
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    row = desk.row(ROWS[form])
    panel.show_rows([row], row, None)
    enter(getattr(panel, form)[key], typed)

    def found(story: Any) -> Any:
        section = story.sections[row.path[1]]
        return value_at(section if form == "section" else section.items[row.path[3]], where)

    assert found(desk.story) == value
    assert found(read_text(desk.document.text()).story) == value
    assert desk.step().startswith("Change ")


def test_an_offering_always_has_a_prop(qtbot: QtBot) -> None:
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    desk.document.edit("more", evolve(desk.story, props=(*desk.story.props, Prop("bell"))))
    row = desk.row("offering")
    panel.show_rows([row], row, None)
    assert texts(panel.offer["offer"]) == ["cup", "bell"]
    enter(panel.offer["offer"], "bell")
    assert desk.story.sections[1].items[0] == Offer("bell")
    wait = desk.row("wait")
    panel.show_rows([wait], wait, None)
    said: list[str] = []
    panel.said.connect(said.append)
    enter(panel.wait["wait"], "900")
    assert "1 to 600" in said[0]
    enter(panel.wait["wait"], "")
    assert (panel.wait["wait"].text(), desk.story.sections[0].items[3]) == (
        *("10", Wait(Fraction(10))),
    )


def test_where_a_prop_comes_in_stays_when_another_comes(qtbot: QtBot) -> None:
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    story = evolve(desk.story, props=(*desk.story.props, Prop("bell")))
    items = story.sections[0].items
    assert isinstance(items[0], Line)
    first = evolve(items[0], props_in=(Entrance("cup", "middle"),))
    section = evolve(story.sections[0], items=(first, *items[1:]))
    desk.document.edit("more", evolve(story, sections=(section, *story.sections[1:])))
    row = desk.row("first the moon")
    panel.show_rows([row], row, None)
    assert panel.line["prop in"].boxes["cup"].isChecked()
    enter(panel.line["prop in"], "bell")
    line = desk.row("first the moon").line
    assert line is not None
    assert line.props_in == (Entrance("cup", "middle"), Entrance("bell"))


def test_as_before_and_as_the_line(qtbot: QtBot) -> None:
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    row = desk.row("then the sun")
    panel.show_rows([row], row, None)
    assert panel.line["stroke"].currentText() == "as before: fingertips"
    assert panel.line["spot"].currentText() == "as before"
    assert panel.line["metre"].currentText() == "as before: 2/4"
    assert panel.line["loudness"].first.currentText() == "loud"
    assert panel.line["picture"].currentText() == "none"
    panel.show_rows([row], row, 0)
    assert panel.tap["loudness"].currentText() == "as the line: loud"
    assert panel.tap["stroke"].currentText() == "as the line: fingertips"
    assert panel.tap["spot"].currentText() == "any"
    assert [panel.tap["by"].boxes[name].isChecked() for name in ("leader", "helper")] == [
        *(True, False),
    ]


def test_a_story_and_a_heading_keep_their_names_until_others_are_there(
    story_panel: StoryPanel, qtbot: QtBot
) -> None:
    enter(story_panel.story["title"], " ")
    assert story_panel._document.story.title == "Small"
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    row = desk.row("One")
    panel.show_rows([row], row, None)
    enter(panel.section["section"], "")
    assert desk.story.sections[0].title == "One"
    assert desk.document.undo_stack.count() == 0


def test_what_has_no_details_takes_the_form_away(qtbot: QtBot) -> None:
    desk = Desk()
    panel = DetailsPanel(desk.editing)
    qtbot.addWidget(panel)
    for names in (["home"], []):
        line = desk.row("first the moon")
        panel.show_rows([line], line, None)
        assert panel.shown is panel.line
        rows = desk.some(*names)
        panel.show_rows(rows, rows[0] if rows else None, None)
        assert panel.shown is None
        assert panel.what.text() == NOTHING_CHOSEN


def test_half_centimetres_are_shown_as_they_are(qtbot: QtBot) -> None:
    listed = Listed(qtbot, "spot")
    for key, typed in (("x_mm", "60.5"), ("y_mm", "0.1")):
        enter(listed.panel.form[key], typed)
        other = Listed(qtbot, "spot")
        other.document.show_story(listed.document.story)
        assert other.panel.form[key].text() == typed
