"""Panels by themselves: the board under keys and mouse, findings, times, today's table."""

from typing import Any

import pytest
from attrs import evolve
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tapscore.checks.accepting import AcceptedFinding
from tapscore.gui.document import Document
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.gui.panels.details_panel import NOTHING_CHOSEN, DetailsPanel
from tapscore.gui.panels.findings_panel import NOTHING, FindingsPanel
from tapscore.gui.panels.side_panels import SidePanels
from tapscore.gui.panels.story_panel import _way_out_side, _with_way_out
from tapscore.gui.panels.time_panel import TimePanel
from tapscore.gui.today.outcome_view import OutcomeView
from tapscore.model.board import Board, Named, Place, Point
from tapscore.model.day import Day
from tapscore.model.finding import Finding, Severity
from tapscore.model.furnishing import resized
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import cell_at, event_places, with_detail
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Wait
from tapscore.screen.rows import Row, rows_of
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About
from tapscore.workflow.product import Choices
from tapscore.workflow.today.outcome import DayWish, Outcome, RoleToday
from tests.board.boards import TWO_PLACES, at
from tests.gui.test_editing_by_hand import TEXT, Desk

pytestmark = pytest.mark.usefixtures("qapp")
NONE, LEFT = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton


# --- the board


class Boarded:
    """A panel of 400 by 320 pixels, with what it asks for."""

    def __init__(self, qtbot: QtBot, board: Board = TWO_PLACES) -> None:
        self.panel = BoardPanel()
        qtbot.addWidget(self.panel)
        self.panel.resize(400, 320)
        self.board = board
        self.panel.show_board(board, {})
        self.moved: list[tuple[str, Point]] = []
        self.chosen: list[str] = []
        self.spots: list[str] = []
        self.panel.moved.connect(lambda thing, point: self.moved.append((thing.name, point)))
        self.panel.chosen.connect(lambda thing: self.chosen.append(thing.name))
        self.panel.spot_wanted.connect(self.spots.append)

    def key(self, *keys: Qt.Key) -> None:
        for key in keys:
            QTest.keyClick(self.panel, key)

    def place_of(self, point: Point) -> QPoint:
        frame: QRectF = self.panel.frame()
        x = frame.left() + float(point.x_mm / self.board.width_mm) * frame.width()
        y = frame.bottom() - float(point.y_mm / self.board.depth_mm) * frame.height()
        return QPoint(round(x), round(y))

    def drag(self, start: QPoint, *way: QPoint) -> None:
        QTest.mousePress(self.panel, LEFT, NONE, start)
        for each in way:
            QTest.mouseMove(self.panel, each)
        QTest.mouseRelease(self.panel, LEFT, NONE, way[-1] if way else start)

    @property
    def said(self) -> str:
        return self.panel.accessibleDescription()


@pytest.fixture
def boarded(qtbot: QtBot) -> Boarded:
    return Boarded(qtbot)


def test_plus_and_minus_go_round_all_things(boarded: Boarded) -> None:
    boarded.key(*[Qt.Key.Key_Plus] * 5)
    assert boarded.chosen == ["near left", "A", "B", "south", "middle"]
    boarded.key(Qt.Key.Key_Minus, Qt.Key.Key_Minus)
    assert boarded.chosen[5:] == ["south", "B"]


def test_what_is_chosen_is_said_with_its_place(boarded: Boarded) -> None:
    assert boarded.said.startswith(
        "spot middle, 60 centimetres from the west and 45 from the south."
    )
    boarded.key(Qt.Key.Key_Plus, Qt.Key.Key_Plus)
    assert boarded.said.startswith("place A, 35 centimetres from the west and 50 from the south.")
    boarded.panel.show_board(evolve(TWO_PLACES, places=(), seats=(), spots=()), {})
    assert boarded.said == "Nothing is on the board yet."
    boarded.key(Qt.Key.Key_Left, Qt.Key.Key_Plus, Qt.Key.Key_Return)
    boarded.drag(QPoint(200, 160))
    assert (boarded.moved, boarded.chosen, boarded.spots) == ([], ["near left", "A"], [])


