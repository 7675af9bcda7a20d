"""Soft tones for adults: each kind of cue is told by its shape, not only by its pitch."""

from functools import cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.exports.audio.cues import CueKind
from tapscore.exports.audio.sound import Sound, faded, frames, level, times_sec

CUE_GAIN_DB = -15.0
"""Against a very loud tap: between quiet and medium, so that nobody startles."""

_PURE = ((1.0, 1.0), (2.0, 0.12))
_WOODEN = ((1.0, 1.0), (3.9, 0.25), (9.2, 0.05))
_HOLLOW = ((1.0, 1.0), (3.0, 0.2), (5.0, 0.08))
_BELL = ((1.0, 1.0), (2.0, 0.35), (2.76, 0.3), (5.4, 0.12))


@frozen
class _Note:
    """One note of a cue, in seconds and Hz."""

    start_sec: float
    hz: float
    length_sec: float
    attack_sec: float
    share: float = 1.0


_SHAPES: dict[CueKind, tuple[tuple[tuple[float, float], ...], tuple[_Note, ...]]] = {
    CueKind.WAIT: (_PURE, (_Note(0, 392.0, 1.6, 0.12),)),
    CueKind.OFFER: (_PURE, (_Note(0, 392.0, 0.6, 0.06), _Note(0.45, 523.25, 1.2, 0.06))),
    CueKind.PROPS_IN: (_WOODEN, (_Note(0, 523.25, 0.3, 0.006), _Note(0.16, 783.99, 0.45, 0.006))),
    CueKind.PROPS_OUT: (_WOODEN, (_Note(0, 783.99, 0.3, 0.006), _Note(0.16, 523.25, 0.45, 0.006))),
    CueKind.WARN_FIRST: (
        _HOLLOW,
        (
            _Note(0, 293.66, 0.16, 0.03, 0.5),
            _Note(0.2, 293.66, 0.16, 0.03, 0.7),
            _Note(0.4, 349.23, 0.5, 0.03),
        ),
    ),
    CueKind.SECTION: (_BELL, (_Note(0, 659.26, 1.5, 0.004),)),
}


TONES = tuple(_SHAPES)
"""The kinds of cue that have a tone; the others are only spoken."""


@cache
def cue_tone(kind: CueKind) -> Sound:
    """The tone of a kind of cue; the same array each time: do not change it."""
    partials, notes = _SHAPES[kind]
    count = frames(max(note.start_sec + note.length_sec for note in notes))
    whole = np.zeros(count)
    for note in notes:
        start = frames(note.start_sec)
        played = _played(note, partials)[: count - start]
        whole[start : start + len(played)] += played
    sound: Sound = level(whole).astype(np.float32)
    sound.setflags(write=False)
    return sound


def _played(note: _Note, partials: tuple[tuple[float, float], ...]) -> NDArray[np.float64]:
    t = times_sec(frames(note.length_sec))
    played = np.zeros(len(t))
    for ratio, share in partials:
        fall = np.exp(-4.5 * t / note.length_sec * ratio**0.6)
        played += share * fall * np.sin(2 * np.pi * note.hz * ratio * t)
    rise = np.sin(np.pi / 2 * np.minimum(t / note.attack_sec, 1)) ** 2
    return faded(note.share * played * rise, note.length_sec / 4)
