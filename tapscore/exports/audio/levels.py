"""Loudness and true peak after ITU-R BS.1770, and the one gain that heeds both."""

import math
from array import array
from functools import cache
from typing import Any

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.one_thread import one_blas_thread
from tapscore.exports.audio.filters import RecursiveFilter, phases
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
_K_WEIGHTING = ((*SHELF_B, *SHELF_A[1:]), (*HIGH_PASS_B, *HIGH_PASS_A[1:]))


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
        self._raised = _raised()
        self._most_gain = np.abs(self._raised).sum(axis=0).max()
        self._coming = np.zeros((channels, len(self._raised) - _CHUNK), np.float32)
        """What was not yet looked at closely, and the samples before it that are heard in it."""
        self._highest = at_least

    def add(self, block: NDArray[np.float32]) -> None:
        """Measure the next frames."""
        self._coming = whole = np.concatenate((self._coming, block), axis=1)
        heights = np.abs(whole)
        self._highest = max(self._highest, float(heights.max()))
        if whole.shape[1] < len(self._raised):
            return
        # of what is no number nothing is near: that it is none is told when it is written
        near = self._chunks(heights * self._most_gain > self._highest).any(axis=2)
        self._coming = whole[:, near.shape[1] * _CHUNK :]
        with one_blas_thread():
            raised = self._chunks(whole)[near] @ self._raised
        self._highest = max(self._highest, float(np.abs(raised).max(initial=0)))

    def peak(self) -> float:
        """The true peak of all that was added; full scale is 1."""
        self.add(np.zeros((len(self._coming), len(self._raised)), np.float32))
        return self._highest

    def _chunks(self, samples: NDArray[Any]) -> NDArray[Any]:
        """Each chunk with the samples before it, shape ``(channels, chunks, samples)``."""
        size = len(self._raised)
        return np.lib.stride_tricks.sliding_window_view(samples, size, axis=1)[:, ::_CHUNK]


@cache
def _raised() -> NDArray[np.float32]:
    """A chunk and the samples before it, times this: the chunk at the higher rate."""
    between = phases(_OVERSAMPLING, _OVERSAMPLING)
    each = between.shape[1]
    made = np.zeros((each - 1 + _CHUNK, _CHUNK, _OVERSAMPLING), np.float32)
    for at in range(_CHUNK):
        made[at : at + each, at] = between.T
    return made.reshape(len(made), -1)


def _power(lufs: float) -> float:
    return float(10 ** ((lufs + 0.691) / 10))


def _lufs(power: float) -> float:
    return -0.691 + 10 * math.log10(power)
