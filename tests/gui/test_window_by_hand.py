"""A window as it opens, and where one is after folding."""

from collections.abc import Callable

import pytest
from attrs import evolve
from PySide6.QtWidgets import QBoxLayout, QFormLayout, QLabel, QTableWidget, QWidget
from pytestqt.qtbot import QtBot

from tapscore.checks.accepting import Checked
from tapscore.gui import folding
from tapscore.gui.background import Background
from tapscore.gui.checking import Checking
from tapscore.gui.document import Document
from tapscore.gui.files import FileWork
from tapscore.gui.help_windows import MOVING, KeysDialog
from tapscore.gui.main_window import MainWindow
from tapscore.gui.sound_fields import SoundFields
from tapscore.gui.start_page import StartPage
from tapscore.model.loudness import Loudness
from tapscore.storyfile.read import read_text
from tapscore.workflow.product import Choices
from tests.gui.test_editing_by_hand import HOME, ONE, TEXT, TWO, said
from tests.gui.test_panels_by_hand import AGAIN, MUST


@pytest.fixture
def window(window_on: Callable[[str], MainWindow]) -> MainWindow:
    return window_on(TEXT)


def here(window: MainWindow) -> tuple[int, str]:
    row = window.view.current_row
    assert row is not None
    return window.view.currentIndex().row(), said(row)


def names(window: MainWindow) -> list[str]:
    return [said(row) for row in window.rows.rows]


def test_it_opens_on_its_first_row_with_the_keys_there(window: MainWindow) -> None:
    assert here(window) == (0, "One")
    assert [said(row) for row in window.view.selected_rows] == ["One"]
    assert window.focusWidget() is window.view
    assert window.windowTitle() == "Small (not saved yet)[*]"


def test_a_line_folded_away_leaves_one_at_what_folds_it(window: MainWindow) -> None:
    inner = [*ONE[:3], "row it home", *ONE[3:], *TWO, *HOME]
    assert names(window) == inner
    window.view.rest_at(3)
    assert here(window) == (3, "row it home")
    folding.toggle_refrains(window)
    assert names(window) == [*ONE, *TWO, *HOME]
    assert here(window) == (2, "home")
    folding.toggle_refrains(window)
    assert names(window) == inner
    window.view.rest_at(7)
    assert here(window) == (7, "offering")
    assert not folding.sections_are_folded(window)
    folding.toggle_sections(window)
    assert folding.sections_are_folded(window)
    assert names(window) == ["One", "Two", *HOME]
    assert here(window) == (1, "Two")
    folding.toggle_sections(window)
    assert names(window) == inner


@pytest.mark.parametrize(
    ("row", "then"), [(0, (0, "One")), (2, (0, "One")), (5, (0, "One")), (8, (1, "Two"))]
)
def test_headings_alone_leave_one_at_one_s_own(
    row: int, then: tuple[int, str], window: MainWindow
) -> None:
    window.view.rest_at(row)
    folding.toggle_sections(window)
    assert here(window) == then


def test_the_heading_or_return_of_a_row_folds(window: MainWindow) -> None:
    window.view.rest_at(5)
    assert folding.foldable(window)
    folding.toggle(window)
    assert names(window) == ["One", *TWO, *HOME]
    assert here(window) == (0, "One")
    folding.toggle(window)
    window.view.rest_at(3)
    folding.toggle(window)
    assert names(window) == [*ONE, *TWO, *HOME]
    assert here(window) == (2, "home")
    window.view.rest_at(9)
    assert not folding.foldable(window), "where the refrain is written nothing folds"


def test_how_sound_is_made_has_a_label_each(qtbot: QtBot) -> None:
    fields = SoundFields(Choices(sound="ogg", mono=True, loudest_heard=Loudness.QUIET))
    qtbot.addWidget(fields)
    form = fields.layout()
    assert isinstance(form, QFormLayout)
    labels = [form.labelForField(field) for field in (fields.kind, fields.loudest)]
    assert [label.text() for label in labels if isinstance(label, QLabel)] == [
        "Sound",
        "Taps are heard",
    ]
    made = fields.into(Choices())
    assert (made.sound, made.mono) == ("ogg", True)
    fields.loudest.setCurrentIndex(0)
    assert fields.into(Choices()).loudest_heard is None


@pytest.mark.parametrize("level", [None, Loudness.LOUD, Loudness.MEDIUM, Loudness.QUIET])
def test_a_ceiling_for_the_listener_comes_back(level: Loudness | None, qtbot: QtBot) -> None:
    fields = SoundFields(Choices(loudest_heard=level, short_turns=level is None))
    qtbot.addWidget(fields)
    made = fields.into(Choices())
    assert made.loudest_heard is level
    assert made.short_turns is (level is None)


def test_when_the_story_is_looked_through(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """At each change; what is felt 1.2 s later where it is not known yet, a second opinion on
    the metre after 4 s: each once."""
    wishes: list[tuple[bool, bool]] = []
    monkeypatch.setattr(Background, "ask", lambda _, wish: wishes.append((wish.felt, wish.full)))
    document = Document(read_text(TEXT), None)
    checking = Checking(document)
    timers = checking._felt_timer, checking._full_timer
    assert [(timer.interval(), timer.isSingleShot()) for timer in timers] == [
        (1200, True),
        (4000, True),
    ]
    assert wishes == [(False, False)]
    assert [timer.isActive() for timer in timers] == [False, True]
    checking._finished((Checked((), ()), True))
    assert [timer.isActive() for timer in timers] == [True, True]
    checking._felt_timer.timeout.emit()
    checking._full_timer.timeout.emit()
    assert wishes[1:] == [(True, False), (True, True)]
    document.edit("Title", evolve(document.story, title="Other"))
    assert wishes[3:] == [(False, False)]
    assert [timer.isActive() for timer in timers] == [False, True], "the board waits for quiet"
    checking._finished((Checked((), ()), False))
    assert [timer.isActive() for timer in timers] == [False, True]
    checking.stop()
    assert [timer.isActive() for timer in timers] == [False, False]


def test_what_must_be_mended_first_is_said(qtbot: QtBot) -> None:
    checking = Checking(Document(read_text(TEXT), None))
    checking.findings = (AGAIN,)
    assert checking.mend_first == ""
    checking.findings = (AGAIN, MUST)
    assert checking.mend_first.startswith("Mend the story first: ")
    checking.stop()


def test_keys_stand_before_what_they_do(qtbot: QtBot) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    dialog = KeysDialog(parent, (("F2", "Type the words"), ("Ctrl+D", "Repeat")))
    table = dialog.findChild(QTableWidget)
    assert table is not None
    cells = [
        tuple(item.text() if (item := table.item(row, column)) else "" for column in (0, 1))
        for row in range(table.rowCount())
    ]
    assert cells == [*MOVING, ("F2", "Type the words"), ("Ctrl+D", "Repeat")]


def test_the_first_page_has_two_columns_where_there_is_room(files: FileWork, qtbot: QtBot) -> None:
    page = StartPage(files)
    qtbot.addWidget(page)
    page.show()
    directions = []
    for wide in (1200, 500, 1200):
        page.resize(wide, 700)
        directions.append(page._across.direction())
    side, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
    assert directions == [side, below, side]


def test_times_are_worked_out_after_a_check_where_they_are_seen(window: MainWindow) -> None:
    worked: list[bool] = []
    time = window.time
    time.refresh = lambda: worked.append(True)  # type: ignore[method-assign]
    window.side.show_panel(window.details)
    window._found(())
    assert worked == []
    window.side.show_panel(time)
    worked.clear()
    window._found(())
    assert worked == [True]
