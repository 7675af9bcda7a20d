"""What rows say to the view, what lies at their points, the field of words, and the spelling strip.

By themselves, without a window.
"""

from pathlib import Path

import pytest
from attrs import evolve
from PySide6.QtCore import QEvent, QModelIndex, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.editor.row_geometry import (
    MARGIN,
    RowSizes,
    finding_box,
    prop_tags,
    slip_box,
    tag_width,
)
from tapscore.gui.editor.row_tips import FOLD, LIFT, NOTED, UNFOLD, tip
from tapscore.gui.editor.story_delegate import LONGEST_TYPED, WordsField
from tapscore.gui.editor.story_rows import (
    FINDING_ROLE,
    NOTED_ROLE,
    ROW_ROLE,
    UNKNOWN_ROLE,
    StoryRows,
)
from tapscore.gui.settings import Settings
from tapscore.gui.spelling.check import SpellingCheck
from tapscore.gui.spelling.strip import ALL_KNOWN, SpellingStrip
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Entrance, Line, Offer, Wait
from tapscore.screen.rows import row_text
from tapscore.wording.about import About
from tests.gui.test_editing_by_hand import Desk, said
from tests.gui.test_story_view_by_hand import ALL, Seen

pytestmark = pytest.mark.usefixtures("qapp")
ITEM = Qt.ItemDataRole


class Told:
    """Rows of a document, with what they tell the view."""

    def __init__(self) -> None:
        self.desk = Desk()
        self.rows = StoryRows(self.desk.document)
        self.changed: list[tuple[int, int]] = []
        self.come: list[tuple[int, int]] = []
        self.gone: list[tuple[int, int]] = []
        self.rows.dataChanged.connect(lambda a, b: self.changed.append((a.row(), b.row())))
        self.rows.rowsInserted.connect(lambda _, a, b: self.come.append((a, b)))
        self.rows.rowsRemoved.connect(lambda _, a, b: self.gone.append((a, b)))

    @property
    def names(self) -> list[str]:
        return [said(row) for row in self.rows.rows]

    def index(self, name: str) -> QModelIndex:
        return self.rows.index(self.names.index(name), 0)

    def say(self, name: str) -> str:
        text: str = self.rows.data(self.index(name), int(ITEM.AccessibleTextRole))
        return text

    def forget(self) -> None:
        for each in (self.changed, self.come, self.gone):
            each.clear()


@pytest.fixture
def told(qapp: object) -> Told:
    return Told()


def test_the_table_is_flat(told: Told) -> None:
    rows = told.rows
    assert (rows.rowCount(), rows.columnCount()) == (len(ALL), 1)
    inside = told.index("One")
    assert (rows.rowCount(inside), rows.columnCount(inside)) == (0, 0)
    assert rows.data(QModelIndex()) is None
    assert rows.row_at(QModelIndex()) is None
    last = rows.index(len(ALL) - 1, 0)
    assert rows.row_at(last) is rows.rows[-1]
    assert rows.data(last) is None
    assert rows.data(last, ROW_ROLE) is rows.rows[-1]


@pytest.mark.parametrize(
    ("name", "edited", "typed", "kind"),
    [
        ("One", "One", True, "heading"),
        ("first the moon", "first the moon", True, "line"),
        ("home", "home", False, "refrain"),
        ("wait", "", False, "wait"),
        ("offering", "", False, "offering"),
    ],
)
def test_what_a_row_says(name: str, edited: str, typed: bool, kind: str, told: Told) -> None:
    index = told.index(name)
    assert told.rows.data(index, int(ITEM.EditRole)) == edited
    assert bool(told.rows.flags(index) & Qt.ItemFlag.ItemIsEditable) is typed
    assert told.rows.flags(index) & Qt.ItemFlag.ItemIsSelectable
    described = told.rows.data(index, int(ITEM.AccessibleDescriptionRole))
    assert described.endswith("; press Enter to change it")
    row = told.rows.row_at(index)
    assert row is not None
    assert told.say(name) == row_text(row)