def test_what_is_chosen_stays_chosen_while_other_things_come_and_go(boarded: Boarded) -> None:
    boarded.key(Qt.Key.Key_Plus, Qt.Key.Key_Plus)
    more = evolve(TWO_PLACES, spots=(Named("rug", at(100, 100)), *TWO_PLACES.spots))
    for board in (more, evolve(TWO_PLACES, spots=()), TWO_PLACES):
        boarded.panel.show_board(board, {})
        assert boarded.said.startswith("place A, ")
        boarded.key(Qt.Key.Key_Left)
        assert boarded.moved.pop() == ("A", at(330, 500))
    boarded.panel.show_board(None, {})
    boarded.panel.show_board(TWO_PLACES, {})
    assert boarded.said.startswith("spot middle, "), "the first where it is gone"


def test_half_centimetres_are_said(qtbot: QtBot) -> None:
    boarded = Boarded(qtbot, evolve(TWO_PLACES, spots=(Named("rug", at(605, 123)),)))
    assert boarded.said.startswith(
        "spot rug, 60.5 centimetres from the west and 12.3 from the south."
    )


def test_two_centimetres_at_a_key(boarded: Boarded) -> None:
    boarded.key(Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)
    assert boarded.moved == [
        ("middle", at(580, 450)),
        ("middle", at(620, 450)),
        ("middle", at(600, 470)),
        ("middle", at(600, 430)),
    ]


@pytest.mark.parametrize(
    ("there", "key", "then"),
    [
        (at(10, 450), Qt.Key.Key_Left, at(0, 450)),
        (at(0, 450), Qt.Key.Key_Left, None),
        (at(1190, 450), Qt.Key.Key_Right, at(1200, 450)),
        (at(1200, 450), Qt.Key.Key_Right, None),
        (at(600, 890), Qt.Key.Key_Up, at(600, 900)),
        (at(600, 5), Qt.Key.Key_Down, at(600, 0)),
        (at(600, 0), Qt.Key.Key_Down, None),
        (at(1300, 450), Qt.Key.Key_Right, None),  # beside it already: no further out
        (at(1300, 450), Qt.Key.Key_Left, at(1280, 450)),
        (at(600, 1000), Qt.Key.Key_Up, None),
    ],
)
def test_nothing_leaves_the_board(
    there: Point, key: Qt.Key, then: Point | None, qtbot: QtBot
) -> None:
    boarded = Boarded(qtbot, evolve(TWO_PLACES, spots=(Named("spot", there),)))
    boarded.key(key)
    assert boarded.moved == ([("spot", then)] if then else [])


def test_enter_and_a_press_tap_at_a_spot_alone(boarded: Boarded) -> None:
    boarded.key(Qt.Key.Key_Return)
    boarded.key(Qt.Key.Key_Plus, Qt.Key.Key_Enter)
    boarded.key(Qt.Key.Key_Plus, Qt.Key.Key_Return)
    assert boarded.spots == ["middle", "near left"], "a pupil's place is none to tap at"
    boarded.drag(boarded.place_of(at(200, 150)))
    assert boarded.spots == ["middle", "near left", "near left"]
    assert boarded.chosen[-1] == "near left"
    assert boarded.said.startswith("spot near left, 20 centimetres")
    assert boarded.moved == []


def test_the_mouse_takes_what_is_near_and_drops_it_on_whole_centimetres(boarded: Boarded) -> None:
    start, end = boarded.place_of(at(600, 450)), boarded.place_of(at(404, 296))
    boarded.drag(start, QPoint(start.x() - 5, start.y()), end)
    ((name, point),) = boarded.moved
    assert name == "middle"
    assert point.x_mm % 10 == point.y_mm % 10 == 0
    assert abs(point.x_mm - 404) <= 10
    assert abs(point.y_mm - 296) <= 10
    boarded.drag(boarded.place_of(at(100, 850)), end)
    assert len(boarded.moved) == 1, "nothing is near there"
    assert boarded.chosen == ["middle"]


def test_how_near_is_near(boarded: Boarded) -> None:
    """28 pixels along and across together, at the usual size of letters."""
    middle = boarded.place_of(at(600, 450))
    for away, taken in ((24, True), (32, False)):
        boarded.chosen.clear()
        boarded.drag(QPoint(middle.x(), middle.y() + away))
        assert bool(boarded.chosen) is taken
    boarded.panel.set_scale(2.0)
    boarded.chosen.clear()
    middle = boarded.place_of(at(600, 450))
    boarded.drag(QPoint(middle.x(), middle.y() + 32))
    assert boarded.chosen == ["middle"]


