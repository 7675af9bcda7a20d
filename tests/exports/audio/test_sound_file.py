"""Files written without ffmpeg hold what was given, and nothing louder."""

from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio import sound_file
from tapscore.exports.audio.encode import AudioFormat
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.tags import Tags

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
