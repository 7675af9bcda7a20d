"""Learn the weights of the fit from rhymes with known rhythm: ``python -m`` this module.

A conditional random field (Lafferty and others 2001) over the same lattice that the
dynamic programme searches: the rhymes' own placements are made likely among all
placements in all likely numbers of bars, with weights drawn to the hand-made prior ones.
Costs are thus minus log probabilities.  The optimum is unique, so the result does not
depend on the order of the rhymes.
"""

import itertools
import json
import sys
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TypeAlias

import numpy as np
from attrs import define, field, frozen
from numpy.typing import NDArray

from tapscore.model.metre import Metre
from tapscore.words.fit import likely_bars, longest_gap
from tapscore.words.fit_costs import (
    PairType,
    edge_names,
    features,
    head_names,
    node_names,
    pair_type,
    prior_weight,
    roles,
    size_names,
    tail_names,
)
from tapscore.words.grid import Grid
from tapscore.words.line import SungSyllable

Floats: TypeAlias = NDArray[np.float64]

SPREAD = 1.0


@frozen
class Lesson:
    """A line with the placement to be learnt, on the grid of lane steps."""

    syllables: tuple[SungSyllable, ...]
    metre: Metre
    bars: int
    slots: tuple[int, ...]


def to_lesson(
    syllables: Sequence[SungSyllable], metre: Metre, bars: int, onsets: Sequence[Fraction]
) -> Lesson | None:
    """A lesson, or None where syllables differ from the onsets or need a finer grid."""
    slots = [onset * metre.steps_per_beat for onset in onsets]
    if len(slots) != len(syllables) or any(slot.denominator > 1 for slot in slots):
        return None
    if slots[0] < -metre.steps_per_beat:
        return None
    return Lesson(tuple(syllables), metre, bars, tuple(int(slot) for slot in slots))


def _grid(metre: Metre, bars: int) -> Grid:
    return Grid(metre, bars, metre.steps_per_beat, -metre.steps_per_beat)


@define
class _Rows:
    """Feature rows of table cells: which features each cell has, in one sparse matrix."""

    names: dict[str, int] = field(factory=dict)
    row: list[int] = field(factory=list)
    column: list[int] = field(factory=list)
    size: int = 0

    def add(self, features_of_cell: Sequence[str]) -> int:
        """Add a cell; its number comes back."""
        for name in features_of_cell:
            self.row.append(self.size)
            self.column.append(self.names.setdefault(name, len(self.names)))
        self.size += 1
        return self.size - 1


@frozen
class _Lattice:
    """One line in one number of bars: cell numbers of its nodes, moves and its length."""

    nodes: tuple[NDArray[np.int64], ...]
    moves: tuple[NDArray[np.int64], ...]
    size: int


class Course:
    """All lattices of the lessons, with shared tables, and the loss over them."""

    def __init__(self, lessons: Sequence[Lesson]) -> None:
        self._rows = _Rows()
        self._rows.add([])
        self._tables: dict[object, NDArray[np.int64]] = {}
        self._groups = [self._lattices(lesson) for lesson in lessons]
        gold: dict[str, float] = {}
        for lesson in lessons:
            grid = _grid(lesson.metre, lesson.bars)
            for name, count in features(lesson.syllables, lesson.slots, grid).items():
                gold[name] = gold.get(name, 0.0) + count
                self._rows.names.setdefault(name, len(self._rows.names))
        self.names = tuple(self._rows.names)
        self._gold = np.array([gold.get(name, 0.0) for name in self.names])
        self.prior = np.array([prior_weight(name) for name in self.names])
        self._row = np.array(self._rows.row, dtype=np.int64)
        self._column = np.array(self._rows.column, dtype=np.int64)

    def _lattices(self, lesson: Lesson) -> list[_Lattice]:
        choices = set(likely_bars(len(lesson.syllables), lesson.metre)) | {lesson.bars}
        return [self._lattice(lesson, bars) for bars in sorted(choices)]

    def _lattice(self, lesson: Lesson, bars: int) -> _Lattice:
        grid = _grid(lesson.metre, bars)
        kinds = grid.kinds()
        said = lesson.syllables
        nodes = []
        for at, role in enumerate(roles(said)):
            ends = (at == 0, at == len(said) - 1)
            key = (grid, role, ends)
            if key not in self._tables:
                cells = []
                for slot, kind in enumerate(kinds, start=grid.first):
                    names = node_names(role, grid.metre, kind)
                    names += head_names(grid, slot, role.weight) if ends[0] else []
                    names += tail_names(grid, slot, role.weight) if ends[1] else []
                    cells.append(self._rows.add(names))
                self._tables[key] = np.array(cells, dtype=np.int64)
            nodes.append(self._tables[key])
        longest = longest_gap(grid, len(said))
        moves = [
            self._moves(grid, pair_type(one, two), longest) for one, two in itertools.pairwise(said)
        ]
        size_key = ("size", grid, len(said))
        if size_key not in self._tables:
            cell = self._rows.add(size_names(lesson.metre, bars, len(said)))
            self._tables[size_key] = np.array([cell], dtype=np.int64)
        return _Lattice(tuple(nodes), tuple(moves), int(self._tables[size_key][0]))

    def _moves(self, grid: Grid, pair: PairType, longest: int) -> NDArray[np.int64]:
        key = (grid, pair, longest)
        if key not in self._tables:
            kinds = grid.kinds()
            table = np.full((len(kinds), len(kinds)), -1, dtype=np.int64)
            for start in range(len(kinds)):
                for end in range(start + 1, min(len(kinds), start + longest + 1)):
                    span = kinds[start : end + 1]
                    names = edge_names(pair, grid.metre, grid.per_beat, span)
                    table[start, end] = self._rows.add(names)
            self._tables[key] = table
        return self._tables[key]

    def loss(self, weights: Floats) -> tuple[float, Floats]:
        """Minus the log probability of the lessons plus the pull to the prior; gradient."""
        costs = np.zeros(self._rows.size)
        np.add.at(costs, self._row, weights[self._column])
        chances = np.exp(-costs)
        expected = np.zeros(self._rows.size)
        total = float(self._gold @ weights)
        for group in self._groups:
            passes = [_forward(lattice, chances, costs) for lattice in group]
            logs = np.array([one[0] for one in passes])
            whole = float(np.logaddexp.reduce(logs))
            total += whole
            for lattice, one in zip(group, passes, strict=True):
                share = float(np.exp(one[0] - whole))
                if share > 1e-9:
                    _backward(lattice, chances, one, share, expected)
        gradient = self._gold.copy()
        np.subtract.at(gradient, self._column, expected[self._row])
        pull = weights - self.prior
        total += float(pull @ pull) / (2 * SPREAD)
        return total, gradient + pull / SPREAD


