"""Takes, rehearsals and touches at their limits, worked out by hand with a clock of the test's."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.listening.player import PlayerState
from tapscore.gui.listening.practising import Practising
from tapscore.gui.listening_back.keeping import Keeping
from tapscore.gui.listening_back.place_sound import PlaceSound
from tapscore.gui.listening_back.take import (
    LONGEST_SEC,
    NO_ROOM,
    TOO_LONG,
    WENT_AWAY,
    RehearsalTake,
)
from tapscore.gui.recording.hearing import Hearing
from tapscore.gui.recording.line_recordings import LineRecordings
from tapscore.gui.recording.recorder import RecorderState
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import Going, Passage, passage_from
from tapscore.workflow.recording_lines import LineToRecord
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut, story_of
from tests.gui.recording.fake_microphone import RATE_HZ, FakeMicrophone
from tests.gui.recording.test_recorder import Desk

pytestmark = pytest.mark.usefixtures("qapp")


# --- one line


@pytest.fixture
def desk(qtbot: QtBot) -> Desk:
    return Desk()


def test_a_take_wakes_when_the_key_s_noise_is_over(desk: Desk) -> None:
    """0.15 s of sound at 16 kHz are 2,400 frames."""
    desk.start()
    desk.hear(2400 / RATE_HZ)
    assert desk.state() is RecorderState.WAKING
    desk.hear(1 / RATE_HZ)
    assert desk.state() is RecorderState.RECORDING


@pytest.mark.parametrize(
    ("silent_sec", "woken", "ended"),
    [(4.9, False, False), (5.1, False, True), (1.1, True, False), (1.3, True, True)],
)
def test_how_long_a_microphone_is_waited_for(
    silent_sec: float, woken: bool, ended: bool, desk: Desk
) -> None:
    desk.start()
    if woken:
        desk.hear(0.5)
    desk.silence(silent_sec)
    assert (desk.state() is RecorderState.STILL) is ended
    assert len(desk.takes) == ended


def test_the_last_piece_is_waited_for_six_tenths_of_a_second(desk: Desk) -> None:
    desk.start()
    desk.hear(1.0)
    desk.sec += 0.3
    desk.recorder.stop()
    desk.silence(0.2)
    assert desk.state() is RecorderState.ENDING
    desk.silence(0.2)
    assert desk.state() is RecorderState.STILL


def test_a_take_fades_in_and_out_by_a_twentieth_of_a_second(desk: Desk) -> None:
    """0.15 s are cut off at both ends; a third of that, 0.05 s or 800 frames, is faded."""
    desk.start()
    desk.hear(1.0)
    desk.recorder.stop()
    ((sound, _, _),) = desk.takes
    assert len(sound) == round((1.0 - 0.3) * RATE_HZ)
    assert sound[0] == sound[-1] == 0.0
    assert sound[799] == pytest.approx(0.5)
    assert sound[400] == pytest.approx(0.25, abs=0.001)
    assert sound[-401] == pytest.approx(0.25, abs=0.001)
    assert (sound[800:-800] == 0.5).all()


def test_a_take_shorter_than_its_keys_is_empty_and_breaks_nothing(desk: Desk) -> None:
    desk.start()
    desk.hear(0.2)
    desk.recorder.stop()
    ((sound, _, why),) = desk.takes
    assert (len(sound), why) == (0, "")


def test_a_take_shorter_than_both_fades_fades_by_its_halves(desk: Desk) -> None:
    """0.32 s are 0.02 s without the keys: 320 frames, 160 of each fade."""
    desk.start()
    desk.hear(0.32)
    desk.recorder.stop()
    ((sound, _, _),) = desk.takes
    assert len(sound) == 320
    assert sound[0] == sound[-1] == 0.0
    assert sound[80] == pytest.approx(0.25, abs=0.01)
    assert sound[-81] == pytest.approx(0.25, abs=0.01)


def test_loud_moments_are_shown_at_most_as_full(desk: Desk) -> None:
    desk.start()
    desk.hear(0.1, -3.0)
    desk.hear(0.1, 0.25)
    assert desk.levels == [1.0, 0.25]
    desk.recorder.stop_now()
    assert desk.levels[-1] == 0.0


def test_what_comes_with_the_end_is_taken_too(desk: Desk) -> None:
    desk.start()
    desk.hear(1.0)
    desk.microphone.hear(np.full(RATE_HZ, 0.5, np.float32))
    desk.recorder.stop_now()
    ((sound, _, _),) = desk.takes
    assert len(sound) == round(1.7 * RATE_HZ)
    desk.recorder.stop_now()
    assert len(desk.takes) == 1, "it is still"
    desk.start()
    desk.hear(0.5)
    desk.recorder.stop()
    assert len(desk.takes[1][0]) == round(0.2 * RATE_HZ), "nothing of the take before"


# --- a whole rehearsal


class Rehearsal:
    """A recorder of rehearsals whose clock and microphone the test moves on."""

    def __init__(self) -> None:
        self.sec = 10.0
        self.microphone = FakeMicrophone("Headset")
        self.take = RehearsalTake(self.microphone, clock=lambda: self.sec)
        self.ended: list[tuple[Path | None, str]] = []
        self.levels: list[float] = []
        self.take.ended.connect(lambda path, why: self.ended.append((path, why)))
        self.take.levelled.connect(self.levels.append)

    def start(self) -> str:
        problem = self.take.start("Headset")
        self.take._timer.stop()
        return problem

    def hear(self, seconds: float, value: float = 0.5) -> None:
        self.sec += seconds
        self.microphone.hear(np.full(round(seconds * RATE_HZ), value, np.float32))
        self.take.read()


@pytest.fixture
def rehearsal(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Rehearsal:
    monkeypatch.setattr(FakeMicrophone, "rate_hz", RATE_HZ, raising=False)
    return Rehearsal()


def test_a_rehearsal_is_written_as_it_is_heard(rehearsal: Rehearsal) -> None:
    assert rehearsal.start() == ""
    assert rehearsal.take.running
    rehearsal.hear(1.0)
    rehearsal.hear(0.5, -0.25)
    assert rehearsal.take.length_sec == 1.5
    assert rehearsal.levels == [0.5, 0.25]
    rehearsal.microphone.hear(np.full(RATE_HZ // 2, 0.5, np.float32))
    rehearsal.take.stop()
    ((path, why),) = rehearsal.ended
    assert why == ""
    assert path is not None
    assert soundfile.info(path).duration == 2.0
    assert rehearsal.levels[-1] == 0.0
    assert not rehearsal.microphone.on
    assert not rehearsal.take.running
    rehearsal.take.forget()
    assert not path.exists()
    assert not path.parent.exists()


def test_a_rehearsal_without_sound_is_none(rehearsal: Rehearsal) -> None:
    rehearsal.start()
    rehearsal.take.stop()
    assert rehearsal.ended == [(None, "")]
    rehearsal.take.stop()
    assert len(rehearsal.ended) == 1


@pytest.mark.parametrize(
    ("silent_sec", "heard", "why"),
    [(4.9, False, None), (5.1, False, WENT_AWAY), (1.1, True, None), (1.3, True, WENT_AWAY)],
)
def test_how_long_a_rehearsal_waits_for_its_microphone(
    silent_sec: float, heard: bool, why: str | None, rehearsal: Rehearsal
) -> None:
    rehearsal.start()
    if heard:
        rehearsal.hear(0.5)
    rehearsal.sec += silent_sec
    rehearsal.take.read()
    assert [each for _, each in rehearsal.ended] == ([why] if why else [])
    rehearsal.take.forget()


def test_a_rehearsal_ends_after_an_hour_and_when_its_microphone_goes(
    rehearsal: Rehearsal, monkeypatch: pytest.MonkeyPatch
) -> None:
    rehearsal.start()
    rehearsal.hear(0.1)
    rehearsal.take._frames = round(LONGEST_SEC * RATE_HZ) - 1
    rehearsal.take.read()
    assert rehearsal.ended == []
    rehearsal.take._frames += 1
    rehearsal.take.read()
    assert rehearsal.ended[0][1] == TOO_LONG
    rehearsal.start()
    rehearsal.hear(0.1)
    rehearsal.microphone.gone = True
    rehearsal.take.read()
    assert rehearsal.ended[1][1] == WENT_AWAY
    rehearsal.take.forget()


def test_a_full_disc_is_told_and_what_was_written_stays(
    rehearsal: Rehearsal, monkeypatch: pytest.MonkeyPatch
) -> None:
    rehearsal.start()
    rehearsal.hear(0.5)

    def full(_: object) -> None:
        raise OSError(28, "full")

    rehearsal.take._file = SimpleNamespace(
        write=full, close=rehearsal.take._file.close, name=rehearsal.take._file.name
    )
    rehearsal.hear(0.5)
    ((path, why),) = rehearsal.ended
    assert why == NO_ROOM
    assert path is not None
    assert soundfile.info(path).duration == 0.5
    rehearsal.take.forget()
    monkeypatch.setattr(soundfile, "SoundFile", lambda *_, **__: full(None))
    assert rehearsal.start() == NO_ROOM
    assert not rehearsal.microphone.on
    assert not rehearsal.take.running


def test_a_microphone_that_refuses_begins_nothing(rehearsal: Rehearsal) -> None:
    rehearsal.microphone.refuses = "It is busy."
    assert rehearsal.start() == "It is busy."
    assert not rehearsal.take.running


def test_a_new_rehearsal_takes_the_last_one_s_file_away(rehearsal: Rehearsal) -> None:
    rehearsal.start()
    rehearsal.hear(0.5)
    rehearsal.take.stop()
    rehearsal.start()
    ((path, _),) = rehearsal.ended
    assert path is not None
    assert not path.exists()
    assert rehearsal.take.length_sec == 0.0
    rehearsal.take.forget()


# --- what is kept of it


def test_a_recording_or_a_text_is_kept_where_asked(tmp_path: Path) -> None:
    answers, said = Answers(), list[str]()
    window: Any = None
    keeping = Keeping(window, answers, lambda: tmp_path, said.append)
    (tmp_path / "source.wav").write_bytes(b"sound")
    answers.files = [None, tmp_path / "kept.wav", tmp_path / "nowhere" / "kept.wav"]
    for _ in range(3):
        keeping.recording(tmp_path / "source.wav")
    assert (tmp_path / "kept.wav").read_bytes() == b"sound"
    assert said == ["The recording is kept as kept.wav."]
    assert len(answers.told) == 1
    assert answers.told[0].startswith("kept.wav was not kept.")
    answers.files = [None, tmp_path / "said.txt", tmp_path / "nowhere" / "said.txt"]
    for _ in range(3):
        keeping.text("Ärger")
    assert (tmp_path / "said.txt").read_text("utf-8") == "Ärger"
    assert said[1:] == ["Saved as said.txt, without names."]
    assert answers.told[1].startswith("said.txt was not saved.")


# --- what is heard of it


@pytest.fixture
def out() -> QuietOut:
    return QuietOut(HandClock())


def test_a_place_is_heard_with_a_little_round_it_and_then_as_it_is_written(
    qtbot: QtBot, out: QuietOut, tmp_path: Path
) -> None:
    """0.6 s before and after, brought to 0.8 of full scale; the guide 0.7 s later."""
    t = np.arange(5 * 48_000)
    sound = np.where((t >= 48_000) & (t < 4 * 48_000), 0.25, 0.0)
    soundfile.write(tmp_path / "r.wav", sound, 48_000)
    told: list[str] = []
    parent = QWidget()
    qtbot.addWidget(parent)
    place = PlaceSound(out, parent)
    place.said.connect(told.append)
    place.told(tmp_path / "r.wav", 1.5, 3.0, (story_of(), 0))
    qtbot.waitUntil(lambda: bool(told), timeout=20_000)
    assert told == ["As it was told; then as it is written."]
    heard = out.given[0].first
    assert len(heard) / 48_000 == pytest.approx(1.5 + 2 * 0.6, abs=0.01)
    assert np.abs(heard).max() == pytest.approx(0.8 * 32_767, rel=0.01)
    assert place._then.isActive()
    assert place._then.interval() == pytest.approx(2700 + 700, abs=15)
    place._then.stop()
    place._written()
    assert told[-1] == "As it is written."
    place.loop(story_of(), 0)
    assert told[-1] == "Round and round, as it is written. Stop ends it."
    place.stop()
    place._written()
    assert len(told) == 3, "nothing is to be heard any more"
    place.told(tmp_path / "none.wav", 0.0, 1.0, (story_of(), 0))
    qtbot.waitUntil(lambda: len(told) == 4, timeout=20_000)
    assert "none.wav" in told[-1]
    assert not place._then.isActive()
    place.shut()


def test_a_recording_of_a_line_is_heard_or_why_not(
    qtbot: QtBot, out: QuietOut, tmp_path: Path
) -> None:
    told: list[str] = []
    parent = QWidget()
    qtbot.addWidget(parent)
    hearing = Hearing(story_of(), out, parent)
    hearing.said.connect(told.append)

    def line(file: Path | None) -> LineToRecord:
        made: Any = SimpleNamespace(file=file, title="Line 1", name="01")
        return made  # type: ignore[no-any-return]

    hearing.recording(line(None))
    assert told == ["Line 1 is not recorded yet."]
    (tmp_path / "bad.wav").write_bytes(b"no sound")
    hearing.recording(line(tmp_path / "bad.wav"))
    qtbot.waitUntil(lambda: len(told) == 2, timeout=20_000)
    assert "bad.wav" in told[1]
    assert out.given == []
    hearing.rhythm(line(None))
    states = [hearing._player.state]
    hearing.stop()
    states.append(hearing._player.state)
    assert [state is PlayerState.STILL for state in states] == [False, True]
    hearing.shut()


# --- tapping along


class Playing:
    """A player that is where the test says."""

    def __init__(self, passage: Passage) -> None:
        self.state = PlayerState.PLAYING
        self.passage: Passage | None = passage
        self.performance = perform(story_of())
        self.now: tuple[float, int] | None = (0.0, 0)

    def performed(self) -> tuple[float, int] | None:
        return self.now


@pytest.fixture
def along() -> tuple[Playing, Practising]:
    """The first line over and over: taps at 0, 0.5, 1 and 1.5 s of two seconds."""
    passage = passage_from(perform(story_of()), Going((0,), loops=True), 0, count_in=False)
    assert passage is not None
    player: Any = Playing(passage)
    made = Practising(player)
    made.begin("beater")
    made.look()
    return player, made


def touch_at(along: tuple[Playing, Practising], *moments: tuple[float, int]) -> None:
    player, practising = along
    for moment in moments:
        player.now = moment
        practising.touch()


def said_at(along: tuple[Playing, Practising], sec: float, time: int) -> str:
    along[0].now = (sec, time)
    return along[1].look()


EVEN = ((0.0, 0), (0.5, 0), (1.0, 0), (1.5, 0))


def test_each_time_round_is_told_once(along: tuple[Playing, Practising]) -> None:
    assert said_at(along, 0.3, 0) == ""
    touch_at(along, *EVEN)
    first = said_at(along, 0.1, 1)
    assert first != ""
    assert said_at(along, 0.4, 1) == ""
    assert said_at(along, 0.1, 2) != first, "nothing was tapped the second time"


def test_a_touch_just_before_the_turn_is_the_next_time_s_first(
    along: tuple[Playing, Practising],
) -> None:
    """0.15 s before the end it is meant for the next beginning."""
    touch_at(along, *EVEN, (1.86, 0))
    even = said_at(along, 0.1, 1)
    touch_at(along, (0.5, 1), (1.0, 1), (1.5, 1))
    assert said_at(along, 0.1, 2) == even, "four in time again"
    touch_at(along, (1.84, 2), (1.86, 2))
    _, practising = along
    assert practising._touches == [1.84]
    assert practising._for_next == pytest.approx([-0.14])


def test_a_touch_after_the_turn_before_it_is_looked_at_counts_for_the_next(
    along: tuple[Playing, Practising],
) -> None:
    touch_at(along, *EVEN, (0.0, 1))
    even = said_at(along, 0.1, 1)
    touch_at(along, (0.5, 1), (1.0, 1), (1.5, 1))
    assert said_at(along, 0.1, 2) == even


def test_at_the_end_it_is_told_and_forgotten(along: tuple[Playing, Practising]) -> None:
    player, practising = along
    touch_at(along, *EVEN)
    player.state = PlayerState.STILL
    assert practising.look() != ""
    assert practising.look() == ""
    practising.touch()
    assert practising.look() == "", "nothing plays: a touch is none"


def test_a_take_replaces_what_was_brought_in_while_it_was_said(tmp_path: Path) -> None:
    """A line has one recording: what is said belongs to the line as it is when it is kept."""
    folder = tmp_path / "recordings"
    recordings = LineRecordings(story_of(), folder)
    line = recordings.lines[0]
    source = tmp_path / "phone.flac"
    soundfile.write(source, np.full(RATE_HZ, 0.2), RATE_HZ)
    assert recordings.bring_in(line, source).startswith("Brought in as ")
    (brought,) = folder.glob("*.flac")
    assert recordings.take(line, np.full(2 * RATE_HZ, 0.3, np.float32), RATE_HZ).startswith("Kept")
    assert list(folder.glob("*.flac")) == []
    assert [path.stem for path in folder.glob("*.wav")] == [brought.stem]
    assert recordings.lines[0].file == brought.with_suffix(".wav")
    assert recordings.unkept is None


def test_a_line_that_another_program_recorded_meanwhile_has_one_recording_still(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "recordings"
    one, other = (LineRecordings(story_of(), folder) for _ in range(2))
    line = one.lines[0]
    one.take(line, np.full(RATE_HZ, 0.2, np.float32), RATE_HZ)
    other.take(line, np.full(2 * RATE_HZ, 0.3, np.float32), RATE_HZ)
    kept = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.wav"))
    assert kept == ["01.wav", "earlier/01 (1).wav"]
    assert soundfile.info(folder / "01.wav").duration == 2.0, "the later one counts"
    one.look()
    assert one.lines[0].file == folder / "01.wav"
