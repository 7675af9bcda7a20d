"""The story's rows under keys and mouse by themselves: a view on a document, without a window."""

import itertools
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from PySide6.QtCore import QObject, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QInputMethodEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui import app
from tapscore.gui.editor import story_view
from tapscore.gui.editor.row_pointing import steps_between
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.model.lane_edits import CellPlace, event_places
from tapscore.screen.rows import Row, RowKind
from tapscore.storyfile.lane_text import lane_text
from tests.gui.test_editing_by_hand import HOME, ONE, TWO, Desk, said

pytestmark = pytest.mark.usefixtures("qapp")
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
NO_STATE = QAbstractItemView.State.NoState
ALL = [*ONE[:3], "row it home", *ONE[3:], *TWO, *HOME]
"""A refrain's line stands below its return, and where it is written."""


class Seen:
    """A view 900 by 700 pixels, all of its rows in sight."""

    def __init__(self, qtbot: QtBot) -> None:
        self.desk = Desk()
        self.rows = StoryRows(self.desk.document)
        self.view = StoryView(self.rows, self.desk.editing)
        qtbot.addWidget(self.view)
        self.view.resize(900, 1100)
        self.view.show()
        self.refused: list[str] = []
        self.menus: list[QPoint] = []
        self.tapping: list[bool] = []
        self.details: list[bool] = []
        self.view.refused.connect(self.refused.append)
        self.view.menu_wanted.connect(self.menus.append)
        self.view.tapping_changed.connect(self.tapping.append)
        self.view.details_wanted.connect(lambda: self.details.append(True))

    def go(self, name: str) -> Row:
        number = next(n for n, row in enumerate(self.rows.rows) if said(row) == name)
        self.view.selectRow(number)
        return self.rows.rows[number]

    def key(self, *keys: Qt.Key, modifier: Qt.KeyboardModifier = NONE) -> None:
        for key in keys:
            QTest.keyClick(self.view, key, modifier)

    def type(self, text: str) -> None:
        QTest.keyClicks(self.view, text)

    @property
    def names(self) -> list[str]:
        return [said(row) for row in self.rows.rows]

    @property
    def chosen(self) -> list[str]:
        return [said(row) for row in self.view.chosen_rows]

    def lane(self, name: str) -> str:
        line = self.desk.row(name).line
        assert line is not None
        assert line.lane is not None
        return lane_text(line.lane)

    def rect(self, name: str) -> tuple[int, int, int, int]:
        number = next(n for n, row in enumerate(self.rows.rows) if said(row) == name)
        found = self.view.visualRect(self.rows.index(number, 0))
        return found.left(), found.top(), found.right(), found.bottom()

    def places(self, name: str) -> dict[CellPlace, tuple[QPoint, int | None]]:
        """A point in each cell of a line's lane, and the mark there."""
        left, top, right, foot = self.rect(name)
        found: dict[CellPlace, tuple[QPoint, int | None]] = {}
        beyond = left + 80  # at the left stand numbers
        for y, x in itertools.product(range(top, foot, 8), range(beyond, right, 8)):
            mark = self.view.pointing.mark_at(QPointF(x, y))
            if mark is not None:
                found.setdefault(mark[2], (QPoint(x, y), mark[1]))
        return found

    def mark(self, name: str, number: int) -> QPoint:
        return next(point for point, mark in self.places(name).values() if mark == number)

    def drag(self, *way: QPoint) -> None:
        port = self.view.viewport()
        QTest.mousePress(port, LEFT, NONE, way[0])
        for each in way[1:]:
            QTest.mouseMove(port, each)
        QTest.mouseRelease(port, LEFT, NONE, way[-1])


@pytest.fixture
def seen(qtbot: QtBot) -> Seen:
    return Seen(qtbot)


def test_rows_in_sight(seen: Seen) -> None:
    assert seen.names == ALL
    assert all(seen.view.rowHeight(n) > 20 for n in range(len(ALL)))


# --- keys


