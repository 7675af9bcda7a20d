"""Recorded lines placed in a performance: begun on their taps, stretched to their time."""

from fractions import Fraction
from itertools import pairwise

import numpy as np

from tapscore.exports.audio.sound import Sound, frames
from tapscore.exports.audio.voice.feet import Foot, feet
from tapscore.exports.audio.voice.shaping import beat_frame, soften, stretched, trimmed
from tapscore.exports.audio.voice.synthetic import SpokenAt
from tapscore.rhythm.performance import Segment

MOST_QUICKENED, MOST_SLOWED = 0.8, 1.35
"""How far a voice is changed at the written tempo; a slow version slows it as well."""
PART_QUICKENED, PART_SLOWED = 0.7, 1.5
"""The same for a part of a line, which may go further for a moment."""
PAUSE_DB = -34.0
"""Quieter than this against a part's loudest moment, nobody speaks."""
SHORTEST_PART_SEC = 0.06


def placed_recording(
    segment: Segment, sound: Sound, speed: Fraction, starts: tuple[int, ...] | None = None
) -> SpokenAt | None:
    """A recording with its first vowel on the line's first syllable.

    ``starts`` are the frames at which the line's feet begin in it: each is stretched to
    its own time, so that stressed words meet their taps.  Without them the whole is
    stretched to reach the end of the words, as far as a voice stays a voice.  ``speed`` is
    the version's share of the written tempo.  None if the line has no words.
    """
    divided = feet(segment)
    if not divided or not len(sound):
        return None
    if starts is not None and len(starts) == len(divided) > 1:
        return _by_feet(divided, sound, 1 / float(speed), starts)
    begin = divided[0].start_sec
    end = divided[-1].start_sec + divided[-1].room_sec
    slower = 1 / float(speed)
    fitted = _bounded(sound, frames(end - begin), MOST_QUICKENED * slower, MOST_SLOWED * slower)
    return SpokenAt(frames(begin) - beat_frame(fitted), fitted)


def _by_feet(
    divided: tuple[Foot, ...], sound: Sound, slower: float, starts: tuple[int, ...]
) -> SpokenAt:
    parts: list[tuple[int, Sound]] = []
    for foot, (first, last) in zip(divided, pairwise([*starts, len(sound)]), strict=True):
        part = _without_pauses(sound[first:last])
        fitted = _bounded(
            part, frames(foot.room_sec), PART_QUICKENED * slower, PART_SLOWED * slower
        )
        free = [start + len(before) for start, before in parts]
        parts.append((max([frames(foot.start_sec) - beat_frame(fitted), *free]), fitted))
    begin = parts[0][0]
    whole: Sound = np.zeros(parts[-1][0] + len(parts[-1][1]) - begin, np.float32)
    for start, fitted in parts:
        whole[start - begin : start - begin + len(fitted)] += fitted
    return SpokenAt(begin, whole)


def _without_pauses(part: Sound) -> Sound:
    """A part without the pauses before and after it: its first vowel is sought near its start."""
    cut = trimmed(part, PAUSE_DB)
    if len(cut) >= frames(SHORTEST_PART_SEC):
        return cut
    whole = part.copy()
    soften(whole)
    return whole


def _bounded(sound: Sound, count: int, least: float, most: float) -> Sound:
    bounded = min(max(count, round(len(sound) * least)), round(len(sound) * most))
    return stretched(sound, bounded)
