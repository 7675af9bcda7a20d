"""Findings in the window: its own words, and labels that are really there."""

import re

from attrs import evolve
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from tapscore.gui.main_window import MainWindow
from tapscore.model.edits import change_line
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line
from tapscore.wording.english import KEYS
from tests.gui.test_teacher_tasks import FIRST_LINE


def test_labels_that_findings_name_are_in_the_window(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    for panel in demo.side.panels:
        demo.side.show_panel(panel)
    shown = {label.text() for label in demo.findChildren(QLabel)}
    named = {label for _, words in KEYS.values() for label in re.findall("“(.*?)”", words)}
    assert named <= shown


def test_a_finding_speaks_the_windows_words(qtbot: QtBot, demo: MainWindow) -> None:
    def loud(line: Line) -> Line:
        return evolve(line, manner=evolve(line.manner, loudness=(Loudness.VERY_LOUD,)))

    demo.document.edit("Loud", change_line(demo.document.story, FIRST_LINE, loud))
    qtbot.waitUntil(lambda: any(f.code == "warn-before-loud" for f in demo.checking.findings))
    number = next(n for n, f in enumerate(demo.checking.findings) if f.code == "warn-before-loud")
    demo.findings.list.setCurrentRow(number)
    assert "Write under “Warn first”" in demo.findings.remedy.text()
    for row in range(demo.findings.list.count()):
        assert "`" not in demo.findings.list.item(row).text()
