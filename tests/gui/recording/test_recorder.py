"""Takes: where they begin and end, and microphones that fail."""

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from tapscore.gui.recording.recorder import (
    KEY_SEC,
    LONGEST_SEC,
    PATIENCE_SEC,
    TOO_LONG,
    WAKING_SEC,
    WENT_AWAY,
    Recorder,
    RecorderState,
)
from tapscore.gui.recording.sound_in import Samples
from tests.gui.recording.fake_microphone import RATE_HZ, FakeMicrophone

Take = tuple[Samples, int, str]


class Desk:
    """A recorder whose clock and microphone the test moves on."""

    def __init__(self) -> None:
        self.sec = 50.0
        self.microphone = FakeMicrophone("Headset")
        self.recorder = Recorder(self.microphone, clock=lambda: self.sec)
        self.takes: list[Take] = []
        self.levels: list[float] = []
        self.recorder.taken.connect(lambda *take: self.takes.append(take))
        self.recorder.levelled.connect(self.levels.append)

    def state(self) -> RecorderState:
        return self.recorder.state

    def start(self) -> str:
        problem = self.recorder.start("Headset")
        self.recorder._timer.stop()  # the test reads by itself
        return problem

    def hear(self, seconds: float, value: float = 0.5) -> None:
        self.sec += seconds
        self.microphone.hear(np.full(round(seconds * RATE_HZ), value, np.float32))
        self.recorder.read()

    def silence(self, seconds: float) -> None:
        self.sec += seconds
        self.recorder.read()


@pytest.fixture
def desk(qtbot: QtBot) -> Desk:
    return Desk()


def test_a_take_is_cut_by_the_keys_noise_at_both_ends(desk: Desk) -> None:
    assert desk.start() == ""
    assert desk.state() is RecorderState.WAKING
    for _ in range(20):
        desk.hear(0.1)
    assert desk.state() is RecorderState.RECORDING
    desk.recorder.stop()
    ((sound, rate_hz, why),) = desk.takes
    assert (rate_hz, why) == (RATE_HZ, "")
    assert len(sound) / rate_hz == pytest.approx(2.0 - 2 * KEY_SEC, abs=0.001)
    assert abs(sound[0]) < 0.01
    assert abs(sound[-1]) < 0.01
    assert desk.levels[-1] == 0.0
    assert max(desk.levels) == 0.5
    assert not desk.microphone.on


def test_what_was_said_before_the_key_but_comes_late_is_still_kept(desk: Desk) -> None:
    """Sound systems hand sound on in pieces of a quarter of a second."""
    desk.start()
    desk.hear(1.0)
    desk.sec += 0.25
    desk.recorder.stop()
    assert desk.takes == []
    assert desk.state() is RecorderState.ENDING
    desk.sec += 0.05
    desk.microphone.hear(np.full(RATE_HZ // 2, 0.5, np.float32))
    desk.recorder.read()
    ((sound, _, _),) = desk.takes
    assert len(sound) / RATE_HZ == pytest.approx(1.25 - 2 * KEY_SEC, abs=0.001)


def test_if_the_last_piece_never_comes_it_does_not_wait_for_ever(desk: Desk) -> None:
    desk.start()
    desk.hear(1.0)
    desk.sec += 0.25
    desk.recorder.stop()
    desk.silence(1.0)
    assert desk.state() is RecorderState.STILL
    assert len(desk.takes[0][0]) / RATE_HZ == pytest.approx(1.0 - 2 * KEY_SEC, abs=0.001)


@pytest.mark.parametrize("how", ["says so", "falls silent"])
def test_a_microphone_that_goes_away_leaves_what_it_heard(desk: Desk, how: str) -> None:
    desk.start()
    desk.hear(1.0)
    if how == "says so":
        desk.microphone.gone = True
        desk.silence(0.03)
    else:
        desk.silence(PATIENCE_SEC + 0.1)
    ((sound, _, why),) = desk.takes
    assert why == WENT_AWAY
    assert len(sound) / RATE_HZ == pytest.approx(1.0 - KEY_SEC, abs=0.001)


def test_a_microphone_may_take_its_time_to_wake(desk: Desk) -> None:
    desk.start()
    desk.silence(WAKING_SEC - 0.1)
    assert desk.state() is RecorderState.WAKING
    desk.hear(0.5)
    assert desk.state() is RecorderState.RECORDING
    desk.recorder.stop_now()
    desk.start()
    desk.silence(WAKING_SEC + 0.1)
    assert desk.state() is RecorderState.STILL
    assert len(desk.takes[-1][0]) == 0


def test_it_ends_by_itself_before_the_memory_does(desk: Desk) -> None:
    desk.start()
    for _ in range(LONGEST_SEC + 5):
        desk.hear(1.0, 0.1)
    assert [take[2] for take in desk.takes] == [TOO_LONG]


def test_a_refused_microphone_says_why(desk: Desk) -> None:
    desk.microphone.refuses = "It is busy."
    assert desk.start() == "It is busy."
    assert desk.state() is RecorderState.STILL
