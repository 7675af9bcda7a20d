"""Edits of every cell of a lane."""

from collections.abc import Callable

from attrs import evolve

from tapscore.model.lane import Cell, Lane
from tapscore.model.story import Line


def change_cells(lane: Lane, change: Callable[[Cell], Cell]) -> Lane:
    """The lane with every cell changed."""
    return Lane(
        tuple(tuple(map(change, step)) for step in lane.pickup),
        tuple(tuple(tuple(map(change, step)) for step in bar) for bar in lane.bars),
    )


def without_accents(line: Line) -> Line:
    """The line with no strong tap."""
    if line.lane is None:
        return line
    return evolve(line, lane=change_cells(line.lane, lambda cell: evolve(cell, accent=False)))