def test_dropped_beyond_the_edge_it_stays_on(boarded: Boarded) -> None:
    boarded.drag(boarded.place_of(at(600, 450)), QPoint(395, 2))
    ((_, point),) = boarded.moved
    assert point == at(1200, 900)


def test_a_board_with_fewer_things_keeps_a_choice_that_is_there(boarded: Boarded) -> None:
    boarded.key(*[Qt.Key.Key_Minus])
    assert boarded.said.startswith("seat south")
    boarded.panel.show_board(evolve(TWO_PLACES, seats=()), {})
    assert boarded.said.startswith("place B")
    boarded.panel.show_board(None, {})
    assert boarded.said == "Nothing is on the board yet."
    assert boarded.panel.things == ()


def test_taps_of_the_line_are_counted_at_their_spots(boarded: Boarded) -> None:
    story = read_text(TEXT).story
    assert story is not None
    row: Row = rows_of(evolve(story, manner=evolve(story.manner, spot="middle")))[1]
    boarded.panel.show_row(row)
    assert boarded.said.endswith(" 3 taps at middle")
    boarded.panel.show_row(None)
    assert boarded.said.endswith("Enter to tap at a spot. ")


def test_a_tap_that_two_adults_make_apart_is_at_both_spots(boarded: Boarded) -> None:
    story = read_text(TEXT).story
    assert story is not None
    line = story.sections[0].items[0]
    assert isinstance(line, Line)
    assert line.lane is not None
    own = TapDetail().with_own("helper", TapDetail(spot="edge"), ("leader", "helper"))
    lane = with_detail(line.lane, 0, lambda _: own)
    section = evolve(story.sections[0], items=(evolve(line, lane=lane),))
    manner = evolve(story.manner, spot="middle", by=("leader", "helper"))
    row = rows_of(evolve(story, manner=manner, sections=(section,)))[1]
    boarded.panel.show_row(row)
    assert boarded.said.endswith(" 3 taps at middle, 1 tap at edge")


@pytest.mark.parametrize("scale", [1.0, 2.0])
@pytest.mark.parametrize(
    "there", [at(-400, 450), at(1600, 450), at(600, 1300), at(600, -400), at(-300, 1200)]
)
def test_what_stands_beside_the_board_is_in_the_picture(
    there: Point, scale: float, qtbot: QtBot
) -> None:
    board = evolve(TWO_PLACES, places=(*TWO_PLACES.places, Place("C", there)))
    boarded = Boarded(qtbot, board)
    boarded.panel.set_scale(scale)
    drawing, whole = boarded.panel._drawing(), QRectF(boarded.panel.rect())
    for thing in boarded.panel.things:
        assert whole.contains(QRectF(*drawing.box_of(thing)).center()), thing.name
    frame = boarded.panel.frame()
    assert whole.contains(frame)
    assert frame.width() / frame.height() == pytest.approx(4 / 3), "its shape is the board's"


# --- what to look at again


def finding(severity: Severity, key: str = "x") -> Finding:
    about = About(key=key, what="a line", near=None, known=("do",))
    return Finding("unknown-key", severity, ("story", 0, "lines", 0), None, about)


MUST, AGAIN, ADVICE = (
    finding(severity) for severity in (Severity.MUST_MEND, Severity.LOOK_AGAIN, Severity.ADVICE)
)


class Found:
    def __init__(self, qtbot: QtBot) -> None:
        self.window = QWidget()
        qtbot.addWidget(self.window)
        self.elsewhere = QLineEdit(self.window)
        self.panel = FindingsPanel(self.window)
        self.panel.resize(400, 500)
        self.current: list[Finding | None] = []
        self.chosen: list[Finding] = []
        self.mend: list[Finding] = []
        self.accept: list[Finding] = []
        self.panel.current_changed.connect(self.current.append)
        self.panel.chosen.connect(self.chosen.append)
        self.panel.mend_wanted.connect(self.mend.append)
        self.panel.accept_wanted.connect(self.accept.append)
        with qtbot.waitExposed(self.window):
            self.window.show()
        self.window.activateWindow()

    def words(self) -> list[str]:
        return [self.panel.list.item(n).text() for n in range(self.panel.list.count())]


