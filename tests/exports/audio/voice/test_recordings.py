"""The teacher's own recordings: found, decoded, and what is wrong said plainly."""

import subprocess
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.encode import EncoderMissing, mp3_program
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, frames
from tapscore.exports.audio.voice import decode
from tapscore.exports.audio.voice.decode import RecordingUnusable, read_recording
from tapscore.exports.audio.voice.feet import feet
from tapscore.exports.audio.voice.line_names import line_names
from tapscore.exports.audio.voice.recorded import placed_recording
from tapscore.exports.audio.voice.recordings import find_recordings
from tapscore.exports.audio.voice.shaping import beat_frame
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file
from tests.exports.audio.audio_stories import lane, story
from tests.exports.audio.voice.voices import rise_after_sec, tone, write


def _ffmpeg(*words: str) -> None:
    subprocess.run([mp3_program(), "-v", "error", "-y", *words], check=True)


def test_lines_are_named_by_number_or_by_refrain(demo_path: Path) -> None:
    told = read_file(demo_path).story
    assert told is not None
    names = list(line_names(perform(told)).values())
    assert names[:4] == ["01", "02", "row home 1", "row home 2"]
    assert len(set(names)) == len(names)


def test_files_are_matched_as_people_name_them(tmp_path: Path) -> None:
    for name in ("3.wav", "Row_Home-1.MP3", "04 copy.wav", "notes.txt", ".05.wav"):
        (tmp_path / name).write_bytes(b"")
    found = find_recordings(tmp_path, dict.fromkeys(("03", "row home 1", "04", "05"), "la"))
    assert {name: path.name for name, path in found.files.items()} == {
        "03": "3.wav",
        "row home 1": "Row_Home-1.MP3",
    }
    assert found.missing == ("04", "05")
    assert found.unmatched == ("04 copy.wav",)
    nothing = find_recordings(tmp_path / "none", {"01": "la"})
    assert (nothing.files, nothing.missing) == ({}, ("01",))


@pytest.mark.parametrize("suffix", ["wav", "mp3", "m4a", "ogg", "flac"])
def test_every_format_is_read_trimmed_and_levelled(suffix: str, tmp_path: Path) -> None:
    """Made by ffmpeg; loudness measured by pyloudnorm (ITU-R BS.1770)."""
    import pyloudnorm  # type: ignore[import-untyped]

    write(tmp_path / "a.wav", tone(1.5, 44_100, 0.08), 44_100)
    path = tmp_path / f"01.{suffix}"
    _ffmpeg("-i", str(tmp_path / "a.wav"), str(path))
    got = read_recording(path)
    assert len(got.sound) / SAMPLE_RATE_HZ == pytest.approx(1.5, abs=0.12)
    spectrum = np.abs(np.fft.rfft(got.sound))
    assert spectrum.argmax() * SAMPLE_RATE_HZ / len(got.sound) == pytest.approx(220, abs=2)
    loudness = pyloudnorm.Meter(SAMPLE_RATE_HZ).integrated_loudness(got.sound.astype(np.float64))
    assert loudness == pytest.approx(-12, abs=0.3)
    assert got.remarks == ()


@pytest.mark.parametrize(
    ("rate_hz", "subtype", "channels"),
    [
        *[(8_000, "PCM_16", 1), (96_000, "PCM_24", 2), (48_000, "PCM_24", 1)],
        *[(44_100, "FLOAT", 2), (11_025, "PCM_U8", 1)],
    ],
)
def test_other_rates_and_depths(rate_hz: int, subtype: str, channels: int, tmp_path: Path) -> None:
    sound = tone(1.0, rate_hz)
    write(tmp_path / "01.wav", np.stack([sound] * channels, axis=1), rate_hz, subtype)
    got = read_recording(tmp_path / "01.wav")
    assert len(got.sound) / SAMPLE_RATE_HZ == pytest.approx(1.0, abs=0.08)
    assert bool(got.remarks) is (rate_hz < 16_000)
    assert all("telephone" in remark for remark in got.remarks)


def test_a_telephone_recording_in_a_compressed_file_is_told(tmp_path: Path) -> None:
    write(tmp_path / "a.wav", tone(1.0, 8_000), 8_000)
    _ffmpeg("-i", str(tmp_path / "a.wav"), str(tmp_path / "01.m4a"))
    assert "telephone (8 kHz)" in read_recording(tmp_path / "01.m4a").remarks[0]


def test_channels_that_cancel_are_not_lost(tmp_path: Path) -> None:
    sound = tone(1.0)
    write(tmp_path / "01.wav", np.stack([sound, -sound], axis=1), 48_000)
    assert np.abs(read_recording(tmp_path / "01.wav").sound).max() > 0.1


