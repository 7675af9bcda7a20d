"""From a force on the board to sound above it: the same modes, heard.

The sheet radiates as in a baffle (Rayleigh's integral; below coincidence everywhere), to a
listener's ear a little to the south of its middle.  Above the highest modes only the
movement right at the hand is heard: a force F on a sheet of mass m a square metre gives
p = rho F / (2 pi r m) (a point force on an unbounded sheet below coincidence).

A spectrum has a line every hertz, so that a sound comes round after a second: long enough for
what a speaker plays, as deeper tones are left out.
"""

from math import hypot, pi

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.cache import kept
from tapscore.board.edges import Edges
from tapscore.board.kept_modes import kept_modes
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.plate import Modes, highest_hz
from tapscore.board.pupils import Patch, impedance, loaded, modal_mobility
from tapscore.board.stiffness import Plate

MODES_HZ = 2000.0
_AIR_KG_M3, _SOUND_M_S = 1.2, 343.0
_EAR_ABOVE_M, _EAR_SOUTH_M = 0.9, 0.5
_BLOCK = 64
_AT_ONCE = 16
_CELLS = (64, 96)


@frozen(eq=False)
class Ear:
    """Sound pressure (Pa) for a unit force on each mode, at the lines of a spectrum.

    ``rows`` (2 x lines, modes) holds real parts, then imaginary ones.
    """

    modes: Modes
    rows: NDArray[np.float32]
    prompt_pa_per_n: float
    """At every frequency: the movement right at the hand."""

    @property
    def lines(self) -> int:
        """How many lines, a hertz apart, from 0 Hz."""
        return len(self.rows) // 2

    def hears(self, x_m: float, y_m: float) -> NDArray[np.complex64]:
        """Pressure for a unit force at a point (m), shape (lines,)."""
        shapes = self.modes.at(np.array([x_m]), np.array([y_m]))[0].astype(np.float32)
        both = self.rows @ shapes
        return np.asarray(both[: self.lines] + 1j * both[self.lines :], np.complex64)


def ear(plate: Plate, edges: Edges, patches: tuple[Patch, ...]) -> Ear:
    """Get ready to hear a board with pupils on it (kept between runs)."""
    seats = tuple((p.low_m, p.high_m, p.mass_kg) for p in patches)
    modes = kept_modes(plate, edges, MODES_HZ)
    made = kept("ear", (plate, edges, seats), lambda: {"rows": _rows(modes, patches)}, {"rows": 2})
    distance_m = hypot(_EAR_ABOVE_M, _EAR_SOUTH_M)
    prompt = _AIR_KG_M3 / (2 * pi * distance_m * plate.mass_kg_per_m2)
    return Ear(modes, made["rows"], prompt)


def _rows(modes: Modes, patches: tuple[Patch, ...]) -> NDArray[np.float32]:
    count = round(highest_hz(modes.plate, modes.edges, MODES_HZ))
    hz = np.arange(float(count))
    weights = rayleigh_weights(modes)
    loss = modes.plate.loss_factor
    rows = np.zeros((2 * count, len(modes.hz)), np.float32)
    if patches:
        x = np.concatenate([patch.x_m for patch in patches])
        y = np.concatenate([patch.y_m for patch in patches])
        shapes = modes.at(x, y)
    with one_blas_thread():
        # there is no sound at 0 Hz, and a board that nothing holds would move there without end
        for start in range(1, count, _BLOCK):
            part = slice(start, min(start + _BLOCK, count))
            mobility = modal_mobility(modes.hz, loss, hz[part])
            heard = 2j * pi * hz[part, None] * weights * mobility
            if patches:
                load = impedance(patches, hz[part])
                moves = loaded(shapes, mobility, load)
                held = ((heard @ shapes.T) * load).astype(np.complex64)
                heard = heard - np.einsum("fp,fpn->fn", held, moves, optimize=True)
            rows[part] = heard.real
            rows[part.start + count : part.stop + count] = heard.imag
    return rows


def rayleigh_weights(modes: Modes) -> NDArray[np.complex128]:
    """Pressure at the ear for a unit acceleration of each mode, shape (modes,).

    Rayleigh's integral rho / (2 pi) int phi e^-jkR / R dS, k at the mode's own frequency.
    """
    plate = modes.plate
    nx, ny = _CELLS
    x = (np.arange(nx) + 0.5) * plate.width_m / nx
    y = (np.arange(ny) + 0.5) * plate.depth_m / ny
    away = np.hypot(x[None, :] - plate.width_m / 2, y[:, None] - plate.depth_m / 2 + _EAR_SOUTH_M)
    distance = np.hypot(away, _EAR_ABOVE_M).ravel()
    cell = plate.width_m * plate.depth_m / (nx * ny)
    weights = []
    for family in modes.families:  # all at once would take 20 MB
        shapes = modes.family_grid(family, x, y).reshape(-1, nx * ny)
        for start in range(0, len(shapes), _AT_ONCE):
            part = slice(start, start + _AT_ONCE)
            k = 2 * pi * family.hz[part, None] / _SOUND_M_S
            kernel = np.exp(-1j * k * (distance - distance.min())) / distance
            weights.append((shapes[part] * kernel).sum(axis=1))
    return np.asarray(np.concatenate(weights) * cell * _AIR_KG_M3 / (2 * pi))
