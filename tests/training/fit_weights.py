"""Learn the weights of the fit from lines with known rhythm: ``python -m`` this module.

A conditional random field (Lafferty and others 2001) over the same lattice that the
dynamic programme searches: the lines' own placements are made likely among all placements
in all likely numbers of bars, with weights drawn to the hand-made prior ones.  Costs are
thus minus log probabilities.  What is to be likely is for the most part that the same
syllables stand on the downbeats, however the others lie between them: there people agree.
Features that look at kinds of words are drawn more strongly, for there are many of them.
Lines in the same number of bars with the same number of syllables go through the lattice
together.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from attrs import define, evolve, field, frozen
from numpy.typing import NDArray

from tapscore.model.metre import Metre
from tapscore.words.fit import likely_bars, longest_pickup
from tapscore.words.fit_costs import prior_weight
from tapscore.words.fit_features import (
    BEATS,
    HEADS,
    RISES,
    LineFeatures,
    Named,
    full_names,
    head_number,
)
from tapscore.words.grid import GAPS, KINDS, Grid, gap_number, rise
from tapscore.words.line import SungSyllable, read_line
from tests.training.rhymes import Rhyme, Setting

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]

SPREAD = 1.0
"""How far a weight may lie from its prior one (a variance)."""
_CLOSER = {"dn": 0.4, "pd": 0.4, "gdd": 0.4, "ini2": 0.4, "half": 0.5, "ordn": 0.5}
_CLOSER |= {"ini": 0.3, "sd": 0.3}
"""Shares of it for features of which there are many; both were chosen by folds of stanzas."""
_CLOSER |= {"fd": 0.4, "fn": 0.3, "fp": 0.3, "parts": 0.5, "mids": 0.5}
DOWNBEATS_COUNT = 0.7
"""How much of a line's likelihood is that of its downbeats, and not of all its places; chosen
by the same folds."""
STEPS = 40
_FIRST_STEPS = 4
"""Steps after which numbers of bars that are hopeless for a line are left out."""
_FURTHER_STEPS = 20
"""Steps of a course that goes on from the weights of another."""
_HOPELESS = 1e-3
"""How likely a number of bars must be for a line to be looked at further."""
RHYMES_COUNT = 1.0
"""How much a line of a rhyme counts beside an everyday line."""
COURSES = ((0.5, 1.0), (0.3, 1.6), (0.0, 1.0))
"""How much a wider story line counts (they were written fast) and how far weights may lie, times
``SPREAD``, in what is learnt; the mean of what these teach is better than each (by the folds)."""
_MOVES = len(GAPS) * len(RISES)


@frozen
class Lesson:
    """A line with the placements to be learnt (bars, slots), on the grid of lane steps."""

    syllables: tuple[SungSyllable, ...]
    metre: Metre
    settings: tuple[tuple[int, tuple[int, ...]], ...]
    count: float = 1.0


def to_lesson(
    syllables: Sequence[SungSyllable],
    metre: Metre,
    settings: Iterable[Setting],
    count: float = 1.0,
) -> Lesson | None:
    """A lesson of the settings that have these syllables on the grid of steps, or None."""
    found = []
    for setting in settings:
        slots = [onset * metre.steps_per_beat for onset in setting.onsets_beats]
        fits = len(slots) == len(syllables) and all(slot.denominator == 1 for slot in slots)
        if fits and slots[0] >= -longest_pickup(metre):
            found.append((setting.bars, tuple(int(slot) for slot in slots)))
    return Lesson(tuple(syllables), metre, tuple(found), count) if found else None


@cache
def _grid(metre: Metre, bars: int) -> "_Grid":
    return _Grid.of(metre, bars)


@frozen(eq=False)
class _Grid:
    """A grid as arrays: kinds of slots, classes of moves, beats passed, heads and tails."""

    first: int
    kinds: Ints
    moves: Ints
    passed: Floats
    heads: Ints
    tails: Ints
    one_hot: Floats
    middle: int | None
    """Place of the downbeat that halves an even number of bars."""

    @classmethod
    def of(cls, metre: Metre, bars: int) -> "_Grid":
        per_beat = metre.steps_per_beat
        grid = Grid(metre, bars, per_beat, -longest_pickup(metre))
        kinds = grid.kinds()
        size = len(kinds)
        moves = np.full((size, size), _MOVES, dtype=np.int64)
        passed = np.zeros((size, size, len(BEATS)))
        for start in range(size):
            for end in range(start + 1, size):
                gap = gap_number(metre, per_beat, end - start)
                moves[start, end] = len(RISES) * gap + rise(kinds[start], kinds[end])
                for which, beat in enumerate(BEATS):
                    passed[start, end, which] = kinds[start + 1 : end].count(beat)
        slots = range(grid.first, grid.last)
        one_hot = np.zeros((size * size, _MOVES + 1))
        one_hot[np.arange(size * size), moves.ravel()] = 1
        return cls(
            grid.first,
            np.array([KINDS.index(kind) for kind in kinds]),
            moves,
            passed,
            np.array([head_number(metre, per_beat, slot) for slot in slots]),
            np.array([gap_number(metre, per_beat, grid.last - slot) for slot in slots]),
            one_hot,
            None if grid.middle is None else grid.middle - grid.first,
        )


@define
class _Cells:
    """Table cells and which features each has, as one sparse matrix."""

    names: dict[str, int] = field(factory=dict)
    row: list[int] = field(factory=list)
    column: list[int] = field(factory=list)
    size: int = 0

    def add(self, names: Sequence[str]) -> int:
        """Add a cell; its number comes back."""
        for name in names:
            self.row.append(self.size)
            self.column.append(self.names.setdefault(name, len(self.names)))
        self.size += 1
        return self.size - 1

    def each(self, named: Sequence[Named], size: int) -> list[int]:
        """A cell for each thing that can be done."""
        return [self.add(full_names(named, choice)) for choice in range(size)]


@frozen(eq=False)
class _Line:
    """Cell numbers of one line: what does not depend on its bars, and by bars what does."""

    nodes: Ints
    gaps: Ints
    rises: Ints
    head: Ints
    skip: Ints
    paced: dict[int, Ints]
    tail: dict[int, Ints]
    middle: dict[int, Ints]
    size: dict[int, int]


@frozen(eq=False)
class _Batch:
    """Lines of as many syllables in as many bars, with cell numbers by slot."""

    grid: _Grid
    lines: Ints
    nodes: Ints
    gaps: Ints
    paced: Ints
    rises: Ints
    head: Ints
    tail: Ints
    skip: Ints
    middle: Ints
    size: Ints
    right: tuple[tuple[int, Ints], ...]
    allowed: Floats | None = None
    """By line, syllable and slot: 0 where it must not stand, else 1."""

    def rows(self, rows: Sequence[int], allowed: Floats | None = None) -> "_Batch":
        """Some of the lines, which may use only the slots that are allowed if that is given."""
        fields = (
            "lines",
            "nodes",
            "gaps",
            "paced",
            "rises",
            "head",
            "tail",
            "skip",
            "middle",
            "size",
        )
        some = {name: getattr(self, name)[list(rows)] for name in fields}
        return evolve(self, right=(), allowed=allowed, **some)


_Pass: TypeAlias = tuple[Floats, Floats, list[Floats], list[Floats], Floats]


class Course:
    """All lattices of the lessons, and the loss over them."""

    def __init__(self, lessons: Sequence[Lesson], spread: float = SPREAD) -> None:
        from scipy.sparse import csr_matrix  # type: ignore[import-untyped]

        self._lessons = lessons
        self._cells = _Cells()
        self._cells.add([])
        lines = [self._line(lesson) for lesson in lessons]
        self._batches = list(self._batched(lines))
        self._rights = [_on_downbeats(batch) for batch in self._batches if batch.right]
        self._counts = np.array([lesson.count for lesson in lessons])
        self.names = tuple(self._cells.names)
        ones = np.ones(len(self._cells.row))
        shape = (self._cells.size, len(self.names))
        self._matrix: Any = csr_matrix((ones, (self._cells.row, self._cells.column)), shape=shape)
        self._turned: Any = self._matrix.T.tocsr()
        self.prior = np.array([prior_weight(name) for name in self.names])
        closer = [_CLOSER.get(name.split(":")[0], 1.0) for name in self.names]
        self.spread = spread * np.array(closer)

    def _line(self, lesson: Lesson) -> _Line:
        said = LineFeatures.of(lesson.syllables, lesson.metre)
        count = len(lesson.syllables)
        choices = {*likely_bars(count, lesson.metre), *(bars for bars, _ in lesson.settings)}
        choices = {bars for bars in choices if len(_grid(lesson.metre, bars).kinds) >= count}
        each = self._cells.each
        pairs = range(count - 1)
        paced: dict[str, Ints] = {}
        for rate in sorted({said.rate(bars) for bars in choices}):
            cells = [each(said.paced(at, rate), len(GAPS)) for at in pairs]
            paced[rate] = np.array(cells, dtype=np.int64).reshape(count - 1, len(GAPS))
        gaps = [each(said.gap(at), len(GAPS)) for at in pairs]
        rises = [each(said.rise(at), len(RISES)) for at in pairs]
        return _Line(
            np.array([each(said.node(at), len(KINDS)) for at in range(count)]),
            np.array(gaps, dtype=np.int64).reshape(count - 1, len(GAPS)),
            np.array(rises, dtype=np.int64).reshape(count - 1, len(RISES)),
            np.array(each(said.head(), len(HEADS))),
            np.array(each(said.skip(), len(BEATS))),
            {bars: paced[said.rate(bars)] for bars in choices},
            {bars: np.array(each(said.tail(bars), len(GAPS))) for bars in sorted(choices)},
            {
                bars: np.array(
                    [
                        0 if bars % 2 else self._cells.add(said.middle(at, bars))
                        for at in range(count)
                    ]
                )
                for bars in sorted(choices)
            },
            {bars: self._cells.add(said.size(bars)) for bars in sorted(choices)},
        )

    def _batched(self, lines: Sequence[_Line]) -> Iterable[_Batch]:
        groups: dict[tuple[str, int, int], list[int]] = defaultdict(list)
        for number, (lesson, line) in enumerate(zip(self._lessons, lines, strict=True)):
            for bars in line.size:
                groups[str(lesson.metre), bars, len(lesson.syllables)].append(number)
        for (_, bars, _), numbers in sorted(groups.items()):
            grid = _grid(self._lessons[numbers[0]].metre, bars)
            some = [lines[number] for number in numbers]
            yield _Batch(
                grid,
                np.array(numbers),
                np.stack([line.nodes[:, grid.kinds] for line in some]),
                np.stack([line.gaps for line in some]),
                np.stack([line.paced[bars] for line in some]),
                np.stack([line.rises for line in some]),
                np.stack([line.head[grid.heads] for line in some]),
                np.stack([line.tail[bars][grid.tails] for line in some]),
                np.stack([line.skip for line in some]),
                np.stack([line.middle[bars] for line in some]),
                np.array([line.size[bars] for line in some]),
                tuple(
                    (row, np.array(slots) - grid.first)
                    for row, number in enumerate(numbers)
                    for right_bars, slots in self._lessons[number].settings
                    if right_bars == bars
                ),
            )

    def leave_out_hopeless(self, weights: Floats) -> None:
        """Look no more at numbers of bars that these weights make hopeless for a line.

        They are most of the work, and come to nothing in what is learnt.
        """
        costs: Floats = self._matrix @ weights
        logs = [_forward(batch, costs)[0] for batch in self._batches]
        whole = np.full(len(self._lessons), -np.inf)
        for batch, log in zip(self._batches, logs, strict=True):
            np.logaddexp.at(whole, batch.lines, log)
        kept = []
        for batch, log in zip(self._batches, logs, strict=True):
            hopeful = log - whole[batch.lines] > np.log(_HOPELESS)
            hopeful[[row for row, _slots in batch.right]] = True
            if hopeful.any():
                kept.append(batch.rows(list(np.flatnonzero(hopeful))))
        self._batches = kept

    def loss(self, weights: Floats) -> tuple[float, Floats]:
        """Minus the log probability of the lessons plus the pull to the prior; gradient."""
        costs: Floats = self._matrix @ weights
        whole = np.full(len(self._lessons), -np.inf)
        right = np.full(len(self._lessons), -np.inf)
        passes = [_forward(batch, costs) for batch in self._batches]
        for batch, one in zip(self._batches, passes, strict=True):
            np.logaddexp.at(whole, batch.lines, one[0])
        rights = []
        for batch, placements in self._rights:
            one = _forward(batch, costs)
            exact = [(cells, times, -float(costs[cells] @ times)) for cells, times in placements]
            alone = np.array([log for _cells, _times, log in exact])
            logs = DOWNBEATS_COUNT * one[0] + (1 - DOWNBEATS_COUNT) * alone
            np.logaddexp.at(right, batch.lines, logs)
            rights.append((batch, one, exact, logs))
        where: list[Ints] = []
        what: list[Floats] = []
        for batch, one in zip(self._batches, passes, strict=True):
            share = np.exp(one[0] - whole[batch.lines]) * self._counts[batch.lines]
            _backward(batch, one, -share, where, what)
        for batch, one, exact, logs in rights:
            share = np.exp(logs - right[batch.lines]) * self._counts[batch.lines]
            _backward(batch, one, share * DOWNBEATS_COUNT, where, what)
            for (cells, times, _log), part in zip(exact, share, strict=True):
                where.append(cells)
                what.append((1 - DOWNBEATS_COUNT) * part * times)
        changes = np.bincount(
            np.concatenate(where), np.concatenate(what), minlength=self._cells.size
        )
        pull = weights - self.prior
        total = float(((whole - right) * self._counts).sum())
        total += float((pull * pull / self.spread).sum()) / 2
        return total, self._turned @ changes + pull / self.spread


def _on_downbeats(batch: _Batch) -> tuple[_Batch, list[tuple[Ints, Floats]]]:
    """The right placements of a batch: each with all that share its downbeats, and its cells."""
    down = batch.grid.kinds == KINDS.index("D")
    allowed = np.zeros((len(batch.right), batch.nodes.shape[1], len(down)))
    for number, (_row, slots) in enumerate(batch.right):
        for at, slot in enumerate(slots):
            allowed[number, at, [slot] if down[slot] else ~down] = 1
    cells = [_cells_of(batch, row, slots) for row, slots in batch.right]
    return batch.rows([row for row, _slots in batch.right], allowed), cells


def _forward(batch: _Batch, costs: Floats) -> _Pass:
    nodes = costs[batch.nodes]
    nodes[:, 0] += costs[batch.head]
    nodes[:, -1] += costs[batch.tail]
    if batch.grid.middle is not None:
        nodes[:, :, batch.grid.middle] += costs[batch.middle]
    chances = np.exp(-nodes)
    if batch.allowed is not None:
        chances *= batch.allowed
    # One metre, so the same for all lines of the batch.
    skips = np.exp(-(batch.grid.passed @ costs[batch.skip[0]]))
    count = chances.shape[1]
    alpha = chances[:, 0]
    alphas: list[Floats] = []
    steps: list[Floats] = []
    scales = np.zeros((len(batch.lines), count))
    for at in range(count):
        if at:
            gaps = costs[batch.gaps[:, at - 1]] + costs[batch.paced[:, at - 1]]
            jumps = gaps[:, :, None] + costs[batch.rises[:, at - 1]][:, None, :]
            table = np.zeros((len(batch.lines), _MOVES + 1))
            table[:, :_MOVES] = np.exp(-jumps.reshape(-1, _MOVES))
            step = table[:, batch.grid.moves] * skips
            steps.append(step)
            alpha = np.matmul(alpha[:, None, :], step)[:, 0, :] * chances[:, at]
        scale = np.maximum(alpha.sum(axis=1), 1e-300)
        alpha = alpha / scale[:, None]
        scales[:, at] = scale
        alphas.append(alpha)
    return np.log(scales).sum(axis=1) - costs[batch.size], chances, steps, alphas, scales


def _backward(
    batch: _Batch, one: _Pass, share: Floats, where: list[Ints], what: list[Floats]
) -> None:
    """The expected count of every cell, added to the lists."""
    _log, chances, steps, alphas, scales = one

    def expect(cells: Ints, amounts: Floats) -> None:
        where.append(cells.ravel())
        what.append(amounts.ravel())

    expect(batch.size, share)
    beta = np.ones_like(alphas[-1])
    size = beta.shape[1]
    for at in range(len(alphas) - 1, -1, -1):
        posterior = alphas[at] * beta * share[:, None]
        expect(batch.nodes[:, at], posterior)
        if batch.grid.middle is not None:
            expect(batch.middle[:, at], posterior[:, batch.grid.middle])
        if at == len(alphas) - 1:
            expect(batch.tail, posterior)
        if at == 0:
            expect(batch.head, posterior)
            break
        arriving = chances[:, at] * beta / scales[:, at][:, None]
        crossing = alphas[at - 1][:, :, None] * steps[at - 1] * arriving[:, None, :]
        flat = (crossing * share[:, None, None]).reshape(len(share), size * size)
        moves = (flat @ batch.grid.one_hot)[:, :_MOVES].reshape(-1, len(GAPS), len(RISES))
        expect(batch.gaps[:, at - 1], moves.sum(axis=2))
        expect(batch.paced[:, at - 1], moves.sum(axis=2))
        expect(batch.rises[:, at - 1], moves.sum(axis=1))
        expect(batch.skip, flat @ batch.grid.passed.reshape(size * size, len(BEATS)))
        beta = np.matmul(steps[at - 1], arriving[:, :, None])[:, :, 0]


def _cells_of(batch: _Batch, row: int, slots: Ints) -> tuple[Ints, Floats]:
    """Cells of one placement, and how many times each."""
    count = np.arange(len(slots))
    moves = batch.grid.moves[slots[:-1], slots[1:]]
    gaps, rises = moves // len(RISES), moves % len(RISES)
    passed = batch.grid.passed[slots[:-1], slots[1:]].sum(axis=0)
    cells = [
        batch.nodes[row, count, slots],
        batch.middle[row, slots == batch.grid.middle],
        np.array([batch.head[row, slots[0]], batch.tail[row, slots[-1]], batch.size[row]]),
        batch.gaps[row, count[:-1], gaps],
        batch.paced[row, count[:-1], gaps],
        batch.rises[row, count[:-1], rises],
        batch.skip[row],
    ]
    ones = sum(len(some) for some in cells[:-1])
    return np.concatenate(cells), np.concatenate([np.ones(ones), passed])


def learn(
    lessons: Sequence[Lesson],
    steps: int = STEPS,
    spread: float = SPREAD,
    begun: Mapping[str, float] | None = None,
) -> dict[str, float]:
    """Weights of all features that the lessons' lattices have, rounded to three places.

    ``begun``: weights learnt before from much the same lessons, to go on from.
    """
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    course = Course(lessons, spread)
    scale = np.sqrt(course.spread)

    def scaled(moved: Floats) -> tuple[float, Floats]:
        """The loss in units of how far each weight may lie: it converges faster."""
        lost, slope = course.loss(course.prior + scale * moved)
        return lost, slope * scale

    def onward(weights: Floats, most: int) -> Floats:
        options = {"maxiter": most, "maxcor": 10}
        start = (weights - course.prior) / scale
        result = minimize(scaled, start, jac=True, method="L-BFGS-B", options=options)
        moved: Floats = course.prior + scale * result.x
        return moved

    if begun is None:
        weights = onward(course.prior, _FIRST_STEPS)
    else:
        pairs = zip(course.names, course.prior, strict=True)
        weights = np.array([begun.get(name, prior) for name, prior in pairs])
    course.leave_out_hopeless(weights)
    weights = onward(weights, steps if begun is None else _FURTHER_STEPS)
    return {
        name: round(float(weight), 3)
        for name, weight in sorted(zip(course.names, weights, strict=True))
        if abs(weight - prior_weight(name)) >= 0.01
    }


def lessons(texts: Iterable[Rhyme], count: float = 1.0) -> list[Lesson]:
    """Lessons of all lines that can be learnt."""
    found = (
        to_lesson(read_line(line.words), text.metre, line.settings, count)
        for text in texts
        for line in text.lines
    )
    return [lesson for lesson in found if lesson is not None]


def lessons_of(
    everyday: Iterable[Rhyme], rhymes: Iterable[Rhyme], wider: Iterable[Rhyme], count: float
) -> list[Lesson]:
    """The lessons of all that is taught; ``count``: how much a wider line counts."""
    found = lessons(everyday) + lessons(rhymes, RHYMES_COUNT)
    return found + lessons(wider, count) if count else found


def learn_all(
    everyday: Sequence[Rhyme], rhymes: Sequence[Rhyme], wider: Sequence[Rhyme]
) -> dict[str, float]:
    """The mean of the weights that each of ``COURSES`` teaches; all begin at the first one's."""
    learnt: list[dict[str, float]] = []
    for count, further in COURSES:
        some = lessons_of(everyday, rhymes, wider, count)
        learnt.append(learn(some, spread=further * SPREAD, begun=learnt[0] if learnt else None))
    return mean_of(learnt)


def mean_of(learnt: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """The mean of several weights; those not named have their prior weight."""
    names = sorted({name for weights in learnt for name in weights})
    return {
        name: round(sum(one.get(name, prior_weight(name)) for one in learnt) / len(learnt), 3)
        for name in names
    }


def main(data: str = "tests/data", target: str = "resources/words/fit_weights.json") -> None:
    """Learn from all lines and write the weights."""
    from tests.training.rhymes import taught

    everyday, rhymes, wider = taught(Path(data))
    lines = len(lessons_of(everyday, rhymes, wider, 1.0))
    weights = learn_all(everyday, rhymes, wider)
    text = json.dumps({"lines": lines, "weights": weights}, indent=0)
    Path(target).write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
