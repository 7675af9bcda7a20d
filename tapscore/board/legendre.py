"""Orthonormal Legendre polynomials on [-1, 1] and the matrices of a beam in them.

p_i = sqrt((2 i + 1) / 2) P_i.  Matrices hold the integrals of p_i^(r) p_j^(s), exact from
the expansion P_j' = sum of (2 k + 1) P_k over k = j - 1, j - 3 ... (a standard identity).
"""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.edges import Edge, EdgeSupport

Matrix = NDArray[np.float64]


def derivative(count: int) -> Matrix:
    """Coefficients (count, count) of the derivative: p_j' = sum_k D[k, j] p_k."""
    k, j = np.ogrid[:count, :count]
    lower = (k < j) & ((j - k) % 2 == 1)
    return np.where(lower, np.sqrt((2 * k + 1.0) * (2 * j + 1.0)), 0.0)


def values(count: int, xi: NDArray[np.float64]) -> Matrix:
    """Values (points, count) of the polynomials at ``xi`` in [-1, 1]."""
    p = np.empty((len(xi), count))
    p[:, 0] = 1.0
    if count > 1:
        p[:, 1] = xi
    for n in range(1, count - 1):
        p[:, n + 1] = ((2 * n + 1) * xi * p[:, n] - n * p[:, n - 1]) / (n + 1)
    return p * np.sqrt((2 * np.arange(count) + 1) / 2)


def end_values(count: int, end: int) -> Matrix:
    """Values (count,) of the polynomials at ``end``, -1 or 1."""
    i = np.arange(count)
    return np.sqrt((2 * i + 1) / 2) * np.float64(end) ** i


@frozen(eq=False)
class Beam:
    """Functions of one direction that keep its end conditions, and their integrals.

    ``basis`` (polynomials, functions) has orthonormal columns.  ``m00`` is the identity.
    """

    basis: Matrix
    m11: Matrix
    m02: Matrix
    """Integral of f_i f_j''."""
    m22: Matrix
    springs: Matrix
    """Sum over elastic ends of stiffness times f_i f_j there (N/m^2)."""


def beams(count: int, low: Edge, high: Edge) -> tuple[Beam, ...]:
    """Even and odd functions if both ends are alike, else all in one."""
    if low == high:
        return tuple(_beam(count, low, high, range(parity, count, 2)) for parity in (0, 1))
    return (_beam(count, low, high, range(count)),)


def _beam(count: int, low: Edge, high: Edge, used: range) -> Beam:
    d1 = derivative(count)
    d2 = d1 @ d1
    pick = np.eye(count)[:, used]
    rows = []
    springs = np.zeros((len(used), len(used)))
    mirrored = low == high
    for edge, end in ((high, 1),) if mirrored else ((low, -1), (high, 1)):
        at_end = end_values(count, end)
        if edge.support in (EdgeSupport.SIMPLE, EdgeSupport.CLAMPED):
            rows.append(at_end @ pick)
        if edge.support is EdgeSupport.CLAMPED:
            rows.append(at_end @ d1 @ pick)
        if edge.support is EdgeSupport.ELASTIC:
            both = 2.0 if mirrored else 1.0
            springs += both * edge.stiffness_n_per_m2 * np.outer(at_end @ pick, at_end @ pick)
    basis = pick @ _null_space(np.array(rows), len(used)) if rows else pick
    inner = basis[list(used)]
    first, second = d1 @ basis, d2 @ basis
    return Beam(
        basis, first.T @ first, basis.T @ second, second.T @ second, inner.T @ springs @ inner
    )


def _null_space(rows: Matrix, count: int) -> Matrix:
    q, _ = np.linalg.qr(rows.T, mode="complete")
    return np.asarray(q[:count, len(rows) :])