@pytest.fixture
def found(qtbot: QtBot) -> Found:
    return Found(qtbot)


def test_findings_with_their_signs_in_words_and_spoken(found: Found) -> None:
    assert found.panel.nothing.text() == NOTHING
    assert not found.panel.nothing.isHidden()
    assert found.panel.list.isHidden()
    found.panel.show_findings((MUST, AGAIN, ADVICE), ())
    assert [words[0] for words in found.words()] == ["!", "?", "i"]
    assert found.panel.nothing.isHidden()
    spoken = found.panel.list.item(1).data(int(Qt.ItemDataRole.AccessibleTextRole))
    assert spoken.startswith(f"{Severity.LOOK_AGAIN.words}: ")
    assert found.panel.list.currentRow() == 0
    assert found.panel.remedy.text()


def test_only_what_must_be_mended_can_not_be_kept(found: Found) -> None:
    found.panel.show_findings((MUST, AGAIN), ())
    assert not found.panel.accept.isEnabled()
    found.panel.list.setCurrentRow(1)
    assert found.panel.accept.isEnabled()
    assert found.current[-1] is AGAIN
    found.panel.accept.click()
    assert found.accept == [AGAIN]
    found.panel.can_mend("As it should be", "a -> b")
    assert found.panel.mend.toolTip() == "As it should be"
    assert found.panel.would.text() == "Mending it would change:\na -> b"
    assert found.panel.isAncestorOf(found.panel.would)
    found.panel.mend.click()
    assert found.mend == [AGAIN]
    found.panel.can_mend(None)
    assert not found.panel.mend.isEnabled()
    assert found.panel.mend.toolTip() == "Only you can decide how to mend this."
    assert found.panel.would.isHidden()
    found.panel.list.itemClicked.emit(found.panel.list.item(0))
    assert found.chosen == [MUST]


def test_the_choice_stays_while_the_list_changes(found: Found) -> None:
    many = tuple(finding(Severity.LOOK_AGAIN, key) for key in "abcd")
    found.panel.show_findings(many, ())
    found.panel.list.setCurrentRow(2)
    found.panel.show_findings(many[1:], ())
    assert found.panel.current is many[3]
    found.panel.show_findings(many[:1], ())
    assert found.panel.current is many[0]
    found.panel.show_findings((), ())
    assert found.panel.current is None
    assert found.panel.remedy.isHidden()


def test_keys_stay_in_the_panel_when_the_last_is_mended(found: Found) -> None:
    found.panel.show_findings((AGAIN,), ())
    found.panel.list.setFocus()
    assert found.panel.has_keys
    found.panel.show_findings((), ())
    assert found.panel.nothing.hasFocus()
    found.elsewhere.setFocus()
    assert not found.panel.has_keys
    found.panel.show_findings((AGAIN,), ())
    found.panel.show_findings((), ())
    assert found.elsewhere.hasFocus(), "from elsewhere nothing is taken"


def test_keys_go_to_the_list_when_a_button_greys(found: Found) -> None:
    found.panel.show_findings((AGAIN, MUST), ())
    found.panel.accept.setFocus()
    found.panel.list.setCurrentRow(1)
    assert found.panel.list.hasFocus()
    found.panel.can_mend("so")
    found.panel.mend.setFocus()
    found.panel.can_mend(None)
    assert found.panel.list.hasFocus()


def test_what_was_kept_is_folded_away_with_its_reason(found: Found) -> None:
    kept = found.panel.kept
    assert kept.isHidden()
    pair = (AcceptedFinding(AGAIN, "he likes it"), AcceptedFinding(ADVICE, "so it is"))
    found.panel.show_findings((), pair)
    assert not kept.isHidden()
    assert kept.unfold.text() == "2 kept as they are, with a reason"
    assert kept.list.isHidden()
    assert kept.back.isHidden()
    kept.unfold.click()
    assert not kept.list.isHidden()
    assert kept.list.item(0).text().endswith("\nKept: he likes it")
    wanted: list[AcceptedFinding] = []
    current: list[AcceptedFinding | None] = []
    kept.take_back_wanted.connect(wanted.append)
    kept.current_changed.connect(current.append)
    kept.list.setCurrentRow(1)
    kept.back.click()
    assert current == wanted == [pair[1]]
    kept.back.setFocus()
    found.panel.show_findings((), pair[:1])
    assert kept.list.hasFocus()
    assert kept.current is pair[0]
    kept.back.setFocus()
    found.panel.show_findings((), ())
    assert kept.current is None
    assert kept.isHidden()


