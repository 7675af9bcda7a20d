"""Recording in the window: by keyboard, with a microphone of the test's own."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from tapscore.exports.audio.voice import take
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recording import recording_dialog
from tapscore.gui.recording.level_meter import LevelMeter
from tapscore.gui.recording.recorder import RecorderState
from tapscore.gui.recording.recording_dialog import RecordingDialog
from tapscore.workflow import neural_voice, recording_lines
from tests.exports.audio.voice.voices import tone, write
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut
from tests.gui.pixels import argb
from tests.gui.recording.fake_microphone import RATE_HZ, FakeMicrophone
from tests.workflow.test_neural_voice import program


class Opened:
    def __init__(self, window: MainWindow, answers: Answers, folder: Path, qtbot: QtBot) -> None:
        self.microphone = FakeMicrophone("Headset")
        self.out = QuietOut(HandClock())
        self.folder = folder
        self.qtbot = qtbot
        self.dialog = RecordingDialog(
            window, window.document.story, folder, answers, self.microphone, self.out
        )
        self.dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self.dialog.open()
        self.sec = 10.0
        self.dialog.recorder._clock = lambda: self.sec

    def press(self, key: Qt.Key, widget: QWidget | None = None) -> None:
        self.qtbot.keyClick(widget or self.dialog.lines, key)  # type: ignore[no-untyped-call]

    def say(self, seconds: float, peak: float = 0.3) -> None:
        self.sec += seconds
        self.microphone.hear(tone(seconds - 1.0, RATE_HZ, peak))
        self.dialog.recorder.read()

    @property
    def status(self) -> str:
        return self.dialog.status.text()

    def states(self) -> list[str]:
        table = self.dialog.lines
        items = [table.item(row, 2) for row in range(table.rowCount())]
        return [item.text() for item in items if item is not None]


@pytest.fixture
def opened(qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path) -> Iterator[Opened]:
    made = Opened(demo, answers, tmp_path / "story recordings", qtbot)
    yield made
    if made.dialog.isVisible():
        answers.choices[:] = ["Close all the same"]
        made.dialog.accept()


def test_space_records_and_keeps_and_down_goes_on(opened: Opened) -> None:
    assert opened.states()[:3] == ["not yet"] * 3
    assert "Out on the water" in opened.dialog.words.text()
    opened.press(Qt.Key.Key_Space)
    assert "wakes up" in opened.status
    opened.say(4.0)
    assert "Speak now" in opened.status
    assert opened.dialog.record.text() == "Stop"
    assert not opened.dialog.bring.isEnabled()
    opened.press(Qt.Key.Key_Space)
    assert opened.status.startswith("Kept.")
    assert opened.states()[:2] == ["recorded", "not yet"]
    assert soundfile.info(opened.folder / "01.wav").duration == pytest.approx(3.7, abs=0.01)
    opened.press(Qt.Key.Key_Down)
    opened.press(Qt.Key.Key_Space)
    opened.say(4.0)
    opened.press(Qt.Key.Key_Down)
    assert opened.states()[:3] == ["recorded", "recorded", "not yet"]
    assert opened.dialog.line is not None
    assert opened.dialog.line.name == "row home 1"
    assert "9 of 11 lines" in opened.dialog.count.text()


def test_return_lets_the_recording_be_heard_and_the_rhythm_has_a_button(opened: Opened) -> None:
    opened.press(Qt.Key.Key_Return)
    assert "not recorded yet" in opened.status
    opened.press(Qt.Key.Key_Space)
    opened.say(4.0)
    opened.press(Qt.Key.Key_Space)
    opened.press(Qt.Key.Key_Return)
    opened.qtbot.waitUntil(lambda: "as it will be heard" in opened.status)
    heard = opened.out.given[-1].first
    assert np.abs(heard).max() == pytest.approx(0.8 * 32767, rel=0.01)
    assert len(heard) / 48_000 == pytest.approx(3.0, abs=0.1)
    before = len(opened.out.given)
    opened.dialog.rhythm.click()
    opened.qtbot.waitUntil(lambda: len(opened.out.given) > before)
    assert "taps of this line" in opened.status


def test_what_happens_is_spoken_too(opened: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    spoken: list[tuple[object, str]] = []
    monkeypatch.setattr(recording_dialog, "say_aloud", lambda *given: spoken.append(given))
    opened.dialog.say("Kept.")
    assert opened.dialog.status.text() == "Kept."
    assert spoken == [(opened.dialog.status, "Kept.")]


def test_a_silent_take_is_not_kept_and_the_sentence_says_what_to_do(opened: Opened) -> None:
    opened.press(Qt.Key.Key_Space)
    opened.say(4.0, peak=0.0)
    opened.press(Qt.Key.Key_Space)
    assert opened.status == take.NOTHING_HEARD
    assert not opened.folder.exists()


def test_a_full_disc_loses_nothing_and_lets_her_try_again(
    opened: Opened, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(recording_lines, "write_whole", full)
        opened.press(Qt.Key.Key_Space)
        opened.say(4.0)
        opened.press(Qt.Key.Key_Space)
        assert "the disc is full" in opened.status
        assert opened.dialog.keep.isVisible()
        answers.choices[:] = ["Back"]
        opened.dialog.accept()
        assert opened.dialog.isVisible()
    opened.dialog.keep.click()
    assert opened.states()[0] == "recorded"
    assert not opened.dialog.keep.isVisible()


def test_a_recording_is_brought_in_and_taken_away(
    opened: Opened, answers: Answers, tmp_path: Path
) -> None:
    write(tmp_path / "phone.wav", tone(3.0), 48_000)
    (tmp_path / "notes.wav").write_bytes(b"no sound at all")
    answers.files[:] = [tmp_path / "notes.wav", tmp_path / "phone.wav", None]
    opened.dialog.bring.click()
    assert "notes.wav" in opened.status
    assert opened.states()[0] == "not yet"
    opened.dialog.bring.click()
    assert "Brought in as 01.wav" in opened.status
    assert opened.states()[0] == "recorded"
    opened.dialog.bring.click()
    opened.dialog.away.setFocus()
    opened.dialog.away.click()
    assert opened.dialog.focusWidget() is opened.dialog.lines, "a second press does nothing else"
    assert "earlier" in opened.status
    assert opened.states()[0] == "not yet"
    assert not opened.dialog.away.isEnabled()


def test_microphones_come_and_go(opened: Opened) -> None:
    opened.microphone.plug("Headset", "Desk microphone")
    opened.dialog.microphone.setCurrentText("Desk microphone")
    opened.microphone.plug("Built in", "Desk microphone")
    assert opened.dialog.microphone.currentText() == "Desk microphone"
    opened.microphone.plug()
    assert opened.dialog.microphone.currentText() == "none found"
    opened.press(Qt.Key.Key_Space)
    assert "There is no microphone" in opened.status
    assert "bring the file in" in opened.status
    assert opened.dialog.recorder.state is RecorderState.STILL


def test_a_take_ends_with_its_microphone_even_if_the_system_goes_on_with_another(
    opened: Opened,
) -> None:
    opened.microphone.plug("Headset", "Built in")
    opened.press(Qt.Key.Key_Space)
    opened.say(4.0)
    opened.microphone.plug("Built in")
    assert opened.dialog.recorder.state is RecorderState.STILL
    assert "went away while you spoke. What you said until then is kept" in opened.status
    assert opened.states()[0] == "recorded"
    opened.microphone.plug("Desk microphone")
    assert "went away while you spoke" in opened.status, "still to be read"
    opened.press(Qt.Key.Key_Down)
    opened.microphone.plug("Headset")
    assert opened.status == "“Desk microphone” went away: “Headset” is chosen now."


def test_it_is_told_when_another_microphone_is_chosen_by_itself(opened: Opened) -> None:
    opened.microphone.plug("Built in")
    assert opened.status == "“Headset” went away: “Built in” is chosen now."


def test_escape_ends_a_take_first_and_closing_keeps_what_was_said(opened: Opened) -> None:
    opened.press(Qt.Key.Key_Space)
    opened.say(3.0)
    opened.press(Qt.Key.Key_Escape, opened.dialog)
    assert opened.dialog.isVisible()
    assert opened.states()[0] == "recorded"
    opened.press(Qt.Key.Key_Down)
    opened.press(Qt.Key.Key_Space)
    opened.say(3.0)
    opened.dialog.accept()
    assert not opened.dialog.isVisible()
    assert (opened.folder / "02.wav").exists()
    assert not opened.microphone.on


def test_everything_has_a_name_and_takes_the_focus(opened: Opened) -> None:
    dialog = opened.dialog
    for control in [*dialog.findChildren(QAbstractButton), *dialog.findChildren(QComboBox)]:
        if control.parent() is dialog.lines:
            continue
        label = control.text() if isinstance(control, QAbstractButton) else ""
        assert control.accessibleName() or label
    assert dialog.lines.accessibleName()
    assert dialog.status.accessibleDescription()


def test_the_meter_says_in_words_how_loud_it_is(qtbot: QtBot) -> None:
    meter = LevelMeter()
    qtbot.addWidget(meter)
    said = []
    for peak in (0.0, 0.01, 0.2, 0.99):
        meter.show_level(peak)
        said.append(meter.word)
    assert said == ["no sound", "soft", "good", "too loud"]
    assert meter.accessibleName() == "How loud: too loud"
    meter.show_level(0.2)
    assert meter.word == "too loud"
    for _ in range(20):
        meter.show_level(0.2)
    assert meter.word == "good"


def test_without_sound_the_meter_is_empty(qtbot: QtBot) -> None:
    meter = LevelMeter()
    qtbot.addWidget(meter)
    filled = meter.palette().highlight().color().rgba()
    assert not (argb(meter.grab().toImage()) == filled).any()
    meter.show_level(0.2)
    assert (argb(meter.grab().toImage()) == filled).any()


def test_the_command_asks_to_save_a_new_story_first(
    demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    demo.document.path = None
    answers.choices[:] = ["Not now"]
    demo.actions_by_id["record"].trigger()
    assert "Save the story first" in answers.asked[-1]
    assert demo.findChildren(RecordingDialog) == []
    answers.choices[:] = ["Save"]
    answers.files[:] = [tmp_path / "boat.yaml"]
    demo.actions_by_id["record"].trigger()
    (dialog,) = demo.findChildren(RecordingDialog)
    assert dialog.recordings.folder == tmp_path / "boat recordings"
    dialog.accept()


def test_the_rest_can_be_read_out_by_a_voice_she_has(
    opened: Opened, answers: Answers, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    command = program(tmp_path)
    monkeypatch.setattr(neural_voice, "neural_program", lambda: command)
    for name in ("calm.onnx", "calm.onnx.json"):
        (tmp_path / name).write_bytes(b"{}")
    opened.press(Qt.Key.Key_Space)
    opened.say(4.0)
    opened.press(Qt.Key.Key_Space)
    answers.files[:] = [tmp_path / "calm.onnx"]
    opened.dialog.read_out.click()
    assert "takes a moment" in opened.status
    opened.qtbot.waitUntil(lambda: "10 lines were read out" in opened.status, timeout=20_000)
    assert set(opened.states()) == {"recorded"}
    assert not opened.dialog.read_out.isEnabled()
