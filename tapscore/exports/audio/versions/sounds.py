"""The sounds of one version: its taps, clicks, cues and words, each as loud as it shall be."""

from collections.abc import Iterable

from attrs import evolve, frozen

from tapscore.exports.audio.click_sound import click_sound
from tapscore.exports.audio.cue_tones import TONES, cue_tone
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.exports.audio.sound import amplitude, frames
from tapscore.exports.audio.story_taps import TapsAside
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind
from tapscore.exports.audio.voice.loudness import speech_sounds
from tapscore.exports.audio.voice.telling import Speech, Teller
from tapscore.rhythm.performance import Performance, Segment
from tapscore.rhythm.role_view import RoleView

THE_REST_DB = -12.0
"""One's own part stands out and the others are still heard (common practice, no source).
It is not made louder than in the whole story, as all versions would be softer for that.
"""
TAIL_SEC = 0.5
PRESSED_SEC = 0.4
"""Phones swallow the first moment of a sound, and a finger is still on its way."""
RING_SEC = 0.05
"""What a loop may cut off of its last sounds, which are nearly silent by then."""


@frozen(eq=False)
class VersionSounds:
    """What is mixed into one file."""

    performance: Performance
    sounds: tuple[PlacedSound, ...]
    """In order of their first frame."""
    length_frames: int


def version_sounds(
    version: SoundVersion,
    teller: Teller,
    heard: TapsHeard = AS_WRITTEN,
    taps: TapsAside | None = None,
) -> VersionSounds:
    """Plan one version; a loop lasts whole bars with its count-in, to go round in step.

    ``taps`` finds the sounds of taps for all versions of a story.
    """
    performance = version.performance()
    sounds: Iterable[PlacedSound] = plan(version.story, performance, heard, taps)
    if version.kind is VersionKind.TAPS:
        sounds = _taps(sounds)
    elif version.kind is VersionKind.HOME:
        return _at_home(version, performance, teller, _taps(sounds))
    else:
        if version.role is not None:
            sounds = _forward(version.role, version, performance, heard, taps)
        view = RoleView(version.story, version.role) if version.role is not None else None
        speech = teller.speech(
            performance, names=version.line_names, speed=version.speed, view=view
        )
        sounds = [*sounds, *speech_sounds(speech)]
    ordered = tuple(sorted(sounds, key=lambda placed: placed.start_frame))
    last = max((placed.end_frame for placed in ordered), default=0)
    if version.loops:
        end = _loop_end(performance, last)
    else:
        end = max(frames(performance.length_sec + TAIL_SEC), last)
    return VersionSounds(performance, ordered, max(end, 1))


def _at_home(
    version: SoundVersion, performance: Performance, teller: Teller, taps: list[PlacedSound]
) -> VersionSounds:
    """Words and taps, without clicks and cues; they begin a moment after the press."""
    lines = teller.speech(performance, names=version.line_names).lines
    sounds = [*taps, *speech_sounds(Speech(lines, ()))]
    first = min((placed.start_frame for placed in sounds), default=0)
    later = frames(PRESSED_SEC) - min(first, 0)
    moved = sorted(
        (evolve(placed, start_frame=placed.start_frame + later) for placed in sounds),
        key=lambda placed: placed.start_frame,
    )
    end = max((placed.end_frame for placed in moved), default=0) + frames(TAIL_SEC)
    return VersionSounds(performance, tuple(moved), end)


def _loop_end(performance: Performance, last_frame: int) -> int:
    """The last beat, or as many bars later as what still sounds there needs."""
    end_sec = performance.length_sec
    if not performance.segments or not performance.tempo_map.pieces:
        return frames(end_sec)
    period_sec = performance.tempo_map.pieces[-1].last_period_sec
    bar_sec = float(performance.segments[-1].metre.beats * period_sec)
    while last_frame > frames(end_sec + RING_SEC):
        end_sec += bar_sec
    return frames(end_sec)


def _forward(
    role: str,
    version: SoundVersion,
    performance: Performance,
    heard: TapsHeard,
    taps: TapsAside | None,
) -> list[PlacedSound]:
    """One adult's taps as they are and the others' softer."""
    mine = plan(version.story, _only(performance, role, mine=True), heard, taps)
    rest = plan(version.story, _only(performance, role, mine=False), heard, taps)
    untapped = [placed for placed in mine if _is_common(placed)]
    return [
        *untapped,
        *_taps(mine),
        *_louder(_taps(rest), THE_REST_DB),
    ]


def _only(performance: Performance, role: str, *, mine: bool) -> Performance:
    return evolve(performance, segments=tuple(_kept(s, role, mine) for s in performance.segments))


def _kept(segment: Segment, role: str, mine: bool) -> Segment:
    taps = tuple(tap for tap in segment.taps if (tap.role == role) is mine)
    return evolve(segment, sounds=lambda: (taps, segment.syllables), known={})


def _taps(sounds: Iterable[PlacedSound]) -> list[PlacedSound]:
    return [placed for placed in sounds if not _is_common(placed)]


def _is_common(placed: PlacedSound) -> bool:
    """Whether it is a click or a cue's tone, which are the same arrays everywhere."""
    common = [click_sound(downbeat=True), click_sound(downbeat=False), *map(cue_tone, TONES)]
    return any(placed.sound is sound for sound in common)


def _louder(sounds: Iterable[PlacedSound], gain_db: float) -> list[PlacedSound]:
    factor = amplitude(gain_db)
    return [evolve(p, left=p.left * factor, right=p.right * factor) for p in sounds]
