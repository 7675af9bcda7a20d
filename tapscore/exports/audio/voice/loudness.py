"""How loud speech is beside the taps, and speech as sounds to be mixed."""

from tapscore.exports.audio.plan import PlacedSound, placed
from tapscore.exports.audio.voice.telling import Speech

LINE_GAIN_DB = -8.0
"""Against a very loud tap: a little louder than a medium one, beside which it is heard."""
CUE_GAIN_DB = -11.0
"""Softer than the story's words, as one speaks aside."""


def speech_sounds(speech: Speech) -> tuple[PlacedSound, ...]:
    """Everything spoken, in the middle; in no order."""
    return (
        *(placed(said.start_frame, said.sound, LINE_GAIN_DB) for said in speech.lines),
        *(placed(said.start_frame, said.sound, CUE_GAIN_DB) for said in speech.cues),
    )
