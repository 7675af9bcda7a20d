"""Files written without ffmpeg hold what was given, and nothing louder."""

import base64
import struct
import subprocess
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from PIL import Image

from tapscore.exports.audio import sound_file
from tapscore.exports.audio.encode import AudioFormat, mp3_program
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


def test_the_block_of_a_cover_in_vorbis_comments() -> None:
    """RFC 9639, 8.8: type, media type, description, width, height, depth, colours, data."""
    png = _png(0x12345, 0x2A7)
    block = base64.b64decode(sound_file._picture_block(png).replace("\\", ""))
    wanted = struct.pack(
        ">II9sI5s5I", 3, 9, b"image/png", 5, b"Cover", 0x12345, 0x2A7, 24, 0, len(png)
    )
    assert block == wanted + png