# --- panels beside the story


class Maker:
    def __init__(self) -> None:
        self.made = 0

    def __call__(self) -> QLineEdit:
        self.made += 1
        return QLineEdit()


def test_panels_are_made_when_they_are_wanted_and_titles_change(qtbot: QtBot) -> None:
    side, first, maker = SidePanels(), QWidget(), Maker()
    qtbot.addWidget(side)
    changed: list[bool] = []
    side.changed.connect(lambda: changed.append(True))
    side.add(first, "First")
    side.add_later(QLineEdit, maker, "Later")
    assert side.current is first
    assert side.has(first)
    assert maker.made == 0
    side.show_number(1)
    assert maker.made == 1
    made = side.panel(QLineEdit)
    assert side.current is made
    assert maker.made == 1
    assert changed == [True]
    side.show_panel(made)
    assert changed == [True], "it is seen already"
    assert (side.title(made), side.choice.currentIndex()) == ("Later", 1)
    side.set_title(made, "Now")
    assert (side.title(made), side.choice.itemText(1)) == ("Now", "Now")
    side.remove(made)
    assert side.current is first
    assert not side.has(made)
    assert side.choice.count() == 1
    assert side.panels == (first,)
    made.deleteLater()


def test_where_there_is_no_room_for_words_one_field_has_them(qtbot: QtBot) -> None:
    side = SidePanels()
    qtbot.addWidget(side)
    for number in range(6):
        side.add(QWidget(), f"A panel with number {number}")
    side.resize(900, 600)
    side.show()
    assert side._bar.isVisible()
    assert side.choice.isHidden()
    assert side.choice.accessibleName() == "Panel"
    assert [side._group.button(n).isChecked() for n in range(6)] == [True] + [False] * 5
    side.resize(150, 300)
    assert not side._bar.isVisible()
    assert not side.choice.isHidden()
    side.choice.activated.emit(3)
    assert side._stack.currentIndex() == 3
    side.resize(900, 600)
    assert side._bar.isVisible()
    assert side._group.button(3).isChecked()


# --- times


@pytest.fixture
def time(qtbot: QtBot) -> TimePanel:
    panel = TimePanel(Document(read_text(TEXT), None))
    qtbot.addWidget(panel)
    return panel


def cells(panel: TimePanel) -> list[list[str]]:
    table = panel.table
    found = [
        [table.item(row, at) for at in range(table.columnCount())]
        for row in range(table.rowCount())
    ]
    return [[item.text() if item else "" for item in row] for row in found]


def test_times_of_each_section_and_all(time: TimePanel) -> None:
    table = cells(time)
    assert [row[0] for row in table] == ["One", "Two", "Whole story"]
    assert table[0][4] == "0:10", "its wait"
    assert table[1][4] == "0:00"
    assert not time.do_it.isEnabled()


def test_what_would_make_it_fit_is_said_first_and_then_done(time: TimePanel) -> None:
    assert (time.minutes.minimum(), time.minutes.maximum(), time.minutes.value()) == (1, 120, 20)
    time.how.click()
    assert time.steps.text().splitlines()[:3] == [
        "It fits as it is.",
        "To fill the time, if the pupils want it:",
        "1. 20 seconds or more for 1 wait",
    ]
    assert time.do_it.isEnabled()
    time.minutes.setValue(1)
    time.how.click()
    assert time.steps.text().splitlines() == [
        "1. turns of 20 seconds with “cup” instead of 30",
        "That is still up to 2:41.",
    ]
    document = time._document
    assert document.undo_stack.count() == 0, "only said so far"
    time.do_it.click()
    assert document.undo_stack.undoText() == "Make it fit"
    assert time.steps.text() == ""
    assert not time.do_it.isEnabled()
    time.how.click()
    assert time.steps.text() == "There is nothing left to shorten."
    assert not time.do_it.isEnabled()


# --- today's table