def test_only_what_changes_is_told(told: Told) -> None:
    desk = told.desk
    for edit, changed, come, gone in (
        (lambda: desk.editing.rename_section(0, "First"), [(0, 5)], [], []),
        (lambda: desk.editing.insert(desk.row("wait"), Offer("cup")), [], [(6, 6)], []),
        (lambda: desk.editing.delete([desk.row("offering")]), [], [], [(6, 6)]),
        (lambda: desk.editing.delete([desk.row("Two")]), [(6, 7)], [], [(8, 8)]),
    ):
        told.forget()
        edit()
        assert (told.changed, told.come, told.gone) == (changed, come, gone)
    assert told.names == [said(row) for row in StoryRows(desk.document).rows]


def finding(severity: Severity, *path: str | int) -> Finding:
    about = About(key="x", what="a line", near=None, known=("do",))
    return Finding("unknown-key", severity, path, None, about)


def test_findings_are_marked_where_they_are(told: Told) -> None:
    moon = told.desk.row("first the moon").path
    sun = told.desk.row("then the sun").path
    told.rows.set_findings(
        (
            finding(Severity.MUST_MEND, *moon, "lane"),
            finding(Severity.LOOK_AGAIN, *moon),
            finding(Severity.ADVICE, *sun),
            finding(Severity.LOOK_AGAIN),
        )
    )
    assert told.changed == [(1, 1)], "advice and what is of the whole story mark no row"
    roles = [told.rows.data(told.index(n), FINDING_ROLE) for n in ("first the moon", "One")]
    assert roles == [Severity.MUST_MEND.value, ""]
    assert Severity.MUST_MEND.words in told.say("first the moon")
    assert len(told.rows.found_in(told.desk.row("first the moon"))) == 2
    assert told.rows.found_in(told.desk.row("then the sun")) == ()
    told.rows.set_findings((finding(Severity.LOOK_AGAIN, *moon),))
    assert told.rows.data(told.index("first the moon"), FINDING_ROLE) == "look again"
    told.forget()
    told.rows.set_findings(())
    assert told.changed == [(1, 1)]
    assert told.rows.found_in(told.desk.row("first the moon")) == ()


def test_notes_and_unknown_words_are_marked(told: Told) -> None:
    path = told.desk.row("wait").path
    told.rows.set_noted(frozenset({path}))
    assert told.rows.data(told.index("wait"), NOTED_ROLE)
    assert not told.rows.data(told.index("One"), NOTED_ROLE)
    assert told.say("wait").endswith(". Notes in the class record")
    told.rows.set_noted(frozenset())
    assert told.changed == [(5, 5), (5, 5)]
    told.forget()
    told.rows.set_unknown(frozenset({"moon", "the"}))
    assert told.rows.data(told.index("first the moon"), UNKNOWN_ROLE) == {1, 2}
    assert told.rows.data(told.index("wait"), UNKNOWN_ROLE) == frozenset()
    assert told.say("first the moon").endswith(". Not in the dictionary: the, moon")
    assert told.changed == [(1, 1), (4, 4), (8, 8)]
    told.rows.set_unknown(frozenset({"moon", "the"}))
    assert len(told.changed) == 3


def test_where_a_refrain_s_line_is(told: Told) -> None:
    path = told.desk.row("row it home").path
    written = len(ALL) - 1
    assert told.rows.row_of(path) == written
    assert told.rows.row_of(path, 0) == 3, "at the return nearest to it"
    assert told.rows.row_of(path, written) == written
    assert told.rows.row_of((*told.desk.row("wait").path, "look for")) == 5
    assert told.rows.row_of(("title",)) is None


