"""What to say of a line just recorded, so that she can say it again at once."""

import numpy as np

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, amplitude
from tapscore.exports.audio.voice.recorded import MOST_QUICKENED, MOST_SLOWED
from tapscore.exports.audio.voice.shaping import envelope, trimmed
from tapscore.wording.catalogue import say

SILENT_DB = -60.0
"""Loudest moment against full scale; a microphone's own noise lies below."""
SOFT_DB = -36.0
FULL = 0.985
_LEAST_ABOVE_NOISE_DB = 18.0
_LEAST_SEC = 0.3

NOTHING_HEARD = say(
    "Nothing was heard. Look whether the microphone is on and the right one is chosen."
)
TOO_SHORT = say("That was too short. Press, say the words, and press again.")
OVERLOADED = say("Too loud for the microphone: say it again a little further away.")
SOFT = say("Very soft: it can be used; nearer to the microphone is clearer.")
NOISY = say("There is much noise in the room: it can be used; a quieter room is clearer.")
QUICK = say("Said more slowly than the story goes: it will be quickened as far as a voice allows.")
SLOW = say("Said faster than the story goes: it will be slowed as far as a voice allows.")


def why_not_kept(sound: Sound, rate_hz: int) -> str:
    """Why a take is of no use, in a sentence; empty if it can be kept."""
    if len(sound) < _LEAST_SEC * rate_hz:
        return TOO_SHORT
    if float(np.abs(sound).max()) < amplitude(SILENT_DB):
        return NOTHING_HEARD
    return ""


def take_remark(sound: Sound, line_sec: float) -> str:
    """The one thing most worth saying of a take at the usual sample rate; empty if none is.

    ``line_sec`` is how long the line lasts in the story.
    """
    peak = float(np.abs(sound).max(initial=0.0))
    if peak >= FULL:
        return OVERLOADED
    if peak < amplitude(SOFT_DB):
        return SOFT
    loud = envelope(sound)
    speech, noise = np.percentile(loud, 95), np.percentile(loud, 5)
    if noise * amplitude(_LEAST_ABOVE_NOISE_DB) > speech:
        return NOISY
    said_sec = len(trimmed(sound)) / SAMPLE_RATE_HZ
    if said_sec * MOST_QUICKENED > line_sec:
        return QUICK
    if said_sec * MOST_SLOWED < line_sec / 2:
        return SLOW
    return ""
