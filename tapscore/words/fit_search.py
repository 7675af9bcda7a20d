"""The dynamic programme over (syllable, slot): the cheapest placements in order of cost."""

import math
from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from typing import TypeAlias

from attrs import frozen

from tapscore.words.fit_costs import Paths

Placement = tuple[float, tuple[int, ...]]
"""Cost and the slot of every syllable, slots counted from 0."""


_Begun: TypeAlias = tuple[float, int, int, int, float, "_Begun | None"]
"""A placement begun: what it costs at least in the end, minus the number of its last syllable
(of two as cheap the longer one goes on first), a number of its own, its last slot, its cost so
far, and the same up to the syllable before."""
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


def best_placement(tables: Tables) -> Placement | None:
    """The cheapest placement, or None where the slots do not suffice."""
    nodes, windows, paths = tables.nodes, tables.windows, tables.paths
    size = len(nodes[0])
    infinite = math.inf
    low, high = windows[0]
    costs = [infinite] * size
    costs[low:high] = nodes[0][low:high]
    history: list[list[int]] = []
    for at in range(1, len(nodes)):
        row, jump = nodes[at], tables.jumps[at - 1]
        before_low, before_high = windows[at - 1]
        low, high = windows[at]
        reached = [infinite] * size
        came = [-1] * size
        for slot in range(before_low, before_high):
            cost = costs[slot]
            if cost == infinite:
                continue
            for target, kind, passed in paths[slot]:
                if target >= high:
                    break
                total = cost + passed + jump[kind]
                if total < reached[target]:
                    reached[target] = total
                    came[target] = slot
        for slot in range(low):
            reached[slot] = infinite
        for slot in range(low, high):
            reached[slot] += row[slot]
        costs = reached
        history.append(came)
    least = min(costs)
    if least == infinite:
        return None
    slot = costs.index(least)
    slots = [slot]
    for came in reversed(history):
        slot = came[slot]
        slots.append(slot)
    return least, tuple(reversed(slots))


def best_placements(tables: Tables, count: int) -> list[Placement]:
    """The ``count`` cheapest placements, cheapest first; fewer where there are fewer.

    Best first (A*), led by what the rest of a placement costs at least, which one pass from
    the line's end tells exactly: hardly a step is taken that no placement wanted needs.
    """
    if count == 1:
        best = best_placement(tables)
        return [] if best is None else [best]
    nodes, paths = tables.nodes, tables.paths
    rests = _costs_to_go(tables)
    low, high = tables.windows[0]
    waiting: list[_Begun] = []
    number = 0
    for slot in range(low, high):
        cost = nodes[0][slot] + rests[0][slot]
        if cost < math.inf:
            number += 1
            waiting.append((round(cost, _PLACES), 0, number, slot, nodes[0][slot], None))
    heapify(waiting)
    found: list[Placement] = []
    last = len(nodes) - 1
    while waiting and len(found) < count:
        now = heappop(waiting)
        _total, minus_at, _number, slot, spent, _before = now
        at = -minus_at
        if at == last:
            found.append((spent, _traced(now)))
            continue
        jump, row, rest = tables.jumps[at], nodes[at + 1], rests[at + 1]
        for target, kind, passed in paths[slot]:
            left = rest[target]
            if left < math.inf:
                so_far = spent + (passed + jump[kind] + row[target])
                total = round(so_far + left, _PLACES)
                number += 1
                heappush(waiting, (total, minus_at - 1, number, target, so_far, now))
    return found


def _costs_to_go(tables: Tables) -> list[list[float]]:
    """By syllable and slot: the least that the syllables after it cost; without end outside."""
    nodes, windows, paths = tables.nodes, tables.windows, tables.paths
    size, infinite = len(nodes[0]), math.inf
    rest = [infinite] * size
    low, high = windows[-1]
    rest[low:high] = [0.0] * (high - low)
    rests = [rest]
    for at in range(len(nodes) - 2, -1, -1):
        row, jump = nodes[at + 1], tables.jumps[at]
        arrived = [one + two for one, two in zip(row, rest, strict=True)]
        _low, end = windows[at + 1]
        low, high = windows[at]
        rest = [infinite] * size
        for slot in range(low, high):
            least = infinite
            for target, kind, passed in paths[slot]:
                if target >= end:
                    break
                total = passed + jump[kind] + arrived[target]
                least = min(least, total)
            rest[slot] = least
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
