"""The felt level: sums of bands, maps, references."""

from math import pi

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.bands import HIGHEST_HZ, LOWEST_HZ, band_hz
from tapscore.board.default_board import DEFAULT_BOARD, DEFAULT_EDGES
from tapscore.board.edges import SIMPLE, Edges, elastic
from tapscore.board.felt import FeltBoard, middle_points
from tapscore.board.hands import RUBS
from tapscore.board.kept_modes import cell_middles, kept_forces, kept_modes
from tapscore.board.pupils import Patch, impedance, loaded, modal_mobility
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import energy_spectrum, rub_spectrum, struck
from tapscore.board.weighting import felt_weight
from tapscore.model.board import Board, Place
from tapscore.model.strokes import Stroke
from tests.board.boards import BIRCH, at, patches_at


def seated(*points: tuple[float, float], board: Board = DEFAULT_BOARD) -> tuple[Patch, ...]:
    places = (Place(chr(65 + i), at(x, y)) for i, (x, y) in enumerate(points))
    return patches_at(*places, board=board)


BOARD = FeltBoard(BIRCH, DEFAULT_EDGES, seated((350, 500), (850, 800)))


@pytest.mark.parametrize("stroke", [Stroke.FINGERTIPS, Stroke.FLAT_HAND, Stroke.KNUCKLES])
def test_twelfths_of_an_octave_agree_with_the_whole_signal(stroke: Stroke) -> None:
    # Parseval: the energy of the weighted acceleration, here from a line every 0.05 Hz.  The
    # board's notes: within 0.06 dB.
    x, y = np.array([0.3, 0.62, 1.0]), np.array([0.25, 0.58, 0.4])
    half = 2 ** (1 / 24)
    hz = np.arange(LOWEST_HZ / half, HIGHEST_HZ * half, 0.05)
    modes = kept_modes(BIRCH, DEFAULT_EDGES)
    force = energy_spectrum(struck(modes, stroke, 2, x, y), hz)
    shapes = BOARD.modes.at(
        *(np.concatenate([getattr(p, c) for p in BOARD.patches]) for c in ("x_m", "y_m"))
    )
    gain = (2 * pi * hz * felt_weight(hz)) ** 2
    tapped = BOARD.modes.at(x, y).T
    fine = np.zeros((2, 3))
    for part in np.array_split(np.arange(len(hz)), 40):
        mobility = modal_mobility(BOARD.modes.hz, BIRCH.loss_factor, hz[part])
        moved = loaded(shapes, mobility, impedance(BOARD.patches, hz[part])) @ tapped
        weighted = np.abs(moved.reshape(len(part), 2, 9, 3)) ** 2
        share = np.array([patch.share for patch in BOARD.patches])
        energy = np.einsum("fpqx,pq,f,xf->px", weighted, share, gain[part], force[:, part])
        fine += 2 * energy * 0.05
    found = BOARD.levels_db(stroke, 2, x, y, 0.5)
    assert found == pytest.approx(BOARD.level_db(fine), abs=0.06)


@pytest.mark.parametrize("west", [1e5, 1.1e5])
def test_map_holds_what_points_get(west: float) -> None:
    """Mirrored edges and others, on a sheet that is longer than wide."""
    long = evolve(BIRCH, width_m=1.5 * BIRCH.depth_m)
    edges = Edges(elastic(1e5), elastic(west), SIMPLE, SIMPLE)
    board = FeltBoard(long, edges, BOARD.patches)
    x, y = cell_middles(long.width_m), cell_middles(long.depth_m)
    rows, columns = np.array([2, 9, 20, 31]), np.array([30, 4, 17, 3])
    for stroke in (Stroke.FINGERTIPS, Stroke.HEEL_OF_HAND):
        for loudness in (0.0, 2.0, 2.5, 4.0):
            whole = board.map_db(stroke, loudness)[:, rows, columns]
            found = board.levels_db(stroke, loudness, x[columns], y[rows], 0.5)
            assert found == pytest.approx(whole, abs=1e-3)


def test_a_moving_hand_is_felt_as_the_mean_of_where_it_goes() -> None:
    """Nine points round where it moves: its reach to each side, and none."""
    rub, x_m, y_m = RUBS[Stroke.SCRATCH], 0.25, 0.6
    reach = rub.reach_m * np.array([-1.0, 0.0, 1.0])
    xs, ys = (grid.ravel() for grid in np.meshgrid(x_m + reach, y_m + reach))
    mean = BOARD.transfer(xs, ys).mean(axis=2)
    wanted = BOARD.level_db(mean @ rub_spectrum(rub, 2, 0.5, band_hz()))
    found = BOARD.levels_db(Stroke.SCRATCH, 2, np.array([x_m]), np.array([y_m]), 0.5)
    assert found[:, 0] == pytest.approx(wanted, abs=1e-3)


