"""Moments that may be taps, each with what a detector may go by."""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import BANDS, HOP_SEC, BandLevels, Floats

FEATURES = 4 * BANDS + 3
_NEAR = 5
"""Rows (25 ms) within which only the strongest moment counts."""
_LEAST_RISE_DB = 9.0
"""Summed over the bands; a tap that is hidden better than this is not found."""
_MOST_PER_SEC = 12.0
_HIGHEST_DB = 40.0
_LATE_SEC = 0.0025
"""By which the steepest rise comes before the touch, as measured on simulated taps."""


@frozen(eq=False)
class Candidates:
    """Moments in order of time."""

    sec: NDArray[np.float64]
    features: Floats
    """Shape ``(count, FEATURES)``, dB over ten."""
    rise_db: Floats
    """Shape ``(count, BANDS)``: level over what stood before."""
    peak_db: Floats
    """Shape ``(count, BANDS)``: its loudest 15 ms."""

    def __len__(self) -> int:
        return len(self.sec)

    def chosen(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "Candidates":
        """Some of them."""
        return Candidates(
            self.sec[which], self.features[which], self.rise_db[which], self.peak_db[which]
        )


def candidates_in(levels: BandLevels) -> Candidates:
    """Every moment at which several bands rise together."""
    from scipy.ndimage import maximum_filter1d, uniform_filter1d  # type: ignore[import-untyped]

    db = levels.db
    if len(db) < 40:
        nothing = np.zeros((0, FEATURES), np.float32)
        return Candidates(np.zeros(0), nothing, nothing[:, :BANDS], nothing[:, :BANDS])
    padded = np.pad(db, ((20, 24), (0, 0)), mode="edge")
    here = slice(20, 20 + len(db))

    def shifted(rows: Floats, by: int) -> Floats:
        return rows[here.start + by : here.stop + by]

    # rows t..t+2 against rows t-9..t-4: a window of 20 ms sees a touch two rows early
    peak = shifted(maximum_filter1d(padded, 3, axis=0), 1)
    rise = peak - shifted(maximum_filter1d(padded, 6, axis=0), -6)
    np.clip(rise, -_HIGHEST_DB, _HIGHEST_DB, out=rise)
    total = np.clip(rise, 0, 25).sum(axis=1)
    best = maximum_filter1d(total, 2 * _NEAR + 1)
    (at,) = np.nonzero((total == best) & (total >= _LEAST_RISE_DB))
    at = at[np.diff(at, prepend=-_NEAR) > 1]
    most = round(_MOST_PER_SEC * max(levels.length_sec, 1.0))
    if len(at) > most:
        at = np.sort(at[np.argsort(total[at])[-most:]])
    # two hours are 40 MB an array: what is not needed of them any more is let go
    risen, loudest = rise[at], peak[at]
    del rise, peak
    after = shifted(uniform_filter1d(padded, 8, axis=0), 12)[at]
    steep = shifted(padded, 1) - shifted(padded, -1)
    np.clip(steep, -_HIGHEST_DB, _HIGHEST_DB, out=steep)
    del padded
    usual = np.percentile(db[:: max(len(db) // 20_000, 1)], 95, axis=0).astype(np.float32)
    near_total = np.stack([np.roll(total, by)[at] for by in (-12, -8, 8, 12)]).max(axis=0)
    features = np.concatenate(
        [
            risen,
            maximum_filter1d(steep, 5, axis=0)[at],
            np.clip(loudest - after, -20, _HIGHEST_DB),
            np.clip(loudest - usual, -_HIGHEST_DB, 20),
            total[at, None] / BANDS,
            (total[at] - near_total)[:, None] / BANDS,
            risen.min(axis=1, keepdims=True),
        ],
        axis=1,
    )
    return Candidates(
        _onsets_sec(steep, at),
        (features / 10).astype(np.float32),
        risen.astype(np.float32),
        loudest.astype(np.float32),
    )


def _onsets_sec(steep: Floats, at: NDArray[np.intp]) -> NDArray[np.float64]:
    """Where it rises most steeply, between rows."""
    climbing = np.clip(steep, 0, None).sum(axis=1)
    window = at[:, None] + np.arange(-4, 4)
    weights = climbing[np.clip(window, 0, len(climbing) - 1)].astype(np.float64) ** 2 + 1e-9
    rows = (weights * window).sum(axis=1) / weights.sum(axis=1)
    onsets: NDArray[np.float64] = rows * HOP_SEC + _LATE_SEC
    return onsets
