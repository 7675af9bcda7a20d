"""The dynamic programme over (syllable, slot): the cheapest placements in order of cost."""

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import TypeAlias

from attrs import frozen

from tapscore.words.fit_costs import Paths

Placement = tuple[float, tuple[int, ...]]
"""Cost and the slot of every syllable, slots counted from 0."""


Held: TypeAlias = tuple[int, int]
"""A syllable and the slot where it is held."""

_Begun: TypeAlias = tuple[float, int, int, int, float, "_Begun | None"]
"""A placement begun: what it costs at least in the end, minus the number of its last syllable
(of two as cheap the longer one goes on first), a number of its own, its last slot, its cost so
far, and the same up to the syllable before."""
_Arrivals: TypeAlias = dict[int, tuple[float, int]]
"""By the slot of a syllable: the least that the line costs up to it, and the slot before."""
_PLACES = 9
"""Decimal places of the cost in the end: ways as cheap must not differ by how they were added
up, or a line of one word said often is never done."""


@frozen
class Tables:
    """What the search needs: costs of slots, of moves, and which slots each may use.

    ``nodes[i][slot]``; ``jumps[i][class]`` of the move from syllable i to i + 1 along
    ``paths``; and ``windows[i]``, the first and one past the last slot of syllable i.
    """

    nodes: Sequence[Sequence[float]]
    jumps: Sequence[Sequence[float]]
    paths: Paths
    windows: Sequence[tuple[int, int]]


class Search:
    """The cheapest placements of one line on one grid, and what the cheapest costs.

    Best first (A*), led by what the rest of a placement costs at least, which one pass from
    the line's end tells exactly: hardly a step is taken that no placement wanted needs.
    """

    def __init__(self, tables: Tables) -> None:
        self._tables = tables
        self._rests = _costs_to_go(tables)
        low, high = tables.windows[0]
        pairs = zip(tables.nodes[0][low:high], self._rests[0][low:high], strict=True)
        self._begins = [node + rest for node, rest in pairs]
        self.least = min(self._begins, default=math.inf)
        """The cost of the cheapest placement; without end where the slots do not suffice."""
        self._arrivals: list[_Arrivals] = []

    def best(self, count: int) -> list[Placement]:
        """The ``count`` cheapest placements, cheapest first; fewer where there are fewer."""
        nodes, paths = self._tables.nodes, self._tables.paths
        first, _end = self._tables.windows[0]
        waiting: list[_Begun] = [
            (round(cost, _PLACES), 0, number, slot, nodes[0][slot], None)
            for number, (slot, cost) in enumerate(enumerate(self._begins, first))
            if cost < math.inf
        ]
        heapify(waiting)
        number = len(self._begins)
        found: list[Placement] = []
        last = len(nodes) - 1
        while waiting and len(found) < count:
            now = heappop(waiting)
            _total, minus_at, _number, slot, spent, _before = now
            at = -minus_at
            if at == last:
                found.append((spent, _traced(now)))
                continue
            jump, row, rest = self._tables.jumps[at], nodes[at + 1], self._rests[at + 1]
            for target, kind, passed in paths[slot]:
                left = rest[target]
                if left < math.inf:
                    so_far = spent + (passed + jump[kind] + row[target])
                    total = round(so_far + left, _PLACES)
                    number += 1
                    heappush(waiting, (total, minus_at - 1, number, target, so_far, now))
        return found

    def holding(self, held: Sequence[Held]) -> Placement | None:
        """The cheapest placement with some syllables held, in order; None if there is none.

        One pass from the line's beginning serves all that is asked; only the stretches between
        two syllables held are gone through by themselves.
        """
        if not self._arrivals:
            low, high = self._tables.windows[0]
            begins = {slot: (self._tables.nodes[0][slot], slot) for slot in range(low, high)}
            self._arrivals = self._onwards(0, begins, len(self._rests) - 1)
        spent, slots = _traced_back(self._arrivals, held[0])
        for (start, slot), end in itertools.pairwise(held):
            between = self._onwards(start, {slot: (spent, slot)}, end[0])
            spent, more = _traced_back(between, (end[0] - start, end[1]))
            slots += more[1:]
        at, slot = held[-1]
        cost = spent + self._rests[at][slot]
        if cost == math.inf:
            return None
        for now in range(at, len(self._rests) - 1):
            jump, row, rest = (
                self._tables.jumps[now],
                self._tables.nodes[now + 1],
                self._rests[now + 1],
            )
            ways = self._tables.paths[slots[-1]]
            costs = [passed + jump[kind] + row[to] + rest[to] for to, kind, passed in ways]
            slots.append(ways[costs.index(min(costs))][0])
        return cost, tuple(slots)

    def _onwards(self, start: int, reached: _Arrivals, end: int) -> list[_Arrivals]:
        """What the line costs at least up to every slot of the syllables from start to end."""
        found = [reached]
        for at in range(start, end):
            jump, row, (low, high) = (
                self._tables.jumps[at],
                self._tables.nodes[at + 1],
                self._tables.windows[at + 1],
            )
            onward: _Arrivals = {}
            for before, (spent, _) in found[-1].items():
                for target, kind, passed in self._tables.paths[before]:
                    if low <= target < high:
                        cost = spent + (passed + jump[kind] + row[target])
                        if target not in onward or cost < onward[target][0]:
                            onward[target] = cost, before
            found.append(onward)
        return found