def test_unlike_sides_give_an_unmirrored_map_near_the_mirrored_one() -> None:
    one = Edges(elastic(1e5), elastic(1e5), SIMPLE, SIMPLE)
    other = Edges(elastic(1e5), elastic(1.0001e5), SIMPLE, SIMPLE)
    maps = [
        FeltBoard(BIRCH, edges, BOARD.patches).map_db(Stroke.KNUCKLES, 2) for edges in (one, other)
    ]
    assert maps[0] == pytest.approx(maps[1], abs=0.05)


def test_symmetric_board_has_a_symmetric_map() -> None:
    board = FeltBoard(BIRCH, DEFAULT_EDGES, seated((600, 600)))
    for stroke in Stroke:
        whole = board.map_db(stroke, 2)[0]
        assert whole == pytest.approx(whole[::-1], abs=2e-3)
        assert whole == pytest.approx(whole[:, ::-1], abs=2e-3)
    pair = FeltBoard(BIRCH, DEFAULT_EDGES, seated((300, 600), (900, 600))).map_db(Stroke.SWEEP, 2)
    assert pair[0] == pytest.approx(pair[1][:, ::-1], abs=2e-3)


def test_grain_runs_the_other_way_when_the_board_is_turned() -> None:
    turned = Plate(1.2, 1.2, BIRCH.d22_nm, BIRCH.d11_nm, BIRCH.d12_nm, BIRCH.d66_nm, 2.72)
    one = FeltBoard(BIRCH, DEFAULT_EDGES, seated((300, 500))).map_db(Stroke.FINGERTIPS, 2)
    other = FeltBoard(turned, DEFAULT_EDGES, seated((500, 300))).map_db(Stroke.FINGERTIPS, 2)
    assert one[0] == pytest.approx(other[0].T, abs=0.01)
    untouched = FeltBoard(turned, DEFAULT_EDGES, seated((300, 500))).map_db(Stroke.FINGERTIPS, 2)
    assert np.abs(one - untouched).max() > 6


def test_reference_tap_is_nought() -> None:
    x, y = middle_points(BIRCH)
    levels = BOARD.levels_db(Stroke.FINGERTIPS, 2, x, y, 0.5)
    assert 10 * np.log10(np.mean(10 ** (levels / 10))) == pytest.approx(0, abs=1e-4)
    assert BOARD.middle_db(Stroke.FINGERTIPS, 2) == pytest.approx(0, abs=1e-4)


@settings(max_examples=25)
@given(
    st.sampled_from(list(Stroke)),
    st.floats(0, 3.9),
    st.floats(0.02, 1.18),
    st.floats(0.02, 1.18),
)
def test_louder_is_felt_more(stroke: Stroke, loudness: float, x: float, y: float) -> None:
    point = np.array([x]), np.array([y])
    soft = BOARD.levels_db(stroke, loudness, *point, 0.5)
    loud = BOARD.levels_db(stroke, loudness + 0.1, *point, 0.5)
    assert (loud > soft).all()
    if stroke in RUBS:
        assert loud - soft == pytest.approx(np.full((2, 1), 0.35), abs=1e-3)
    else:
        # A step is 5 dB more speed; as the contact gets shorter too, 3 to 8 dB are felt.
        assert ((loud - soft > 0.3) & (loud - soft < 0.8)).all()


def test_edge_on_its_strip_gives_nothing() -> None:
    levels = BOARD.levels_db(Stroke.KNUCKLES, 2, np.array([0.0]), np.array([0.6]), 0.5)
    assert (levels <= -60).all()


def test_pupils_change_the_order_of_spots() -> None:
    # No source but the model: the whole level falls where a pupil's weight lies, and the order
    # of places changes with it.
    alone = FeltBoard(BIRCH, DEFAULT_EDGES, seated((350, 500)))
    crowd = FeltBoard(BIRCH, DEFAULT_EDGES, seated((350, 500), (850, 800), (850, 300)))
    one = alone.level_db(alone.reference * np.ones(1))
    assert one == pytest.approx([0])
    free = alone.map_db(Stroke.FINGERTIPS, 2)[0], crowd.map_db(Stroke.FINGERTIPS, 2)[0]
    assert np.abs(free[0] - free[1]).max() > 6


def test_forces_are_kept_read_only() -> None:
    with pytest.raises(ValueError, match="read-only"):
        kept_forces(BIRCH, DEFAULT_EDGES, Stroke.KNUCKLES, 2)[0, 0, 0] = 1