def test_a_video_gives_its_sound_and_says_so(tmp_path: Path) -> None:
    write(tmp_path / "a.wav", tone(1.0), 48_000)
    picture = ["-f", "lavfi", "-i", "color=red:size=64x64:duration=2"]
    _ffmpeg(*picture, "-i", str(tmp_path / "a.wav"), "-shortest", str(tmp_path / "01.mp4"))
    got = read_recording(tmp_path / "01.mp4")
    assert "is a video; only its sound" in got.remarks[0]
    assert len(got.sound) / SAMPLE_RATE_HZ == pytest.approx(1.0, abs=0.1)
    _ffmpeg(*picture, str(tmp_path / "02.mp4"))
    with pytest.raises(RecordingUnusable, match="a video without sound"):
        read_recording(tmp_path / "02.mp4")


def test_what_cannot_be_used_says_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "01.wav").write_bytes(b"RIFF\0\0\0\0WAVEnothing more")
    (tmp_path / "02.mp3").write_bytes(bytes(range(256)) * 9)
    (tmp_path / "03.wav").write_bytes(b"")
    write(tmp_path / "04.wav", np.zeros(48_000, np.float32), 48_000)
    write(tmp_path / "05.wav", np.full(48_000, np.nan, np.float32), 48_000, "FLOAT")
    wanted = ["broken", "broken", "empty", "silent", "damaged"]
    for count, match in enumerate(wanted, 1):
        (path,) = tmp_path.glob(f"0{count}.*")
        with pytest.raises(RecordingUnusable, match=match) as caught:
            read_recording(path)
        assert path.name in str(caught.value)
        assert str(tmp_path) not in str(caught.value)
    with pytest.raises(RecordingUnusable, match="can't be read"):
        read_recording(tmp_path / "none.wav")


def test_without_ffmpeg_m4a_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing() -> str:
        raise EncoderMissing

    monkeypatch.setattr(decode, "mp3_program", missing)
    (tmp_path / "01.m4a").write_bytes(b"some")
    with pytest.raises(RecordingUnusable, match="Save the recording as WAV"):
        read_recording(tmp_path / "01.m4a")


def test_overloaded_and_long_recordings_are_told(tmp_path: Path) -> None:
    write(tmp_path / "01.wav", np.clip(tone(1.0) * 9, -1, 1), 48_000)
    assert "overloaded" in read_recording(tmp_path / "01.wav").remarks[0]
    write(tmp_path / "02.wav", tone(125.0, 16_000), 16_000)
    got = read_recording(tmp_path / "02.wav")
    assert "longer than 120" in got.remarks[0]
    assert len(got.sound) <= 120 * SAMPLE_RATE_HZ


@pytest.mark.parametrize("speed", [Fraction(1), Fraction(3, 4), Fraction(1, 2)])
@pytest.mark.parametrize("length_sec", [0.4, 3.0, 9.0])
def test_a_recording_begins_on_its_tap_and_is_stretched_as_far_as_is_kind(
    speed: Fraction, length_sec: float
) -> None:
    told = story(Line("Out on the wa-ter far", lane("xxxxxxx.")), tempo=Tempo(Fraction(60) * speed))
    (line,) = perform(told, count_in_bars=1).lines
    sound = tone(length_sec)[24_000:-24_000]
    placed = placed_recording(line, sound, speed)
    assert placed is not None
    begin = (placed.start_frame + beat_frame(placed.sound)) / SAMPLE_RATE_HZ
    assert begin == pytest.approx(line.syllables[0].onset_sec, abs=0.001)
    ratio = len(placed.sound) / len(sound) * float(speed)
    assert 0.79 < ratio < 1.36
    if length_sec == 3.0:
        last = line.syllables[-1]
        end = begin + len(placed.sound) / SAMPLE_RATE_HZ
        assert end == pytest.approx(last.onset_sec + last.length_sec, abs=0.3)


def test_a_pause_between_parts_is_not_taken_for_their_beginning() -> None:
    told = story(
        Line("Row the lan-tern row the lan-tern", lane("X.xX.x", "X.xX.x")),
        metre=Metre(6, 8),
        tempo=Tempo(Fraction(54)),
    )
    (line,) = perform(told, count_in_bars=1).lines
    hum = tone(0.5)[24_000:-24_000]
    pause = np.zeros(frames(0.45), np.float32)
    parts = feet(line)
    sound = np.concatenate([np.concatenate([pause, hum]) for _ in parts])[len(pause) :]
    starts = [0, *(i * (len(hum) + len(pause)) - len(pause) for i in range(1, len(parts)))]
    placed = placed_recording(line, sound, Fraction(1), tuple(starts))
    assert placed is not None
    for foot in parts:
        at = frames(foot.start_sec) - placed.start_frame
        assert abs(rise_after_sec(placed.sound, at)) < 0.03
