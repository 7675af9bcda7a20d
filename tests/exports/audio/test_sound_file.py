"""Files written without ffmpeg hold what was given, and nothing louder."""

import base64
import errno
import struct
import subprocess
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from PIL import Image

from tapscore.exports.audio import sound_file
from tapscore.exports.audio.encode import (
    AudioFormat,
    EncoderMissing,
    lossy,
    mp3_program,
    to_frames,
)
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.tags import Chapter, Tags

AMPLITUDE = 3000


@pytest.mark.parametrize("audio_format", ["mp3", "ogg", "flac", "wav"])
def test_without_ffmpeg_silence_is_silent_and_a_tone_as_loud_as_it_was(
    audio_format: AudioFormat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_file, "program_or_none", lambda: None)
    at = np.arange(SAMPLE_RATE_HZ) / SAMPLE_RATE_HZ
    frames = np.zeros((2 * SAMPLE_RATE_HZ, 2), np.int16)
    frames[SAMPLE_RATE_HZ:] = (AMPLITUDE * np.sin(2 * np.pi * 440 * at))[:, None]
    path = tmp_path / f"tone.{audio_format}"
    with sound_file.open_sound_file(path, audio_format, Tags(title="Tone", story="Mill")) as write:
        for start in range(0, len(frames), 4800):
            write(frames[start : start + 4800])
    heard, rate_hz = soundfile.read(path)
    assert rate_hz == SAMPLE_RATE_HZ
    assert len(heard) == pytest.approx(len(frames), abs=2400)
    silence, tone = heard[: SAMPLE_RATE_HZ // 2], heard[SAMPLE_RATE_HZ * 5 // 4 : -4800]
    assert np.abs(silence).max() < 0.001
    assert np.abs(heard).max() < 1.2 * AMPLITUDE / 32768
    # the mean square of a sine is half the square of its amplitude
    assert np.sqrt((tone**2).mean()) == pytest.approx(AMPLITUDE / 32768 / 2**0.5, rel=0.02)


def _png(width: int, height: int) -> bytes:
    out = BytesIO()
    Image.new("RGB", (width, height), "teal").save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize("audio_format", ["mp3", "m4a", "ogg", "flac"])
def test_a_file_tells_what_it_is_with_its_chapters_and_picture(
    audio_format: AudioFormat, tmp_path: Path
) -> None:
    """As ffmpeg reads them back."""
    told = Tags(
        title="At the mill",
        story="The Mill",
        role="drum",
        track=3,
        chapters=(Chapter(0.0, 0.5, "The door"), Chapter(0.5, 1.0, "The wheel; home")),
        cover_png=_png(40, 30),
    )
    path = tmp_path / f"mill.{audio_format}"
    with sound_file.open_sound_file(path, audio_format, told) as write:
        write(np.full((SAMPLE_RATE_HZ, 2), 300, np.int16))
    where = ["-map_metadata", "0:s:0"] if audio_format == "ogg" else []  # Ogg tells it of a stream
    run = [mp3_program(), "-hide_banner", "-i", str(path), *where, "-f", "ffmetadata", "-"]
    done = subprocess.run(run, capture_output=True, text=True, check=True)
    said = done.stdout.replace("\\", "")
    for tag in ("title=At the mill", "album=The Mill", "artist=drum", "track=3"):
        assert tag.casefold() in said.casefold()
    assert said.count("[CHAPTER]") == 2
    assert said.index("title=The door") < said.index("title=The wheel; home")
    assert "Video: png" in done.stderr
    assert "40x30" in done.stderr


@pytest.mark.parametrize("reads", [True, False])
@pytest.mark.parametrize(
    ("says", "code", "told"),
    [
        ("av_interleaved_write_frame(): No space left on device", errno.ENOSPC, "the disc is full"),
        ("Conversion failed!", None, r"ffmpeg could not write mill\.mp3\. .* else choose WAV\."),
    ],
)
def test_a_program_that_breaks_off_is_told(
    reads: bool,
    says: str,
    code: int | None,
    told: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """While it is written to, and when all is written."""
    program = tmp_path / "ffmpeg"
    first = "cat > /dev/null" if reads else "exec < /dev/null"
    program.write_text(f"#!/bin/sh\n{first}\necho '{says}' >&2\nexit 1\n")
    program.chmod(0o755)
    monkeypatch.setattr(sound_file, "program_or_none", lambda: str(program))
    written: list[bool] = []

    def make() -> None:
        with sound_file.open_sound_file(tmp_path / "mill.mp3", "mp3", Tags("t", "s")) as write:
            write(np.zeros((1_000_000, 2), np.int16))
            written.append(True)

    with pytest.raises(OSError, match=told) as caught:
        make()
    assert caught.value.errno == code
    assert bool(written) is reads


def test_the_block_of_a_cover_in_vorbis_comments() -> None:
    """RFC 9639, 8.8: type, media type, description, width, height, depth, colours, data."""
    png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", 0x12345, 0x2A7) + b"and the rest"
    block = base64.b64decode(sound_file._picture_block(png).replace("\\", ""))
    wanted = struct.pack(
        ">II9sI5s5I", 3, 9, b"image/png", 5, b"Cover", 0x12345, 0x2A7, 24, 0, len(png)
    )
    assert block == wanted + png


def test_frames_of_sixteen_bits() -> None:
    """The highest is 32,767 on either side; what is beyond it is there, and nothing turns over."""
    block = np.array([[1.0, -1.0, 0.5, 2.0], [0.0, 1e-5, -0.5, -2.0]], np.float32)
    assert to_frames(block, 1.0).tolist() == [
        *([32_767, 0], [-32_767, 0], [16_384, -16_384], [32_767, -32_767]),
    ]
    assert to_frames(block, 0.5)[0].tolist() == [16_384, 0]
    assert to_frames(block, 1.0).dtype == np.int16


def test_which_formats_lose_something_and_which_need_the_program(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kinds: tuple[AudioFormat, ...] = ("wav", "mp3", "m4a", "ogg", "flac")
    assert [kind for kind in kinds if lossy(kind)] == ["mp3", "m4a", "ogg"]
    assert not any(list(sound_file.without_program(kind)) for kind in kinds)

    def missing() -> str:
        raise EncoderMissing

    monkeypatch.setattr(sound_file, "mp3_program", missing)
    said = {kind: [each.code for each in sound_file.without_program(kind)] for kind in kinds}
    assert said == {"wav": []} | {kind: ["encoder-missing"] for kind in kinds[1:]}
    for kind in kinds:
        if kind != "m4a":
            sound_file.look_for_program(kind)
    with pytest.raises(EncoderMissing, match="M4A"):
        sound_file.look_for_program("m4a")


@pytest.mark.parametrize("audio_format", ["wav", "mp3", "ogg", "flac"])
def test_what_a_file_without_ffmpeg_says_of_itself(
    audio_format: AudioFormat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_file, "program_or_none", lambda: None)
    for role, artist in (("drum", "drum"), ("", "tapscore")):
        path = tmp_path / f"mill {artist}.{audio_format}"
        told = Tags(title="At\nthe mill", story="The Mill", role=role)
        with sound_file.open_sound_file(path, audio_format, told) as write:
            write(np.zeros((4800, 2), np.int16))
        with soundfile.SoundFile(path) as file:
            assert (file.title, file.album, file.artist) == ("At the mill", "The Mill", artist)
            assert (file.samplerate, file.channels) == (48_000, 2)


@pytest.mark.parametrize("audio_format", ["wav", "mp3", "ogg", "flac"])
def test_a_story_without_a_title_has_files_too(
    audio_format: AudioFormat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_file, "program_or_none", lambda: None)
    with (
        (tmp_path / "x").open("wb") as out,
        sound_file.written_into(out, audio_format, Tags("", "")) as write,
    ):
        write(np.zeros((4800, 2), np.int16))
    with soundfile.SoundFile(tmp_path / "x") as file:
        assert (file.title, file.album, file.artist) == ("", "", "tapscore")


@pytest.mark.parametrize("audio_format", ["wav", "mp3"])
def test_an_open_file_has_all_of_it_before_it_is_closed(
    audio_format: AudioFormat, tmp_path: Path
) -> None:
    with (tmp_path / "x").open("wb") as out:
        with sound_file.written_into(out, audio_format, Tags("t", "s")) as write:
            write(np.arange(400, dtype=np.int16).reshape(-1, 2))
        before = (tmp_path / "x").stat().st_size
    assert 800 < before == (tmp_path / "x").stat().st_size


@pytest.mark.parametrize(("audio_format", "kbit"), [("mp3", (130, 180)), ("m4a", (100, 160))])
def test_sound_is_kept_well_enough(
    audio_format: AudioFormat, kbit: tuple[int, int], tmp_path: Path
) -> None:
    """Noise needs every bit there is: in kbit a second for two channels (common practice, no
    source: 128 for speech with music)."""
    path = tmp_path / f"noise.{audio_format}"
    noise = np.random.default_rng(1).normal(0, 3_000, (2 * SAMPLE_RATE_HZ, 2)).astype(np.int16)
    with sound_file.open_sound_file(path, audio_format, Tags("t", "s")) as write:
        write(noise)
    assert kbit[0] < path.stat().st_size * 8 / 2 / 1000 < kbit[1]


def test_left_is_left_in_every_format(tmp_path: Path) -> None:
    frames = np.zeros((SAMPLE_RATE_HZ // 2, 2), np.int16)
    frames[:, 0] = 3000 * np.sin(np.arange(len(frames)) / 9)
    for audio_format in ("mp3", "ogg", "flac", "wav"):
        path = tmp_path / f"left.{audio_format}"
        with sound_file.open_sound_file(path, audio_format, Tags("t", "s")) as write:
            write(frames)
        left, right = np.abs(soundfile.read(path)[0]).max(axis=0)
        assert left > 0.08
        assert right < 0.002
