"""Reads a MIDI file into seconds with nothing of the project's own."""

from fractions import Fraction
from io import BytesIO
from typing import Any

import mido  # type: ignore[import-untyped]


def read(data: bytes) -> Any:
    return mido.MidiFile(file=BytesIO(data), charset="utf-8")


def absolute(track: Any) -> list[tuple[int, Any]]:
    now = 0
    found = []
    for message in track:
        now += message.time
        found.append((now, message))
    return found


def seconds_at(file: Any) -> dict[int, Fraction]:
    """Exact seconds for every tick at which something happens."""
    tempos = {tick: m.tempo for tick, m in absolute(file.tracks[0]) if m.type == "set_tempo"}
    wanted = {tick for track in file.tracks for tick, _ in absolute(track)}
    second, tempo, last = Fraction(0), 500_000, 0
    found = {}
    for tick in sorted(wanted | set(tempos)):
        second += Fraction((tick - last) * tempo, file.ticks_per_beat * 1_000_000)
        tempo, last = tempos.get(tick, tempo), tick
        found[tick] = second
    return found


def notes(track: Any) -> list[tuple[int, int, int, int]]:
    """(start, end, note, velocity) of matched notes; fails on one that is not matched."""
    sounding: dict[int, tuple[int, int]] = {}
    found = []
    for tick, message in absolute(track):
        if message.type == "note_on":
            assert message.note not in sounding
            assert message.velocity > 0
            sounding[message.note] = (tick, message.velocity)
        elif message.type == "note_off":
            start, velocity = sounding.pop(message.note)
            assert tick > start
            found.append((start, tick, message.note, velocity))
    assert not sounding
    return sorted(found)


def texts(track: Any, kind: str) -> list[tuple[int, str]]:
    return [(tick, m.text) for tick, m in absolute(track) if m.type == kind]
