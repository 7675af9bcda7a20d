"""Fit a line of syllables to a metre: which syllable falls where in the bars."""

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.fit_costs import FitWeights, LineCosts, paths, shipped_weights
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
    costs = LineCosts(syllables, metre, known)
    firsts = [fit for count in choices for fit in fits_in_bars(costs, max(1, count), pickup, 1)]
    firsts.sort(key=lambda fit: fit.cost)
    if alternatives == 1:
        return tuple(firsts[:1])
    found: list[Fit] = []
    for first in firsts:
        # No placement in so many bars is cheaper than the first: the rest cannot come in.
        if len(found) >= alternatives and first.cost >= found[alternatives - 1].cost:
            break
        found += fits_in_bars(costs, first.bars, pickup, alternatives)
        found.sort(key=lambda fit: fit.cost)
    return tuple(found[:alternatives])


def likely_bars(count: int, metre: Metre) -> list[int]:
    """Numbers of bars worth trying for so many syllables: 0.7 to 3.4 syllables a beat."""
    least = max(1, -(-count * 10 // (34 * metre.beats)))
    most = max(least, min(least + _MOST_BARS, -(-count * 10 // (7 * metre.beats))))
    if count > _LONG_LINE:
        middle = max(1, round(count / (1.7 * metre.beats)))
        return [middle]
    return list(range(least, most + 1))


def longest_pickup(metre: Metre) -> int:
    """Lane steps that a line may begin before its first downbeat: two beats, under a bar."""
    per_beat = metre.steps_per_beat
    return min(2 * per_beat, metre.beats * per_beat - 1)


def make_grid(count: int, metre: Metre, bars: int, pickup: Fraction | None) -> Grid:
    """A grid of lane steps, halved as often as the syllables need."""
    room = Fraction(longest_pickup(metre), metre.steps_per_beat) if pickup is None else pickup
    per_beat = lcm(metre.steps_per_beat, room.denominator)
    while True:
        before = int(room * per_beat)
        grid = Grid(metre, bars, per_beat, -before)
        if count * 10 <= 9 * (grid.last + before):
            return grid
        per_beat *= 2


def search_tables(costs: LineCosts, grid: Grid, pickup: Fraction | None) -> Tables:
    """Costs of all slots and moves of a line on a grid."""
    count = costs.count
    size = grid.last - grid.first
    nodes = costs.nodes(grid)
    nodes[0] = [a + b for a, b in zip(nodes[0], costs.heads(grid), strict=True)]
    nodes[-1] = [a + b for a, b in zip(nodes[-1], costs.tails(grid), strict=True)]
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
    longest = longest_gap(grid, count)
    return Tables(nodes, costs.jumps(grid.bars), paths(grid, longest, costs.weights), windows)


def longest_gap(grid: Grid, count: int) -> int:
    """How many slots may lie between two neighbours' beginnings."""
    return max(2 * grid.per_beat, (grid.last - grid.first) // count + grid.per_beat)


def fits_in_bars(
    costs: LineCosts, bars: int, pickup: Fraction | None, alternatives: int
) -> list[Fit]:
    """The best placements of a line in so many bars, best first."""
    grid = make_grid(costs.count, costs.metre, bars, pickup)
    tables = search_tables(costs, grid, pickup)
    size = costs.size(bars)
    return [
        to_fit(grid, [slot + grid.first for slot in slots], cost + size)
        for cost, slots in best_placements(tables, alternatives)
    ]


def to_fit(grid: Grid, slots: Sequence[int], cost: float) -> Fit:
    """A fit from slots counted from the first downbeat."""
    onsets = tuple(grid.beats(slot) for slot in slots)
    return Fit(onsets, grid.bars, max(Fraction(0), -onsets[0]), cost, grid.metre)
