"""Sounds copied bare: nothing but the one file that was asked for is ever opened."""

import re
import subprocess
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio.encode import mp3_program
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


@pytest.mark.parametrize("kind", ["wav", "mp3", "m4a", "flac", "ogg"])
def test_nothing_but_the_sound_is_copied(kind: str, tmp_path: Path) -> None:
    """A title, a name, a place, a day and a chapter, as ffmpeg reads them before and after."""
    (tmp_path / "told.txt").write_text(
        ";FFMETADATA1\ntitle=Secret\nartist=Secret\ndate=1999-12-31\nlocation=+51.5-000.1/\n"
        "comment=Secret\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=90\ntitle=Secret\n"
    )
    soundfile.write(tmp_path / "bare.wav", np.sin(np.arange(9_600) / 9) / 2, 48_000)
    line, copy = tmp_path / f"line.{kind}", tmp_path / f"copy.{kind}"
    ffmpeg = [mp3_program(), "-v", "error"]
    told = ["-i", f"{tmp_path}/bare.wav", "-i", f"{tmp_path}/told.txt", "-map_metadata", "1"]
    subprocess.run([*ffmpeg, *told, str(line)], check=True)
    copy_plain_sound(line, copy)
    assert b"Secret" in line.read_bytes()
    assert not re.search(rb"Secret|1999|51\.5|Lavf\d", copy.read_bytes())
    reads = [*ffmpeg, "-i", str(copy), "-f", "ffmetadata", "-"]
    said = subprocess.run(reads, capture_output=True, check=True)
    assert said.stdout
    assert b"CHAPTER" not in said.stdout
    heard = [
        subprocess.run(
            [*ffmpeg, "-i", str(each), "-f", "s16le", "-"], capture_output=True, check=True
        ).stdout
        for each in (line, copy)
    ]
    assert heard[0] == heard[1]
    assert len(heard[0]) > 2 * 9_400


def test_what_breaks_off_leaves_nothing_and_one_that_never_ends_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "copy.wav"

    def run(command: list[str], **said: object) -> subprocess.CompletedProcess[bytes]:
        target.write_bytes(b"half of it")
        return subprocess.CompletedProcess(command, 1)

    monkeypatch.setattr(subprocess, "run", run)
    with pytest.raises(NoSoundError, match=r"^line\.wav can't be read as sound"):
        copy_plain_sound(tmp_path / "line.wav", target)
    assert not target.exists()

    def slow(command: list[str], **said: object) -> None:
        raise subprocess.TimeoutExpired(command, 120)

    monkeypatch.setattr(subprocess, "run", slow)
    with pytest.raises(NoSoundError, match=r"^line\.wav takes too long"):
        copy_plain_sound(tmp_path / "line.wav", target)
