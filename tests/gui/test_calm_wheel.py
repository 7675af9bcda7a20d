"""Rolling the wheel over fields changes nothing, and scrolls what is behind them."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QComboBox,
    QDialog,
    QScrollArea,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from tapscore.gui.main_window import MainWindow
from tests.gui.test_random_commands import turn_wheel


def fields_of(window: QWidget) -> list[QWidget]:
    return [
        field
        for field in window.findChildren(QWidget)
        if isinstance(field, QComboBox | QAbstractSpinBox) and field.isVisible()
    ]


def test_the_wheel_over_every_panel_changes_nothing(demo: MainWindow) -> None:
    rolled = 0
    demo.listening.bar.show_more()
    for panel in demo.side.panels:
        demo.side.show_panel(panel)
        for field in fields_of(demo):
            before = getattr(field, "currentIndex", lambda: None)()
            for target in (field, *field.findChildren(QWidget)):
                turn_wheel(target, -120)
            assert not field.hasFocus()
            assert getattr(field, "currentIndex", lambda: None)() == before
            rolled += 1
    assert rolled > 15
    assert not demo.document.modified


def test_the_field_one_works_in_follows_the_wheel(qtbot: QtBot, demo: MainWindow) -> None:
    demo.side.show_panel(demo.story_details)
    pupils = demo.story_details.story["pupils"]
    pupils.setFocus()
    turn_wheel(pupils, 120)
    assert demo.document.story.pupils is not None


def test_what_is_behind_a_field_scrolls(qtbot: QtBot, demo: MainWindow) -> None:
    dialog = QDialog(demo)
    area, content = QScrollArea(), QWidget()
    column = QVBoxLayout(content)
    for _ in range(60):
        column.addWidget(QSpinBox())
    area.setWidget(content)
    area.setWidgetResizable(True)
    QVBoxLayout(dialog).addWidget(area)
    dialog.show()
    first = content.findChildren(QSpinBox)[1]
    first.clearFocus()
    area.setFocus()
    qtbot.waitUntil(lambda: area.verticalScrollBar().maximum() > 0)
    turn_wheel(first, -120)
    assert first.value() == 0
    assert first.focusPolicy() == Qt.FocusPolicy.StrongFocus
    assert area.verticalScrollBar().value() > 0
    assert content.pos() != QPoint(0, 0)
    dialog.close()
