"""Which recording and which story what is said is about, when another one comes; and Stop."""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.listening_back.work import STOPPED, HeardAnswer, HeardWish
from tapscore.gui.main_window import MainWindow
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.workflow.listening_back import Heard
from tests.gui.answers import Answers
from tests.gui.listening_back.test_window import WAIT, Opened, heard_with_a_wait
from tests.gui.recording.fake_microphone import RATE_HZ
from tests.rehearsal.rehearsals import rehearsed
from tests.rehearsal.simulated.recording import write


@pytest.fixture(scope="module")
def heard() -> Heard:
    found, wait = heard_with_a_wait()
    return evolve(found, differences=(wait,))


class Bench:
    """The window where what is looked at answers when the test says so."""

    def __init__(self, opened: Opened, answers: Answers, patch: pytest.MonkeyPatch) -> None:
        self.opened, self.window, self.answers = opened, opened.window, answers
        self.wishes: list[HeardWish] = []
        self.told: list[tuple[Path, float, float, int]] = []
        self.looped: list[tuple[object, int]] = []
        patch.setattr(self.window.working, "ask", self._ask)
        patch.setattr(self.window.working, "cancel", lambda: self.answer(None))
        patch.setattr(
            self.window.sound,
            "told",
            lambda path, begin, end, guide: self.told.append((path, begin, end, guide[1])),
        )
        patch.setattr(
            self.window.sound, "loop", lambda story, segment: self.looped.append((story, segment))
        )

    def _ask(self, wish: HeardWish) -> None:
        self.window.working.busy = True
        self.wishes.append(wish)

    def answer(self, heard: Heard | None) -> None:
        self.window.working.busy = False
        self.window._answered(HeardAnswer(heard, "" if heard else STOPPED))

    def bring(self, path: Path) -> None:
        path.write_bytes(b"")
        self.answers.files = [path]
        self.window.bring.click()

    def items(self) -> list[str]:
        return self.opened.items()


@pytest.fixture
def bench(
    files: FileWork,
    tmp_path: Path,
    qtbot: QtBot,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
) -> Iterator[Bench]:
    source = next(path for path in demo_stories() if path.stem == "the-rainy-walk")
    copy = tmp_path / "walk.yaml"
    copy.write_bytes(source.read_bytes())
    story: MainWindow = files.show_story(read_file(copy), copy)
    opened = Opened(story, qtbot, "Headset")
    yield Bench(opened, answers, monkeypatch)
    opened.window.close()


