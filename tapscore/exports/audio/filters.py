"""Filters in numpy alone: importing scipy's signal package takes 42 MB and longer than filtering.

Tests hold them against that package.
"""

from fractions import Fraction
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

_STEP = 32
"""Frames that a recursive filter takes at a time."""
_NOTHING = 1e-100
"""What rings on below this is let go of: arithmetic is many times slower near the least float."""
_HALF_WIDTH = 10
_KAISER = 5.0

Floats = NDArray[np.float64]


Section = tuple[float, float, float, float, float]
"""``b0, b1, b2, a1, a2`` of a second-order section."""


@frozen(eq=False)
class _Step:
    """What a step of frames gives, as matrices to be multiplied with from the right."""

    heard: Floats
    """Of the frames themselves, shape (frames, frames)."""
    rung: Floats
    """Of what rings on from before, shape (order, frames)."""
    left: Floats
    """What the frames leave to ring on, shape (frames, order)."""
    carried: Floats
    """What is left of what rang before, shape (order, order)."""


class RecursiveFilter:
    """Second-order sections one after the other, on blocks of shape ``(channels, frames)``.

    A step of frames is linear in the frames and in what rings on from before: so each step is a
    product of matrices, and what rings on is carried from step to step by doubling.
    """

    def __init__(self, sections: tuple[Section, ...], channels: int) -> None:
        self._sections = sections
        self._step = _step(sections)
        self._state = np.zeros((channels, 2 * len(sections)))

    def __call__(self, block: NDArray[np.floating]) -> Floats:
        """Filter the next frames."""
        channels, count = block.shape
        whole = count // _STEP * _STEP
        steps = block[:, :whole].astype(np.float64).reshape(channels, -1, _STEP)
        states = self._states(steps)
        heard = steps @ self._step.heard
        del steps  # new memory takes longer than the arithmetic
        heard += states[:, :-1] @ self._step.rung
        self._state = states[:, -1]
        made = heard.reshape(channels, whole)
        if whole == count:
            return made
        made = np.concatenate((made, np.empty((channels, count - whole))), axis=1)
        for channel in range(channels):
            rest, left = _run(self._sections, block[channel, whole:], self._state[channel])
            made[channel, whole:] = rest
            self._state[channel] = left
        return made

    def _states(self, steps: Floats) -> Floats:
        """What rings on before each step and after the last, shape (channels, steps + 1, order)."""
        states = np.concatenate((self._state[:, None], steps @ self._step.left), axis=1)
        by, carry = 1, self._step.carried
        while by < states.shape[1]:
            states[:, by:] += states[:, :-by] @ carry
            by, carry = 2 * by, carry @ carry
        states[np.abs(states) < _NOTHING] = 0.0
        return states


@lru_cache(maxsize=64)
def _step(sections: tuple[Section, ...]) -> _Step:
    order = 2 * len(sections)
    frames = [_run(sections, frame, np.zeros(order)) for frame in np.eye(_STEP)]
    ringing = [_run(sections, np.zeros(_STEP), state) for state in np.eye(order)]
    return _Step(
        np.array([heard for heard, _ in frames]),
        np.array([heard for heard, _ in ringing]),
        np.array([left for _, left in frames]),
        np.array([left for _, left in ringing]),
    )


def _run(
    sections: tuple[Section, ...], samples: NDArray[np.floating], state: Floats
) -> tuple[Floats, Floats]:
    """What is heard and what is left, frame by frame, in the transposed direct form II."""
    left = state.tolist()
    made = np.empty(len(samples))
    for i, sample in enumerate(samples.tolist()):
        value = sample
        for at, (b0, b1, b2, a1, a2) in enumerate(sections):
            out = b0 * value + left[2 * at]
            left[2 * at] = b1 * value - a1 * out + left[2 * at + 1]
            left[2 * at + 1] = b2 * value - a2 * out
            value = out
        made[i] = value
    return made, np.array(left)


def low_pass(length: int, cutoff: float) -> Floats:
    """A linear-phase filter under a Kaiser window; ``cutoff`` is a share of half the rate."""
    at = np.arange(length) - (length - 1) / 2
    taps = np.sinc(cutoff * at) * np.kaiser(length, _KAISER)
    made: Floats = taps / taps.sum()
    return made


@lru_cache(maxsize=4)
def phases(up: int, widest: int) -> NDArray[np.float32]:
    """What each of ``up`` places between two samples takes of those around it, the last first.

    ``widest`` is ``up``, or how many times fewer samples there shall be if that is more.
    """
    taps = low_pass(2 * _HALF_WIDTH * widest + 1, 1 / widest) * up
    whole = np.pad(taps, (0, -len(taps) % up))
    return np.ascontiguousarray(whole.reshape(-1, up).T[:, ::-1], np.float32)


def with_rate(samples: NDArray[np.float32], from_hz: int, to_hz: int) -> NDArray[np.float32]:
    """Samples of shape ``(frames,)`` at another rate, by the phases of a low-pass filter."""
    up, down = Fraction(to_hz, from_hz).as_integer_ratio()
    if up == down:
        return samples.astype(np.float32)
    widest = max(up, down)
    between = phases(up, widest)
    each = between.shape[1]
    padded = np.pad(samples.astype(np.float32), each)
    windows = np.lib.stride_tricks.sliding_window_view(padded, each)[1:]
    made = np.empty(-(-len(samples) * up // down), np.float32)
    for first in range(up):  # from there on every ``up``-th lies at the same place
        sample, place = divmod(first * down + _HALF_WIDTH * widest, up)
        here = made[first::up]
        here[:] = windows[sample::down][: len(here)] @ between[place]
    return made