_Pass: TypeAlias = tuple[float, list[Floats], list[float]]


def _step(lattice: _Lattice, at: int, chances: Floats) -> Floats:
    table = lattice.moves[at]
    return np.where(table >= 0, chances[table], 0.0)


def _forward(lattice: _Lattice, chances: Floats, costs: Floats) -> _Pass:
    alphas: list[Floats] = []
    scales: list[float] = []
    alpha = chances[lattice.nodes[0]]
    for at, cells in enumerate(lattice.nodes):
        if at:
            alpha = (alpha @ _step(lattice, at - 1, chances)) * chances[cells]
        scale = float(alpha.sum())
        if scale == 0.0:
            return -np.inf, alphas, scales
        alpha = alpha / scale
        alphas.append(alpha)
        scales.append(scale)
    return float(np.log(scales).sum() - costs[lattice.size]), alphas, scales


def _backward(
    lattice: _Lattice, chances: Floats, one: _Pass, share: float, expected: Floats
) -> None:
    _log, alphas, scales = one
    beta = np.ones_like(alphas[-1])
    expected[lattice.size] += share
    for at in range(len(alphas) - 1, -1, -1):
        np.add.at(expected, lattice.nodes[at], share * alphas[at] * beta)
        if at == 0:
            break
        arriving = chances[lattice.nodes[at]] * beta / scales[at]
        step = _step(lattice, at - 1, chances)
        table = lattice.moves[at - 1]
        crossing = share * alphas[at - 1][:, None] * step * arriving[None, :]
        used = table >= 0
        np.add.at(expected, table[used], crossing[used])
        beta = step @ arriving


def learn(lessons: Sequence[Lesson]) -> dict[str, float]:
    """Weights of all features that the lessons' lattices have, rounded to three places."""
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    course = Course(lessons)
    result = minimize(
        course.loss, course.prior.copy(), jac=True, method="L-BFGS-B", options={"maxiter": 60}
    )
    return {
        name: round(float(weight), 3)
        for name, weight in sorted(zip(course.names, result.x, strict=True))
        if abs(weight - prior_weight(name)) >= 0.002
    }


def main(
    rhymes: str = "tests/data/rhymes.txt", target: str = "resources/words/fit_weights.json"
) -> None:
    """Learn from all rhymes of a file and write the weights."""
    from tapscore.words.line import read_line
    from tests.training.rhymes import read_rhymes

    lessons = [
        lesson
        for rhyme in read_rhymes(Path(rhymes))
        for line in rhyme.lines
        if (lesson := to_lesson(read_line(line.words), rhyme.metre, line.bars, line.onsets_beats))
    ]
    text = json.dumps({"lines": len(lessons), "weights": learn(lessons)}, indent=1)
    Path(target).write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
