"""Where to tap: sentences found in the maps, for example so that all places get the same."""

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from tapscore.board.facade import FeltMap, felt_map, places_on
from tapscore.board.words import STEP_DB, USUAL_WEAK_DB
from tapscore.model.board import Board
from tapscore.model.strokes import Stroke
from tapscore.wording.catalogue import say

_ZONES = 3
_ROWS = ("south", "", "north")
_COLUMNS = ("west", "", "east")
_SAID = {
    "north": say("top"),
    "south": say("bottom"),
    "west": say("left"),
    "east": say("right"),
}
ALIKE_DB = 3.0
_FEWEST_CELLS = 12


def zone_name(row: int, column: int) -> str:
    """Name one of nine parts of the board: row from the south, column from the west."""
    sides = [_SAID[side] for side in (_ROWS[row], _COLUMNS[column]) if side]
    if not sides:
        return say("in the middle")
    if len(sides) == 1:
        return say("near the {side} edge", side=sides[0])
    return say("near the {across} {along} corner", across=sides[0], along=sides[1])


def zones_db(found: FeltMap) -> NDArray[np.float64]:
    """Mean energy of a map in nine parts, in dB, where a hand can reach; nan where none can.

    The outermost cells, on the strips, are left out.
    """
    energy = np.where(found.free, 10 ** (found.level_db / 10), 0.0)[1:-1, 1:-1]
    free = found.free[1:-1, 1:-1]
    zones = np.full((_ZONES, _ZONES), np.nan)
    rows, columns = (np.array_split(np.arange(n), _ZONES) for n in free.shape)
    for i, row in enumerate(rows):
        for j, column in enumerate(columns):
            part = np.ix_(row, column)
            if free[part].sum() >= _FEWEST_CELLS:
                zones[i, j] = 10 * np.log10(energy[part].sum() / free[part].sum())
    return zones


def suggestions(board: Board, stroke: Stroke, level: Fraction) -> tuple[str, ...]:
    """Sentences on where to tap so that places feel it alike, or one feels it most.

    Relative, a model, not a measurement.
    """
    maps = [
        found
        for place in places_on(board)
        if (found := felt_map(board, stroke, level, place.name)) is not None
    ]
    zones = [zones_db(found) for found in maps]
    said = [*alike(zones)] if len(zones) > 1 else []
    for found, mine in zip(maps, zones, strict=True):
        if np.isfinite(mine).any() and np.nanmax(mine) >= STEP_DB:
            row, column = np.unravel_index(int(np.nanargmax(mine)), mine.shape)
            where = zone_name(int(row), int(column))
            said.append(
                say("{place} gets the most from taps {where}.", place=found.place, where=where)
            )
    return tuple(said)


def alike(zones: list[NDArray[np.float64]]) -> Iterator[str]:
    """Where all places get about the same: the strongest such part, else the nearest to it."""
    every = np.array(zones)
    spread = every.max(axis=0) - every.min(axis=0)
    weakest = every.min(axis=0)
    names = say("both places") if len(zones) == 2 else say("all {zones} places", zones=len(zones))
    alike = (spread <= ALIKE_DB) & (weakest > USUAL_WEAK_DB)
    if alike.any():
        best = int(np.where(alike, weakest, -np.inf).argmax())
        where = zone_name(*divmod(best, _ZONES))
        yield say(
            "{where} {names} get about the same.",
            where=f"{where[:1].upper()}{where[1:]}",
            names=names,
        )
    elif np.isfinite(spread).any():
        nearest = zone_name(*divmod(int(np.nanargmin(spread)), _ZONES))
        yield say(
            "Nowhere do {names} get the same; it comes nearest {nearest}.",
            names=names,
            nearest=nearest,
        )