def test_left_and_right_go_along_the_taps_and_stay(seen: Seen) -> None:
    seen.go("first the moon")
    found = []
    for key in (Qt.Key.Key_Right,) * 4 + (Qt.Key.Key_Left,) * 3:
        seen.key(key)
        found.append(seen.view.cursor_event)
    assert found == [0, 1, 2, 2, 1, 0, 0]
    seen.key(Qt.Key.Key_Escape)
    assert seen.view.cursor_event is None
    seen.key(Qt.Key.Key_Left)
    assert seen.view.cursor_event == 2, "from the end"
    seen.key(Qt.Key.Key_Down)
    assert seen.view.cursor_event is None, "another row as a whole"
    seen.go("wait")
    seen.key(Qt.Key.Key_Right)
    assert seen.view.cursor_event is None


def test_the_tap_under_the_cursor_is_spoken(seen: Seen, monkeypatch: pytest.MonkeyPatch) -> None:
    spoken: list[tuple[object, str]] = []
    monkeypatch.setattr(story_view, "say_aloud", lambda *given: spoken.append(given))
    seen.go("first the moon")
    seen.key(Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Escape)
    assert [widget for widget, _ in spoken] == [seen.view] * 2
    assert [words.split(",")[0] for _, words in spoken] == ["1 of 3", "2 of 3"]


def test_headings_and_returns_fold_with_left_and_right(seen: Seen) -> None:
    seen.go("Two")
    seen.key(Qt.Key.Key_Left)
    assert seen.names == [*ALL[:6], "Two", *HOME]
    assert seen.chosen == TWO, "all of it is chosen with its heading"
    seen.key(Qt.Key.Key_Right)
    assert seen.names == ALL
    seen.go("home")
    seen.key(Qt.Key.Key_Left)
    assert "row it home" not in seen.names[:5]


def test_the_tapping_mode_begins_and_ends(seen: Seen) -> None:
    seen.go("first the moon")
    seen.view.set_tapping(True)
    assert (seen.view.cursor_event, seen.tapping) == (0, [True])
    seen.view.set_tapping(True)
    assert seen.tapping == [True]
    seen.type("z")
    assert seen.refused == ["This key does nothing to taps. Escape ends the tapping mode."]
    seen.key(Qt.Key.Key_Right, Qt.Key.Key_Escape)
    assert (seen.view.cursor_event, seen.tapping) == (None, [True, False])
    seen.key(Qt.Key.Key_Right, Qt.Key.Key_Right)
    seen.view.set_tapping(True)
    assert seen.view.cursor_event == 1, "it stays where it is"
    seen.view.set_tapping(False)
    assert not seen.view.tapping


def test_letters_begin_words_at_the_end(seen: Seen) -> None:
    seen.go("first the moon")
    seen.type("s")
    field = seen.view.delegate.field
    assert field is not None
    assert field.text() == "first the moon s"
    assert seen.desk.row("first the moon s").line is not None
    seen.view.end_typing()
    assert seen.view.state() is NO_STATE
    seen.go("wait")
    seen.type("s")
    assert seen.refused == ["Words belong to a line: go to one, or press Insert for a new one."]


@pytest.mark.parametrize(
    ("modifier", "types"),
    [
        (Qt.KeyboardModifier.ShiftModifier, True),
        (Qt.KeyboardModifier.ControlModifier, False),
        (Qt.KeyboardModifier.AltModifier, False),
        (Qt.KeyboardModifier.MetaModifier, False),
        (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier, True),
    ],
)
def test_which_keys_are_letters(modifier: Qt.KeyboardModifier, types: bool, seen: Seen) -> None:
    seen.go("wait")
    QTest.sendKeyEvent(QTest.KeyAction.Click, seen.view, Qt.Key.Key_S, "s", modifier)
    assert bool(seen.refused) is types


def test_composed_letters_begin_words_too(seen: Seen) -> None:
    seen.go("first the moon")
    composed = QInputMethodEvent()
    composed.setCommitString("é")
    QApplication.sendEvent(seen.view, composed)
    field = seen.view.delegate.field
    assert field is not None
    assert field.text() == "first the moon é"
    seen.view.end_typing()
    seen.view.set_tapping(True)
    QApplication.sendEvent(seen.view, composed)
    assert seen.view.state() is NO_STATE
    assert seen.desk.document.undo_stack.count() == 1


def test_enter_opens_words_or_details(seen: Seen) -> None:
    seen.go("wait")
    seen.key(Qt.Key.Key_Return)
    assert seen.details == [True]
    assert seen.view.state() is NO_STATE
    seen.go("then the sun")
    seen.key(Qt.Key.Key_Enter, modifier=Qt.KeyboardModifier.KeypadModifier)
    assert seen.view.state() is QAbstractItemView.State.EditingState
    assert seen.details == [True]
    seen.view.end_typing()
    assert seen.desk.document.undo_stack.count() == 0


