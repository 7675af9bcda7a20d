"""Recordings of lines: kept whole, with their words, and never lost."""

import errno
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve

from tapscore.exports.audio.encode import mp3_program
from tapscore.exports.audio.sound import Sound
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.exports.audio.voice.recordings import recorded_words
from tapscore.exports.audio.voice.telling import teller
from tapscore.model.story import Line, Section, Story
from tapscore.rehearsal.recording import look_into
from tapscore.rhythm.perform import perform
from tapscore.workflow import recording_lines
from tapscore.workflow.recording_lines import (
    EARLIER,
    LineToRecord,
    bring_in,
    keep_take,
    lines_to_record,
    take_away,
)
from tests.exports.audio.voice.voices import tone, write

RATE_HZ = 48_000


def story(*words: str) -> Story:
    return Story("Steps", sections=(Section("One", tuple(Line(each) for each in words)),))


def line(told: Story, folder: Path, number: int) -> LineToRecord:
    return lines_to_record(told, folder)[number - 1]


def files(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "Steps recordings"


def test_a_take_is_kept_as_wav_with_its_words(folder: Path) -> None:
    told = story("Up the steps", "down the hall")
    assert line(told, folder, 2).title == "Line 2"
    path = keep_take(folder, line(told, folder, 2), tone(1.0), RATE_HZ)
    assert files(folder) == ["02.wav", "words recorded.txt"]
    assert (folder / "words recorded.txt").read_text() == "02.wav\tdown the hall\n"
    samples, rate_hz = soundfile.read(path)
    assert rate_hz == RATE_HZ
    assert np.abs(samples - tone(1.0)).max() < 2 / 32768
    assert [each.file for each in lines_to_record(told, folder)] == [None, path]


def test_an_earlier_recording_is_put_aside_not_lost(folder: Path) -> None:
    told = story("Up the steps")
    for seconds in (1.0, 2.0, 3.0):
        keep_take(folder, line(told, folder, 1), tone(seconds), RATE_HZ)
    assert files(folder) == [
        "01.wav",
        f"{EARLIER}/01 (1).wav",
        f"{EARLIER}/01 (2).wav",
        "words recorded.txt",
    ]
    assert soundfile.info(folder / "01.wav").duration == 4.0
    assert soundfile.info(folder / EARLIER / "01 (1).wav").duration == 2.0


def test_recordings_stay_with_their_words_when_a_line_is_put_in_above(folder: Path) -> None:
    before = story("Up the steps", "down the hall")
    for number in (1, 2):
        keep_take(folder, line(before, folder, number), tone(float(number)), RATE_HZ)
    after = story("Come with me", "Up the steps", "Down, the hall!")
    found = lines_to_record(after, folder)
    assert [each.file and each.file.name for each in found] == [None, "01.wav", "02.wav"]
    new = keep_take(folder, found[0], tone(3.0), RATE_HZ)
    assert new.name == "01 (2).wav"
    found = lines_to_record(after, folder)
    assert [each.file and each.file.name for each in found] == ["01 (2).wav", "01.wav", "02.wav"]


def test_a_recording_of_other_words_is_not_used_and_said(folder: Path) -> None:
    keep_take(folder, line(story("Up the steps"), folder, 1), tone(1.0), RATE_HZ)
    changed = story("Up the mountain")
    now = line(changed, folder, 1)
    assert (now.file, now.other_words) == (None, "Up the steps")
    told = teller(perform(changed), None, folder)
    assert told.recorded == {}
    (said,) = [f.message for f in told.findings if f.code == "recording-other-words"]
    assert "01" in said
    assert "Up the steps" in said
    again = keep_take(folder, now, tone(2.0), RATE_HZ)
    assert line(changed, folder, 1).file == again
    assert list(teller(perform(changed), None, folder).recorded) == ["01"]


def test_the_same_words_twice_have_a_recording_each(folder: Path) -> None:
    told = story("Hush", "Hush")
    keep_take(folder, line(told, folder, 2), tone(2.0), RATE_HZ)
    assert [each.file is not None for each in lines_to_record(told, folder)] == [False, True]
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    found = [each.file and each.file.name for each in lines_to_record(told, folder)]
    assert found == ["01.wav", "02.wav"]


def test_a_file_is_brought_in_and_replaces_one_of_another_kind(
    folder: Path, tmp_path: Path
) -> None:
    told = story("Up the steps")
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    write(tmp_path / "phone.flac", tone(1.5, 8_000), 8_000)
    path, remarks = bring_in(folder, line(told, folder, 1), tmp_path / "phone.flac")
    assert path.name == "01.flac"
    assert any("telephone" in remark for remark in remarks)
    assert files(folder) == ["01.flac", f"{EARLIER}/01 (1).wav", "words recorded.txt"]
    assert (tmp_path / "phone.flac").exists()
    write(tmp_path / "empty.wav", np.zeros(9_000, np.float32), RATE_HZ)
    with pytest.raises(RecordingUnusable, match="silent"):
        bring_in(folder, line(told, folder, 1), tmp_path / "empty.wav")
    assert line(told, folder, 1).file == path


def test_taking_away_puts_aside(folder: Path) -> None:
    told = story("Up the steps")
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    aside = take_away(folder, line(told, folder, 1))
    assert aside == folder / EARLIER / "01 (1).wav"
    assert line(told, folder, 1).file is None
    assert (folder / "words recorded.txt").read_text() == ""


def test_where_nothing_can_be_written_all_stays_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = story("Up the steps")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(recording_lines, "write_whole", full)
        with pytest.raises(OSError, match="No space"):
            keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
        assert not folder.exists()
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    with monkeypatch.context() as patched:
        patched.setattr(recording_lines, "write_whole", full)
        with pytest.raises(OSError, match="No space"):
            keep_take(folder, line(told, folder, 1), tone(2.0), RATE_HZ)
    assert soundfile.info(folder / "01.wav").duration == 2.0
    assert files(folder) == ["01.wav", "words recorded.txt"]


def test_why_a_disc_takes_nothing_is_told(folder: Path) -> None:
    """A bound on files stands for a full disc; libsndfile alone says no more than an error."""
    resource = pytest.importorskip("resource")
    told = story("Up the steps")
    most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, most[1]))
    try:
        with pytest.raises(OSError, match="too large") as caught:
            keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, most)
    assert caught.value.errno == errno.EFBIG
    assert not folder.exists()


