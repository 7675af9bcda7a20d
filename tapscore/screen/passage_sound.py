"""From a passage to its sound: taps and clicks placed on frames and mixed.

Loops turn inside the buffer: each first frame of a sound is counted from the loop's own
beginning, and what still sounds when the loop ends goes on over its beginning.
"""

from collections.abc import Callable, Iterator

import numpy as np
from attrs import evolve, frozen

from tapscore.exports.audio.click_sound import BEAT_GAIN_DB, DOWNBEAT_GAIN_DB, click_sound
from tapscore.exports.audio.encode import Frames, to_frames
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.mix import CHANNELS, mixed_blocks
from tapscore.exports.audio.plan import PlacedSound, pans, placed
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, amplitude, frames
from tapscore.exports.audio.story_taps import StoryTaps
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import Passage

MY_PART_DB = 3.0
THE_REST_DB = -9.0
"""Twelve decibels apart: one's own part stands out and the others are still heard
(common practice, no source)."""
USUAL_GAIN_DB = -3.0
HIGHEST_PEAK = 0.9
"""Of full scale, for the loudest moment of the story."""
AHEAD_SEC = 4.0
"""So much is mixed before it begins to sound."""


def part_gain_db(role: str, my_part: str | None) -> float:
    """How much louder or softer than usual an adult's taps are heard."""
    if my_part is None:
        return 0.0
    return MY_PART_DB if role == my_part else THE_REST_DB


class PassageSound:
    """Sixteen-bit stereo frames: ``first`` once, then ``again`` over and over.

    Without a loop ``again`` is empty and silence follows.  ``lines_frames`` is where the
    last line ends; what sounds on after that is in ``first`` as well.
    """

    def __init__(self, first_frames: int, again_frames: int, lines_frames: int) -> None:
        self.first: Frames = np.zeros((first_frames, CHANNELS), np.int16)
        self.again: Frames = np.zeros((again_frames, CHANNELS), np.int16)
        self.lines_frames = lines_frames

    @property
    def lines_sec(self) -> float:
        """Seconds to the end of the last line."""
        return self.lines_frames / SAMPLE_RATE_HZ

    @property
    def first_sec(self) -> float:
        """Seconds once through, with what sounds on."""
        return len(self.first) / SAMPLE_RATE_HZ

    @property
    def period_sec(self) -> float | None:
        """Seconds of one time round, in whole frames; None without a loop."""
        return len(self.again) / SAMPLE_RATE_HZ if len(self.again) else None

    def read(self, start_frame: int, count: int) -> Frames:
        """``count`` frames from ``start_frame`` on, of shape ``(count, 2)``."""
        out: Frames = np.zeros((count, CHANNELS), np.int16)
        done = 0
        if start_frame < len(self.first):
            part = self.first[start_frame : start_frame + count]
            out[: len(part)] = part
            done = len(part)
        period = len(self.again)
        while done < count and period:
            begin = (start_frame + done - len(self.first)) % period
            part = self.again[begin : begin + count - done]
            out[done : done + len(part)] = part
            done += len(part)
        return out


@frozen(eq=False)
class PassageSounds:
    """Sounds placed from the passage's beginning, and where its body begins and ends."""

    lead_in: tuple[PlacedSound, ...]
    body: tuple[PlacedSound, ...]
    """Counted from the body's own first frame."""
    lead_in_frames: int
    body_frames: int


