"""The source Qt reads from, and Qt's own sink where there is no device or no library."""

import sys

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ as MIXED_AT_HZ
from tapscore.gui.listening.sound_out import (
    BUFFER_SEC,
    BYTES_PER_FRAME,
    NO_DEVICE,
    NO_LIBRARY,
    QUIET_SEC,
    SAMPLE_RATE_HZ,
    QtSoundOut,
    SoundSource,
)
from tapscore.screen.passage_sound import PassageSound


def counted(first: int, again: int) -> PassageSound:
    """Every frame is its own number."""
    sound = PassageSound(first, again, first)
    sound.first[:] = np.arange(first)[:, None]
    sound.again[:] = 1000 + np.arange(again)[:, None]
    return sound


def test_qt_reads_the_passage_in_order(qtbot: QtBot) -> None:
    source = SoundSource(counted(10, 7))
    quiet = round(QUIET_SEC * SAMPLE_RATE_HZ)
    data = bytes(source.read(4 * quiet - 8).data())
    for count in (20, 40, 44, 4):
        data += bytes(source.read(count).data())
    frames = np.frombuffer(data, np.int16).reshape(-1, 2)[:, 0]
    assert not frames[:quiet].any()
    assert frames[quiet:].tolist() == [*range(10), *range(1000, 1007), *range(1000, 1007), 1000]


def test_it_is_sixteen_bit_stereo_at_the_mixers_rate_with_room_for_a_stall() -> None:
    assert counted(1, 0).read(0, 1).nbytes == BYTES_PER_FRAME
    assert SAMPLE_RATE_HZ == MIXED_AT_HZ
    assert BUFFER_SEC >= 0.25


def test_without_the_sound_library_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where libpulse0 is missing: the import itself fails."""
    monkeypatch.setitem(sys.modules, "PySide6.QtMultimedia", None)
    out = QtSoundOut()
    assert out.problem() == NO_LIBRARY
    assert out.start(counted(10, 0)) == NO_LIBRARY
    assert out.heard_sec() == 0.0
    assert not out.failed()
    out.stop()


def test_without_a_device_it_says_so(qtbot: QtBot) -> None:
    multimedia = pytest.importorskip("PySide6.QtMultimedia")
    if not multimedia.QMediaDevices.defaultAudioOutput().isNull():
        pytest.skip("there is a sound device here")
    assert QtSoundOut().start(counted(10, 0)) == NO_DEVICE
