"""What the board's model finds comes into the list of findings, after the rest."""

from collections.abc import Callable

import pytest
from attrs import evolve
from pytestqt.qtbot import QtBot

from tapscore.checks.all_rules import FELT_RULES
from tapscore.gui import checking
from tapscore.gui.main_window import MainWindow

JUMP = FELT_RULES[0]


@pytest.fixture(autouse=True)
def _soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checking, "FELT_PAUSE_MS", 150)


def codes(window: MainWindow) -> list[str]:
    return [finding.code for finding in window.checking.findings]


def test_first_the_usual_then_what_is_felt(
    qtbot: QtBot, window_on: Callable[[str], MainWindow]
) -> None:
    window = window_on(JUMP.bad)
    heard: list[list[str]] = []
    window.checking.found.connect(lambda found: heard.append([each.code for each in found]))
    qtbot.waitUntil(lambda: len(heard) > 1, timeout=30_000)
    assert heard[0] == []
    assert heard[-1] == [JUMP.id]
    story = window.document.story
    with qtbot.waitSignal(window.checking.found, timeout=20_000):
        window.document.edit("Change name", evolve(story, title="Another"))
    assert heard[-1] == [JUMP.id]
    assert len(heard) == 3


def test_no_place_nothing_more(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> None:
    window = window_on(JUMP.bad)
    board = window.document.story.board
    assert board is not None
    window.document.edit("Take away", evolve(window.document.story, board=evolve(board, places=())))
    with qtbot.waitSignal(window.checking.found, timeout=20_000):
        pass
    assert not window.checking._felt_timer.isActive(), "nothing more is asked"
    assert codes(window) == []
