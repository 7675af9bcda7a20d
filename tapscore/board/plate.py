"""Modes of the board by Rayleigh and Ritz in orthonormal Legendre polynomials.

w = sum of a_ij p_i(xi) p_j(eta).  End conditions are kept by a null space in each direction,
so the mass matrix is a multiple of the identity; sides held alike split the problem by parity
into small ones.  Kirchhoff's thin plate: no shear, no air, small movements.
"""

from math import ceil, pi, prod, sqrt

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.edges import Edges
from tapscore.board.legendre import Beam, Matrix, beams, values
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.stiffness import Plate

_MARGIN = 4
_FEWEST = 14
_MOST_FUNCTIONS = 4200
"""So many functions of both directions take about a second, in four families."""
FEWEST_MODES = 12
"""Kept however high they are: a very stiff board bends by them all the same."""


@frozen(eq=False)
class Family:
    """Modes alike in parity: shapes[n, i, j] in the functions of two beams."""

    hz: NDArray[np.float64]
    shapes: NDArray[np.float64]
    across: Matrix
    """(polynomials in x, functions)."""
    along: Matrix
    """(polynomials in y, functions)."""


@frozen(eq=False)
class Modes:
    """Modes of a plate, each of modal mass 1 kg, by family.

    ``hz`` (modes,) is in the order of the families, not sorted: use ``sorted_hz``.
    """

    plate: Plate
    edges: Edges
    families: tuple[Family, ...]

    @property
    def hz(self) -> NDArray[np.float64]:
        """Natural frequencies in Hz, family after family."""
        return np.concatenate([family.hz for family in self.families])

    @property
    def sorted_hz(self) -> NDArray[np.float64]:
        """Natural frequencies in Hz, lowest first."""
        return np.sort(self.hz)

    @property
    def mirrored(self) -> bool:
        """Whether the families are even and odd in both directions."""
        return len(self.families) == 4

    def at(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Shapes (points, modes) in kg^-1/2 at points in metres from the south-west corner."""
        plate = self.plate
        xi = 2 * np.asarray(x_m, float) / plate.width_m - 1
        eta = 2 * np.asarray(y_m, float) / plate.depth_m - 1
        parts = []
        in_x = values(len(self.families[0].across), xi)
        in_y = values(len(self.families[0].along), eta)
        for family in self.families:
            px, py = in_x @ family.across, in_y @ family.along
            count, nx, ny = family.shapes.shape
            rows = (family.shapes.reshape(count * nx, ny) @ py.T).reshape(count, nx, len(eta))
            parts.append(np.einsum("nip,pi->pn", rows, px, optimize=True))
        return np.concatenate(parts, axis=1)

    def grid(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Shapes (modes, len(y), len(x)) in kg^-1/2 on a grid."""
        return np.concatenate([self.family_grid(family, x_m, y_m) for family in self.families])

    def family_grid(
        self, family: Family, x_m: NDArray[np.float64], y_m: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Shapes (modes of the family, len(y), len(x)) on a grid."""
        px = values(len(family.across), 2 * x_m / self.plate.width_m - 1) @ family.across
        py = values(len(family.along), 2 * y_m / self.plate.depth_m - 1) @ family.along
        grid: NDArray[np.float64] = np.matmul(py, np.matmul(family.shapes.transpose(0, 2, 1), px.T))
        return grid

    def below(self, limit_hz: float) -> "Modes":
        """Only the modes below a frequency, or the lowest few of a very stiff board."""
        lowest = self.sorted_hz[:FEWEST_MODES]
        limit_hz = max(limit_hz, float(lowest[-1]) * (1 + 1e-9))
        kept = tuple(
            Family(f.hz[f.hz < limit_hz], f.shapes[f.hz < limit_hz], f.across, f.along)
            for f in self.families
        )
        return Modes(self.plate, self.edges, kept)


def polynomial_counts(plate: Plate, limit_hz: float) -> tuple[int, int]:
    """How many polynomials in x and y hold the waves of a frequency within about 0.3 %."""
    omega = 2 * pi * limit_hz
    counts = []
    for length, stiffness in ((plate.width_m, plate.d11_nm), (plate.depth_m, plate.d22_nm)):
        wave_number = (omega**2 * plate.mass_kg_per_m2 / stiffness) ** 0.25
        counts.append(max(ceil(wave_number * length / 2) + _MARGIN, _FEWEST))
    return counts[0], counts[1]


def highest_hz(plate: Plate, edges: Edges, wanted_hz: float) -> float:
    """The wanted frequency, or a lower one where a large thin board would take too long.

    The work grows with the third power of a family's size, so that sides held differently,
    which leave one family or two, are given fewer functions.
    """
    families = (2 if edges.alike_west_east else 1) * (2 if edges.alike_south_north else 1)
    most = _MOST_FUNCTIONS * (families / 4) ** (2 / 3)
    hz = wanted_hz
    while prod(polynomial_counts(plate, hz)) > most:
        hz *= 0.9
    return hz


def solve(
    plate: Plate, edges: Edges, limit_hz: float, counts: tuple[int, int] | None = None
) -> Modes:
    """Find the modes of ``plate`` below ``limit_hz``, rigid movements (0 Hz) included.

    A board with only a few modes there gets its lowest ``FEWEST_MODES`` all the same.
    """
    counts = counts or polynomial_counts(plate, limit_hz)
    found = _solve(plate, edges, limit_hz, counts)
    if len(found.hz) >= FEWEST_MODES:
        return found
    return _solve(plate, edges, np.inf, counts).below(limit_hz)


def _solve(plate: Plate, edges: Edges, limit_hz: float, counts: tuple[int, int]) -> Modes:
    nx, ny = counts
    mass = plate.mass_kg_per_m2 * plate.width_m * plate.depth_m / 4
    with one_blas_thread():
        families = tuple(
            _family(plate, across, along, limit_hz, mass)
            for across in beams(nx, edges.west, edges.east)
            for along in beams(ny, edges.south, edges.north)
        )
    return Modes(plate, edges, families)


def _family(plate: Plate, across: Beam, along: Beam, limit_hz: float, mass: float) -> Family:
    # numpy's solver finds all modes in less time than scipy's some, and loads no second BLAS
    squared, vectors = np.linalg.eigh(_stiffness(plate, across, along))
    count = int(np.searchsorted(squared, (2 * pi * limit_hz) ** 2, side="right"))
    hz = np.sqrt(np.maximum(squared[:count], 0.0)) / (2 * pi)
    nx, ny = len(across.m11), len(along.m11)
    shapes = vectors[:, :count].T.reshape(count, nx, ny) / sqrt(mass)
    return Family(hz, shapes, across.basis, along.basis)


def _stiffness(plate: Plate, across: Beam, along: Beam) -> Matrix:
    """Stiffness over mass (1/s^2), a symmetric matrix."""
    sx, sy = 2 / plate.width_m, 2 / plate.depth_m
    one_x, one_y = np.eye(len(across.m11)), np.eye(len(along.m11))
    matrix = np.kron(plate.d11_nm * sx**4 * across.m22 + sx * across.springs, one_y)
    matrix += np.kron(one_x, plate.d22_nm * sy**4 * along.m22 + sy * along.springs)
    coupled = np.kron(across.m02, (plate.d12_nm * sx**2 * sy**2) * along.m02.T)
    matrix += coupled
    matrix += coupled.T
    matrix += np.kron(across.m11, (4 * plate.d66_nm * sx**2 * sy**2) * along.m11)
    return np.asarray(matrix / plate.mass_kg_per_m2, np.float64)
