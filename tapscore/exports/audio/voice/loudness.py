"""How loud speech is beside the taps, and speech as sounds to be mixed."""

from math import sqrt

from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.sound import amplitude
from tapscore.exports.audio.voice.telling import Speech, SpeechAt

LINE_GAIN_DB = -8.0
"""Against a very loud tap: a little louder than a medium one, beside which it is heard."""
CUE_GAIN_DB = -11.0
"""Softer than the story's words, as one speaks aside."""


def speech_sounds(speech: Speech) -> tuple[PlacedSound, ...]:
    """Everything spoken, in the middle; in no order."""
    return (
        *(_placed(spoken, LINE_GAIN_DB) for spoken in speech.lines),
        *(_placed(spoken, CUE_GAIN_DB) for spoken in speech.cues),
    )


def _placed(spoken: SpeechAt, gain_db: float) -> PlacedSound:
    factor = amplitude(gain_db) * sqrt(0.5)
    return PlacedSound(spoken.start_frame, spoken.sound, factor, factor)
