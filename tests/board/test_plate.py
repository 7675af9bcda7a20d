"""Modes of the plate against exact solutions and published tables."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.edges import CLAMPED, FREE, SIMPLE, Edges, all_sides, elastic
from tapscore.board.plate import solve
from tapscore.board.stiffness import Plate, isotropic
from tests.board.boards import BIRCH, UNIT, first_values
from tests.board.levy import levy_values

SIDES = {"S": SIMPLE, "C": CLAMPED, "F": FREE}


def exact_simple(plate: Plate, count: int) -> np.ndarray:
    """Navier's closed form for simply held sides (Hz), any orthotropic plate."""
    m, n = np.meshgrid(np.arange(1, 90), np.arange(1, 90))
    a, b = m * pi / plate.width_m, n * pi / plate.depth_m
    stiff = (
        plate.d11_nm * a**4
        + 2 * (plate.d12_nm + 2 * plate.d66_nm) * a**2 * b**2
        + plate.d22_nm * b**4
    )
    return np.sort(np.sqrt(stiff / plate.mass_kg_per_m2).ravel() / (2 * pi))[:count]


def test_simply_held_square_is_exact() -> None:
    # Textbook: pi squared times the sum of the squared counts of half waves.
    wanted = sorted(pi**2 * (m * m + n * n) for m in range(1, 6) for n in range(1, 6))[:9]
    assert first_values(all_sides(SIMPLE), 9) == pytest.approx(wanted, rel=1e-8)


@settings(max_examples=15)
@given(
    st.floats(0.4, 1.6),
    st.floats(0.4, 1.6),
    st.floats(1, 100),
    st.floats(1, 100),
    st.floats(-0.3, 0.4),
    st.floats(0.3, 10),
)
def test_simply_held_orthotropic_is_exact(
    width: float, depth: float, d11: float, d22: float, coupling: float, d66: float
) -> None:
    plate = Plate(width, depth, d11, d22, coupling * (d11 * d22) ** 0.5, d66, 2.7)
    wanted = exact_simple(plate, 6)
    found = solve(plate, all_sides(SIMPLE), float(wanted[-1]) * 1.01, (24, 24)).sorted_hz[:6]
    assert found == pytest.approx(wanted, rel=1e-5)


def test_birch_board_below_1_khz_within_a_third_of_a_percent() -> None:
    found = solve(BIRCH, all_sides(SIMPLE), 1000).sorted_hz
    wanted = exact_simple(BIRCH, len(found))
    assert len(found) == int((exact_simple(BIRCH, 4000) < 1000).sum())
    assert found == pytest.approx(wanted, rel=0.0035)
    assert found[:40] == pytest.approx(wanted[:40], rel=1e-6)


@pytest.mark.parametrize("sides", ["CC", "FF", "SC", "CF", "SF"])
def test_levy_solutions(sides: str) -> None:
    # Levy's transcendental equation, solved in levy.py without our code.
    wanted = levy_values(sides[0], sides[1], 110)
    edges = Edges(SIMPLE, SIMPLE, SIDES[sides[0]], SIDES[sides[1]])
    found = first_values(edges, len(wanted))
    assert len(wanted) >= 5
    assert found == pytest.approx(wanted, rel=2e-7)


def test_levy_agrees_with_printed_values() -> None:
    # Leissa, J. Sound Vib. 31 (1973), from memory: SCSC and SFSF.
    assert levy_values("C", "C", 103)[:5] == pytest.approx(
        [28.951, 54.743, 69.327, 94.585, 102.216], abs=6e-4
    )
    assert levy_values("F", "F", 47)[:5] == pytest.approx(
        [9.631, 16.135, 36.726, 38.945, 46.738], abs=6e-4
    )


def test_clamped_square() -> None:
    # Leissa (1973), from memory; upper bounds, a little high.
    wanted = np.array([35.992, 73.413, 73.413, 108.27, 131.64, 132.24])
    found = first_values(all_sides(CLAMPED), 6)
    assert (found <= wanted).all()
    assert found == pytest.approx(wanted, rel=6e-4)


def test_free_square() -> None:
    # Barton (1951), from memory; upper bounds, up to 1 % high.
    wanted = np.array([13.49, 19.79, 24.43, 35.02, 35.02])
    found = first_values(all_sides(FREE), 5)
    assert (found <= wanted).all()
    assert found == pytest.approx(wanted, rel=0.011)


def test_cantilever_square() -> None:
    # Barton (1951), from memory.
    wanted = np.array([3.494, 8.547, 21.44, 27.46, 31.17])
    found = first_values(Edges(CLAMPED, FREE, FREE, FREE), 5)
    assert (found <= wanted).all()
    assert found == pytest.approx(wanted, rel=0.011)


