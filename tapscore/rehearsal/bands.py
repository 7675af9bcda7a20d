"""How loud it is in seven bands of pitch, every 5 ms, worked out block by block."""

from collections.abc import Iterable

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Floats = NDArray[np.float32]

RATE_HZ = 16_000
HOP = 80
"""Frames of sound from one row of levels to the next: 5 ms."""
HOP_SEC = HOP / RATE_HZ
_WINDOW = 320
_EDGES_HZ = (50, 150, 300, 600, 1200, 2400, 4200, 7600)
BANDS = len(_EDGES_HZ) - 1
_LEAST_POWER = 1e-12
_DEEPEST_DB = 60.0
"""Below a band's loudest moments; what is softer is taken for silence."""
_FULL = 0.985


@frozen(eq=False)
class BandLevels:
    """A recording as levels in dB, shape ``(rows, BANDS)``, row ``i`` at ``i * HOP_SEC``."""

    db: Floats
    length_sec: float
    clipped: float
    """Share of the sound at full scale."""
    loudest_db: float
    """Loudest 5 ms against full scale."""

    def between(self, begin_sec: float, end_sec: float) -> "BandLevels":
        """The rows of a part; times then count from its beginning."""
        rows = slice(max(round(begin_sec / HOP_SEC), 0), max(round(end_sec / HOP_SEC), 0))
        part = self.db[rows]
        return BandLevels(part, len(part) * HOP_SEC, self.clipped, self.loudest_db)


def levels_of(blocks: Iterable[Floats]) -> BandLevels:
    """Levels of a sound at ``RATE_HZ`` in blocks of shape ``(channels, frames)``.

    The channels' powers are added: one dead side, or two that cancel, cost nothing.
    """
    from scipy.fft import rfft  # type: ignore[import-untyped]

    edges = [round(hz * _WINDOW / RATE_HZ) for hz in _EDGES_HZ]
    shape = np.hanning(_WINDOW + 1)[:-1].astype(np.float32)
    shape /= np.float32(np.sqrt(np.square(shape).sum() * _WINDOW))
    rest: Floats | None = None
    rows: list[Floats] = []
    frames = clipped = 0
    loudest = 0.0
    for block in blocks:
        frames += block.shape[1]
        clipped += int((np.abs(block) >= _FULL).any(axis=0).sum())
        if rest is None:
            rest = np.zeros((block.shape[0], _WINDOW // 2), np.float32)
        whole = np.concatenate([rest, block], axis=1)
        count = max((whole.shape[1] - _WINDOW) // HOP + 1, 0)
        rest = whole[:, count * HOP :]
        if not count:
            continue
        power = np.zeros((count, BANDS), np.float32)
        for channel in whole:
            cut = np.lib.stride_tricks.sliding_window_view(channel, _WINDOW)[::HOP][:count]
            lines = rfft(cut * shape, axis=1)
            energy = lines.real**2 + lines.imag**2
            power += np.add.reduceat(energy, edges, axis=1)[:, :BANDS]
        loudest = max(loudest, float(power.sum(axis=1).max()))
        rows.append(10 * np.log10(power + np.float32(_LEAST_POWER)))
    db = np.concatenate(rows) if rows else np.zeros((0, BANDS), np.float32)
    return BandLevels(
        _without_depths(db),
        frames / RATE_HZ,
        clipped / max(frames, 1),
        10 * float(np.log10(loudest + _LEAST_POWER)),
    )


def _without_depths(db: Floats) -> Floats:
    """Silence filled to a floor, so that nothing rises out of a digital nought."""
    if not len(db):
        return db
    some = db[:: max(len(db) // 20_000, 1)]
    floor = np.maximum(
        np.percentile(some, 20, axis=0), np.percentile(some, 99, axis=0) - _DEEPEST_DB
    )
    floor = np.maximum(floor, floor.max() - _DEEPEST_DB)
    filled: Floats = 10 * np.log10(10 ** (db / 10) + 10 ** (floor.astype(np.float32) / 10))
    return filled