def test_the_space_bar_is_somebody_else_s(seen: Seen) -> None:
    pressed: list[bool] = []

    def space() -> bool:
        pressed.append(True)
        return True

    seen.go("first the moon")
    seen.key(Qt.Key.Key_Space)
    seen.view.space = space
    seen.key(Qt.Key.Key_Space)
    assert pressed == [True]
    assert seen.refused == []
    assert seen.view.state() is NO_STATE


def test_the_syllable_the_cursor_is_before(seen: Seen) -> None:
    assert seen.view.syllable_here() is None
    seen.go("first the moon")
    assert seen.view.syllable_here() is None
    found = []
    for event in (0, 1, 2):
        seen.view.move_cursor_to(event)
        found.append(seen.view.syllable_here())
    assert found == [0, 1, 2]
    seen.view.move_cursor_to(4)
    assert seen.view.cursor_event == 1, "they go round"
    seen.key(Qt.Key.Key_Return)
    field = seen.view.delegate.field
    assert field is not None
    for at, syllable in ((0, 0), (5, 1), (6, 1), (9, 2), (14, 3)):
        field.setCursorPosition(at)
        assert seen.view.syllable_here() == syllable, at
    seen.view.end_typing()
    seen.go("wait")
    assert seen.view.syllable_here() is None


def test_a_line_that_is_gone_while_it_is_typed_is_said(seen: Seen) -> None:
    before = seen.go("then the sun")
    seen.view._words_typed(before, "then the sun")
    assert seen.refused == [], "it is there, and unchanged"
    seen.desk.editing.delete([seen.desk.row(name) for name in ("then the sun", "wait")])
    seen.view._words_typed(before, "then the star")
    assert seen.refused == ["That line is gone. Redo brings it back with its words."]


# --- the mouse


def test_a_press_on_a_tap_puts_the_cursor_there(seen: Seen) -> None:
    for number in (2, 0, 1):
        seen.drag(seen.mark("then the sun", number))
        assert seen.view.cursor_event == number
        assert seen.view.current_row == seen.desk.row("then the sun")
    assert seen.view.state() is NO_STATE
    assert seen.desk.document.undo_stack.count() == 0


def test_every_mark_lies_in_its_own_cell(seen: Seen) -> None:
    line = seen.desk.row("then the sun").line
    assert line is not None
    assert line.lane is not None
    found = seen.places("then the sun")
    marks = [
        place
        for place, (_, mark) in sorted(found.items(), key=lambda i: i[1][0].x())
        if mark is not None
    ]
    assert marks == list(event_places(line.lane))
    xs = [
        point.x() for point, _ in (found[p] for p in sorted(found, key=lambda p: (p.bar, p.step)))
    ]
    assert xs == sorted(xs), "time goes from left to right"
    assert seen.places("wait") == {}
    assert seen.places("One") == {}


def test_a_tap_is_dragged_to_another_step(seen: Seen) -> None:
    before = seen.lane("then the sun")
    places = seen.places("then the sun")
    start = seen.mark("then the sun", 1)
    target = next(
        point for place, (point, _) in places.items() if (place.bar, place.step) == (0, 3)
    )
    seen.drag(start, QPoint(start.x() + 6, start.y()), target)
    assert seen.lane("then the sun") == before.replace("X . x .", "X . . x", 1)
    assert seen.desk.step() == "Move tap"
    assert seen.view.state() is NO_STATE, "Qt is told that it is let go"
    seen.desk.document.undo_stack.undo()
    away = next(
        point
        for place, (point, _) in seen.places("first the moon").items()
        if (place.bar, place.step) == (0, 3)
    )
    seen.drag(start, QPoint(start.x() + 6, start.y()), away)
    assert seen.desk.document.undo_stack.undoText() == "", "to another line nothing moves"


