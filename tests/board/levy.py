"""Levy's solution for plates simply held in the west and east, worked out on its own.

w = Y(y) sin(m pi x) on a unit square, D = rho h = 1: Y'''' - 2 k^2 Y'' + (k^4 - s^2) Y = 0
with k = m pi, s = lambda^2.  Four end conditions give a determinant whose zeros are wanted.
"""

from collections.abc import Callable
from math import cos, cosh, exp, pi, sin, sinh, sqrt

import numpy as np
from scipy.optimize import brentq  # type: ignore[import-untyped]

POISSON = 0.3


def levy_values(south: str, north: str, highest: float) -> list[float]:
    """All lambda^2 below ``highest`` for sides "S", "C" or "F", lowest first."""
    found = []
    for m in range(1, int(sqrt(highest) / pi) + 3):
        k = m * pi
        grid = np.linspace(1.0, highest, 6000)
        dets = [_determinant(k, s, south, north) for s in grid]
        for s0, s1, d0, d1 in zip(grid, grid[1:], dets, dets[1:], strict=False):
            if d0 * d1 < 0:
                found.append(
                    brentq(lambda s, k=k: _determinant(k, s, south, north), s0, s1, xtol=1e-12)
                )
    return sorted(found)


def _determinant(k: float, s: float, south: str, north: str) -> float:
    rows = [*_conditions(south, k, s, 0.0), *_conditions(north, k, s, 1.0)]
    matrix = np.array(rows)
    return float(np.linalg.det(matrix / np.abs(matrix).max(axis=1, keepdims=True)))


def _conditions(side: str, k: float, s: float, y: float) -> list[list[float]]:
    d = [[f(n, y) for f in _functions(k, s)] for n in range(4)]
    if side == "S":
        return [d[0], d[2]]
    if side == "C":
        return [d[0], d[1]]
    moment = [a - POISSON * k**2 * b for a, b in zip(d[2], d[0], strict=True)]
    shear = [a - (2 - POISSON) * k**2 * b for a, b in zip(d[3], d[1], strict=True)]
    return [moment, shear]


def _functions(k: float, s: float) -> tuple[Callable[[int, float], float], ...]:
    a = sqrt(s + k**2)
    square = s - k**2
    b = sqrt(abs(square)) or 1e-9

    def up(n: int, y: float) -> float:
        return a**n * exp(-a * (1 - y))

    def down(n: int, y: float) -> float:
        return (-a) ** n * exp(-a * y)

    def even(n: int, y: float) -> float:
        if square > 0:
            return b**n * (cos, lambda v: -sin(v), lambda v: -cos(v), sin)[n](b * y)
        return b**n * (cosh if n % 2 == 0 else sinh)(b * y)

    def odd(n: int, y: float) -> float:
        if square > 0:
            return b ** (n - 1) * (sin, cos, lambda v: -sin(v), lambda v: -cos(v))[n](b * y)
        return b ** (n - 1) * (sinh if n % 2 == 0 else cosh)(b * y)

    return up, down, even, odd
