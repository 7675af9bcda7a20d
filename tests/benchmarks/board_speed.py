"""How fast the board is computed: run by hand, ``python tests/benchmarks/board_speed.py``.

One BLAS thread.  Times are the median of several runs after one to warm up; nothing is read
from the cache folder.  In the same run scikit-fem (Bogner-Fox-Schmit elements) finds the same
modes: the mesh is made finer until its worst mode below the limit is as accurate as ours.
"""

import os
import sys
from collections.abc import Callable
from fractions import Fraction
from functools import partial
from math import pi
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from tapscore.board import kept_modes, tap_sound
from tapscore.board.default_board import DEFAULT_BOARD, DEFAULT_EDGES
from tapscore.board.facade import BoardTap, felt_levels
from tapscore.board.felt import FeltBoard
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.plate import solve
from tapscore.board.plywood import describe
from tapscore.board.pupils import Patch, patches_on
from tapscore.board.radiation import ear
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import band_energy
from tapscore.model.board import Board, Place, Point
from tapscore.model.strokes import Stroke

PLATE = describe(DEFAULT_BOARD).plate
SIDES = ("west", "east", "south", "north")
STRUCK = (Stroke.FINGERTIPS, Stroke.FLAT_HAND, Stroke.KNUCKLES, Stroke.HEEL_OF_HAND)


def seconds(work: Callable[[], object], repeats: int = 9) -> float:
    """Median of some runs, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def say(what: str, took_sec: float, target_ms: float | None = None) -> None:
    """Print one line."""
    wanted = f"   target {target_ms:g} ms, {target_ms / took_sec / 1000:.1f} x" if target_ms else ""
    print(f"{what:58}{took_sec * 1000:9.2f} ms{wanted}")


def exact_hz(plate: Plate, limit_hz: float) -> NDArray[np.float64]:
    """Navier's closed form for simply held sides."""
    m, n = np.meshgrid(np.arange(1, 120), np.arange(1, 120))
    a, b = m * pi / plate.width_m, n * pi / plate.depth_m
    stiff = plate.d11_nm * a**4 + plate.d22_nm * b**4
    stiff += 2 * (plate.d12_nm + 2 * plate.d66_nm) * a**2 * b**2
    hz = np.sqrt(stiff / plate.mass_kg_per_m2).ravel() / (2 * pi)
    return np.sort(hz[hz < limit_hz])


def pupils(x_shift_mm: int) -> tuple[Patch, ...]:
    """Four pupils, moved a little."""
    corners = ((300, 300), (300, 900), (850, 300), (850, 900))
    places = (
        Place("ABCD"[i], Point(Fraction(x + x_shift_mm), Fraction(y)))
        for i, (x, y) in enumerate(corners)
    )
    return patches_on(evolve(DEFAULT_BOARD, places=tuple(places)))


def modes_and_maps() -> None:
    """Modes, re-seating, strokes."""
    say("modes below 1 kHz", seconds(lambda: solve(PLATE, DEFAULT_EDGES, 1000)), 80)
    shift = iter(range(1000))

    def reseat() -> FeltBoard:
        board = FeltBoard(PLATE, DEFAULT_EDGES, pupils(next(shift)))
        _ = board.transfer_map
        return board

    say("re-seating four pupils, four maps of 32 x 32", seconds(reseat), 50)
    board = reseat()
    modes = kept_modes.kept_modes(PLATE, DEFAULT_EDGES)
    half = kept_modes.cell_middles(1.2)[:16]
    x, y = (grid.ravel() for grid in np.meshgrid(half, half))
    for stroke in STRUCK:
        took = seconds(partial(band_energy, modes, stroke, 2, x, y), 5)
        say(f"  first use of a stroke ({stroke.word}): 256 contacts", took)
    _ = board.reference
    turn = iter(STRUCK * 100)
    say("a changed stroke, four maps", seconds(lambda: board.map_db(next(turn), 2), 40), 2)
    turn = iter(STRUCK * 100)
    say(
        "a changed stroke between two steps of loudness",
        seconds(lambda: board.map_db(next(turn), 2.5), 40),
        2,
    )


