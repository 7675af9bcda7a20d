"""Loudness and true peak after ITU-R BS.1770, and the one gain that heeds both."""

import math
from array import array
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.one_thread import one_blas_thread
from tapscore.exports.audio.filters import RecursiveFilter, low_pass
from tapscore.exports.audio.sound import (
    HIGH_PASS_A,
    HIGH_PASS_B,
    SAMPLE_RATE_HZ,
    SHELF_A,
    SHELF_B,
)

LOUDNESS_TARGET_LUFS = -18.0
"""Where AES TD1008 anchors speech."""
HIGHEST_TRUE_PEAK_DBTP = -1.0
LOSSY_MARGIN_DB = 1.0
"""Further down before an encoder that may overshoot."""

_SUB_BLOCK = SAMPLE_RATE_HZ // 10
_BLOCK_SUBS = 4
_ABSOLUTE_GATE_LUFS = -70.0
_RELATIVE_GATE_LU = -10.0
_OVERSAMPLING = 4
_CHUNK = 64
_K_WEIGHTING = (
    (*SHELF_B, *SHELF_A[1:]),
    (*HIGH_PASS_B, *HIGH_PASS_A[1:]),
)


@frozen
class Levels:
    """How loud something is; ``-inf`` for silence."""

    integrated_lufs: float
    true_peak_dbtp: float


class LoudnessMeter:
    """Measures blocks of sound in order, each of shape ``(channels, frames)``, at 48 kHz.

    Every channel has weight 1, as left, right and centre have in BS.1770; a sound shorter
    than 0.4 s has no integrated loudness.
    """

    def __init__(self, channels: int) -> None:
        self._loudness = _IntegratedMeter(channels)
        self._peak = PeakMeter(channels)

    def add(self, block: NDArray[np.float32]) -> None:
        """Measure the next frames."""
        with one_blas_thread():
            self._loudness.add(block)
        self._peak.add(block)

    def peak(self) -> float:
        """The true peak of all that was added; full scale is 1."""
        return self._peak.peak()

    def levels(self) -> Levels:
        """The levels of all that was added."""
        return Levels(self._loudness.integrated_lufs(), dbtp(self.peak()))


def dbtp(peak: float) -> float:
    """A true peak in dB of full scale; ``-inf`` for silence."""
    return 20 * math.log10(peak) if peak > 0 else -math.inf


def safe_gain_db(levels: Levels, *, lossy: bool) -> float:
    """The gain to the loudness target, or less where the peak would go too high.

    Silence gets none.
    """
    if levels.true_peak_dbtp == -math.inf:
        return 0.0
    ceiling = HIGHEST_TRUE_PEAK_DBTP - (LOSSY_MARGIN_DB if lossy else 0.0)
    by_peak = ceiling - levels.true_peak_dbtp
    if levels.integrated_lufs == -math.inf:
        return by_peak
    return min(LOUDNESS_TARGET_LUFS - levels.integrated_lufs, by_peak)


class _IntegratedMeter:
    def __init__(self, channels: int) -> None:
        self._weighted = RecursiveFilter(_K_WEIGHTING, channels)
        self._left_over = np.zeros(0)
        self._energies = array("d")
        """Mean power of each tenth of a second: an hour is 300 kB."""

    def add(self, block: NDArray[np.float32]) -> None:
        weighted = self._weighted(block)
        np.square(weighted, out=weighted)
        power = np.concatenate((self._left_over, weighted.sum(axis=0)))
        whole = len(power) // _SUB_BLOCK * _SUB_BLOCK
        self._energies.frombytes(power[:whole].reshape(-1, _SUB_BLOCK).mean(axis=1).tobytes())
        self._left_over = power[whole:].copy()

    def integrated_lufs(self) -> float:
        sub = np.array(self._energies)
        if len(sub) < _BLOCK_SUBS:
            return -math.inf
        gating = np.convolve(sub, np.full(_BLOCK_SUBS, 1 / _BLOCK_SUBS), mode="valid")
        loud = gating[gating > _power(_ABSOLUTE_GATE_LUFS)]
        if not len(loud):
            return -math.inf
        gate = loud.mean() * 10 ** (_RELATIVE_GATE_LU / 10)
        return _lufs(float(loud[loud > gate].mean()))


class PeakMeter:
    """The true peak of blocks of sound in order, each of shape ``(channels, frames)``.

    It oversamples only where the samples come near enough to the highest so far, or to
    ``at_least``: what it gives is no lower than that.
    """

    def __init__(self, channels: int, at_least: float = 0.0) -> None:
        half = 10 * _OVERSAMPLING
        taps = _OVERSAMPLING * low_pass(2 * half + 1, 1 / _OVERSAMPLING)
        phases = [np.abs(taps[i::_OVERSAMPLING]).sum() for i in range(_OVERSAMPLING)]
        self._most_gain = max(phases)
        self._context = -(-len(taps) // _OVERSAMPLING)
        self._raised = _raising(tuple(taps.tolist()))
        self._before = np.zeros((channels, self._context), np.float32)
        self._highest = at_least

    def add(self, block: NDArray[np.float32]) -> None:
        """Measure the next frames."""
        context = self._context
        whole = np.concatenate((self._before, block), axis=1)
        self._before = whole[:, whole.shape[1] - context :]
        self._highest = max(self._highest, float(np.abs(block).max(initial=0)))
        with one_blas_thread():
            for channel in whole:
                self._add_channel(channel)

    def _add_channel(self, samples: NDArray[np.float32]) -> None:
        if max(samples.max(), -samples.min()) * self._most_gain <= self._highest:
            return
        context, size = self._context, _CHUNK + self._context
        count = -(-(len(samples) - context) // _CHUNK)
        padded = np.pad(samples, (0, context + count * _CHUNK - len(samples)))
        windows = np.lib.stride_tricks.sliding_window_view(padded, size)[::_CHUNK]
        near = np.abs(padded).reshape(-1) * self._most_gain > self._highest
        nears = np.lib.stride_tricks.sliding_window_view(near, size)[::_CHUNK]
        reached: NDArray[np.bool_] = np.asarray(nears.any(axis=1))
        raised = np.abs(windows[reached] @ self._raised)
        if reached[-1]:  # what has not come yet is no silence: the next block begins there
            raised[-1, (len(samples) - context - (count - 1) * _CHUNK) * _OVERSAMPLING :] = 0
        # of what is no number nothing is near: that it is none is told when it is written
        self._highest = max(self._highest, float(raised.max(initial=0.0)))

    def peak(self) -> float:
        """The true peak of all that was added; full scale is 1."""
        self.add(np.zeros_like(self._before))
        return self._highest


@lru_cache(maxsize=4)
def _raising(taps: tuple[float, ...]) -> NDArray[np.float32]:
    """A window of context and ``_CHUNK`` samples times this: the chunk at the higher rate."""
    context = -(-len(taps) // _OVERSAMPLING)
    made = np.zeros((context + _CHUNK, _CHUNK * _OVERSAMPLING), np.float32)
    for out in range(made.shape[1]):
        for at in range(made.shape[0]):
            tap = out + (context - at) * _OVERSAMPLING
            if 0 <= tap < len(taps):
                made[at, out] = taps[tap]
    return made


def _power(lufs: float) -> float:
    return float(10 ** ((lufs + 0.691) / 10))


def _lufs(power: float) -> float:
    return -0.691 + 10 * math.log10(power)
