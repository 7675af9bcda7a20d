"""A window whose player has a clock set by hand and no device."""

from collections.abc import Callable, Iterator

import pytest
from pytestqt.qtbot import QtBot

from tapscore.gui.main_window import MainWindow
from tests.gui.listening.fakes import TWO_WAITS, HandClock, NoDevice, Opened


@pytest.fixture
def opened(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> Iterator[Opened]:
    """A window whose player has a clock set by hand and no device."""
    window = window_on(TWO_WAITS)
    with qtbot.waitExposed(window):
        window.show()
    clock = HandClock()
    player = window.listening.player
    player._clock = clock
    player._out = NoDevice()
    window.listening.bar.count_in.setChecked(False)
    yield window, clock
    window.listening.player.stop()
