"""Fit a line of syllables to a metre: which syllable falls where in the bars."""

import itertools
from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.fit_costs import (
    FitWeights,
    head_costs,
    moves,
    node_costs,
    pair_type,
    roles,
    shipped_weights,
    size_names,
    tail_costs,
)
from tapscore.words.fit_search import Tables, best_placements
from tapscore.words.grid import Grid
from tapscore.words.line import SungSyllable

_LONG_LINE = 40
_MOST_BARS = 8


@frozen
class Fit:
    """A placement of a line's syllables.

    ``onsets_beats``: where each syllable begins, in felt beats from the first downbeat
    (negative in the pickup).  ``bars``: full bars from the first downbeat on; the next
    line's pickup borrows from the end of the last one.  ``pickup_beats``: how long before
    the first downbeat the line begins, 0 or more.  ``cost``: the smaller, the better; only
    to be compared within one line and metre.
    """

    onsets_beats: tuple[Fraction, ...]
    bars: int
    pickup_beats: Fraction
    cost: float
    metre: Metre


def fit_line(
    syllables: Sequence[SungSyllable],
    metre: Metre,
    *,
    bars: int | None = None,
    pickup: Fraction | None = None,
    alternatives: int = 1,
    weights: FitWeights | None = None,
) -> tuple[Fit, ...]:
    """The best placements of a line, best first; none for a line without syllables.

    ``bars`` fixes the number of bars (found by itself otherwise), ``pickup`` the length of
    the pickup in felt beats (0: the line begins on its first downbeat).  At least one
    placement is found for every line, however crowded; the grid gets finer for it.
    """
    if not syllables:
        return ()
    known = shipped_weights() if weights is None else weights
    choices = [bars] if bars is not None else likely_bars(len(syllables), metre)
    found: list[Fit] = []
    for choice in choices:
        found += _fits(syllables, metre, max(1, choice), pickup, alternatives, known)
    found.sort(key=lambda fit: fit.cost)
    return tuple(found[:alternatives])


def likely_bars(count: int, metre: Metre) -> list[int]:
    """Numbers of bars worth trying for so many syllables: 0.8 to 3.2 syllables a beat."""
    least = max(1, -(-count * 10 // (32 * metre.beats)))
    most = max(least, min(least + _MOST_BARS, count * 10 // (8 * metre.beats)))
    if count > _LONG_LINE:
        middle = max(1, round(count / (1.7 * metre.beats)))
        return [middle]
    return list(range(least, most + 1))


def make_grid(count: int, metre: Metre, bars: int, pickup: Fraction | None) -> Grid:
    """A grid of lane steps, halved as often as the syllables need."""
    room = Fraction(1) if pickup is None else pickup
    per_beat = lcm(metre.steps_per_beat, room.denominator)
    while True:
        before = int(room * per_beat)
        grid = Grid(metre, bars, per_beat, -before)
        if count * 10 <= 9 * (grid.last + before):
            return grid
        per_beat *= 2


def search_tables(
    syllables: Sequence[SungSyllable],
    grid: Grid,
    pickup: Fraction | None,
    weights: FitWeights,
) -> Tables:
    """Costs of all slots and moves of a line on a grid."""
    size = grid.last - grid.first
    count = len(syllables)
    nodes = [list(node_costs(grid, role, weights)) for role in roles(syllables)]
    head = head_costs(grid, syllables[0].weight, weights)
    nodes[0] = [a + b for a, b in zip(nodes[0], head, strict=True)]
    tail = tail_costs(grid, syllables[-1].weight, weights)
    nodes[-1] = [a + b for a, b in zip(nodes[-1], tail, strict=True)]
    longest = longest_gap(grid, count)
    steps = [
        moves(grid, pair_type(one, two), longest, weights)
        for one, two in itertools.pairwise(syllables)
    ]
    slack = size - count
    if count > _LONG_LINE:
        reach = 2 * grid.metre.beats * grid.per_beat
        middles = [round(at * (size - 1) / (count - 1)) for at in range(count)]
        windows = [
            (max(at, middle - reach), min(at + slack, middle + reach) + 1)
            for at, middle in enumerate(middles)
        ]
    else:
        windows = [(at, at + slack + 1) for at in range(count)]
    if pickup is not None:
        windows[0] = (0, 1)
    return Tables(nodes, steps, windows)


def longest_gap(grid: Grid, count: int) -> int:
    """How many slots may lie between two neighbours' beginnings."""
    return max(2 * grid.per_beat, (grid.last - grid.first) // count + grid.per_beat)


def _fits(
    syllables: Sequence[SungSyllable],
    metre: Metre,
    bars: int,
    pickup: Fraction | None,
    alternatives: int,
    weights: FitWeights,
) -> list[Fit]:
    grid = make_grid(len(syllables), metre, bars, pickup)
    tables = search_tables(syllables, grid, pickup, weights)
    extra = sum(weights[name] for name in size_names(metre, bars, len(syllables)))
    return [
        to_fit(grid, [slot + grid.first for slot in slots], cost + extra)
        for cost, slots in best_placements(tables, alternatives)
    ]


def to_fit(grid: Grid, slots: Sequence[int], cost: float) -> Fit:
    """A fit from slots counted from the first downbeat."""
    onsets = tuple(grid.beats(slot) for slot in slots)
    return Fit(onsets, grid.bars, max(Fraction(0), -onsets[0]), cost, grid.metre)
