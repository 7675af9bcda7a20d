"""Pupils on the board: heavy, springy, and far stronger than the sheet.

A pupil is an apparent mass: 5 % rigid, the rest on a spring and damper (7 Hz, damping 0.45;
from memory of studies with adults, no data for children found), spread over a patch of
3 x 3 Gauss points.  The load is solved exactly: B = (I + Y Z)^-1 Y.
"""

from math import pi

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.bodies import Body, bodies_on
from tapscore.model.board import Board

Complex = NDArray[np.complex128]

RIGID_SHARE = 0.05
BODY_HZ = 7.0
BODY_DAMPING = 0.45
POINTS = 9
_GAUSS = (-(0.6**0.5), 0.0, 0.6**0.5)
_GAUSS_WEIGHTS = (5 / 18, 8 / 18, 5 / 18)


@frozen(eq=False)
class Patch:
    """Where a pupil rests: nine points (m) and the share of the load on each."""

    name: str
    x_m: NDArray[np.float64]
    y_m: NDArray[np.float64]
    share: NDArray[np.float64]
    mass_kg: float
    low_m: tuple[float, float]
    high_m: tuple[float, float]


def patches_on(board: Board) -> tuple[Patch, ...]:
    """The parts of the sheet under the pupils on it.

    A body over the edge keeps its whole mass on the part that is on the board.
    """
    return tuple(_patch(body, board) for body in bodies_on(board))


def _patch(body: Body, board: Board) -> Patch:
    west, south, east, north = (side / 1000 for side in body.box)
    low = max(west, 0.0), max(south, 0.0)
    high = min(east, float(board.width_mm) / 1000), min(north, float(board.depth_mm) / 1000)
    xs = [(low[0] + high[0]) / 2 + g * (high[0] - low[0]) / 2 for g in _GAUSS]
    ys = [(low[1] + high[1]) / 2 + g * (high[1] - low[1]) / 2 for g in _GAUSS]
    grid_x, grid_y = np.meshgrid(xs, ys)
    share = np.outer(_GAUSS_WEIGHTS, _GAUSS_WEIGHTS)
    name, mass_kg = body.place.name, body.build.mass_kg
    return Patch(name, grid_x.ravel(), grid_y.ravel(), share.ravel(), mass_kg, low, high)


def apparent_mass(hz: NDArray[np.float64]) -> Complex:
    """Force over acceleration, as a share of the pupil's mass (time factor e^jwt)."""
    ratio = np.asarray(hz) / BODY_HZ
    damper = 2j * BODY_DAMPING * ratio
    return np.asarray(RIGID_SHARE + (1 - RIGID_SHARE) * (1 + damper) / (1 - ratio**2 + damper))


def impedance(patches: tuple[Patch, ...], hz: NDArray[np.float64]) -> Complex:
    """Force over velocity (N s/m) at every point of every patch, shape (bands, points)."""
    per_kg = 2j * pi * hz * apparent_mass(hz)
    masses = np.concatenate([patch.mass_kg * patch.share for patch in patches])
    return np.asarray(per_kg[:, None] * masses)


def modal_mobility(
    modes_hz: NDArray[np.float64], loss_factor: float, hz: NDArray[np.float64]
) -> Complex:
    """Velocity over force of each mode of 1 kg, shape (bands, modes)."""
    omega, natural = 2 * pi * hz[:, None], 2 * pi * modes_hz
    return np.asarray(1j * omega / (natural**2 * (1 + 1j * loss_factor) - omega**2))


def loaded(shapes: NDArray[np.float64], mobility: Complex, load: Complex) -> NDArray[np.complex64]:
    """Velocity at the loaded points for a unit force on each mode, shape (bands, points, modes).

    ``shapes`` (points, modes) of the points, ``mobility`` (bands, modes), ``load``
    (bands, points).  Times the shapes of a tapped point it is a row of B = (I + Y Z)^-1 Y.
    Solved in double precision, given in single.
    """
    system = coupling(shapes, mobility) * load[:, None, :]
    points = np.arange(len(shapes))
    system[:, points, points] += 1
    solved = np.linalg.inv(system).astype(np.complex64)
    free = shapes.astype(np.float32) * mobility.astype(np.complex64)[:, None, :]
    return np.asarray(solved @ free)


def coupling(shapes: NDArray[np.float64], mobility: Complex) -> Complex:
    """Y: velocity at one point for a unit force at another, (bands, points, points)."""
    points = len(shapes)
    first, second = np.triu_indices(points)
    products = (shapes[first] * shapes[second]).T
    pairs = mobility.real @ products + 1j * (mobility.imag @ products)
    y = np.empty((len(mobility), points, points), complex)
    y[:, first, second] = pairs
    y[:, second, first] = pairs
    return y
