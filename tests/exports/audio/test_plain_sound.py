"""Sounds copied bare: nothing but the one file that was asked for is ever opened."""

from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio.plain_sound import NoSoundError, copy_plain_sound


def test_a_list_of_files_called_a_recording_opens_none(tmp_path: Path) -> None:
    other = tmp_path / "other.wav"
    soundfile.write(other, np.zeros(4410), 44100)
    (tmp_path / "line.wav").write_text("ffconcat version 1.0\nfile other.wav\n")
    with pytest.raises(NoSoundError, match=r"line\.wav"):
        copy_plain_sound(tmp_path / "line.wav", tmp_path / "copy.wav")
    assert not (tmp_path / "copy.wav").exists()
    copy_plain_sound(other, tmp_path / "copy.wav")
    assert len(soundfile.read(tmp_path / "copy.wav")[0]) == 4410
