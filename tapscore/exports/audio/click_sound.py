"""The click of the beat: short, high and dry, unlike any tap."""

from functools import cache

import numpy as np

from tapscore.exports.audio.sound import Sound, faded, frames, level, times_sec

BEAT_GAIN_DB = -22.0
"""Against a very loud tap."""
DOWNBEAT_GAIN_DB = -18.5

_LENGTH_SEC = 0.035
_BEAT_HZ, _DOWNBEAT_HZ = 1900.0, 2500.0


@cache
def click_sound(*, downbeat: bool) -> Sound:
    """A click, higher on the downbeat; the same array each time: do not change it."""
    hz = _DOWNBEAT_HZ if downbeat else _BEAT_HZ
    t = times_sec(frames(_LENGTH_SEC))
    tone = np.sin(2 * np.pi * hz * t) + 0.4 * np.sin(2 * np.pi * hz * 1.62 * t)
    sound: Sound = level(faded(tone * np.exp(-t / 0.006), 0.01)).astype(np.float32)
    sound.setflags(write=False)
    return sound
