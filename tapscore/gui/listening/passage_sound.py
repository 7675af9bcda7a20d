"""The sound of a stretch in memory, filled from a worker thread while it is already heard."""

import numpy as np

from tapscore.exports.audio.encode import Frames
from tapscore.exports.audio.mix import CHANNELS
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ


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
