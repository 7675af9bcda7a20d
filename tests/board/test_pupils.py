"""Pupils' load: exact, reciprocal, and balanced in energy."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from tapscore.board.edges import SIMPLE, all_sides
from tapscore.board.plate import solve
from tapscore.board.pupils import (
    BODY_HZ,
    Patch,
    apparent_mass,
    coupling,
    impedance,
    loaded,
    modal_mobility,
)
from tapscore.model.board import Place
from tests.board.boards import BIRCH, at, patches_at

MODES = solve(BIRCH, all_sides(SIMPLE), 300)
HZ = np.array([9.0, 23.0, 61.0, 140.0, 260.0])
places = st.tuples(st.floats(80, 1120), st.floats(80, 1120), st.booleans())
points = st.tuples(st.floats(0.05, 1.15), st.floats(0.05, 1.15))


def seated(*wanted: tuple[float, float, bool]) -> tuple[Patch, ...]:
    places = (Place(chr(65 + i), at(x, y), lying) for i, (x, y, lying) in enumerate(wanted))
    return patches_at(*places)


def response(patches: tuple[Patch, ...], x: float, y: float) -> NDArray[np.complex128]:
    """Modal velocities (bands, modes) for 1 N at a point, solved in the modes themselves."""
    shapes = MODES.at(*joined(patches))
    load = impedance(patches, HZ)
    mobility = modal_mobility(MODES.hz, BIRCH.loss_factor, HZ)
    tapped = MODES.at(np.array([x]), np.array([y]))[0]
    return np.array(
        [
            np.linalg.solve(np.diag(1 / y) + (shapes.T * z) @ shapes, tapped)
            for y, z in zip(mobility, load, strict=True)
        ]
    )


def joined(patches: tuple[Patch, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.concatenate([p.x_m for p in patches]), np.concatenate([p.y_m for p in patches])


@settings(max_examples=12)
@given(st.lists(places, min_size=1, max_size=3), points)
def test_load_is_exact(wanted: list[tuple[float, float, bool]], tap: tuple[float, float]) -> None:
    # The same system in modal coordinates, without the Woodbury form that the code uses.
    patches = seated(*wanted)
    shapes = MODES.at(*joined(patches))
    mobility = modal_mobility(MODES.hz, BIRCH.loss_factor, HZ)
    tapped = MODES.at(np.array([tap[0]]), np.array([tap[1]]))[0]
    found = loaded(shapes, mobility, impedance(patches, HZ)) @ tapped
    exact = response(patches, *tap) @ shapes.T
    assert found == pytest.approx(exact, abs=2e-4 * np.abs(exact).max())


@settings(max_examples=12)
@given(st.lists(places, min_size=1, max_size=3), points, points)
def test_tap_and_place_can_be_swapped(
    wanted: list[tuple[float, float, bool]],
    one: tuple[float, float],
    other: tuple[float, float],
) -> None:
    # Reciprocity (Rayleigh): velocity there for a force here is the same the other way.
    patches = seated(*wanted)
    here, there = (MODES.at(np.array([x]), np.array([y]))[0] for x, y in (one, other))
    forth, back = response(patches, *one) @ there, response(patches, *other) @ here
    assert forth == pytest.approx(back, rel=1e-8, abs=1e-12)


@settings(max_examples=12)
@given(st.lists(places, min_size=1, max_size=3), points)
def test_energy_is_balanced(
    wanted: list[tuple[float, float, bool]], tap: tuple[float, float]
) -> None:
    # Power put in at the tap is lost in the sheet and in the pupils, and nowhere else.
    patches = seated(*wanted)
    tapped = MODES.at(np.array([tap[0]]), np.array([tap[1]]))[0]
    shapes = MODES.at(*joined(patches))
    load = impedance(patches, HZ)
    mobility = modal_mobility(MODES.hz, BIRCH.loss_factor, HZ)
    at_pupils = loaded(shapes, mobility, load) @ tapped
    modal = mobility * (tapped - (at_pupils * load) @ shapes)
    put_in = (modal @ tapped).real / 2
    omega = 2 * pi * HZ[:, None]
    stiff = BIRCH.loss_factor * (2 * pi * MODES.hz) ** 2 / omega
    in_sheet = (stiff * np.abs(modal) ** 2).sum(axis=1) / 2
    in_pupils = (load.real * np.abs(at_pupils) ** 2).sum(axis=1) / 2
    assert (put_in > 0).all()
    assert put_in == pytest.approx(in_sheet + in_pupils, rel=2e-3)


def test_coupling_is_symmetric() -> None:
    shapes = MODES.at(*joined(seated((300, 300, False), (800, 700, True))))
    y = coupling(shapes, modal_mobility(MODES.hz, 0.03, HZ))
    assert y == pytest.approx(y.transpose(0, 2, 1))
    assert (np.diagonal(y, axis1=1, axis2=2).real > 0).all()


def test_apparent_mass() -> None:
    # A spring-borne mass: its whole weight when slow, its rigid part alone when fast.
    slow, body, fast = np.abs(apparent_mass(np.array([0.05, BODY_HZ, 5000.0])))
    assert slow == pytest.approx(1, abs=1e-3)
    assert 1.2 < body < 1.6
    assert fast == pytest.approx(0.05, abs=2e-3)
    assert (apparent_mass(np.linspace(1, 300, 99)).imag < 0).all()


def test_pupils_are_heavy_beside_the_sheet() -> None:
    # Far above 8 sqrt(D rho h), an unbounded sheet's impedance (Cremer, Heckl and Petersson,
    # Structure-borne sound; from memory).
    sheet = 8 * ((BIRCH.d11_nm * BIRCH.d22_nm) ** 0.5 * BIRCH.mass_kg_per_m2) ** 0.5
    whole = np.abs(impedance(seated((600, 600, False)), HZ).sum(axis=1))
    assert (whole > 5 * sheet).all()


def test_patches() -> None:
    (patch,) = patches_at(Place("A", at(600, 600)))
    assert patch.share.sum() == pytest.approx(1)
    assert (patch.share @ patch.x_m, patch.share @ patch.y_m) == pytest.approx((0.6, 0.6))
    # Three Gauss points are exact to the fifth power.
    assert patch.share @ (patch.x_m - 0.6) ** 4 == pytest.approx(0.134**4 / 5)
    assert patches_at(Place("A", at(600, 1300))) == ()
    (corner,) = patches_at(Place("A", at(0, 0)))
    assert (corner.low_m, corner.high_m) == ((0.0, 0.0), (0.134, 0.134))
    # As long and as wide as the one body is (five years: 1.092 m, shoulders 0.268 m).
    (lying,) = patches_at(Place("A", at(600, 600), True, "north"))
    assert lying.low_m == pytest.approx((0.466, 0.054))
    assert lying.high_m == pytest.approx((0.734, 1.146))
    assert lying.mass_kg == 18.5