def test_folding(told: Told) -> None:
    folded: list[bool] = []
    told.rows.folded.connect(lambda: folded.append(True))
    one, wait, home = (told.rows.row_at(told.index(n)) for n in ("One", "wait", "home"))
    assert one is not None
    assert wait is not None
    assert home is not None
    assert not told.rows.fold(one, shown=True)
    assert not told.rows.fold(wait, shown=False)
    assert folded == []
    assert told.rows.fold(home, shown=False)
    assert told.names == [*ALL[:3], *ALL[4:]]
    assert told.rows.fold(one, shown=False)
    assert told.names == ["One", *ALL[6:]]
    now = told.rows.row_at(told.index("One"))
    assert now is not None
    assert not told.rows.fold(now, shown=False)
    assert told.rows.fold(now, shown=True)
    assert len(folded) == 3
    assert told.names == [*ALL[:3], *ALL[4:]], "the return stays as it was"


# --- what lies at a point


def test_tips_of_signs(told: Told) -> None:
    sizes, rect = RowSizes(1.0), QRectF(0, 0, 900, 120)
    index = told.index("first the moon")
    row = told.rows.row_at(index)
    assert row is not None
    assert row.line is not None

    def at(x: float, y: float) -> str:
        assert row is not None
        return tip(told.rows, index, row, rect, QPointF(x, y), 1.0)

    finding_at, slip_at = (box(rect, sizes) for box in (finding_box, slip_box))
    middle = finding_at.center()
    assert at(middle.x(), middle.y()) == LIFT
    told.rows.set_findings((finding(Severity.LOOK_AGAIN, *row.path),))
    text = told.rows.found_in(row)[0]
    for near, held in ((5, True), (7, False)):
        for x, y in (
            (finding_at.left() - near, middle.y()),
            (finding_at.right() + near, middle.y()),
            (middle.x(), finding_at.top() - near),
            (middle.x(), finding_at.bottom() + near),
        ):
            assert (at(x, y) == text) is held, (near, x, y)
    assert at(slip_at.center().x(), slip_at.center().y()) == row_text(row)
    told.rows.set_noted(frozenset({row.path}))
    assert at(slip_at.center().x(), slip_at.center().y()) == NOTED
    assert at(sizes.gutter - 11, 60) == LIFT
    assert at(sizes.gutter - 9, 60) == row_text(row)
    told.rows.set_unknown(frozenset({"moon"}))
    assert at(400, 60) == f"{row_text(row)}\nNot in the dictionary: “moon”"


def test_tips_of_props_from_the_right(told: Told) -> None:
    first = told.desk.story.sections[0].items[0]
    assert isinstance(first, Line)
    line = evolve(
        first, props_in=(Entrance("cup", "middle"), Entrance("bell")), props_out=("drum",)
    )
    row = evolve_row(told, line)
    sizes, rect = RowSizes(1.0), QRectF(0, 10, 900, 120)
    right, texts = rect.right() - MARGIN, []
    for tag in reversed(prop_tags(line)):
        width = tag_width(tag, sizes)
        at = QPointF(right - width / 2, rect.top() + MARGIN + sizes.label_high / 2)
        texts.append(tip(told.rows, told.index("first the moon"), row, rect, at, 1.0))
        right -= width + 8
    assert texts == [
        "drum leaves the board after this line",
        "bell comes on to the board with this line",
        "cup comes on to the board with this line, at middle",
    ]


def evolve_row(told: Told, line: Line):  # type: ignore[no-untyped-def]
    told.desk.editing.change_items("x", (told.desk.row("first the moon").path,), lambda _: line)
    row = told.rows.row_at(told.index("first the moon"))
    assert row is not None
    return row


