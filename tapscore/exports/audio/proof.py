"""A guide is looked through before it is handed out: every tap and every spoken line is in it.

A number that is none (0/0 in a model) or a sound that is silent would leave a hole nobody is
told of, and a pupil would be the first to meet it.
"""

from array import array
from bisect import bisect_left
from collections.abc import Sequence

import numpy as np

from tapscore.exports.audio.encode import Frames
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.wording.catalogue import say

HIGHEST = 1e4
"""No sound of ours comes near it (full scale is 1, a tap is in pascals)."""
_WINDOW_FRAMES = SAMPLE_RATE_HZ // 100
_SOON_FRAMES = SAMPLE_RATE_HZ // 4
"""A spoken line may begin with a breath; a tap never does."""
_AGAIN = say("Please report this, with the story file: it is a fault of the program.")


class GuideUnfit(ValueError):  # noqa: N818 - names what is the matter
    """The guide would not hold what it should; the message says where."""


class Proof:
    """Looks at every sound that is to be heard, and then at what is written of them.

    Raises GuideUnfit for a sound that is silent or no sound.
    """

    def __init__(self, sounds: Sequence[PlacedSound]) -> None:
        self._sounds = [each for each in sounds if max(abs(each.left), abs(each.right)) > 0]
        known: set[int] = set()
        for placed in self._sounds:
            if id(placed.sound) not in known:
                _look_at(placed)
                known.add(id(placed.sound))
        self._added = 0
        self._heard = array("I")
        """The windows in which anything is heard: an hour has 360,000."""

    def add(self, frames: Frames) -> Frames:
        """Note what goes into the file; gives the same frames."""
        windows = (self._added + np.flatnonzero(frames.any(axis=1))) // _WINDOW_FRAMES
        self._heard.extend(np.unique(windows).tolist())
        self._added += len(frames)
        return frames

    def end(self) -> None:
        """Look whether each sound is in what was written.  Raises GuideUnfit."""
        for placed in self._sounds:
            end = min(placed.end_frame, placed.start_frame + _SOON_FRAMES)
            first, after = placed.start_frame // _WINDOW_FRAMES, -(-end // _WINDOW_FRAMES)
            if bisect_left(self._heard, first) == bisect_left(self._heard, after):
                raise GuideUnfit(
                    say(
                        "at {clock} there would be silence where there should be sound. {again}",
                        clock=_clock(placed),
                        again=_AGAIN,
                    )
                )


def _look_at(placed: PlacedSound) -> None:
    factors, samples = np.array([placed.left, placed.right]), placed.samples
    if not (np.isfinite(factors).all() and np.isfinite(samples).all()):
        raise GuideUnfit(
            say(
                "the sound at {clock} can't be worked out. {again}",
                clock=_clock(placed),
                again=_AGAIN,
            )
        )
    loudest = float(np.abs(samples).max(initial=0.0))
    if not 0 < loudest < HIGHEST:
        raise GuideUnfit(
            say(
                "the sound at {clock} is {what:silent=silent|*=far too loud}. {again}",
                clock=_clock(placed),
                what="silent" if loudest == 0 else "loud",
                again=_AGAIN,
            )
        )


def _clock(placed: PlacedSound) -> str:
    sec = placed.start_frame / SAMPLE_RATE_HZ
    return f"{int(sec // 60)}:{sec % 60:04.1f}"
