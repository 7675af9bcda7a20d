"""Times of taps from files, damaged ones too.

Outside: the Standard MIDI File specification (MMA, RP-001) for what a header and a key
signature may say.
"""

from contextlib import suppress
from pathlib import Path
from random import Random

import mido  # type: ignore[import-untyped]
import pytest

from tapscore.workflow.tapping_in import MOST_TAPS, read_tap_times


def _midi(path: Path, count: int = 8) -> bytes:
    file = mido.MidiFile()
    track = mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.MetaMessage("key_signature", key="G"))
    for _ in range(count):
        track.append(mido.Message("note_on", note=60, velocity=90, time=240))
        track.append(mido.Message("note_off", note=60, time=10))
    file.save(str(path))
    return path.read_bytes()


def test_a_whole_file(tmp_path: Path) -> None:
    _midi(tmp_path / "a.mid")
    assert len(read_tap_times(tmp_path / "a.mid")) == 8


def test_a_division_of_nothing_and_a_key_that_is_none(tmp_path: Path) -> None:
    whole = _midi(tmp_path / "a.mid")
    no_division = whole[:12] + b"\0\0" + whole[14:]
    at = whole.index(b"\xff\x59\x02")
    odd_key = whole[: at + 3] + b"\x30\x09" + whole[at + 5 :]
    for data in (no_division, odd_key):
        (tmp_path / "b.mid").write_bytes(data)
        with pytest.raises(ValueError, match="breaks off or is damaged"):
            read_tap_times(tmp_path / "b.mid")


def test_a_file_that_lasts_too_long_is_not_called_damaged(tmp_path: Path) -> None:
    file = mido.MidiFile()
    track = mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.Message("note_on", note=60, velocity=90, time=10_000_000))
    file.save(str(tmp_path / "a.mid"))
    with pytest.raises(ValueError, match="lasts far too long"):
        read_tap_times(tmp_path / "a.mid")


def test_any_damage_is_told(tmp_path: Path) -> None:
    whole = _midi(tmp_path / "a.mid")
    rng = Random(9)
    for _ in range(400):
        data = bytearray(whole)
        if rng.random() < 0.3:
            del data[rng.randrange(4, len(data)) :]
        for _ in range(rng.randint(1, 4)):
            data[rng.randrange(4, max(len(data), 5)) % len(data)] = rng.randrange(256)
        (tmp_path / "b.mid").write_bytes(data)
        with suppress(ValueError):
            assert all(0 <= time < 3600 for time in read_tap_times(tmp_path / "b.mid"))


def test_too_many_and_too_odd(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("\n".join(str(n / 100) for n in range(20_000)))
    with pytest.raises(ValueError, match=rf"20,000 taps in it; a line has at most {MOST_TAPS}"):
        read_tap_times(tmp_path / "a.txt")
    for said in ("nan", "inf", "-1", "1e9", "soon"):
        (tmp_path / "a.txt").write_text(f"0.5\n{said}\n")
        with pytest.raises(ValueError, match="line 2 is no time"):
            read_tap_times(tmp_path / "a.txt")
    (tmp_path / "a.txt").write_bytes(b"1\n" * 200_000)
    with pytest.raises(OSError, match="larger than"):
        read_tap_times(tmp_path / "a.txt")


def test_a_note_let_go_is_no_tap(tmp_path: Path) -> None:
    """A note-on of velocity 0 is a note-off (MIDI 1.0 Detailed Specification, note-off)."""
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    for _ in range(3):  # at 120 a minute, which holds where a file says nothing
        track.append(mido.Message("note_on", note=60, velocity=1, time=480))
        track.append(mido.Message("note_on", note=60, velocity=0, time=480))
    file.save(str(tmp_path / "a.mid"))
    assert read_tap_times(tmp_path / "a.mid") == pytest.approx((0.5, 1.5, 2.5))