def test_a_name_that_no_file_may_have_is_written_otherwise(folder: Path) -> None:
    told = story("Up the steps")
    odd = evolve(line(told, folder, 1), name="who/what?")
    assert keep_take(folder, odd, tone(1.0), RATE_HZ).name == "who-what-.wav"
    assert line(told, folder, 1).file is not None


@pytest.mark.parametrize("ending", [".aiff", ".amr", ".wma", "", ".mp3.part"])
def test_what_is_brought_in_is_found_afterwards(folder: Path, tmp_path: Path, ending: str) -> None:
    told = story("Up the steps")
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    source = tmp_path / f"brought{ending}"
    if ending in (".aiff", "", ".mp3.part"):
        soundfile.write(source, tone(2.0), RATE_HZ, format="AIFF")
    else:
        _by_program(tone(2.0), source)
    path, _ = bring_in(folder, line(told, folder, 1), source)
    assert path.suffix == ".wav"
    assert line(told, folder, 1).file == path
    samples, rate_hz = soundfile.read(path)
    assert abs(len(samples) / rate_hz - len(tone(2.0)) / RATE_HZ) < 0.1
    assert "01 (1).wav" in {each.name for each in (folder / EARLIER).iterdir()}


def _by_program(sound: Sound, path: Path) -> None:
    wav = path.with_suffix(".wav")
    soundfile.write(wav, sound, RATE_HZ)
    rate = ["-ar", "8000", "-ac", "1"] if path.suffix == ".amr" else []
    made = subprocess.run(
        [mp3_program(), "-v", "error", "-i", wav, *rate, path], capture_output=True, check=False
    )
    if made.returncode:
        pytest.skip(f"this ffmpeg writes no {path.suffix}")


