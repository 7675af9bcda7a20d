"""How strongly a tap is felt at a place, relative to a reference tap on the same board.

E(x) = 2 int |F|^2 W^2 sum_q w_q |A_q(x, f)|^2 df over the pupil's patch, summed in twelfths
of an octave; L = 10 lg(E / E_ref).  The reference is a medium tap with the fingertips in the
middle of the board, as the places feel it on average.
"""

from collections.abc import Callable, Iterable
from functools import cached_property
from math import pi

import numpy as np
from attrs import define, field
from numpy.typing import NDArray

from tapscore.board.bands import MODES_BELOW_HZ, band_hz, band_width_hz
from tapscore.board.edges import Edges
from tapscore.board.hands import RUBS
from tapscore.board.kept_modes import GRID, cell_middles, kept_forces, kept_modes
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.plate import Modes
from tapscore.board.point_forces import point_forces
from tapscore.board.pupils import POINTS, Patch, impedance, loaded, modal_mobility
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import USUAL_RUB_SEC, rub_spectrum
from tapscore.board.weighting import felt_weight
from tapscore.model.strokes import Stroke

Array = NDArray[np.float64]
REFERENCE_STROKE = Stroke.FINGERTIPS
REFERENCE_LOUDNESS = 2
_NOTHING_DB = -90.0
_BLOCK = 6


