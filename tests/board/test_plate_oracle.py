"""Orthotropic boards against finite elements."""

import numpy as np
import pytest

from tapscore.board.edges import FREE, SIMPLE, Edges, all_sides, elastic
from tapscore.board.plate import solve
from tests.board.boards import BIRCH

pytest.importorskip("skfem", reason="the oracle is scikit-fem, among the tools for developers")

from tests.board.oracle import finite_element_hz

SIDES = ("west", "east", "south", "north")


def test_simply_held() -> None:
    wanted = finite_element_hz(BIRCH, (12, 24), 20, SIDES)
    found = solve(BIRCH, all_sides(SIMPLE), 200).sorted_hz[:20]
    assert found == pytest.approx(wanted, rel=6e-4)


def test_two_strips_and_free_sides() -> None:
    wanted = finite_element_hz(BIRCH, (12, 24), 20, ("west", "east"))
    found = solve(BIRCH, Edges(SIMPLE, SIMPLE, FREE, FREE), 200).sorted_hz[:20]
    assert found == pytest.approx(wanted, rel=6e-4)


def test_soft_strips_of_different_stiffness() -> None:
    springs = {"west": 2e4, "east": 8e4, "south": 1e4}
    wanted = finite_element_hz(BIRCH, (12, 24), 20, ("north",), springs)
    edges = Edges(elastic(2e4), elastic(8e4), elastic(1e4), SIMPLE)
    found = solve(BIRCH, edges, 200).sorted_hz[:20]
    assert found == pytest.approx(wanted, rel=6e-4)
    assert np.all(np.diff(found) >= 0)
