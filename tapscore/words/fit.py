"""Fit a line of syllables to a metre: which syllable falls where in the bars."""

import itertools
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from math import inf, lcm

from attrs import evolve, frozen

from tapscore.model.metre import Metre
from tapscore.words.fit_costs import FitWeights, LineCosts, paths, shipped_weights
from tapscore.words.fit_search import Held, Placement, Search, Sums, Tables
from tapscore.words.grid import Grid
from tapscore.words.line import SungSyllable
from tapscore.words.returning import contrasted, counted
from tapscore.words.whole_line import begins_inside, cost_as_a_whole

_LONG_LINE = 40
_MOST_BARS = 8
_EACH = 6
"""Placements looked at for each number of bars."""
_EACH_OF_MANY = 16
"""The same where several ways are asked for: the first ones often have the same downbeats."""
_LONG_COUNT = 4
"""Numbers in a count from which on even placements are looked for by themselves."""
_CROWDED = 0.45
"""Syllables a step from which on two may share one."""
_MOST_HALVES = 2
"""Syllables of a line that may share a step with the one before, besides those that must."""
_FAR = 7.0
"""How much less likely (in costs) another number of bars may be and still be looked at."""


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

    Further ones come in the order of how good they are, too, but those first whose syllables on
    the downbeats are others than in any before: what a listener would call another rhythm.
    ``bars`` fixes the number of bars (found by itself otherwise), ``pickup`` the length of
    the pickup in felt beats (0: the line begins on its first downbeat).  At least one
    placement is found for every line, however crowded; the grid gets finer for it.
    """
    if not syllables:
        return ()
    known = shipped_weights() if weights is None else weights
    costs = LineCosts(syllables, metre, known)
    found = likely_fits(costs, bars, pickup, alternatives)
    return tuple(found[:1] if alternatives == 1 else _unlike_first(found)[:alternatives])


def least_cost(
    syllables: Sequence[SungSyllable], metre: Metre, weights: FitWeights | None = None
) -> float:
    """The cost of a line's cheapest placement, its bars found by itself."""
    costs = LineCosts(syllables, metre, shipped_weights() if weights is None else weights)
    choices = likely_bars(len(syllables), metre)
    return min(_InBars(costs, bars, None).least for bars in choices)


def likely_fits(
    costs: LineCosts, bars: int | None, pickup: Fraction | None = None, count: int = 1
) -> list[Fit]:
    """The placements worth a look, ``count`` or more if there are, the best first.

    Numbers of bars that are far less likely than the likeliest are left out.
    """
    choices = [max(1, bars)] if bars is not None else likely_bars(costs.count, costs.metre)
    each = _EACH if count == 1 else max(count, _EACH_OF_MANY)
    if costs.count > _LONG_LINE:
        each = count
    looks = [_InBars(costs, choice, pickup) for choice in choices]
    far = min(look.least for look in looks) + _FAR
    counts = [run for run in counted(costs.syllables) if len(run) >= _LONG_COUNT]
    leads = [lead for leads in begins_inside(costs.syllables) for lead in leads]
    apart = contrasted(costs.syllables)
    if len(apart) > 1:
        counts.append(apart)
    found: list[Fit] = []
    for look in looks:
        for fit in look.by_downbeats(each if look.least <= far else 0, counts, leads):
            placed = fit.onsets_beats, fit.bars, fit.metre
            cost = fit.cost + cost_as_a_whole(costs.syllables, *placed)
            found.append(evolve(fit, cost=cost))
    return sorted(found, key=lambda fit: fit.cost)