def whole_story() -> None:
    """Two thousand taps with swells at ten spots, as the checks ask for them."""
    spots = [Point(Fraction(100 + 100 * i), Fraction(200 + 90 * i)) for i in range(10)]
    taps = [
        BoardTap(spots[i % 10], STRUCK[i % 3], Fraction(i % 41, 10), accent=i % 7 == 0)
        for i in range(2000)
    ]
    shift = iter(range(1000))

    def board() -> Board:
        at = Fraction(300 + next(shift))
        places = (Place("A", Point(at, at)), Place("B", Point(at + 500, at)))
        return evolve(DEFAULT_BOARD, places=places)

    seated = board()
    say("levels of 2000 taps, nothing changed", seconds(lambda: felt_levels(seated, taps), 5))
    say("levels of 2000 taps, pupils moved", seconds(lambda: felt_levels(board(), taps), 5))


def sounds() -> None:
    """One tap's sound, at ever another cell so that none is kept."""
    board = DEFAULT_BOARD
    point = iter(
        Point(Fraction(x * 37 + 10), Fraction(y * 37 + 10)) for y in range(32) for x in range(32)
    )
    say("getting ready to hear a board", seconds(_fresh_ear, 3))

    def tap(stroke: Stroke) -> object:
        return tap_sound.board_tap_sound(
            board, stroke, Fraction(2), next(point), accent=False, length_sec=0.5
        )

    say("one tap's sound, 0.6 s at 48 kHz", seconds(lambda: tap(Stroke.KNUCKLES), 60), 2)
    say("one scratch of 0.5 s", seconds(lambda: tap(Stroke.SCRATCH), 15))


def _fresh_ear() -> object:
    with TemporaryDirectory() as folder:
        os.environ["TAPSCORE_BOARD_CACHE"] = folder
        kept_modes.kept_modes.cache_clear()
        return ear(PLATE, DEFAULT_EDGES, pupils(0))


def against_finite_elements(limit_hz: float) -> None:
    """Modes below a limit, both as accurate as ours with the board's own rule for its size."""
    from tests.board.oracle import finite_element_hz

    wanted = exact_hz(PLATE, limit_hz)
    ours = solve(PLATE, DEFAULT_EDGES, limit_hz * 1.01).sorted_hz[: len(wanted)]
    our_error = float(np.abs(ours / wanted - 1).max())
    our_sec = seconds(lambda: solve(PLATE, DEFAULT_EDGES, limit_hz * 1.01))
    cells = 8
    while True:
        mesh = (cells, round(cells * 1.9))
        with one_blas_thread():
            start = perf_counter()
            theirs = finite_element_hz(PLATE, mesh, len(wanted), SIDES)
            their_sec = perf_counter() - start
        their_error = float(np.abs(theirs / wanted - 1).max())
        if their_error <= our_error or cells > 60:
            break
        cells = round(cells * 1.15) + 1
    reached = "as accurate" if their_error <= our_error else "less accurate"
    print(
        f"{len(wanted)} modes below {limit_hz:g} Hz: ours {our_sec * 1000:.1f} ms, worst error "
        f"{our_error:.1e}; scikit-fem on {mesh[0]} x {mesh[1]} cells {their_sec * 1000:.0f} ms, "
        f"{their_error:.1e} ({reached}): ours is {their_sec / our_sec:.0f} x as fast"
    )


def main() -> None:
    """Measure and print."""
    with TemporaryDirectory() as folder:
        os.environ["TAPSCORE_BOARD_CACHE"] = folder
        modes_and_maps()
        whole_story()
        sounds()
    try:
        for limit_hz in (200.0, 500.0, 1000.0):
            against_finite_elements(limit_hz)
    except ImportError:
        print("scikit-fem is not installed: no comparison")


if __name__ == "__main__":
    main()