class Sums:
    """How likely placements are together that have the same syllables on the downbeats.

    Costs are minus log probabilities.  Syllables held on downbeats part the rest, so stretches
    between two of them are summed by themselves, and once for all placements that share them.
    """

    def __init__(self, tables: Tables, downbeats: frozenset[int]) -> None:
        self._tables = tables
        self._downbeats = downbeats
        self._nodes = [[math.exp(-cost) for cost in row] for row in tables.nodes]
        self._jumps = [[math.exp(-cost) for cost in row] for row in tables.jumps]
        self._paths = _likely(tables.paths)
        self._known: dict[tuple[Held | None, Held | None], float] = {}

    def cost(self, slots: Sequence[int]) -> float:
        """The cost of all placements together that have the downbeats of this one."""
        held = [(at, slot) for at, slot in enumerate(slots) if slot in self._downbeats]
        share = 1.0
        for pair in zip([None, *held], [*held, None], strict=True):
            if pair not in self._known:
                self._known[pair] = self._between(*pair)
            share *= self._known[pair]
        return -math.log(share) if share > 0 else math.inf

    def _between(self, start: Held | None, end: Held | None) -> float:
        """Summed likelihood from a syllable held to the next one held; no other on a downbeat."""
        nodes, windows = self._nodes, self._tables.windows
        last, limit = (len(nodes) - 1, len(nodes[0])) if end is None else (end[0] - 1, end[1])
        first = 0
        reached = {start[1]: 1.0} if start is not None else {}
        if start is not None:
            first = start[0] + 1
        elif last >= 0:
            low, high = windows[0]
            free = set(range(low, min(high, limit))) - self._downbeats
            reached = {slot: nodes[0][slot] for slot in free}
            first = 1
        for at in range(first, last + 1):
            low, high = windows[at]
            reached = self._onwards(at, reached, low, min(high, limit))
        if end is None:
            return sum(reached.values())
        at, slot = end
        if at == 0:
            return nodes[0][slot]
        jump, row = self._jumps[at - 1], nodes[at][slot]
        return row * sum(
            share * passed * jump[kind]
            for before, share in reached.items()
            for target, kind, passed in self._paths[before]
            if target == slot
        )

    def _onwards(self, at: int, reached: dict[int, float], low: int, high: int) -> dict[int, float]:
        jump, row, downbeats = self._jumps[at - 1], self._nodes[at], self._downbeats
        onward: dict[int, float] = {}
        for before, share in reached.items():
            for target, kind, passed in self._paths[before]:
                if target >= high:
                    break
                if target >= low and target not in downbeats:
                    way = share * passed * jump[kind] * row[target]
                    onward[target] = onward.get(target, 0.0) + way
        return onward


@lru_cache(maxsize=256)
def _likely(paths: Paths) -> Paths:
    """The same moves with likelihoods instead of costs."""
    return tuple(
        tuple((target, kind, math.exp(-cost)) for target, kind, cost in row) for row in paths
    )


def _traced_back(arrivals: Sequence[_Arrivals], end: Held) -> tuple[float, list[int]]:
    """The least cost of coming to a slot held, and the slots on the way; without end if none."""
    at, slot = end
    cost, _before = arrivals[at].get(slot, (math.inf, slot))
    slots = [slot]
    for earlier in range(at, 0, -1):
        if cost == math.inf:
            break
        slots.append(arrivals[earlier][slots[-1]][1])
    return cost, slots[::-1]


def _costs_to_go(tables: Tables) -> list[list[float]]:
    """By syllable and slot: the least that the syllables after it cost; without end outside."""
    nodes, windows, paths = tables.nodes, tables.windows, tables.paths
    size, infinite = len(nodes[0]), math.inf
    rest = [infinite] * size
    low, high = windows[-1]
    rest[low:high] = [0.0] * (high - low)
    rests = [rest]
    for at in range(len(nodes) - 2, -1, -1):
        jump = tables.jumps[at]
        arrived = [one + two for one, two in zip(nodes[at + 1], rest, strict=True)]
        low, high = windows[at]
        rest = [infinite] * size
        rest[low:high] = [
            min(
                [passed + jump[kind] + arrived[target] for target, kind, passed in row],
                default=infinite,
            )
            for row in paths[low:high]
        ]
        rests.append(rest)
    rests.reverse()
    return rests


def _traced(end: "_Begun") -> tuple[int, ...]:
    slots = []
    now: _Begun | None = end
    while now is not None:
        slots.append(now[3])
        now = now[5]
    return tuple(reversed(slots))