def place_sounds(
    story: Story,
    passage: Passage,
    my_part: str | None,
    *,
    left_out: str | None = None,
    heard: TapsHeard = AS_WRITTEN,
) -> PassageSounds:
    """Every tap and click of a passage; without the taps of ``left_out``."""
    lead_in = passage.lead_in_sec
    before: list[PlacedSound] = []
    body: list[PlacedSound] = []
    for pulse in passage.pulses():
        sound = click_sound(downbeat=pulse.downbeat)
        gain_db = DOWNBEAT_GAIN_DB if pulse.downbeat else BEAT_GAIN_DB
        if pulse.sec < lead_in:
            before.append(placed(frames(pulse.sec), sound, gain_db))
        else:
            body.append(placed(frames(pulse.sec - lead_in), sound, gain_db))
    aside = pans(story, heard)
    taps = StoryTaps(story, heard)
    for part in passage.parts:
        shift_sec = float(part.start_sec - part.piece.start_sec)
        for tap in passage.segment_of(part).taps:
            if tap.role == left_out:
                continue
            sound, gain_db = taps(tap)
            gain_db += part_gain_db(tap.role, my_part)
            start = frames(shift_sec + tap.onset_sec)
            body.append(placed(start, sound, gain_db, aside.get(tap.role, 0.0)))
    body.sort(key=lambda placed: placed.start_frame)
    return PassageSounds(tuple(before), tuple(body), frames(lead_in), frames(passage.body_sec))


def story_factor(story: Story, passage: Passage) -> float:
    """The one factor for a story's sounds, at which its loudest moment is not clipped.

    It is the same for every passage, speed and part, so that quiet and loud keep their
    distance: what is reckoned is the sum of all taps that fall on one instant.
    """
    together: dict[object, float] = {}
    taps = StoryTaps(story)
    for tap in passage.performance.taps:
        sound, gain_db = taps(tap)
        peak = float(np.abs(sound).max()) * amplitude(gain_db + MY_PART_DB)
        together[tap.onset_beats] = together.get(tap.onset_beats, 0.0) + peak
    highest = max(together.values(), default=0.0)
    usual = amplitude(USUAL_GAIN_DB)
    return min(usual, HIGHEST_PEAK / highest) if highest else usual


def story_sounds(story: Story) -> None:
    """Find the sound of every tap, click and cue once: what was found is kept."""
    taps = StoryTaps(story)
    for tap in perform(story).taps:
        taps(tap)
    for downbeat in (True, False):
        click_sound(downbeat=downbeat)


def new_sound(sounds: PassageSounds, *, loops: bool) -> PassageSound:
    """Room for the sound of a passage, still silent."""
    lines = sounds.lead_in_frames + sounds.body_frames
    if loops:
        return PassageSound(lines, max(sounds.body_frames, 1), lines)
    ends = (sounds.lead_in_frames + placed.end_frame for placed in sounds.body)
    return PassageSound(max(lines, *ends, 0), 0, lines)


def fill(
    sound: PassageSound,
    sounds: PassageSounds,
    factor: float,
    ready: Callable[[], object] = lambda: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> None:
    """Mix into ``sound``; ``ready`` is called once, when enough is there to begin."""
    shifted = [_moved(placed, sounds.lead_in_frames) for placed in sounds.body]
    first = sorted([*sounds.lead_in, *shifted], key=lambda placed: placed.start_frame)
    told = False
    for done in _fill(sound.first, first, factor, cancelled):
        if not told and done >= AHEAD_SEC * SAMPLE_RATE_HZ:
            told = True
            ready()
    for _ in _fill(sound.again, _turned(sounds), factor, cancelled):
        pass
    if not told and not cancelled():
        ready()


def _fill(
    into: Frames, sounds: list[PlacedSound], factor: float, cancelled: Callable[[], bool]
) -> Iterator[int]:
    done = 0
    for block in mixed_blocks(sounds, len(into)):
        if cancelled():
            return
        count = block.shape[1]
        into[done : done + count] = to_frames(block, factor)
        done += count
        yield done


def _turned(sounds: PassageSounds) -> list[PlacedSound]:
    """The body's sounds, and those from the times before that still sound."""
    period = max(sounds.body_frames, 1)
    turned = [
        _moved(placed, -period * times)
        for placed in sounds.body
        for times in range((placed.end_frame - 1) // period + 1)
    ]
    return sorted(turned, key=lambda placed: placed.start_frame)


def _moved(placed: PlacedSound, by_frames: int) -> PlacedSound:
    return evolve(placed, start_frame=placed.start_frame + by_frames)
