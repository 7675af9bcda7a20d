"""Items of a list are as high as their words need, at any width."""

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QApplication, QListWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.wrapped_items import wrap_items


@pytest.mark.parametrize(("spacing", "ticked"), [(0, False), (3, False), (0, True)])
def test_words_have_room_at_every_width(qtbot: QtBot, spacing: int, ticked: bool) -> None:
    """Qt measures a little more width than it writes in: a word at the brink was cut off."""
    box = QListWidget()
    qtbot.addWidget(box)
    wrap_items(box)
    box.setSpacing(spacing)
    box.addItem("The beat-keeper taps, but has no seat at the board.")
    item = box.item(0)
    if ticked:
        item.setCheckState(Qt.CheckState.Checked)
    box.resize(300, 200)
    box.show()
    metrics = box.fontMetrics()
    whole = metrics.horizontalAdvance(item.text())
    lines = set()
    for wide in range(whole // 2, whole + 60, 3):
        box.resize(wide, 200)
        QApplication.processEvents()
        place = box.visualItemRect(item)
        text = place.adjusted(5 + (metrics.height() if ticked else 0), 0, -5, 0)
        needed = metrics.boundingRect(
            QRect(0, 0, text.width(), 1000), int(Qt.TextFlag.TextWordWrap), item.text()
        )
        assert place.height() >= needed.height(), wide
        lines.add(round(place.height() / metrics.height()))
    assert lines >= {1, 2}