def test_a_drag_over_rows_chooses_them_and_ends(seen: Seen) -> None:
    """Words are no mark: the rows between are chosen, and no more once it is let go."""
    left, top, _, _ = seen.rect("first the moon")
    _, low, _, _ = seen.rect("wait")
    x = left + 300
    seen.drag(QPoint(x, top + 8), QPoint(x, top + 40), QPoint(x, low + 5))
    assert seen.view.state() is NO_STATE
    chosen = seen.chosen
    assert chosen[0] == "first the moon"
    QTest.mouseMove(seen.view.viewport(), QPoint(x, seen.rect("last the rain")[1] + 5))
    assert seen.chosen == chosen


def test_twice_on_an_empty_step_adds_a_tap(seen: Seen) -> None:
    places = seen.places("then the sun")
    empty = next(point for place, (point, _) in places.items() if (place.bar, place.step) == (1, 2))
    before = seen.lane("then the sun")
    seen.drag(empty)
    QTest.mouseDClick(seen.view.viewport(), LEFT, NONE, empty)
    assert seen.lane("then the sun") != before
    assert seen.desk.step() == "Add tap"
    count = seen.desk.document.undo_stack.count()
    QTest.mouseDClick(seen.view.viewport(), LEFT, NONE, seen.mark("then the sun", 0))
    assert seen.desk.document.undo_stack.count() == count, "where one is none is added"
    assert seen.view.state() is NO_STATE
    left, top, _, _ = seen.rect("then the sun")
    QTest.mouseDClick(seen.view.viewport(), LEFT, NONE, QPoint(left + 120, top + 14))
    assert seen.view.state() is QAbstractItemView.State.EditingState
    seen.view.end_typing()


def test_a_line_is_lifted_at_its_number(seen: Seen) -> None:
    left, top, _, _ = seen.rect("first the moon")
    _, _, _, foot = seen.rect("then the sun")
    start = QPoint(left + 8, top + 12)
    seen.drag(start, QPoint(left + 8, top + 40), QPoint(left + 8, foot - 3))
    assert seen.desk.step() == "Move line"
    story = seen.desk.all()
    assert story.index("then the sun") + 1 == story.index("first the moon")
    assert seen.chosen == ["first the moon"]
    assert seen.view.lifting.line_y() is None
    steps = seen.desk.document.undo_stack.count()
    left, top, _, _ = seen.rect("wait")
    seen.drag(QPoint(left + 8, top + 8), QPoint(left + 9, top + 9))
    assert seen.desk.document.undo_stack.count() == steps, "not far enough to be meant"


def test_a_line_let_go_among_a_return_s_lines_goes_below_the_return(seen: Seen) -> None:
    left, top, _, _ = seen.rect("then the sun")
    _, _, _, foot = seen.rect("row it home")
    seen.drag(QPoint(left + 8, top + 12), QPoint(left + 8, top - 20), QPoint(left + 8, foot - 3))
    assert seen.desk.document.undo_stack.count() == 0, "it stood there"
    left, top, _, _ = seen.rect("last the rain")
    seen.drag(QPoint(left + 8, top + 12), QPoint(left + 8, top - 20), QPoint(left + 8, foot - 3))
    assert seen.desk.all()[:5] == ["One", "first the moon", "home", "last the rain", "then the sun"]


@pytest.mark.parametrize("name", ["One", "row it home"])
def test_headings_and_a_return_s_lines_are_not_lifted(name: str, seen: Seen) -> None:
    left, top, _, _ = seen.rect(name)
    _, _, _, foot = seen.rect("last the rain")
    seen.drag(QPoint(left + 40, top + 12), QPoint(left + 40, top + 60), QPoint(left + 40, foot - 3))
    assert seen.desk.document.undo_stack.count() == 0


def test_a_menu_opens_at_the_mouse_or_beside_the_row(seen: Seen) -> None:
    row = seen.go("then the sun")
    assert row.kind is RowKind.LINE
    for reason in (QContextMenuEvent.Reason.Mouse, QContextMenuEvent.Reason.Keyboard):
        event = QContextMenuEvent(reason, QPoint(3, 4), QPoint(33, 44))
        QApplication.sendEvent(seen.view.viewport(), event)
    left, top, right, foot = seen.rect("then the sun")
    assert seen.menus[0] == QPoint(33, 44)
    beside = seen.view.viewport().mapFromGlobal(seen.menus[1])
    assert left < beside.x() < right
    assert top < beside.y() < foot


