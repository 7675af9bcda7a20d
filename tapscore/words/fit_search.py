"""The dynamic programme over (syllable, slot): the cheapest placements in order of cost."""

import math
from collections.abc import Sequence
from heapq import nsmallest

from attrs import frozen

from tapscore.words.fit_costs import Paths

Placement = tuple[float, tuple[int, ...]]
"""Cost and the slot of every syllable, slots counted from 0."""


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
    """The ``count`` cheapest placements, cheapest first; fewer where there are fewer."""
    if count == 1:
        best = best_placement(tables)
        return [] if best is None else [best]
    nodes, windows, paths = tables.nodes, tables.windows, tables.paths
    size = len(nodes[0])
    low, high = windows[0]
    ranked: list[list[tuple[float, int, int]]] = [[] for _ in range(size)]
    for slot in range(low, high):
        ranked[slot] = [(nodes[0][slot], -1, 0)]
    history = [ranked]
    for at in range(1, len(nodes)):
        row, jump = nodes[at], tables.jumps[at - 1]
        low, high = windows[at]
        pools: list[list[tuple[float, int, int]]] = [[] for _ in range(size)]
        for slot, entries in enumerate(ranked):
            for target, kind, passed in paths[slot] if entries else ():
                if low <= target < high:
                    pool = pools[target]
                    move = passed + jump[kind] + row[target]
                    for rank, entry in enumerate(entries):
                        pool.append((entry[0] + move, slot, rank))
        ranked = [nsmallest(count, pool) for pool in pools]
        history.append(ranked)
    ends = [
        (entry[0], slot, rank)
        for slot, entries in enumerate(ranked)
        for rank, entry in enumerate(entries)
    ]
    return [_traced(history, end) for end in nsmallest(count, ends)]


def _traced(
    history: Sequence[list[list[tuple[float, int, int]]]], end: tuple[float, int, int]
) -> Placement:
    cost, slot, rank = end
    slots = []
    for ranked in reversed(history):
        slots.append(slot)
        _cost, slot, rank = ranked[slot][rank]
    return cost, tuple(reversed(slots))