def _unlike_first(fits: Sequence[Fit]) -> list[Fit]:
    seen: set[tuple[tuple[int, ...], int]] = set()
    unlike: list[Fit] = []
    alike: list[Fit] = []
    for fit in fits:
        last_bar = int(fit.onsets_beats[-1] // fit.metre.beats)
        heard = _on_downbeats(fit), last_bar
        (alike if heard in seen else unlike).append(fit)
        seen.add(heard)
    return [*unlike, *alike]


def _on_downbeats(fit: Fit) -> tuple[int, ...]:
    return tuple(at for at, onset in enumerate(fit.onsets_beats) if not onset % fit.metre.beats)


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
    """A grid of lane steps, of half steps where words begin to crowd, of finer ones if they must.

    Long lines, and those with a pickup that has other steps, crowd only where they must.
    """
    room = Fraction(longest_pickup(metre), metre.steps_per_beat) if pickup is None else pickup
    per_beat = lcm(metre.steps_per_beat, room.denominator)
    while True:
        before = int(room * per_beat)
        grid = Grid(metre, bars, per_beat, -before)
        if count * 10 <= 9 * (grid.last + before):
            break
        per_beat *= 2
    crowds = _CROWDED * metre.steps * bars <= count <= _LONG_LINE
    if crowds and per_beat == metre.steps_per_beat:
        grid = Grid(metre, bars, 2 * per_beat, -2 * before)
    return grid


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
    elif grid.per_beat == 2 * grid.metre.steps_per_beat:
        halves = _MOST_HALVES + max(0, count - size // 2)
        windows = [
            (max(at, 2 * (at - halves)), min(at + slack, 2 * (at + size // 2 - count + halves)) + 1)
            for at in range(count)
        ]
        if pickup is None:
            nodes[0][1::2] = [inf] * (size // 2)
    else:
        windows = [(at, at + slack + 1) for at in range(count)]
    if pickup is not None:
        windows[0] = (0, 1)
    longest = longest_gap(grid, count)
    return Tables(nodes, costs.jumps(grid.bars), paths(grid, longest, costs.weights), windows)


def longest_gap(grid: Grid, count: int) -> int:
    """How many slots may lie between two neighbours' beginnings."""
    return max(2 * grid.per_beat, (grid.last - grid.first) // count + grid.per_beat)


class _InBars:
    """A line looked at in so many bars."""

    def __init__(self, costs: LineCosts, bars: int, pickup: Fraction | None) -> None:
        self._grid = make_grid(costs.count, costs.metre, bars, pickup)
        self._bar = costs.metre.beats * self._grid.per_beat
        self._tables = search_tables(costs, self._grid, pickup)
        self._search = Search(self._tables)
        self._size = costs.size(bars)
        self.least = self._search.least + self._size

    def by_downbeats(
        self, count: int, counts: Sequence[Sequence[int]] = (), leads: Sequence[int] = ()
    ) -> list[Fit]:
        """The cheapest placements, each as cheap as its downbeats make it.

        ``counts``: first syllables of numbers counted aloud; even ways to say them come, too.
        ``leads``: syllables that are also looked for on each of the downbeats.
        Costs are minus log probabilities.  Many placements share their downbeats and differ in
        small things; together they are likelier than any of them.  So the cheapest of those
        found costs what all that there are do together, and the others cost as much more as before.
        """
        likely = self._search.best(count)
        # A line that is a count may be even in numbers of bars that are unlikely otherwise.
        holds = [held for run in counts if count or not run[0] for held in self._evenly(run)]
        holds += [held for lead in leads if count for held in self._on_bars(lead)]
        further = [self._search.holding(held) for held in holds]
        likely += [one for one in further if one is not None]
        return self._as_likely(dict.fromkeys(likely))

    def _as_likely(self, placements: Iterable[Placement]) -> list[Fit]:
        grid, first = self._grid, self._grid.first
        downbeats = range(-first % self._bar, grid.last - first, self._bar)
        sums = Sums(self._tables, frozenset(downbeats))
        gains: dict[tuple[Held, ...], float] = {}
        found = []
        for cost, slots in placements:
            held = tuple((at, slot) for at, slot in enumerate(slots) if slot in downbeats)
            if held not in gains:
                gains[held] = cost - sums.cost(slots)
            total = cost + self._size - gains[held]
            found.append(to_fit(grid, [slot + first for slot in slots], total))
        return found

    def _on_bars(self, lead: int) -> Iterator[tuple[Held, ...]]:
        """A syllable held on each of the downbeats after the first one."""
        first = -self._grid.first
        for slot in range(first + self._bar, self._grid.last + first, self._bar):
            yield ((lead, slot),)

    def _evenly(self, run: Sequence[int]) -> Iterator[tuple[Held, ...]]:
        """A count held to even steps of one beat or two, or of one bar or two."""
        per_beat, first = self._grid.per_beat, self._grid.first
        size = self._grid.last - first
        begins = range(-first % per_beat, size, per_beat) if run[0] else (-first,)
        gaps = {per_beat, 2 * per_beat, self._bar, 2 * self._bar}
        for gap, begin in itertools.product(gaps, begins):
            if begin + gap * (len(run) - 1) < size:
                yield tuple(zip(run, itertools.count(begin, gap), strict=False))


def to_fit(grid: Grid, slots: Sequence[int], cost: float) -> Fit:
    """A fit from slots counted from the first downbeat."""
    onsets = tuple(grid.beats(slot) for slot in slots)
    return Fit(onsets, grid.bars, max(Fraction(0), -onsets[0]), cost, grid.metre)
