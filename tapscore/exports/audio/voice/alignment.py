"""Where in a recording the parts of a line begin, found beside the same words synthesised.

Both are described every 20 ms by the energy in bands spaced as hearing spaces them, and
laid along one another by dynamic time warping (Sakoe and Chiba 1978).  What is known of
the one, where its parts begin, is so found in the other.
"""

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, frames

HOP_SEC = 0.02
_WINDOW_SEC = 0.032
_BANDS = 24
_LOWEST_HZ, _HIGHEST_HZ = 120.0, 6_000.0
_FLOOR = 1e-4
_LONGEST_SEC = 15.0
"""Longer recordings are no single line; warping them would take too long."""
_LEAST_SHARE, _MOST_SHARE = 0.3, 3.5
"""How unlike two parts' lengths may be before the result is not believed."""


def part_starts(
    recorded: Sound, spoken: Sound, spoken_starts: tuple[int, ...]
) -> tuple[int, ...] | None:
    """Frames of the recording at which the parts begin; the first is 0.

    ``spoken`` are the same words synthesised and ``spoken_starts`` its frames at which the
    parts begin.  None if the two are too unlike for the answer to be believed.
    """
    longest = frames(_LONGEST_SEC)
    if not spoken_starts or min(len(recorded), len(spoken)) < 4 * frames(HOP_SEC):
        return None
    if max(len(recorded), len(spoken)) > longest:
        return None
    along = _warped(features(spoken), features(recorded))
    hop = frames(HOP_SEC)
    found = [0]
    for start in spoken_starts[1:]:
        found.append(int(along[min(start // hop, len(along) - 1)]) * hop)
    bounds = [*found, len(recorded)]
    spoken_bounds = [*spoken_starts, len(spoken)]
    whole = len(recorded) / len(spoken)
    for i in range(len(found)):
        share = (bounds[i + 1] - bounds[i]) / max(spoken_bounds[i + 1] - spoken_bounds[i], 1)
        if not _LEAST_SHARE * whole < share < _MOST_SHARE * whole:
            return None
    return tuple(found)


def features(sound: Sound) -> NDArray[np.float64]:
    """Shape ``(hops, bands)``: log energies, each band's mean taken off, its spread made 1."""
    size, hop = frames(_WINDOW_SEC), frames(HOP_SEC)
    count = max(len(sound) // hop, 1)
    padded = np.zeros((count - 1) * hop + size)
    padded[: min(len(sound), len(padded))] = sound[: len(padded)]
    windows = np.lib.stride_tricks.sliding_window_view(padded, size)[::hop][:count]
    power = np.square(np.abs(np.fft.rfft(windows * np.hanning(size), axis=1)))
    energies = power @ _bands(size).T
    logs = np.log(energies + _FLOOR * energies.max() + 1e-20)
    made: NDArray[np.float64] = (logs - logs.mean(axis=0)) / (logs.std(axis=0) + 1e-6)
    return made


def _bands(size: int) -> NDArray[np.float64]:
    mel = np.linspace(_mel(_LOWEST_HZ), _mel(_HIGHEST_HZ), _BANDS + 2)
    edges = 700 * (10 ** (mel / 2595) - 1)
    hz = np.fft.rfftfreq(size, 1 / SAMPLE_RATE_HZ)
    low, middle, high = edges[:-2, None], edges[1:-1, None], edges[2:, None]
    rising, falling = (hz - low) / (middle - low), (high - hz) / (high - middle)
    triangles: NDArray[np.float64] = np.maximum(np.minimum(rising, falling), 0)
    return triangles


def _mel(hz: float) -> float:
    return float(2595 * np.log10(1 + hz / 700))


def _warped(first: NDArray[np.float64], second: NDArray[np.float64]) -> list[int]:
    """For each row of ``first`` the row of ``second`` it lies beside."""
    squares = np.square(first).sum(axis=1)[:, None] + np.square(second).sum(axis=1)[None]
    apart = np.sqrt(np.maximum(squares - 2 * first @ second.T, 0))
    rows, columns = apart.shape
    costs = apart.tolist()
    total = [[0.0] * columns for _ in range(rows)]
    total[0] = list(np.cumsum(apart[0]))
    for i in range(1, rows):
        before, here, cost = total[i - 1], total[i], costs[i]
        here[0] = before[0] + cost[0]
        for j in range(1, columns):
            here[j] = cost[j] + min(before[j - 1], before[j], here[j - 1])
    along = [0] * rows
    i, j = rows - 1, columns - 1
    while i > 0 or j > 0:
        along[i] = j
        steps = [(total[i - 1][j - 1], i - 1, j - 1)] if i and j else []
        steps += [(total[i - 1][j], i - 1, j)] if i else []
        steps += [(total[i][j - 1], i, j - 1)] if j else []
        _, i, j = min(steps)
    return along