def test_steps_between_a_mark_and_a_place(seen: Seen) -> None:
    row = seen.desk.row("then the sun")
    found = [
        steps_between(row, mark, CellPlace(bar, step, 0))
        for mark, bar, step in ((0, 0, 0), (0, 0, 3), (1, 0, 0), (2, 0, 2), (1, 1, 2))
    ]
    assert found == [0, 3, -2, -2, 4]
    assert steps_between(seen.desk.row("wait"), 0, CellPlace(0, 0, 0)) == 0


# --- the table of rows


def test_rows_chosen_and_resting(seen: Seen) -> None:
    paths = [seen.desk.row(name).path for name in ("wait", "first the moon", "offering")]
    seen.view.choose(paths)
    assert seen.chosen == ["first the moon", "wait", "offering"]
    current = seen.view.current_row
    assert current is not None
    assert said(current) == "wait", "the first of them is current"
    assert seen.view.first_chosen == 1
    seen.view.choose([])
    assert len(seen.chosen) == 3
    seen.view.rest_at(4)
    assert (seen.chosen, [said(row) for row in seen.view.selected_rows]) == ([], ["then the sun"])
    assert seen.view.first_chosen == 4
    for number, name in ((99, "row it home"), (-3, "One")):
        seen.view.rest_at(number)
        assert [said(row) for row in seen.view.selected_rows] == [name]


def test_going_to_what_is_folded_shows_it(seen: Seen) -> None:
    path = seen.desk.row("last the rain").path
    seen.go("Two")
    assert seen.view.fold(shown=False)
    assert not seen.view.fold(shown=False)
    seen.view.go_to(path)
    current = seen.view.current_row
    assert current is not None
    assert said(current) == "last the rain"
    seen.view.go_to(("story", 9))
    assert seen.view.current_row == current, "what is not there moves nothing"
    seen.view.go_to(path, edit=True)
    assert seen.view.state() is QAbstractItemView.State.EditingState
    seen.view.end_typing()


def test_the_cursor_stays_in_the_line_when_taps_go(seen: Seen) -> None:
    row = seen.go("then the sun")
    seen.view.move_cursor_to(2)
    seen.desk.editing.type_lines(row, ["sun"])
    assert seen.view.cursor_event == 0


# --- what the program ends with


class Nothing:
    """Stands for all that starting the editor needs."""

    windows: tuple[object, ...] = ()

    def __init__(self, *_: object) -> None:
        self.opened: list[Path] = []

    def offer_recovered(self) -> None: ...

    def open_path(self, path: Path) -> None:
        self.opened.append(path)

    def end(self) -> None: ...


@pytest.mark.parametrize(("handed_over", "code"), [(True, 0), (False, 2)])
def test_the_code_of_a_story_that_can_not_be_opened(
    handed_over: bool, code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0: another window has it; 2: it is none."""
    monkeypatch.setattr(app, "handed_over", lambda *_: handed_over)
    monkeypatch.setattr(app, "usual_place", lambda: tmp_path / "door")
    monkeypatch.setattr(app, "_recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(app, "Settings", lambda **_: None)
    monkeypatch.setattr(app, "FileWork", Nothing)
    for name in ("Collecting", "Door", "OpenedByTheSystem"):
        monkeypatch.setattr(app, name, lambda *_: QObject())
    instance = QApplication.instance()
    assert isinstance(instance, QApplication)
    for name in ("setStyle", "setFont", "setWindowIcon"):
        monkeypatch.setattr(QApplication, name, lambda *_: None)
    filters: list[object] = []
    monkeypatch.setattr(QApplication, "installEventFilter", lambda _, each: filters.append(each))
    assert app.run_editor(tmp_path / "none.yaml") == code
    assert len(filters) == (0 if handed_over else 1), "what the system opens is listened for"


def test_a_further_start_brings_the_story_s_window_to_the_front_or_the_first_page() -> None:
    told: list[object] = []
    shown = SimpleNamespace(
        raise_=lambda: told.append("above"), activateWindow=lambda: told.append("keys")
    )
    files: Any = SimpleNamespace(
        new=lambda: told.append("first page"),
        open_path=lambda path: shown if path == Path("there") else told.append("said why not"),
    )
    for path in (None, Path("there"), Path("nowhere")):
        app._open(files, path)
    assert told == ["first page", "above", "keys", "said why not"]
