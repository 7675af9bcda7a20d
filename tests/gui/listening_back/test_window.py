"""Listening back in the window: bring in, record, hear, make as told, leave; by keyboard."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLineEdit,
    QListWidget,
    QProgressBar,
)
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.listening_back import window
from tapscore.gui.listening_back.take import WENT_AWAY, RehearsalTake
from tapscore.gui.listening_back.window import BACK, CHANGED, LEFT, MADE, NO_TIME, ListeningBack
from tapscore.gui.listening_back.work import STOPPED, HeardAnswer
from tapscore.gui.looks import set_scale
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recording.sound_in import NO_MICROPHONE
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story, Wait
from tapscore.rehearsal.differences import Difference
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.wording.about import About, LineName
from tapscore.workflow.listening_back import NO_PUPILS, Heard, hear
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut
from tests.gui.recording.fake_microphone import RATE_HZ, FakeMicrophone
from tests.rehearsal.rehearsals import levels, rehearsed
from tests.rehearsal.simulated.recording import write

WAIT = 3
"""The segment of the first wait of the story."""


def heard_with_a_wait() -> tuple[Heard, Difference]:
    """A rehearsal of the walk, and a wait in it that was short."""
    walk = rehearsed("the-rainy-walk", "L0", 7)
    found = hear(walk.story, levels(walk.sound))
    segment = found.performance.segments[WAIT]
    about = About(line=LineName(2), time=0, returns=None, lasted=4, wanted=10)
    finding = Finding("told-wait", Severity.ADVICE, segment.path, None, about)
    return found, Difference(finding, 3.0, WAIT, 20.0, 24.0, as_told=True)


@pytest.fixture(scope="module")
def heard() -> Heard:
    found, wait = heard_with_a_wait()
    return evolve(found, differences=(wait, *found.differences[:1]))


class Opened:
    def __init__(self, story: MainWindow, qtbot: QtBot, *microphones: str) -> None:
        self.microphone = FakeMicrophone(*microphones)
        self.out = QuietOut(HandClock())
        self.story = story
        self.window = ListeningBack(story, self.microphone, self.out)
        self.window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self.window.show()
        self.qtbot = qtbot

    @property
    def status(self) -> str:
        return self.window.status.text()

    def items(self) -> list[str]:
        rows = range(self.window.sentences.count())
        return [self.window.sentences.item(row).text() for row in rows]

    def answer(self, heard: Heard) -> None:
        self.window._answered(HeardAnswer(heard))


@pytest.fixture
def walk(files: FileWork, tmp_path: Path) -> MainWindow:
    source = next(path for path in demo_stories() if path.stem == "the-rainy-walk")
    copy = tmp_path / "walk.yaml"
    copy.write_bytes(source.read_bytes())
    return files.show_story(read_file(copy), copy)


@pytest.fixture
def opened(walk: MainWindow, qtbot: QtBot) -> Iterator[Opened]:
    made = Opened(walk, qtbot, "Headset")
    yield made
    made.window.close()
    assert not made.window.working.running


def test_a_file_brought_in_is_looked_at_and_drawn(
    opened: Opened, answers: Answers, tmp_path: Path
) -> None:
    sound = rehearsed("the-rainy-walk", "L0", 7).sound
    answers.files = [write(sound, tmp_path / "phone", "wav")]
    with opened.qtbot.waitSignal(opened.window.working.answered, timeout=60_000):
        opened.window.bring.click()
    assert len(opened.window.lines) == 11
    assert opened.items()[-1].startswith("Line ")
    assert any("beats a minute" in item for item in opened.items())
    assert NO_PUPILS in [
        label.text() for label in opened.window.findChildren(type(opened.window.status))
    ]
    assert not opened.window.working.busy
    assert opened.window.text.isEnabled()


def test_what_happens_is_spoken_too(opened: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    spoken: list[tuple[object, str]] = []
    monkeypatch.setattr(window, "say_aloud", lambda *given: spoken.append(given))
    opened.window.say(STOPPED)
    assert opened.window.status.text() == STOPPED
    assert spoken == [(opened.window.status, STOPPED)]


def test_what_is_no_recording_is_said(opened: Opened, answers: Answers, tmp_path: Path) -> None:
    (tmp_path / "words.mp3").write_text("nothing to hear")
    answers.files = [tmp_path / "words.mp3"]
    with opened.qtbot.waitSignal(opened.window.working.answered, timeout=20_000):
        opened.window.bring.click()
    assert "words.mp3 is broken, or no sound file." in opened.status
    assert opened.window.bring.isEnabled()


def test_stopping_says_so(opened: Opened, answers: Answers, tmp_path: Path) -> None:
    sound = np.tile(rehearsed("the-rainy-walk", "L0", 7).sound, 3)
    answers.files = [write(sound, tmp_path / "phone", "wav")]
    with opened.qtbot.waitSignal(opened.window.working.answered, timeout=60_000):
        opened.window.bring.click()
        opened.window.stop.click()
    assert opened.status == STOPPED
    assert opened.window.rehearsals == ()


def test_the_story_is_made_as_told_in_one_press_and_taken_back(
    opened: Opened, heard: Heard
) -> None:
    opened.answer(heard)
    assert opened.items()[0].startswith("The wait after line 2 lasted 4 seconds; 10 are written.")
    assert "make the story as you tell it" in opened.window.helps.text()
    opened.window.as_told.setFocus()
    opened.window.as_told.click()
    assert opened.window.focusWidget() is not opened.window.keep, "a second press keeps nothing"
    assert opened.status == MADE
    document = opened.story.document
    wait = document.story.sections[0].items[3]
    assert isinstance(wait, Wait)
    assert wait.least_sec == 4
    assert document.undo_stack.undoText() == "Make the wait as told"
    assert not any("lasted 4 seconds" in item for item in opened.items())
    opened.window.undo.setFocus()
    opened.window.undo.click()
    assert opened.window.focusWidget() is opened.window.sentences, "nothing more to take back"
    wait = document.story.sections[0].items[3]
    assert isinstance(wait, Wait)
    assert wait.least_sec == 10
    assert opened.status == BACK
    assert opened.items()[0].startswith("The wait after line 2 lasted 4 seconds; 10 are written.")
    assert opened.window.sentences.currentRow() == 0
    assert opened.window.as_told.isEnabled()


def test_a_change_made_elsewhere_is_undone_without_a_sentence(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    opened.window.as_told.click()
    document = opened.story.document
    document.edit("Title", evolve(document.story, title="Another walk"))
    assert opened.status == CHANGED
    opened.window.undo.click()
    assert document.story.title != "Another walk"
    assert opened.status == CHANGED
    assert not any("lasted 4 seconds" in item for item in opened.items())
    opened.window.undo.click()
    assert opened.status == BACK


def test_leaving_it_takes_it_off_the_list_alone(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    before = opened.story.document.story
    opened.window.leave.click()
    assert opened.status == LEFT
    assert len(opened.window.differences) == len(heard.differences) - 1
    assert not any("lasted 4 seconds" in item for item in opened.items())
    assert len(opened.items()) == len(opened.window.differences) + len(opened.window.lines)
    assert opened.window.sentences.currentRow() == 0
    assert opened.story.document.story is before


def test_after_leaving_one_the_next_is_chosen(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    opened.window.sentences.setCurrentRow(1)
    after = opened.items()[2]
    opened.window.leave.click()
    assert (opened.window.sentences.currentRow(), opened.items()[1]) == (1, after)


def test_what_is_kept_in_words_is_about_the_story_that_was_told(
    opened: Opened, heard: Heard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The story may change while a recording of it is looked at."""
    told: list[Story] = []

    def report(story: Story, _: object) -> str:
        told.append(story)
        return ""

    monkeypatch.setattr(window, "report", report)
    monkeypatch.setattr(opened.window.working, "ask", lambda _: None)
    monkeypatch.setattr(opened.window._keeping, "text", lambda _: None)
    document = opened.story.document
    before = document.story
    opened.window.listen_to(tmp_path / "rehearsal.wav")
    document.edit("Title", evolve(before, title="Another walk"))
    opened.answer(heard)
    opened.window.text.click()
    assert told == [before]