@define(eq=False, slots=False)
class FeltBoard:
    """A board with pupils on it.

    ``rows`` (modes, bands x patches x 9) is the weighted acceleration at every point of
    every patch for a unit force on each mode.
    """

    plate: Plate
    edges: Edges
    patches: tuple[Patch, ...]
    weight: Callable[[Array], Array] = felt_weight
    modes: Modes = field(init=False)
    rows: NDArray[np.complex64] = field(init=False)

    def __attrs_post_init__(self) -> None:
        """Seat the pupils."""
        self.modes = kept_modes(self.plate, self.edges).below(MODES_BELOW_HZ)
        hz = band_hz()
        x = np.concatenate([patch.x_m for patch in self.patches])
        y = np.concatenate([patch.y_m for patch in self.patches])
        share = np.concatenate([patch.share for patch in self.patches])
        gain = 2 * pi * hz * self.weight(hz) * np.sqrt(2 * band_width_hz())
        scale = (gain[:, None] * np.sqrt(share)).astype(np.float32)
        with one_blas_thread():
            mobility = modal_mobility(self.modes.hz, self.plate.loss_factor, hz)
            rows = loaded(self.modes.at(x, y), mobility, impedance(self.patches, hz))
        self.rows = np.asarray(rows * scale[:, :, None])

    def transfer(self, x_m: Array, y_m: Array) -> NDArray[np.float32]:
        """Felt energy for a unit force at each point, shape (patches, bands, points)."""
        shapes = self.modes.at(x_m, y_m).T.astype(np.float32)
        flat = self.rows.reshape(-1, self.rows.shape[-1])
        with one_blas_thread():
            energy = np.square(flat.real @ shapes) + np.square(flat.imag @ shapes)
        return self._summed(energy)

    @cached_property
    def transfer_map(self) -> NDArray[np.float32]:
        """As ``transfer`` on the map's cells, shape (patches, bands, y cells, x cells)."""
        x, y = cell_middles(self.plate.width_m), cell_middles(self.plate.depth_m)
        if not self.modes.mirrored:
            grid_x, grid_y = np.meshgrid(x, y)
            whole = self.transfer(grid_x.ravel(), grid_y.ravel())
            return whole.reshape(*whole.shape[:2], GRID, GRID)
        return self._mirrored_map(x[: GRID // 2], y[: GRID // 2])

    def _mirrored_map(self, x: Array, y: Array) -> NDArray[np.float32]:
        """Find one quarter from even and odd modes, and the others by their signs.

        A few bands at a time, so that the work stays in the processor's cache.
        """
        families = self.modes.families
        counts = [len(family.hz) for family in families]
        ends = np.cumsum(counts)
        shapes = [
            self.modes.family_grid(family, x, y)
            .reshape(len(family.hz), len(x) * len(y))
            .astype(np.float32)
            for family in families
        ]
        bands, patches, half = len(self.rows), len(self.patches), GRID // 2
        whole = np.empty((patches, bands, GRID, GRID), np.float32)
        up, down = slice(None, half), slice(None, half - 1, -1)
        with one_blas_thread():
            for first in range(0, bands, _BLOCK):
                part = slice(first, first + _BLOCK)
                rows = self.rows[part]
                both = np.stack([rows.real, rows.imag]).reshape(-1, ends[-1])
                even_even, even_odd, odd_even, odd_odd = (
                    both[:, end - count : end] @ shape
                    for end, count, shape in zip(ends, counts, shapes, strict=True)
                )
                even, odd = even_even + even_odd, odd_even + odd_odd
                even_even -= even_odd
                odd_even -= odd_odd
                for one, other, over in ((even, odd, up), (even_even, odd_even, down)):
                    for values, across in ((one + other, up), (one - other, down)):
                        quarter = _energy(values, len(rows), patches)
                        whole[:, part, over, across] = quarter.reshape(patches, -1, half, half)
        return whole

    def _summed(self, energy: NDArray[np.float32]) -> NDArray[np.float32]:
        bands, points, _ = self.rows.shape
        split = energy.reshape(bands, points // POINTS, POINTS, -1).sum(axis=2)
        return np.asarray(split.transpose(1, 0, 2))

    @cached_property
    def reference(self) -> float:
        """Energy of the reference tap."""
        x, y = middle_points(self.plate)
        force = self._forces(REFERENCE_STROKE, REFERENCE_LOUDNESS, x, y)
        return float(np.einsum("pbx,xb->px", self.transfer(x, y), force).mean())

    @cached_property
    def free_cells(self) -> NDArray[np.bool_]:
        """Cells (y, x) with their middle under no pupil."""
        x = cell_middles(self.plate.width_m)[None, :]
        y = cell_middles(self.plate.depth_m)[:, None]
        free = np.ones((GRID, GRID), np.bool_)
        for patch in self.patches:
            under_x = (patch.low_m[0] <= x) & (x <= patch.high_m[0])
            free &= ~(under_x & (patch.low_m[1] <= y) & (y <= patch.high_m[1]))
        return free

    def level_db(self, energy: Array) -> Array:
        """Levels in dB relative to the reference tap; nothing felt at all is -90 dB."""
        ratio = np.asarray(energy, float) / self.reference
        return np.asarray(10 * np.log10(np.maximum(ratio, 10 ** (_NOTHING_DB / 10))))

    def levels_db(
        self, stroke: Stroke, loudness: float, x_m: Array, y_m: Array, length_sec: float
    ) -> Array:
        """Levels (patches, points) of one stroke at each point (m), loudness from 0 to 4."""
        if stroke in RUBS:
            return self._rub_levels_db(stroke, loudness, x_m, y_m, length_sec)
        steps, share = steps_about(loudness)
        levels = self.step_levels_db(stroke, steps, x_m, y_m)
        return (1 - share) * levels[steps[0]] + share * levels[steps[-1]]

    def step_levels_db(
        self, stroke: Stroke, steps: Iterable[int], x_m: Array, y_m: Array
    ) -> dict[int, Array]:
        """As ``levels_db`` of a struck stroke for some whole steps of loudness."""
        transfer = self.transfer(x_m, y_m)
        return {
            step: self.level_db(
                np.einsum("pbx,xb->px", transfer, self._forces(stroke, step, x_m, y_m))
            )
            for step in steps
        }

    def _forces(self, stroke: Stroke, step: int, x_m: Array, y_m: Array) -> NDArray[np.float32]:
        return point_forces(self.plate, self.edges, stroke, step, x_m.tolist(), y_m.tolist())

    def _rub_levels_db(
        self, stroke: Stroke, loudness: float, x_m: Array, y_m: Array, length_sec: float
    ) -> Array:
        rub = RUBS[stroke]
        offset = np.linspace(-rub.reach_m, rub.reach_m, 3)
        off_x, off_y = (grid.ravel() for grid in np.meshgrid(offset, offset))
        x = np.clip(np.add.outer(np.asarray(x_m), off_x), 0, self.plate.width_m)
        y = np.clip(np.add.outer(np.asarray(y_m), off_y), 0, self.plate.depth_m)
        transfer = self.transfer(x.ravel(), y.ravel())
        mean = transfer.reshape(*transfer.shape[:2], len(x), -1).mean(axis=3)
        force = rub_spectrum(rub, loudness, length_sec, band_hz())
        return self.level_db(np.einsum("pbx,b->px", mean, force))

    def middle_db(self, stroke: Stroke, loudness: float) -> float:
        """Level of a stroke round the middle of the board, mean energy over the places."""
        x, y = middle_points(self.plate)
        levels = self.levels_db(stroke, loudness, x, y, USUAL_RUB_SEC)
        return float(10 * np.log10(np.mean(10 ** (levels / 10))))

    def map_db(self, stroke: Stroke, loudness: float, length_sec: float = USUAL_RUB_SEC) -> Array:
        """Levels of one stroke on every cell, shape (patches, y cells, x cells)."""
        if stroke in RUBS:
            rub = RUBS[stroke]
            force = rub_spectrum(rub, loudness, length_sec, band_hz())
            energy = np.einsum("pbyx,b->pyx", self.transfer_map, force, optimize=True)
            return self.level_db(_spread(energy, rub.reach_m, self.plate))
        steps, share = steps_about(loudness)
        low, high = (
            self.level_db(
                np.einsum(
                    "pbyx,byx->pyx",
                    self.transfer_map,
                    kept_forces(self.plate, self.edges, stroke, step),
                )
            )
            for step in (steps[0], steps[-1])
        )
        return (1 - share) * low + share * high


def _energy(values: NDArray[np.float32], bands: int, patches: int) -> NDArray[np.float32]:
    """Sum of squares over real and imaginary parts and a patch's points."""
    split = values.reshape(2, bands, patches, POINTS, -1)
    return np.asarray(np.einsum("cbpqx,cbpqx->pbx", split, split))


def steps_about(loudness: float) -> tuple[tuple[int, ...], float]:
    """Whole steps below and above a loudness (0 to 4), and how far it is between them."""
    below = int(loudness)
    share = loudness - below
    return ((below,), 0.0) if share == 0 else ((below, below + 1), share)


def _spread(energy: Array, reach_m: float, plate: Plate) -> Array:
    """Mean over the cells within reach of a moving hand."""
    from scipy.ndimage import uniform_filter  # type: ignore[import-untyped]

    cells = [
        2 * round(reach_m * GRID / length_m) + 1 for length_m in (plate.depth_m, plate.width_m)
    ]
    return np.asarray(uniform_filter(energy, (1, *cells), mode="nearest"))


def middle_points(plate: Plate) -> tuple[Array, Array]:
    """Nine points (m), a cell apart, round the middle of the board."""
    steps = np.array([-1.0, 0.0, 1.0]) / GRID
    x, y = np.meshgrid((0.5 + steps) * plate.width_m, (0.5 + steps) * plate.depth_m)
    return x.ravel(), y.ravel()
