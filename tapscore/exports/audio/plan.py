"""Which sound begins at which frame, how loud on the left and on the right."""

from collections.abc import Iterator
from functools import lru_cache
from math import cos, hypot, pi

from attrs import frozen

from tapscore.exports.audio.click_sound import BEAT_GAIN_DB, DOWNBEAT_GAIN_DB, click_sound
from tapscore.exports.audio.clicks import clicks
from tapscore.exports.audio.cue_tones import CUE_GAIN_DB, TONES, cue_tone
from tapscore.exports.audio.cues import cues
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.sound import Sound, amplitude, frames
from tapscore.exports.audio.spool import PutAside
from tapscore.exports.audio.story_taps import StoryTaps, TapsAside
from tapscore.model.board import Board, Point
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance

WIDEST_PAN = 0.4
"""How far to a side an adult is heard: 0 is the middle, 1 one ear alone."""


@frozen(eq=False)
class PlacedSound:
    """A sound with its first frame and its factor in each channel."""

    start_frame: int
    sound: Sound | PutAside
    left: float
    right: float

    @property
    def samples(self) -> Sound:
        """The sound as an array; one that was put aside is read anew each time."""
        return self.sound.samples if isinstance(self.sound, PutAside) else self.sound

    @property
    def end_frame(self) -> int:
        """The first frame after it."""
        return self.start_frame + len(self.sound)


def plan(
    story: Story,
    performance: Performance,
    heard: TapsHeard = AS_WRITTEN,
    taps: StoryTaps | TapsAside | None = None,
) -> tuple[PlacedSound, ...]:
    """Every tap, click and cue in order of time.

    ``taps`` finds the sounds of taps, as ``heard`` has them; without it they are at hand.
    """
    found = _taps(story, performance, heard, taps or StoryTaps(story, heard))
    sounds = [*found, *_clicks(performance), *_cues(performance)]
    return tuple(sorted(sounds, key=lambda each: each.start_frame))


def pans(story: Story, heard: TapsHeard = AS_WRITTEN) -> dict[str, float]:
    """Where each adult is heard: -1 left to 1 right, as from the leader's seat."""
    names, board = story.role_names, story.board
    if heard.mono:
        return dict.fromkeys(names, 0.0)
    seats = {role.name: board.seat(role.seat) for role in story.roles if board and role.seat}
    listener = seats.get(names[0])
    if board is None or listener is None:
        last = len(names) - 1
        return {name: WIDEST_PAN * (2 * i - last) / max(last, 1) for i, name in enumerate(names)}
    return {
        name: WIDEST_PAN * _to_the_right(board, listener, seats.get(name) or listener)
        for name in names
    }


def _to_the_right(board: Board, listener: Point, heard: Point) -> float:
    """How far to the right (-1 to 1) of someone who looks to the board's middle."""
    look_x = float(board.width_mm - 2 * listener.x_mm)
    look_y = float(board.depth_mm - 2 * listener.y_mm)
    if look_x == look_y == 0:
        look_y = 1.0
    x, y = float(heard.x_mm - listener.x_mm), float(heard.y_mm - listener.y_mm)
    aside_mm = (x * look_y - y * look_x) / hypot(look_x, look_y)
    right = 2 * aside_mm / float(max(board.width_mm, board.depth_mm))
    return max(min(right, 1.0), -1.0)


def placed(
    start_frame: int, sound: Sound | PutAside, gain_db: float, pan: float = 0.0
) -> PlacedSound:
    """A sound at a frame, so many dB louder, from -1 on the left to 1 on the right."""
    return PlacedSound(start_frame, sound, *_factors(gain_db, pan))


@lru_cache(maxsize=1024)
def _factors(gain_db: float, pan: float) -> tuple[float, float]:
    """The same numbers for sounds alike: a set of versions holds hundreds of thousands."""
    factor = amplitude(gain_db)
    return factor * cos((1 + pan) * pi / 4), factor * cos((1 - pan) * pi / 4)


def _taps(
    story: Story, performance: Performance, heard: TapsHeard, taps: StoryTaps | TapsAside
) -> Iterator[PlacedSound]:
    aside = pans(story, heard)
    for tap in performance.taps:
        sound, gain_db = taps(tap)
        yield placed(frames(tap.onset_sec), sound, gain_db, aside.get(tap.role, 0.0))


def _clicks(performance: Performance) -> Iterator[PlacedSound]:
    for click in clicks(performance):
        gain_db = DOWNBEAT_GAIN_DB if click.downbeat else BEAT_GAIN_DB
        yield placed(frames(click.onset_sec), click_sound(downbeat=click.downbeat), gain_db)


def _cues(performance: Performance) -> Iterator[PlacedSound]:
    for cue in cues(performance):
        if cue.kind in TONES:
            yield placed(frames(cue.onset_sec), cue_tone(cue.kind), CUE_GAIN_DB)