def test_a_line_is_heard_told_and_then_written(
    opened: Opened, heard: Heard, tmp_path: Path
) -> None:
    opened.window._path = write(
        rehearsed("the-rainy-walk", "L0", 7).sound, tmp_path / "phone", "wav"
    )
    opened.answer(heard)
    strip = opened.window.strip
    strip.setFocus()
    opened.qtbot.keyClick(strip, Qt.Key.Key_End)  # type: ignore[no-untyped-call]
    opened.qtbot.keyClick(strip, Qt.Key.Key_Left)  # type: ignore[no-untyped-call]
    at = len(opened.window.lines) - 2
    assert strip.current == at
    assert opened.window.sentences.currentRow() == len(opened.window.differences) + at
    assert opened.window.lines[at].sentence in strip.accessibleName()
    with opened.qtbot.waitSignal(opened.window.sound.said, timeout=20_000):
        opened.qtbot.keyClick(strip, Qt.Key.Key_Return)  # type: ignore[no-untyped-call]
    assert opened.status == "As it was told; then as it is written."
    assert opened.window.sound._then.isActive()
    opened.window.sound._written()
    assert opened.window.sound._player.running
    opened.window.stop.click()
    assert not opened.window.sound._player.running


def test_the_strip_goes_along_with_the_list(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    sentences, strip = opened.window.sentences, opened.window.strip
    sentences.setFocus()
    first = len(opened.window.differences)
    sentences.setCurrentRow(first)
    assert strip.current == 0
    for line in (1, 2, 3):
        opened.qtbot.keyClick(sentences, Qt.Key.Key_Down)  # type: ignore[no-untyped-call]
        assert (sentences.currentRow(), strip.current) == (first + line, line)
    sentences.setCurrentRow(0)
    assert strip.current == opened.window._heard.line_of(opened.window.differences[0])


def test_a_press_on_the_strip_chooses_the_line(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    strip = opened.window.strip
    where = strip.block(4, told=True).center().toPoint()
    opened.qtbot.mouseClick(  # type: ignore[no-untyped-call]
        strip, Qt.MouseButton.LeftButton, pos=where
    )
    assert strip.current == 4


def test_blocks_stand_in_order_and_inside(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    strip = opened.window.strip
    for told in (True, False):
        lefts = [strip.block(at, told=told).left() for at in range(len(opened.window.lines))]
        assert lefts == sorted(lefts)
        assert lefts[0] >= 0
        assert strip.block(len(lefts) - 1, told=told).right() <= strip.width()
    room = strip.parentWidget()
    assert room is not None
    for wide in (1100, 1300):
        opened.window.resize(wide, 700)
        QApplication.processEvents()
        assert strip.width() >= room.width() > 900, "as wide as there is room"
    strip.grab()


def test_practising_goes_round(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    opened.window.loop.click()
    assert opened.window.sound._player.running
    assert opened.window.sound._player._going.loops


def test_several_rehearsals_say_what_keeps_happening(opened: Opened, heard: Heard) -> None:
    opened.answer(heard)
    opened.answer(heard)
    assert opened.items()[0].startswith("Twice now: The wait")


def test_a_part_that_is_none_is_said(opened: Opened, tmp_path: Path) -> None:
    opened.window._path = tmp_path / "phone.wav"
    opened.window.begin.setText("soon")
    opened.window._look_again()
    assert opened.status == NO_TIME
    opened.window.begin.setText("1:00")
    opened.window.end.setText("0:30")
    opened.window._look_again()
    assert opened.status == NO_TIME


def test_a_text_without_names_and_the_recording_are_kept_on_purpose_alone(
    opened: Opened, heard: Heard, answers: Answers, tmp_path: Path
) -> None:
    source = write(rehearsed("the-rainy-walk", "L0", 7).sound, tmp_path / "phone", "wav")
    opened.window._path = source
    opened.answer(heard)
    before = set(tmp_path.iterdir())
    answers.files = [tmp_path / "said.txt"]
    opened.window.text.click()
    assert "Line by line:" in (tmp_path / "said.txt").read_text(encoding="utf-8")
    answers.files = [tmp_path / "kept.wav"]
    opened.window.keep.click()
    assert (tmp_path / "kept.wav").read_bytes() == source.read_bytes()
    assert set(tmp_path.iterdir()) - before == {tmp_path / "said.txt", tmp_path / "kept.wav"}


def test_recording_here_is_forgotten_when_the_window_closes(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Path] = []
    monkeypatch.setattr(opened.window, "listen_to", lambda path, *_: asked.append(path))
    opened.window.record.click()
    assert opened.window.record.text() == "End the recording"
    assert "no pupil is recorded" in opened.status or "adults alone" in opened.status
    opened.microphone.hear(np.full(5 * RATE_HZ, 0.2, np.float32))
    opened.window.take.read()
    opened.window.record.click()
    (path,) = asked
    assert path.exists()
    opened.window.close()
    assert not path.parent.exists()


def test_a_recording_ends_with_its_microphone_even_if_the_system_goes_on_with_another(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Path] = []
    monkeypatch.setattr(opened.window, "listen_to", lambda path, *_: asked.append(path))
    opened.microphone.plug("Headset", "Built in")
    opened.window.microphone.setCurrentText("Headset")
    opened.window.record.click()
    opened.microphone.hear(np.full(5 * RATE_HZ, 0.2, np.float32))
    opened.window.take.read()
    opened.microphone.plug("Built in")
    assert not opened.window.take.running
    assert len(asked) == 1
    assert opened.status.startswith("The microphone went away. What was recorded before is there.")
    opened.microphone.plug("Desk microphone")
    assert opened.status == "“Built in” went away: “Desk microphone” is chosen now."


def test_microphones_come_and_go(opened: Opened) -> None:
    opened.microphone.plug()
    assert opened.window.microphone.currentText() == "none found"
    assert not opened.window.record.isEnabled()
    opened.microphone.plug("Headset")
    assert opened.window.microphone.currentText() == "Headset"
    assert opened.window.record.isEnabled()


def test_a_microphone_that_goes_away_keeps_what_was_heard() -> None:
    sec = [10.0]
    microphone = FakeMicrophone("Headset")
    take = RehearsalTake(microphone, clock=lambda: sec[0])
    ends: list[tuple[Path | None, str]] = []
    take.ended.connect(lambda *end: ends.append(end))
    assert take.start("Headset") == ""
    microphone.hear(np.full(RATE_HZ, 0.2, np.float32))
    take.read()
    sec[0] += 10
    take.read()
    ((path, why),) = ends
    assert why == WENT_AWAY
    assert path is not None
    assert path.exists()
    take.forget()
    assert not path.exists()


def test_without_a_microphone_a_file_can_be_brought_in(walk: MainWindow, qtbot: QtBot) -> None:
    made = Opened(walk, qtbot)
    assert NO_MICROPHONE.split(".")[0] in made.status
    assert not made.window.record.isEnabled()
    assert made.window.bring.isEnabled()
    made.window.close()


def test_everything_has_a_name(opened: Opened) -> None:
    for kind in (QAbstractButton, QComboBox, QLineEdit, QListWidget, QProgressBar):
        for widget in opened.window.findChildren(kind):
            if widget.objectName().startswith("qt_"):
                continue
            text = widget.text() if isinstance(widget, QAbstractButton) else ""
            assert widget.accessibleName() or text, widget


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_it_fits_a_small_screen_with_large_letters(
    walk: MainWindow, heard: Heard, qtbot: QtBot, scale: float
) -> None:
    set_scale(walk, scale)
    opened = Opened(walk, qtbot, "Headset")
    opened.answer(heard)
    opened.window.resize(1000, 560)
    qtbot.wait(20)
    assert (opened.window.width(), opened.window.height()) == (1000, 560)
    inside = opened.window.rect()
    for button in (opened.window.shut, opened.window.keep, opened.window.text):
        assert inside.contains(button.geometry())
    column = opened.window.hear.parentWidget()
    assert column is not None
    assert column.width() <= 1000
    for each in (opened.window.hear, opened.window.leave, opened.window.meter):
        assert column.rect().contains(each.geometry())
    lines = opened.window.sentences.height() // opened.window.sentences.fontMetrics().height()
    assert lines >= 3
    opened.window.close()
    set_scale(walk, 1.0)
