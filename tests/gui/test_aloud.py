"""What screen readers are asked to speak at once, and by which part of a window."""

from types import SimpleNamespace

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui import aloud
from tapscore.gui.aloud import say_aloud
from tapscore.gui.listening import listen_bar
from tapscore.gui.listening.listen_bar import ListenBar
from tapscore.gui.recording import level_meter
from tapscore.gui.recording.level_meter import LevelMeter

Spoken = list[tuple[QWidget, str]]


def test_the_platform_is_told_of_the_widget_and_its_words(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[object] = []
    monkeypatch.setattr(aloud, "QAccessible", SimpleNamespace(updateAccessibility=told.append))
    monkeypatch.setattr(aloud, "QAccessibleAnnouncementEvent", lambda *given: given)
    label = QLabel()
    qtbot.addWidget(label)
    say_aloud(label, "Kept.")
    assert told == [(label, "Kept.")]


def test_the_bar_speaks_only_what_it_was_asked_to_and_nothing_twice(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoken: Spoken = []
    monkeypatch.setattr(listen_bar, "say_aloud", lambda *given: spoken.append(given))
    bar = ListenBar()
    qtbot.addWidget(bar)
    for sentence, loud in (("one", False), ("two", True), ("two", True), ("three", False)):
        bar.say(sentence, aloud=loud)
        assert bar.status.text() == sentence
    assert spoken == [(bar.status, "two")]


def test_the_meter_speaks_when_it_becomes_too_loud_and_then_alone(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoken: Spoken = []
    monkeypatch.setattr(level_meter, "say_aloud", lambda *given: spoken.append(given))
    meter = LevelMeter()
    qtbot.addWidget(meter)
    for level in (0.3, 1.0, 1.0, 0.0, 1.0):
        meter.show_level(level)
    assert spoken == [(meter, meter.word)] * 2
    assert meter.accessibleName() == f"How loud: {meter.word}"