@pytest.fixture
def view(qtbot: QtBot) -> OutcomeView:
    made = OutcomeView()
    qtbot.addWidget(made)
    return made


def outcome(**said: Any) -> Outcome:
    story = read_text(TEXT).story
    assert story is not None
    return Outcome(DayWish(story, Day(), Choices()), **said)


ROLES = (RoleToday("AB: leader", "both", "2 sheets"), RoleToday("CD: helper", "left", ""))


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ({"rows": ROLES}, "Everything is done by somebody."),
        (
            {"rows": ROLES, "told": ("All is told.",)},
            "All is told.\n\nEverything is done by somebody.",
        ),
        (
            {"rows": ROLES, "left": ("bring cup", "offer bell"), "notes": ("a note",)},
            "Nobody can do this today (2):\nbring cup\noffer bell\na note",
        ),
        ({"rows": ROLES, "not_today": True, "told": ("Not today.",)}, "Not today."),
    ],
)
def test_what_is_said_of_a_day(said: dict[str, Any], text: str, view: OutcomeView) -> None:
    view.show_outcome(outcome(**said))
    assert view.said.text() == text
    assert not view.table.isHidden()


def test_who_does_what_stands_in_the_table(view: OutcomeView) -> None:
    view.show_outcome(outcome(rows=ROLES))
    texts = [
        [item.text() if (item := view.table.item(row, at)) else "" for at in range(3)]
        for row in range(view.table.rowCount())
    ]
    assert [row[1:] for row in texts] == [[each.hands, each.cards] for each in ROLES]
    assert [row[0] for row in texts] == [each.who for each in ROLES]
    view.say("Something else.")
    assert view.table.isHidden()
    assert view.said.text() == "Something else."
    view.show_outcome(outcome(problem="No cards."))
    assert view.table.isHidden()
    assert view.said.text() == "No cards."
    view.show_outcome(outcome(rows=ROLES, problem="No cards."))
    assert not view.table.isHidden()


# --- details of what is chosen


class Detailed:
    """The details of a small story's rows, without a window."""

    def __init__(self, qtbot: QtBot) -> None:
        self.desk = Desk()
        self.panel = DetailsPanel(self.desk.editing)
        qtbot.addWidget(self.panel)

    def show(self, *names: str, event: int | None = None) -> str:
        """What the last of these rows is called when they are chosen."""
        rows = self.desk.some(*names)
        self.panel.show_rows(rows, rows[-1] if rows else None, event)
        return self.panel.what.text()

    @property
    def line(self) -> Line:
        line = self.desk.row("then the sun").line
        assert line is not None
        return line

    def tap(self, event: int) -> TapDetail:
        lane = self.line.lane
        assert lane is not None
        return cell_at(lane, event_places(lane)[event]).detail or TapDetail()


@pytest.fixture
def detailed(qtbot: QtBot) -> Detailed:
    return Detailed(qtbot)


def test_the_form_of_each_kind_of_row(detailed: Detailed) -> None:
    panel = detailed.panel
    hint = "  (go to a tap with the arrow keys to change it)"
    for names, said, form in (
        (("first the moon",), f"<b>The whole line</b>{hint}", panel.line),
        (("first the moon", "then the sun"), f"<b>2 lines</b>{hint}", panel.line),
        (("wait", "then the sun"), f"<b>The whole line</b>{hint}", panel.line),
        (("wait",), "<b>The whole wait</b>", panel.wait),
        (("offering",), "<b>The whole offering</b>", panel.offer),
        (("One", "Two"), "<b>2 sections</b>", panel.section),
    ):
        assert detailed.show(*names) == said
        assert panel.shown is form
    assert detailed.show() == NOTHING_CHOSEN
    assert panel.shown is None
    assert detailed.show("home") == NOTHING_CHOSEN, "a return has no details"
    assert panel.shown is None


def test_what_is_changed_is_changed_in_all_that_are_chosen(detailed: Detailed) -> None:
    detailed.show("first the moon", "wait", "then the sun")
    field = detailed.panel.line["look for"]
    field.setText("a")
    field.textEdited.emit("a")
    found = [row.line.look_for for row in detailed.desk.rows() if row.line]
    assert found == ["a", "a", None, None]
    assert detailed.desk.document.undo_stack.count() == 1
    detailed.show("One", "Two")
    detailed.panel.section["stroke"].activated.emit(1)
    strokes = {section.manner.stroke for section in detailed.desk.story.sections}
    assert len(strokes) == 1
    assert None not in strokes


