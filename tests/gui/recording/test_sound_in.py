"""What a microphone hears, which ones there are, and one that fails."""

import io
import struct

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui.recording import sound_in
from tapscore.gui.recording.sound_in import (
    NO_LIBRARY,
    NO_MICROPHONE,
    NOT_ALLOWED,
    NOT_OPENED,
    Microphone,
    to_samples,
)
from tapscore.gui.sound.system import RATE_HZ, DeviceUnusableError, SoundSystem, Why
from tests.gui.sound.fake_devices import FakeDevices

pytestmark = pytest.mark.usefixtures("qtbot")


@pytest.fixture
def devices() -> FakeDevices:
    return FakeDevices("Headset", "Built in")


def test_it_takes_what_comes_from_the_one_that_is_chosen(devices: FakeDevices) -> None:
    microphone = Microphone(SoundSystem(devices))
    assert microphone.names() == ["Headset", "Built in"]
    assert microphone.problem() == ""
    assert microphone.rate_hz == RATE_HZ
    assert microphone.start("Built in") == ""
    assert devices.recorded == ["Built in"]
    (one,) = devices.opened
    assert microphone.rate_hz == one.rate_hz
    assert len(microphone.read()) == 0
    one.hear(struct.pack("<4h", 16_384, 0, -32_768, -32_768))
    one.hear(struct.pack("<2h", 8_192, 8_192))
    assert microphone.read().tolist() == [0.25, -1.0, 0.25], "the mean of left and right"
    assert len(microphone.read()) == 0
    one.hear(bytes(8))
    microphone.stop()
    assert len(microphone.read()) == 0, "what came while it was let go is not the next take's"


@pytest.mark.parametrize(
    ("why", "said"),
    [(Why.LIBRARY, NO_LIBRARY), (Why.DEVICE, NO_MICROPHONE), (Why.REFUSED, NOT_OPENED)],
)
def test_why_nothing_is_recorded_is_a_sentence(devices: FakeDevices, why: Why, said: str) -> None:
    microphone = Microphone(SoundSystem(devices))
    devices.trouble = DeviceUnusableError(why)
    assert microphone.names() == []
    assert microphone.problem() == said
    assert microphone.start("Headset") == said
    assert not microphone.failed()
    microphone.stop()


def test_without_leave_nothing_is_opened(
    devices: FakeDevices, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        QApplication, "checkPermission", lambda *_: Qt.PermissionStatus.Denied, raising=True
    )
    microphone = Microphone(SoundSystem(devices))
    assert microphone.problem() == NOT_ALLOWED
    assert microphone.start("Headset") == NOT_ALLOWED
    assert not devices.opened


def test_one_that_goes_away_has_failed(devices: FakeDevices) -> None:
    microphone = Microphone(SoundSystem(devices))
    microphone.start("Headset")
    assert not microphone.failed()
    devices.opened[0].go_away()
    assert microphone.failed()
    microphone.stop()
    assert not microphone.failed()


def test_one_that_is_plugged_in_is_noticed(
    devices: FakeDevices, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_in, "LOOK_MS", 10)
    microphone = Microphone(SoundSystem(devices))
    changes: list[int] = []
    microphone.watch(lambda: changes.append(len(devices.names)))
    qtbot.wait(60)
    assert changes == []
    devices.names.append("USB")
    qtbot.waitUntil(lambda: changes == [3])
    devices.trouble = DeviceUnusableError(Why.DEVICE)
    qtbot.waitUntil(lambda: changes == [3, 3])


def test_samples_are_read_as_libsndfile_reads_them() -> None:
    """Reference: libsndfile, through soundfile, on the same raw bytes."""
    wave = np.stack([np.linspace(-1, 0.99, 64), np.linspace(0.5, -0.5, 64)], axis=1)
    raw = io.BytesIO()
    how = {"samplerate": RATE_HZ, "subtype": "PCM_16", "format": "RAW", "endian": "LITTLE"}
    soundfile.write(raw, wave, **how)
    data = raw.getvalue()
    expected, _ = soundfile.read(io.BytesIO(data), channels=2, **how)
    found = to_samples(data + b"\x01", 2)
    assert found.dtype == np.float32
    assert np.abs(found - expected.mean(axis=1)).max() < 1e-6