def test_tips_of_wedges(qtbot: QtBot) -> None:
    seen = Seen(qtbot)
    left, top, _, foot = seen.rect("Two")
    wedge = QPoint(left + 14, (top + foot) // 2)
    assert seen.view.pointing.tip_at(wedge) == FOLD
    seen.drag(wedge)
    assert "last the rain" not in seen.names[6:8]
    assert seen.view.pointing.tip_at(wedge) == UNFOLD
    seen.drag(wedge)
    assert seen.names == ALL
    assert seen.view.pointing.tip_at(QPoint(left + 5, 1090)) == ""


def test_what_a_row_s_own_menu_has() -> None:
    """What is done with the line under the mouse: to it, to its taps, from it on, beside it."""
    assert [command.id for command in COMMANDS if command.on_row] == [
        *("cut", "copy", "copy words", "paste", "words", "repeat", "up", "down"),
        *("cut line", "join", "refrain", "delete"),
        *("rhythm", "tap beats", "tap strong", "tap every"),
        *("listen", "details", "fold"),
    ]


# --- the field of words


class Field:
    def __init__(self, qtbot: QtBot, text: str) -> None:
        self.field = WordsField()
        qtbot.addWidget(self.field)
        self.field.setText(text)
        self.pasted: list[tuple[str, ...]] = []
        self.cuts: list[bool] = []
        self.field.lines_pasted.connect(self.pasted.append)
        self.field.cut_wanted.connect(lambda: self.cuts.append(True))

    def paste(self, text: str) -> None:
        QApplication.clipboard().setText(text)
        QTest.keyClick(self.field, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)


@pytest.mark.parametrize(
    ("start", "length", "pasted", "text", "lines"),
    [
        (5, 0, " old", "first old moon", []),
        (5, 0, " old\n", "first old moon", []),
        (0, 5, "last", "last moon", []),
        (5, 0, "\n \n", "first moon", []),
        (5, 0, "ly  a\n\n b \nc", "firstly a", [("firstly a", "b", "c moon")]),
        (0, 5, "a\nb", "a", [("a", "b moon")]),
        (10, 0, "a\nb\nc\nd", "first moona", [("first moona", "b", "c", "d")]),
    ],
)
def test_pasted_lines_stay_several(
    start: int, length: int, pasted: str, text: str, lines: list[tuple[str, ...]], qtbot: QtBot
) -> None:
    made = Field(qtbot, "first moon")
    made.field.setCursorPosition(start)
    if length:
        made.field.setSelection(start, length)
    made.paste(pasted)
    assert (made.field.text(), made.pasted) == (text, lines)
    if lines:
        assert made.field.isModified()


def test_shift_and_enter_cut(qtbot: QtBot) -> None:
    made = Field(qtbot, "first moon")
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        QTest.keyClick(made.field, key, Qt.KeyboardModifier.ShiftModifier)
    assert len(made.cuts) == 2
    QTest.keyClick(made.field, Qt.Key.Key_Return)
    assert len(made.cuts) == 2


def test_escape_puts_back_what_was_typed_over(qtbot: QtBot) -> None:
    seen = Seen(qtbot)
    seen.go("then the sun")
    seen.view.open_current()
    field = seen.view.delegate.field
    assert field is not None
    assert (field.maxLength(), field.accessibleName()) == (LONGEST_TYPED, "Words of the line")
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert seen.desk.document.undo_stack.count() == 0, "nothing was typed"
    seen.view.open_current()
    field = seen.view.delegate.field
    assert field is not None
    field.setText("")
    QTest.keyClicks(field, "then a star")
    assert seen.desk.all()[3] == "then a star"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert seen.desk.all()[3] == "then the sun"
    assert seen.desk.step() == "Put the words back"
    seen.go("Two")
    seen.view.open_current()
    heading = seen.view.delegate.field
    assert heading is not None
    assert heading.accessibleName() == "Heading"
    seen.view.end_typing()


# --- spelling


class Spelt:
    """The strip over a small story in which three words are unknown."""

    def __init__(self, qtbot: QtBot, folder: Path) -> None:
        self.seen = Seen(qtbot)
        self.settings = Settings(folder / "settings.json")
        self.settings.spelling = False
        self.parent = QWidget()
        qtbot.addWidget(self.parent)
        desk = self.seen.desk
        self.check = SpellingCheck(desk.document, self.settings, self.seen.rows, self.parent)
        self.strip = SpellingStrip(self.check, self.seen.view, desk.editing, self.parent)
        self.settings.spelling = True
        self.asked: list[object] = []
        self.check._background.ask = self.asked.append  # type: ignore[method-assign, assignment]
        self.check._found(frozenset({"moon", "the", "rain"}))
        self.done: list[bool] = []
        self.strip.done.connect(lambda: self.done.append(True))
        self.parent.show()

    @property
    def enabled(self) -> set[bool]:
        strip = self.strip
        parts = (strip.instead, strip.change, strip.change_all, strip.right, strip.next)
        return {each.isEnabled() for each in parts}

    @property
    def place(self) -> str:
        row = self.seen.view.current_row
        assert row is not None
        return f"{self.strip.said.text()} {said(row)}"


@pytest.fixture
def spelt(qtbot: QtBot, tmp_path: Path) -> Spelt:
    return Spelt(qtbot, tmp_path)


def test_words_in_the_order_of_telling_and_round(spelt: Spelt) -> None:
    assert spelt.strip.isHidden()
    spelt.strip.begin()
    assert spelt.enabled == {True}
    found = []
    for _ in range(6):
        found.append(spelt.place)
        spelt.strip.next.click()
    tell = "“{}” is not in the dictionary ({} of 5). {}"
    assert found == [
        tell.format("the", 1, "first the moon"),
        tell.format("moon", 2, "first the moon"),
        tell.format("the", 3, "then the sun"),
        tell.format("the", 4, "last the rain"),
        tell.format("rain", 5, "last the rain"),
        tell.format("the", 1, "first the moon"),
    ]


def test_one_is_changed_or_all(spelt: Spelt) -> None:
    strip, desk = spelt.strip, spelt.seen.desk
    strip.begin()
    strip.instead.setCurrentText("  ")
    strip.change.click()
    strip.change_all.click()
    assert desk.document.undo_stack.count() == 0
    strip.instead.setCurrentText("a")
    strip.change.click()
    assert [name for name in desk.all() if "a " in name or "the" in name] == [
        *("first a moon", "then the sun", "last the rain"),
    ]
    assert "“moon” is not in the dictionary (1 of 4)." in strip.said.text()
    strip.next.click()
    strip.instead.setCurrentText("a")
    strip.change_all.click()
    assert {"then a sun", "last a rain"} <= set(desk.all())
    assert strip.said.text().startswith("“rain” is not in the dictionary (2 of 2)")
    strip.instead.setCurrentText("wind")
    QTest.keyClick(strip.instead, Qt.Key.Key_Return)
    assert "last a wind" in desk.all()
    assert desk.document.undo_stack.count() == 3
    assert len(spelt.asked) == 3, "the dictionary is asked after each"


def test_keys_that_mean_nothing_in_the_strip_go_on_to_the_window(spelt: Spelt) -> None:
    spelt.strip.begin()
    for key, ours in ((Qt.Key.Key_Escape, True), (Qt.Key.Key_F5, False)):
        event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)
        spelt.strip.keyPressEvent(event)
        assert event.isAccepted() is ours
    assert spelt.done == [True]


def test_a_word_is_right_from_now_on(spelt: Spelt) -> None:
    strip = spelt.strip
    strip.begin()
    strip.right.click()
    assert list(spelt.settings.own_words) == ["the"]
    assert spelt.check.unknown == {"moon", "rain"}
    for _ in range(2):
        strip.right.click()
    assert list(spelt.settings.own_words) == ["the", "moon", "rain"]
    assert strip.said.text() == ALL_KNOWN
    assert spelt.enabled == {False}
    strip.right.click()
    strip._is_right()
    assert len(spelt.settings.own_words) == 3
    QTest.keyClick(strip, Qt.Key.Key_Escape)
    assert spelt.done == [True]


def test_a_hidden_strip_moves_nothing(spelt: Spelt) -> None:
    spelt.seen.go("wait")
    spelt.check._found(frozenset({"moon"}))
    row = spelt.seen.view.current_row
    assert row is not None
    assert isinstance(row.item, Wait)
    told: list[bool] = []
    spelt.check.changed.connect(lambda: told.append(True))
    spelt.check._found(frozenset({"moon"}))
    assert told == [], "the same words"