def test_what_was_typed_and_not_told_is_told_when_another_row_is_chosen(
    detailed: Detailed,
) -> None:
    detailed.show("wait")
    detailed.panel.wait["wait"].lineEdit().setText("25")
    detailed.show("then the sun")
    waits = [row.item for row in detailed.desk.rows() if isinstance(row.item, Wait)]
    assert [each.least_sec for each in waits] == [25]


def test_one_tap_and_whose(detailed: Detailed) -> None:
    """Two adults tap: the tap is everybody's, or one adult's alone."""
    detailed.show("then the sun")
    detailed.panel.line["by"].changed.emit(lambda _: ("leader", "helper"))
    said = detailed.show("then the sun", event=1)
    assert said.startswith("<b>One tap:</b>")
    assert said.endswith("(Escape: the whole line)")
    panel = detailed.panel
    assert panel.shown is panel.tap
    assert [panel.whose.itemText(n) for n in range(panel.whose.count())] == [
        *("everybody's alike", "leader alone", "helper alone"),
    ]
    assert not panel._whose_row.isHidden()
    assert panel.tap["by"].isEnabled()
    panel.tap["loudness"].changed.emit(lambda _: Loudness.QUIET)
    assert detailed.tap(1).loudness is Loudness.QUIET
    assert detailed.tap(0) == TapDetail()
    detailed.show("then the sun", event=1)
    panel.whose.setCurrentIndex(2)
    panel.whose.activated.emit(2)
    assert not panel.tap["by"].isEnabled()
    assert panel.tap["loudness"].itemText(0) == "as the line: quiet", "as everybody taps it"
    panel.tap["loudness"].changed.emit(lambda _: Loudness.VERY_LOUD)
    assert detailed.desk.step() == "Change loudness (helper)"
    assert detailed.tap(1).own("helper").loudness is Loudness.VERY_LOUD
    assert detailed.tap(1).loudness is Loudness.QUIET
    detailed.show("then the sun", event=1)
    assert panel.whose.currentIndex() == 2, "the same tap: the same adult"
    detailed.show("then the sun", event=2)
    assert panel.whose.currentIndex() == 0
    detailed.show("first the moon", event=0)
    assert panel.whose.count() == 1
    assert panel._whose_row.isHidden()


def test_there_is_no_tap_beyond_the_last(detailed: Detailed) -> None:
    detailed.show("then the sun", event=3)
    assert detailed.panel.shown is detailed.panel.line
    detailed.show("wait", event=0)
    assert detailed.panel.shown is detailed.panel.wait


# --- what holds for the whole story


@pytest.mark.parametrize(
    ("point", "side"),
    [
        (at(600, 900), "north"),
        (at(1200, 450), "east"),
        (at(600, 0), "south"),
        (at(0, 450), "west"),
        (at(600, 700), "north"),
        (at(1000, 450), "east"),
        (at(600, 200), "south"),
        (at(200, 450), "west"),
    ],
)
def test_at_which_side_the_way_out_is(point: Point, side: str) -> None:
    assert _way_out_side(evolve(TWO_PLACES, way_out=point)) == side
    middle = _with_way_out(TWO_PLACES, side)
    assert _way_out_side(middle) == side
    assert middle.way_out in (at(600, 900), at(1200, 450), at(600, 0), at(0, 450))
    assert _with_way_out(middle, None).way_out is None
    assert _way_out_side(TWO_PLACES) is None


def test_a_board_of_another_size_keeps_all_at_its_share() -> None:
    """Half as wide and twice as deep: the way out stays at its side, too."""
    before = evolve(TWO_PLACES, way_out=at(1200, 450))
    board = resized(before, before.width_mm / 2, before.depth_mm * 2)
    assert [board.width_mm, board.depth_mm] == [600, 1800]
    assert [spot.at for spot in board.spots] == [at(300, 900), at(100, 300)]
    assert [seat.at for seat in board.seats] == [at(300, 0)]
    assert [place.at for place in board.places] == [at(175, 1000), at(425, 1000)]
    assert board.way_out == at(600, 900)
    assert _way_out_side(board) == "east"