def test_a_recording_that_came_to_nothing_is_never_heard_for_one_that_was_told(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    before = bench.items()
    story = bench.opened.story.document.story
    bench.opened.story.document.edit("Title", evolve(story, title="Another walk"))
    bench.bring(tmp_path / "second.wav")
    bench.window.stop.click()
    assert bench.window.status.text() == STOPPED
    assert bench.items() == before, "what was told of the first still stands there"
    bench.window.hear.click()
    bench.window.loop.click()
    assert bench.told == [(tmp_path / "first.wav", *bench.told[0][1:])]
    assert bench.looped == [(story, WAIT - 1)], "the story that it was compared with"


def test_a_part_that_is_stopped_leaves_what_was_told(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    bench.window.begin.setText("0:10")
    bench.window.again.click()
    assert bench.wishes[-1].trim.begin_sec == 10
    bench.window.stop.click()
    assert len(bench.window.rehearsals) == 1
    for row in range(bench.window.sentences.count()):
        bench.window.sentences.setCurrentRow(row)
        bench.window.hear.click()
    assert bench.told[0][:3] == (tmp_path / "first.wav", *bench.told[0][1:3])
    assert bench.window.text.isEnabled()


def test_the_same_recording_once_more_is_one_rehearsal_another_is_a_second(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    bench.window.again.click()
    bench.answer(heard)
    assert len(bench.window.rehearsals) == 1
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    assert len(bench.window.rehearsals) == 1, "heard once, however often it is brought in"
    assert not bench.items()[0].startswith("Twice")
    bench.bring(tmp_path / "second.wav")
    bench.answer(heard)
    assert len(bench.window.rehearsals) == 2
    assert bench.items()[0].startswith("Twice now")


def test_one_that_was_stopped_takes_no_earlier_one_away(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    bench.bring(tmp_path / "second.wav")
    bench.window.stop.click()
    bench.window.again.click()
    assert bench.wishes[-1].path == tmp_path / "second.wav"
    bench.answer(heard)
    assert len(bench.window.rehearsals) == 2


def _record(bench: Bench, seconds: int) -> None:
    bench.window.record.click()
    if seconds:
        bench.opened.microphone.hear(np.full(seconds * RATE_HZ, 0.2, np.float32))
    bench.window.take.read()
    bench.window.record.click()


def test_a_take_that_gives_way_is_offered_no_more(bench: Bench, heard: Heard) -> None:
    _record(bench, 5)
    bench.answer(heard)
    assert bench.window.hear.isEnabled()
    assert bench.window.keep.isEnabled()
    bench.window.begin.setText("0:10")
    _record(bench, 0)
    assert bench.window.begin.text() == ""
    assert not bench.window.hear.isEnabled(), "its file is gone"
    assert not bench.window.keep.isEnabled()
    assert not bench.window.again.isEnabled()
    assert bench.window.loop.isEnabled()
    bench.window.hear.click()
    bench.window.sentences.activated.emit(bench.window.sentences.currentIndex())
    assert bench.told == []


def test_a_file_brought_in_stays_when_a_take_comes_to_nothing(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    _record(bench, 0)
    assert bench.window.hear.isEnabled()
    bench.window.again.click()
    assert bench.wishes[-1].path == tmp_path / "first.wav"


@pytest.fixture
def alone(bench: Bench, heard: Heard, monkeypatch: pytest.MonkeyPatch) -> Opened:
    """What is heard is heard, with a loudspeaker that is quiet."""
    monkeypatch.undo()
    bench.opened.answer(heard)
    return bench.opened


@pytest.mark.parametrize("do", [lambda w: w.loop.click(), lambda w: w.sound.shut()])
def test_stop_is_there_only_while_there_is_something_to_stop(
    alone: Opened, do: Callable[[object], None]
) -> None:
    window = alone.window
    assert not window.stop.isEnabled()
    window.loop.click()
    assert window.stop.isEnabled()
    do(window)
    assert window.stop.isEnabled() == window.sound.going
    window.stop.setFocus()
    QTest.keyClick(window.stop, Qt.Key.Key_Space)
    assert not window.stop.isEnabled()
    assert not window.sound.going


def test_stop_is_there_while_a_place_is_heard_and_what_is_written_after_it(
    alone: Opened, tmp_path: Path
) -> None:
    window, sound = alone.window, rehearsed("the-rainy-walk", "L0", 7).sound
    window._told_in = write(sound, tmp_path / "phone", "wav")
    window._show_what_can_be_done()
    assert not window.stop.isEnabled()
    with alone.qtbot.waitSignal(window.sound.said, timeout=20_000):
        window.hear.click()
        assert window.stop.isEnabled(), "it is read first"
    assert window.stop.isEnabled()
    window.sound._then.timeout.emit()
    assert window.stop.isEnabled()
    window.activateWindow()
    window.stop.setFocus()
    QTest.keyClick(window.stop, Qt.Key.Key_Space)
    assert not window.stop.isEnabled()
    assert window.status.text() == "Stopped."
    assert window.focusWidget() is window.sentences, "on to what was heard"


def test_from_the_button_that_was_pressed_one_comes_to_what_was_heard(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    """By way of Stop; whoever is in a field stays there."""
    window = bench.window
    window.bring.setFocus()
    bench.bring(tmp_path / "first.wav")
    assert window.focusWidget() is window.stop
    bench.answer(heard)
    assert window.focusWidget() is window.sentences
    window.begin.setFocus()
    bench.bring(tmp_path / "second.wav")
    assert window.focusWidget() is window.begin
    bench.answer(heard)
    assert window.focusWidget() is window.begin


def test_stop_is_there_while_a_recording_is_looked_at(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    assert not bench.window.stop.isEnabled()
    bench.bring(tmp_path / "none.wav")
    assert bench.window.stop.isEnabled()
    bench.window.stop.setFocus()
    bench.answer(None)
    assert bench.window.focusWidget() is bench.window.bring, "nothing is in the list yet"
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    assert not bench.window.stop.isEnabled()
    bench.bring(tmp_path / "unusable.wav")
    bench.answer(None)
    assert not bench.window.stop.isEnabled()


def test_one_sound_at_a_time(alone: Opened, tmp_path: Path) -> None:
    """Neither a place nor the guide after it comes into a loop, nor any of it into a recording."""
    window, sound = alone.window, rehearsed("the-rainy-walk", "L0", 7).sound
    window._told_in = write(sound, tmp_path / "phone", "wav")
    window._show_what_can_be_done()
    with alone.qtbot.waitSignal(window.sound.said, timeout=20_000):
        window.hear.click()
    assert window.sound._then.isActive()
    window.loop.click()
    assert not window.sound._then.isActive()
    window.sound._then.timeout.emit()
    assert window.sound._player._going.loops, "the loop goes on"
    window.hear.click()
    window.loop.click()
    assert not window.sound._decoding.busy
    window.record.click()
    assert window.take.running
    assert not window.sound.going, "nothing is recorded that the loudspeaker says"
    window.record.click()


def test_a_loop_is_silent_while_another_recording_is_looked_at(alone: Opened) -> None:
    alone.window.loop.click()
    alone.window.working.ask = lambda wish: None  # type: ignore[method-assign]
    alone.window.listen_to(Path("another.wav"))
    assert not alone.window.sound.going


@pytest.mark.parametrize(("share", "shown"), [(0.0, 0), (0.504, 50), (0.5051, 51), (1.0, 100)])
def test_how_far_it_is_in_hundredths(share: float, shown: int, bench: Bench) -> None:
    bench.window.working.progressed.emit(share)
    assert bench.window.progress.value() == shown
    assert (bench.window.progress.minimum(), bench.window.progress.maximum()) == (0, 100)


def test_a_second_rehearsal_is_told_of_the_story_as_it_is_then(
    bench: Bench, heard: Heard, tmp_path: Path
) -> None:
    bench.bring(tmp_path / "first.wav")
    bench.answer(heard)
    document = bench.opened.story.document
    document.edit("Title", evolve(document.story, title="Another walk"))
    bench.bring(tmp_path / "second.wav")
    assert bench.wishes[-1].story is document.story
    bench.answer(heard)
    bench.window.loop.click()
    bench.window.hear.click()
    assert bench.looped[-1][0] is document.story
    assert bench.told[-1][0] == tmp_path / "second.wav"


def test_no_microphone_stays_on_when_the_window_is_closed_while_it_records(bench: Bench) -> None:
    bench.window.record.click()
    assert bench.opened.microphone.on
    bench.window.close()
    assert not bench.opened.microphone.on
    assert not bench.window.take.running
