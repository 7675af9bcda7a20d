"""What a teacher does in the window, with keys and clicks."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from attrs import evolve
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from tapscore.gui.editor.row_geometry import RowSizes, line_layout, words_top
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.model.board import Point
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, RefrainUse
from tapscore.model.strokes import Stroke
from tapscore.screen.rows import RowKind
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_file
from tests.gui.answers import Answers

FIRST_LINE = ("story", 0, "lines", 0)


def key(window: MainWindow, name: Qt.Key, *modifiers: Qt.KeyboardModifier) -> None:
    modifier = modifiers[0] if modifiers else Qt.KeyboardModifier.NoModifier
    QTest.keyClick(window.view, name, modifier)


def pick(field: QComboBox, word: str) -> None:
    """Choose as somebody would."""
    field.setCurrentText(word)
    assert field.currentText() == word
    field.activated.emit(field.currentIndex())


def line_at(window: MainWindow, number: int) -> Line:
    line = window.rows.rows[number].line
    assert line is not None
    return line


def lane(window: MainWindow, number: int = 1) -> str:
    found = line_at(window, number).lane
    assert found is not None
    return lane_text(found)


def test_change_words_by_keyboard(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    key(demo, Qt.Key.Key_Return)
    field = demo.view.findChild(QLineEdit)
    assert field is not None
    field.selectAll()
    QTest.keyClicks(field, "Out on the river the little boat lay,")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert line_at(demo, 1).words == "Out on the riv-er the lit-tle boat lay,"
    assert demo.document.undo_stack.undoText() == "Change words"
    assert demo.document.undo_stack.count() == 1


def test_a_hand_made_rhythm_keeps_its_taps_when_words_change(
    qtbot: QtBot, demo: MainWindow
) -> None:
    demo.editing.move_tap(demo.rows.rows[1], 9, 1)
    assert lane(demo) == "| X x x X x x | X x x . X |"
    demo.editing.type_lines(demo.rows.rows[1], ["Out on the wa-ter the big boat lay"])
    assert lane(demo) == "| X x x X x x | X x x . T |"


def test_move_a_tap_with_keys_and_undo_all(qtbot: QtBot, demo: MainWindow) -> None:
    start = demo.document.story
    demo.view.go_to(FIRST_LINE)
    for _ in range(10):
        key(demo, Qt.Key.Key_Right)
    assert demo.view.cursor_event == 9
    demo.actions_by_id["later"].trigger()
    assert lane(demo) == "| X x x X x x | X x x . X |"
    demo.actions_by_id["strong"].trigger()
    demo.actions_by_id["tap"].trigger()
    assert lane(demo).endswith("| X x x . s |")
    while demo.document.undo_stack.canUndo():
        demo.actions_by_id["undo"].trigger()
    assert demo.document.story == start
    assert not demo.document.modified


def test_there_is_no_room_message(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    key(demo, Qt.Key.Key_Right)
    demo.actions_by_id["later"].trigger()
    assert "no room" in demo.statusBar().currentMessage()
    assert not demo.document.modified


def test_drag_a_tap_with_the_mouse(qtbot: QtBot, demo: MainWindow) -> None:
    number = 1
    row = demo.rows.rows[number]
    assert row.line is not None
    rect = demo.view.visualRect(demo.rows.index(number, 0))
    sizes = RowSizes(1.0)
    strip = line_layout(row.line, row.metre, 1.0, rect.width()).strips[0]
    tap, free = strip.cells[9], strip.cells[10]
    y = rect.top() + 12 + round(sizes.words_high + sizes.lane_high / 2)
    left = rect.left() + sizes.gutter + sizes.words_px * 0.45
    at = [QPoint(round(left + cell.x), y) for cell in (tap, free)]
    viewport = demo.view.viewport()
    none = Qt.KeyboardModifier.NoModifier
    QTest.mousePress(viewport, Qt.MouseButton.LeftButton, none, at[0])
    QTest.mouseMove(viewport, at[1])
    QTest.mouseRelease(viewport, Qt.MouseButton.LeftButton, none, at[1])
    assert lane(demo) == "| X x x X x x | X x x . X |"
    assert demo.document.undo_stack.count() == 1


def test_add_a_tap_with_the_keyboard_and_the_mouse(demo: MainWindow) -> None:
    start = demo.document.story
    demo.view.go_to(("story", 0, "lines", 1))
    demo.view.move_cursor_to(10)
    assert lane(demo, 2).endswith("| X s s X . . |")
    demo.actions_by_id["add tap"].trigger()
    assert lane(demo, 2).endswith("| X s s X t . |")
    assert demo.view.cursor_event == 11
    rect = demo.view.visualRect(demo.rows.index(2, 0))
    row, sizes = demo.rows.rows[2], RowSizes(1.0)
    assert row.line is not None
    strip = line_layout(row.line, row.metre, 1.0, rect.width()).strips[0]
    x = rect.left() + sizes.gutter + strip.cells[-1].x + sizes.words_px * 0.45
    y = rect.top() + words_top(row, 1.0, rect.width()) + sizes.words_high + sizes.lane_high / 2
    none = Qt.KeyboardModifier.NoModifier
    at = QPoint(round(x), round(y))
    QTest.mouseDClick(demo.view.viewport(), Qt.MouseButton.LeftButton, none, at)
    assert lane(demo, 2).endswith("| X s s X t t |")
    demo.actions_by_id["add tap"].trigger()
    assert "no empty step" in demo.statusBar().currentMessage()
    demo.document.undo_stack.undo()
    demo.document.undo_stack.undo()
    assert demo.document.story == start


def test_insert_move_repeat_delete(qtbot: QtBot, demo: MainWindow) -> None:
    start = demo.document.story
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["repeat"].trigger()
    assert [line_at(demo, n).words for n in (1, 2)] == [line_at(demo, 1).words] * 2
    demo.actions_by_id["down"].trigger()
    demo.actions_by_id["delete"].trigger()
    demo.actions_by_id["add wait"].trigger()
    row = demo.view.current_row
    assert row is not None
    assert row.kind is RowKind.WAIT
    while demo.document.undo_stack.canUndo():
        demo.document.undo_stack.undo()
    assert demo.document.story == start


def test_a_refrain_that_is_not_there_can_not_be_written_out(
    window_on: Callable[[str], MainWindow],
) -> None:
    window = window_on(
        "tapscore: 2\ntitle: T\nrefrains:\n  home: [{words: Row home}]\n"
        "story:\n  - section: One\n    lines: [{words: Row}, {refrain: hme}]\n"
    )
    before = window.document.text()
    row = next(n for n, row in enumerate(window.rows.rows) if row.kind is RowKind.RETURN)
    window.view.selectRow(row)
    window.actions_by_id["refrain"].trigger()
    assert "not written yet" in window.statusBar().currentMessage()
    assert window.document.text() == before


def test_refrain_and_back(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["refrain"].trigger()
    row = demo.view.current_row
    assert row is not None
    assert row.item == RefrainUse("out on")
    demo.actions_by_id["refrain"].trigger()
    assert line_at(demo, 1).words.startswith("Out on")
    assert demo.document.story.refrain("out on") is None


def test_details_change_a_line_and_a_tap(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["details"].trigger()
    details = demo.details
    pick(details.line["loudness"].first, "medium")
    assert [level.word for level in line_at(demo, 1).manner.loudness or ()] == ["medium"]
    demo.view.setFocus()
    demo.view.move_cursor_to(0)
    pick(details.tap["stroke"], "knuckles")
    assert lane(demo).startswith("| X(knuckles) x")
    assert line_at(demo, 1).manner.stroke is None


NO_WARNING = """\
tapscore: 2
title: Small
metre: 6/8
roles: {leader: {}, beat-keeper: {}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        loudness: very quiet
      - words: row the lan-tern
        lane: "| X . x X . x |"
        loudness: loud
"""


def test_a_finding_is_kept_with_a_reason(
    qtbot: QtBot, window_on: Callable[[str], MainWindow], answers: Answers
) -> None:
    window = window_on(NO_WARNING)
    qtbot.waitUntil(lambda: bool(window.checking.findings))
    panel = window.findings
    soft = next(n for n, f in enumerate(window.checking.findings) if not f.must_mend)
    panel.list.setCurrentRow(soft)
    code = window.checking.findings[soft].code
    answers.choices = ["we practised it"]
    panel.accept.click()
    assert window.document.story.accepted[0].why == "we practised it"
    qtbot.waitUntil(lambda: bool(window.checking.accepted))
    assert all(f.path != () or f.code != code for f in window.checking.findings)
    assert "1 kept as they are" in panel.kept.unfold.text()
    window.document.undo_stack.undo()
    assert window.document.story.accepted == ()


def test_a_finding_is_mended_in_one_step(
    qtbot: QtBot, window_on: Callable[[str], MainWindow]
) -> None:
    from tapscore.checks.all_rules import mended

    window = window_on(NO_WARNING)
    qtbot.waitUntil(lambda: bool(window.checking.findings))
    story = window.document.story
    found = window.checking.findings
    number = next(n for n, f in enumerate(found) if mended(story, f) is not None)
    window.findings.list.setCurrentRow(number)
    assert window.findings.mend.isEnabled()
    assert window.findings.mend.toolTip()
    window.findings.mend.click()
    assert window.document.story == mended(story, found[number])
    assert window.document.undo_stack.undoText() == "Mend what was found"


def test_time_panel_makes_a_story_fit(demo: MainWindow) -> None:
    demo.side.show_panel(demo.time)
    rows = demo.time.table.rowCount()
    assert rows == len(demo.document.story.sections) + 1
    assert "at least" in demo.time.total.text()
    assert "with setting up and coming down" in demo.time.total.text()
    demo.time.minutes.setValue(3)
    demo.time.how.click()
    assert demo.time.steps.text()
    demo.time.do_it.click()
    assert demo.document.undo_stack.undoText() == "Make it fit"


def test_comfort_is_set_in_the_story(demo: MainWindow) -> None:
    comfort_form = demo.story_details.comfort
    pick(comfort_form["ceiling"], "medium")
    comfort_form["least wait"].setValue(Fraction(12))
    comfort = demo.document.story.comfort
    assert comfort is not None
    assert comfort.ceiling is Loudness.MEDIUM
    assert comfort.least_wait_sec == Fraction(12)


def test_a_gentler_copy_opens_beside(demo: MainWindow, files: FileWork, answers: Answers) -> None:
    before = demo.document.story
    demo.actions_by_id["gentler"].trigger()
    copy = files.windows[-1]
    assert copy is not demo
    assert copy.document.path is None
    assert demo.document.story == before
    assert "tempo" in answers.told[0]


def test_many_lines_are_changed_in_one_step(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["details"].trigger()
    flags = QItemSelectionModel.SelectionFlag.Select
    demo.view.selectionModel().select(demo.rows.index(2, 0), flags)
    assert "2 lines" in demo.details.what.text()
    pick(demo.details.line["stroke"], "knuckles")
    strokes = [line_at(demo, number).manner.stroke for number in (1, 2)]
    assert strokes == [Stroke.KNUCKLES] * 2
    assert demo.document.undo_stack.count() == 1


def test_words_of_your_own_divide_as_you_say(demo: MainWindow) -> None:
    field = demo.story_details.story["glossary"]
    QTest.keyClicks(field, "la-GOO-li, wel-lies")
    assert [spoken.word for spoken in demo.document.story.glossary] == ["lagooli", "wellies"]
    demo.editing.type_lines(demo.rows.rows[1], ["Out on the lagooli boat"])
    assert line_at(demo, 1).words == "Out on the la-goo-li boat"


def test_findings_come_by_themselves_and_lead_to_the_place(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.view.move_cursor_to(0)
    demo.document.edit("Take props away", evolve(demo.document.story, props=()))
    qtbot.waitUntil(lambda: any(f.code == "unknown-name" for f in demo.checking.findings))
    listed = demo.findings.list
    assert listed.count() == len(demo.checking.findings)
    listed.itemActivated.emit(listed.item(listed.count() - 1))
    row = demo.view.current_row
    assert row is not None
    assert demo.checking.findings[-1].path[: len(row.path)] == row.path


def test_save_reopen_and_bytes_kept(
    qtbot: QtBot, demo: MainWindow, files: FileWork, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    before = path.read_text(encoding="utf-8")
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["louder"].trigger()
    demo.actions_by_id["save"].trigger()
    after = path.read_text(encoding="utf-8")
    assert not demo.document.modified
    assert read_file(path).story == demo.document.story
    added = set(after.splitlines()) - set(before.splitlines())
    assert [line.strip() for line in added] == ["loudness: medium"]
    assert set(before.splitlines()) <= set(after.splitlines())


def test_recent_stories_open_again(
    demo: MainWindow, files: FileWork, tmp_path: Path, demo_path: Path
) -> None:
    other = tmp_path / "another.yaml"
    other.write_bytes(demo_path.read_bytes())
    files.settings.remember(other)
    demo.menus.recent.aboutToShow.emit()
    names = [action.text() for action in demo.menus.recent.actions()]
    assert names == ["&1  another.yaml", "&2  story.yaml"]
    demo.menus.recent.actions()[0].trigger()
    assert files.windows[-1].document.path == other
    demo.menus.recent.actions()[0].trigger()
    assert len(files.windows) == 2


def test_closing_asks(demo: MainWindow, answers: Answers) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.actions_by_id["louder"].trigger()
    answers.choices = ["Go on writing"]
    demo.close()
    assert demo.isVisible()


def test_board_thing_moves_with_keys(qtbot: QtBot, demo: MainWindow) -> None:
    board = demo.board
    thing = board.things[0]
    QTest.keyClick(board, Qt.Key.Key_Right)
    moved = board.things[0]
    assert moved.at == Point(thing.at.x_mm + 20, thing.at.y_mm)
    assert demo.document.undo_stack.undoText() == f"Move {thing.name}"


def test_paste_whole_text(demo: MainWindow) -> None:
    from PySide6.QtGui import QGuiApplication

    demo.view.go_to(FIRST_LINE)
    QGuiApplication.clipboard().setText("The lantern swings\n\n  and sings and sings  \n")
    demo.actions_by_id["paste"].trigger()
    assert line_at(demo, 2).words == "The lan-tern swings"
    assert line_at(demo, 3).lane is not None


def test_two_cards_on_a_sheet(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    from pypdf import PdfReader

    from tapscore.gui.export_dialog import ExportDialog

    pages = []
    for number in (0, 1):
        dialog = ExportDialog(demo, answers)
        dialog.folder.setText(str(tmp_path / str(number)))
        for name, box in dialog.boxes.items():
            box.setChecked(name == "cue-cards")
        dialog.papers.per_sheet.setCurrentIndex(number)
        dialog.start()
        qtbot.waitUntil(dialog.make.isEnabled, timeout=60_000)
        (cards,) = (tmp_path / str(number)).glob("*beat-keeper.pdf")
        pages.append(len(PdfReader(cards).pages))
        dialog.close()
    assert pages[1] == -(-pages[0] // 2)


def test_export_is_the_same_as_the_command_lines(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    from tapscore.gui.export_dialog import ExportDialog
    from tapscore.workflow.export_story import export_story

    dialog = ExportDialog(demo, answers)
    dialog.folder.setText(str(tmp_path / "window"))
    for name, box in dialog.boxes.items():
        box.setChecked(name in ("click-guide", "cue-sheet"))
    dialog.start()
    qtbot.waitUntil(dialog.make.isEnabled, timeout=60_000)
    assert "Made 2 files" in dialog.said.text()
    export_story(demo.document.story, tmp_path / "line", only=("click-guide", "cue-sheet"))
    for file in (tmp_path / "line").glob("*-*"):
        assert (tmp_path / "window" / file.name).read_bytes() == file.read_bytes()
    dialog.close()
