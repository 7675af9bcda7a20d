"""Sounds made ready before anybody listens."""

import pytest
from pytestqt.qtbot import QtBot

from tapscore.exports.audio.sound import Sound
from tapscore.exports.audio.tap_sound import TapAsked, tap_sound
from tapscore.gui.listening.player import Player
from tests.gui.listening.fakes import HandClock, NoDevice, QuietOut, story_of


@pytest.mark.parametrize("device", [True, False])
def test_the_sounds_of_a_story_are_found_in_the_background(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, device: bool
) -> None:
    made: list[object] = []

    def noted(asked: TapAsked) -> Sound:
        made.append(asked)
        return tap_sound(asked)

    monkeypatch.setattr("tapscore.exports.audio.story_taps.tap_sound", noted)
    player = Player(out=QuietOut(HandClock()) if device else NoDevice())
    try:
        player.warm_up(story_of())
        if device:
            qtbot.waitUntil(lambda: len(made) >= 3, timeout=10_000)
        else:
            qtbot.wait(50)
            assert made == []
    finally:
        player.shut()