def test_free_plate_moves_as_a_rigid_body_in_three_ways() -> None:
    hz = solve(BIRCH, all_sides(FREE), 300).sorted_hz
    assert hz[:3] == pytest.approx([0, 0, 0], abs=0.01)
    assert hz[3] > 1


def test_elastic_sides_go_from_free_to_simple() -> None:
    soft, middle, hard = (
        solve(BIRCH, all_sides(elastic(k)), 60, (24, 40)).sorted_hz for k in (0.0, 2e4, 1e8)
    )
    free = solve(BIRCH, all_sides(FREE), 60, (24, 40)).sorted_hz
    assert soft[:6] == pytest.approx(free[:6], abs=0.01)
    assert hard[:6] == pytest.approx(exact_simple(BIRCH, 6), rel=2e-3)
    assert (middle[:6] < hard[:6]).all()


def test_corner_supported_square() -> None:
    # 7.111, 15.770, 15.770, 19.596 from memory; corners held by an impedance of very stiff
    # springs on the free plate's modes, so this checks the shapes at corners as well.
    modes = solve(UNIT, all_sides(FREE), 1e6, (22, 22))
    corner = np.array([0.0, 1.0, 0.0, 1.0]), np.array([0.0, 0.0, 1.0, 1.0])
    shapes = modes.at(*corner)
    squares = np.diag((2 * pi * modes.hz) ** 2) + 1e7 * shapes.T @ shapes
    found = np.sqrt(np.linalg.eigvalsh(squares)[:4])
    assert found == pytest.approx([7.111, 15.770, 15.770, 19.596], rel=2e-3)


def test_mode_count_formula() -> None:
    # N(f) about S / 2 sqrt(rho h / sqrt(D11 D22)) f (Courant's law for plates).
    found = len(solve(BIRCH, all_sides(SIMPLE), 1000).hz)
    stiff = (BIRCH.d11_nm * BIRCH.d22_nm) ** 0.5
    area = BIRCH.width_m * BIRCH.depth_m
    wanted = area / 2 * (BIRCH.mass_kg_per_m2 / stiff) ** 0.5 * 1000
    assert found == pytest.approx(wanted, rel=0.06)


def test_mirrored_and_unmirrored_give_the_same() -> None:
    one = solve(BIRCH, all_sides(elastic(1e5)), 200, (20, 30))
    east = Edges(elastic(1e5), elastic(1.0000001e5), elastic(1e5), elastic(1e5))
    other = solve(BIRCH, east, 200, (20, 30))
    assert (len(one.families), len(other.families)) == (4, 2)
    assert one.sorted_hz == pytest.approx(other.sorted_hz, rel=1e-5)


def test_shapes_are_orthonormal_by_mass() -> None:
    modes = solve(BIRCH, Edges(SIMPLE, FREE, CLAMPED, elastic(3e4)), 120)
    nodes, weights = np.polynomial.legendre.leggauss(60)
    x = (nodes + 1) / 2 * BIRCH.width_m
    shapes = modes.grid(x, x).reshape(len(modes.hz), -1)
    mass = np.outer(weights, weights).ravel() * BIRCH.mass_kg / 4
    assert (shapes * mass) @ shapes.T == pytest.approx(np.eye(len(shapes)), abs=1e-9)


def test_sides_are_held() -> None:
    modes = solve(BIRCH, Edges(SIMPLE, CLAMPED, FREE, SIMPLE), 150)
    y = np.linspace(0.1, 1.1, 5)
    west, east = modes.at(np.zeros(5), y), modes.at(np.full(5, BIRCH.width_m), y)
    near = modes.at(np.full(5, BIRCH.width_m - 1e-5), y)
    assert np.abs(west).max() < 1e-9
    assert np.abs(east).max() < 1e-9
    assert np.abs(near).max() < 1e-6
    assert np.abs(modes.at(y, np.zeros(5))).max() > 0.1


def test_deflection_under_even_load() -> None:
    # Timoshenko, Theory of Plates and Shells, from memory: 0.00406 and 0.00126 q a^4 / D.
    nodes, weights = np.polynomial.legendre.leggauss(40)
    middle = np.array([0.5])
    for edge, wanted in ((SIMPLE, 0.00406), (CLAMPED, 0.00126)):
        modes = solve(UNIT, all_sides(edge), 1e6, (22, 22))
        shapes = modes.grid((nodes + 1) / 2, (nodes + 1) / 2)
        load = np.einsum("nyx,y,x->n", shapes, weights, weights) / 4
        found = float(modes.at(middle, middle)[0] @ (load / (2 * pi * modes.hz) ** 2))
        assert found == pytest.approx(wanted, abs=6e-6)


def test_impossible_plates_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        isotropic(1, -1, 1, 0.3, 1)
    with pytest.raises(ValueError, match="d12"):
        Plate(1, 1, 1, 1, 1.2, 0.4, 1)
    with pytest.raises(ValueError, match="0 or more"):
        elastic(-1)