def test_a_list_of_other_files_is_no_recording(folder: Path, tmp_path: Path) -> None:
    told = story("Up the steps")
    soundfile.write(tmp_path / "secret.wav", tone(1.0), RATE_HZ)
    lists = {
        "a.wav": f"ffconcat version 1.0\nfile {tmp_path}/secret.wav\n",
        "b.mp3": f"#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:9,\nfile:{tmp_path}/secret.wav\n",
    }
    for name, text in lists.items():
        (tmp_path / name).write_text(text)
        with pytest.raises(RecordingUnusable):
            bring_in(folder, line(told, folder, 1), tmp_path / name)


def test_a_recording_that_may_not_be_read_is_not_called_broken(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "phone.wav"
    write(source, tone(1.0), RATE_HZ)

    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(RecordingUnusable, match="can't be read: the computer doesn't"):
        bring_in(folder, line(story("Up"), folder, 1), source)
    with pytest.raises(RecordingUnusable, match="can't be read: the computer doesn't"):
        look_into(source)


@pytest.mark.skipif(os.name != "posix", reason="named pipes as POSIX has them")
def test_a_pipe_is_no_recording(folder: Path, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.wav")
    with pytest.raises(RecordingUnusable, match="no file"):
        bring_in(folder, line(story("Up"), folder, 1), tmp_path / "pipe.wav")


def test_a_note_with_strange_bytes_is_kept(folder: Path) -> None:
    told = story("Up the steps")
    folder.mkdir()
    (folder / "words recorded.txt").write_bytes(b"\xff.wav\tsaid \xfe\n")
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    note = (folder / "words recorded.txt").read_bytes()
    assert note == b"01.wav\tUp the steps\n\xff.wav\tsaid \xfe\n"


def test_two_brought_in_at_the_same_moment_are_both_noted(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second waits until the first has noted its words: here, for as long as it sleeps."""
    told = story("Up the steps", "down the hall")
    keep_take(folder, line(told, folder, 1), tone(1.0), RATE_HZ)
    note = folder / "words recorded.txt"
    busy = folder / ".words recorded.txt.tapscore-busy"
    busy.touch()
    waited: list[float] = []

    def meanwhile(seconds: float) -> None:
        waited.append(seconds)
        note.write_text(note.read_text() + "another.wav\twhat another program noted\n")
        busy.unlink()

    monkeypatch.setattr("tapscore.disc.ours.time.sleep", meanwhile)
    keep_take(folder, line(told, folder, 2), tone(1.0), RATE_HZ)
    assert len(waited) == 1
    assert set(recorded_words(folder)) == {"01.wav", "02.wav", "another.wav"}
    assert not busy.exists()


def test_two_takes_of_a_line_at_the_same_moment_are_both_kept(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = story("Up the steps")
    not_recorded = line(told, folder, 1)
    busy = folder.with_name(f".{folder.name}.tapscore-busy")
    busy.touch()

    def meanwhile(_: float) -> None:
        folder.mkdir()
        (folder / "01.wav").write_bytes(b"what another program recorded")
        busy.unlink()

    monkeypatch.setattr("tapscore.disc.ours.time.sleep", meanwhile)
    keep_take(folder, not_recorded, tone(1.0), RATE_HZ)
    assert files(folder) == ["01 (2).wav", "01.wav", "words recorded.txt"]
    assert (folder / "01.wav").read_bytes() == b"what another program recorded"
    assert not busy.exists()


def test_what_a_killed_program_left_is_waited_for_only_so_long(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder.mkdir()
    (folder / ".words recorded.txt.tapscore-busy").touch()
    waited: list[float] = []
    monkeypatch.setattr("tapscore.disc.ours.time.sleep", waited.append)
    keep_take(folder, line(story("Up the steps"), folder, 1), tone(1.0), RATE_HZ)
    assert 1 < sum(waited) < 10
    assert sorted(each.name for each in folder.iterdir()) == ["01.wav", "words recorded.txt"]
