"""Any order of the window's own commands, keys and fields: no exception, and undo goes back."""

import os
import random
from pathlib import Path

import pytest
from PySide6.QtCore import QItemSelectionModel, QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file, read_text

STEPS = int(os.environ.get("TAPSCORE_RANDOM_STEPS", "80"))
LEFT_OUT = {
    *("save", "close", "keys", "about", "gentler", "livelier", "short"),
    *("listen", "listen start", "loop line", "loop section", "loop selected", "go on"),
}
"""They open dialogs, other windows or sound; each has tests of its own."""
IDS = [
    command.id
    for command in COMMANDS
    if command.id not in LEFT_OUT and not command.name.endswith("...")
]

KEYS = [
    Qt.Key[f"Key_{name}"]
    for name in (
        *("Left", "Right", "Up", "Down", "Space", "A", "S", "H", "Minus"),
        *("Escape", "Return", "Delete", "Tab"),
    )
]


class Restless:
    """Presses what a restless teacher would, as far as it is not grey."""

    def __init__(self, window: MainWindow, seed: int) -> None:
        self.window = window
        self.random = random.Random(seed)
        self.did: list[str] = []

    def step(self) -> None:
        kind = self.random.choice(
            (
                self.command,
                self.command,
                self.command,
                self.choose,
                self.key,
                self.field,
                self.wheel,
            )
        )
        self.did.append(f"{kind.__name__} {kind()}")

    def command(self) -> str:
        found = self.random.choice(IDS)
        self.window.actions_by_id[found].trigger()
        return found

    def choose(self) -> str:
        view, rows = self.window.view, self.window.rows
        numbers = [
            self.random.randrange(rows.rowCount()) for _ in range(self.random.choice((1, 1, 3)))
        ]
        view.selectRow(numbers[0])
        for number in numbers[1:]:
            index = rows.index(number, 0)
            view.selectionModel().select(index, QItemSelectionModel.SelectionFlag.Select)
        return str(numbers)

    def key(self) -> str:
        key = self.random.choice(KEYS)
        QTest.keyClick(QApplication.focusWidget() or self.window.view, key)
        return key.name

    def field(self) -> str:
        """Go through fields with Tab, or type into one."""
        fields = [
            field
            for field in self.window.findChildren(QWidget)
            if isinstance(field, QLineEdit | QAbstractSpinBox | QComboBox)
            and field.isVisible()
            and field.isEnabled()
            and field.window() is self.window
        ]
        if not fields:
            return "none"
        field = self.random.choice(fields)
        field.setFocus()
        if self.random.random() < 0.5 and not isinstance(field, QComboBox):
            QTest.keyClicks(field, self.random.choice(("7", "ab c", "12.5", "-", "tra-la")))
        elif isinstance(field, QComboBox):
            QTest.keyClick(field, self.random.choice((Qt.Key.Key_Down, Qt.Key.Key_Up)))
        QTest.keyClick(field, Qt.Key.Key_Tab)
        return field.accessibleName() or type(field).__name__

    def wheel(self) -> str:
        widgets = [w for w in self.window.findChildren(QWidget) if w.isVisible()]
        turn_wheel(self.random.choice(widgets), self.random.choice((-120, 120)))
        return ""


def turn_wheel(widget: QWidget, by: int) -> None:
    middle = QPointF(widget.rect().center())
    event = QWheelEvent(
        middle,
        widget.mapToGlobal(middle),
        QPoint(),
        QPoint(0, by),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.timeout(0)
def test_any_order_of_commands_can_be_undone(
    qtbot: QtBot, files: FileWork, tmp_path: Path, seed: int
) -> None:
    source = demo_stories()[seed % 2]
    copy = tmp_path / "story.yaml"
    copy.write_bytes(source.read_bytes())
    text = read_file(copy).text
    window = files.show_story(read_file(copy), copy)
    QGuiApplication.clipboard().setText("The lantern swings\nand sings")
    restless = Restless(window, int(os.environ.get("TAPSCORE_RANDOM_SEED", "0")) + seed)
    try:
        for number in range(STEPS):
            restless.step()
            if number % 10 == 0:
                qtbot.wait(1)
            if number % 50 == 0:
                saved = window.document.text()
                assert read_text(saved).story == window.document.story
        window.view.end_typing()
        window.document.undo_stack.setIndex(0)
        assert window.document.text() == text
        assert read_text(text).story == window.document.story
    except BaseException:
        print("\n".join(restless.did[-30:]))
        raise
