"""Pure edits of a lane: each gives a new lane, or None where the edit makes no sense.

A mark is named by its number among the lane's taps and syllables, as ``lane_events``
counts them.
"""

from collections.abc import Callable, Mapping
from functools import partial

from attrs import evolve, frozen

from tapscore.model.lane import Bar, Cell, Lane, Mark, Step, TapDetail
from tapscore.model.metre import Metre

REST = Cell(Mark.REST)
_UNTAPPED = {Mark.SYLLABLE_TAPPED: Mark.SYLLABLE_ALONE, Mark.TAP_ALONE: Mark.REST}


@frozen
class CellPlace:
    """Where a cell stands: bar (0 the first of ``all_bars``), step and part, from 0."""

    bar: int
    step: int
    part: int


def event_places(lane: Lane) -> tuple[CellPlace, ...]:
    """Where each tap or syllable of the lane stands."""
    return tuple(place for place, cell in _cells(lane) if cell.mark not in (Mark.REST, Mark.HOLD))


def cell_at(lane: Lane, place: CellPlace) -> Cell:
    """The cell that stands at a place."""
    return lane.all_bars[place.bar][place.step][place.part]


def change_event(lane: Lane, event: int, change: Callable[[Cell], Cell]) -> Lane:
    """The lane with one mark changed."""
    return _with_cell(lane, event_places(lane)[event], change)


def toggle_tap(lane: Lane, event: int) -> Lane:
    """Take the tap from a syllable, or give it one; a tap alone goes."""
    return change_event(lane, event, _toggled)


def toggle_accent(lane: Lane, event: int) -> Lane:
    """Make a tap strong, or no longer strong."""
    return change_event(
        lane, event, lambda cell: evolve(cell, accent=not cell.accent and cell.mark.tapped)
    )


def with_detail(lane: Lane, event: int, change: Callable[[TapDetail], TapDetail]) -> Lane:
    """The lane with what is special about one tap changed; untapped marks stay as they are."""

    def changed(cell: Cell) -> Cell:
        if not cell.mark.tapped:
            return cell
        detail = change(cell.detail or TapDetail())
        return evolve(cell, detail=None if detail == TapDetail() else detail)

    return change_event(lane, event, changed)


def add_tap(lane: Lane, place: CellPlace) -> Lane | None:
    """The lane with a tap where nothing, or only a syllable, was."""
    cell = cell_at(lane, place)
    if cell.mark.tapped:
        return None
    mark = Mark.SYLLABLE_TAPPED if cell.mark.said else Mark.TAP_ALONE
    return _with_cell(lane, place, lambda _: Cell(mark))


def free_place_after(lane: Lane, event: int | None) -> CellPlace | None:
    """The first empty cell after a mark (from the start, for None); None where all are taken."""
    after = (-1, 0, 0) if event is None else _order(event_places(lane)[event])
    return next(
        (
            place
            for place, cell in _cells(lane)
            if _order(place) > after and cell.mark in (Mark.REST, Mark.HOLD)
        ),
        None,
    )


def move_event(lane: Lane, event: int, steps: int) -> Lane | None:
    """The lane with a mark moved by whole steps into an empty step.

    None where that step is taken, shared by several marks, or beyond the lane, or where
    the mark itself shares a step or would pass another.
    """
    places = event_places(lane)
    old = places[event]
    order = [(b, s) for b, bar in enumerate(lane.all_bars) for s in range(len(bar))]
    target = order.index((old.bar, old.step)) + steps
    if not 0 <= target < len(order) or steps == 0:
        return None
    bar, step = order[target]
    new = CellPlace(bar, step, 0)
    alone = len(lane.all_bars[old.bar][old.step]) == len(lane.all_bars[bar][step]) == 1
    if not alone or cell_at(lane, new).mark not in (Mark.REST, Mark.HOLD):
        return None
    if event + 1 < len(places) and steps > 0 and _order(places[event + 1]) < _order(new):
        return None
    if event > 0 and steps < 0 and _order(new) < _order(places[event - 1]):
        return None
    cell = cell_at(lane, old)
    for begin in (old, new):  # neither does it go on as long, nor longer in another's hold
        for at in order[order.index((begin.bar, begin.step)) + 1 :]:
            held = CellPlace(*at, 0)
            if cell_at(lane, held).mark is not Mark.HOLD:
                break
            lane = _with_cell(lane, held, lambda _: REST)
    lane = _with_cell(lane, old, lambda _: REST)
    return _without_loose_holds(_with_cell(lane, new, lambda _: cell))


def set_held(lane: Lane, event: int, longer: bool) -> Lane | None:
    """The lane with a mark lasting one step more or less; None where there is no room."""
    cells = list(_cells(lane))
    start = cells.index((event_places(lane)[event], _event_cell(lane, event)))
    end = start + 1
    while end < len(cells) and cells[end][1].mark is Mark.HOLD:
        end += 1
    if longer:
        if end >= len(cells) or cells[end][1].mark is not Mark.REST:
            return None
        return _with_cell(lane, cells[end][0], lambda _: Cell(Mark.HOLD))
    if end == start + 1:
        return None
    return _with_cell(lane, cells[end - 1][0], lambda _: REST)


def fit_syllables(lane: Lane, count: int, metre: Metre) -> Lane:
    """The lane with places for ``count`` syllables, its taps kept where they are.

    Places too many lose their syllable from the end (their taps stay, alone); syllables
    too many are said on free steps after the last, in bars added as needed.
    """
    surplus = lane.syllables - count
    for place, cell in reversed(tuple(_cells(lane))):
        if surplus <= 0:
            break
        if cell.mark.said:
            alone = Mark.TAP_ALONE if cell.mark.tapped else Mark.REST
            lane = _with_cell(lane, place, partial(_marked, mark=alone))
            surplus -= 1
    lane = _without_loose_holds(lane)
    lacking = count - lane.syllables
    while lacking > 0:
        cells = list(_cells(lane))
        last = max((i for i, (_, cell) in enumerate(cells) if cell.mark.said), default=-1)
        free = next(
            (place for place, cell in cells[last + 1 :] if cell.mark in (Mark.REST, Mark.HOLD)),
            None,
        )
        if free is None:
            full: Bar = ((REST,),) * metre.steps
            lane = evolve(lane, bars=(*lane.bars, full))
            continue
        lane = _without_loose_holds(_with_cell(lane, free, lambda _: Cell(Mark.SYLLABLE_TAPPED)))
        lacking -= 1
    return lane


def _toggled(cell: Cell) -> Cell:
    if cell.mark.tapped:
        return Cell(_UNTAPPED[cell.mark])
    return Cell(Mark.SYLLABLE_TAPPED)


def _marked(cell: Cell, mark: Mark) -> Cell:
    return evolve(cell, mark=mark) if mark.tapped else Cell(mark)


def with_marks(lane: Lane, marks: Mapping[int, Mark]) -> Lane:
    """The lane with other marks by event number; what held a tap that went is silence."""
    number = -1
    gone = False

    def change(cell: Cell) -> Cell:
        nonlocal number, gone
        if cell.mark is Mark.HOLD:
            return Cell(Mark.REST) if gone else cell
        gone = False
        if cell.mark is Mark.REST:
            return cell
        number += 1
        mark = marks.get(number)
        if mark is None:
            return cell
        gone = mark is Mark.REST
        return evolve(cell, mark=mark) if mark.tapped else Cell(mark)

    return change_cells(lane, change)


def change_cells(lane: Lane, change: Callable[[Cell], Cell]) -> Lane:
    """The lane with every cell changed."""
    return Lane(
        tuple(tuple(map(change, step)) for step in lane.pickup),
        tuple(tuple(tuple(map(change, step)) for step in bar) for bar in lane.bars),
    )


def _event_cell(lane: Lane, event: int) -> Cell:
    return cell_at(lane, event_places(lane)[event])


def _order(place: CellPlace) -> tuple[int, int, int]:
    return place.bar, place.step, place.part


def _cells(lane: Lane) -> tuple[tuple[CellPlace, Cell], ...]:
    return tuple(
        (CellPlace(b, s, p), cell)
        for b, bar in enumerate(lane.all_bars)
        for s, step in enumerate(bar)
        for p, cell in enumerate(step)
    )


def _with_cell(lane: Lane, place: CellPlace, change: Callable[[Cell], Cell]) -> Lane:
    bars = lane.all_bars
    step = bars[place.bar][place.step]
    changed: Step = tuple(
        change(cell) if part == place.part else cell for part, cell in enumerate(step)
    )
    bar: Bar = tuple(changed if s == place.step else old for s, old in enumerate(bars[place.bar]))
    return _rebuilt(lane, tuple(bar if b == place.bar else old for b, old in enumerate(bars)))


def _rebuilt(lane: Lane, bars: tuple[Bar, ...]) -> Lane:
    return Lane(bars[0], bars[1:]) if lane.pickup else Lane((), bars)


def _without_loose_holds(lane: Lane) -> Lane:
    holding = False
    for place, cell in _cells(lane):
        if cell.mark is Mark.HOLD and not holding:
            lane = _with_cell(lane, place, lambda _: REST)
        elif cell.mark is not Mark.HOLD:
            holding = cell.mark is not Mark.REST
    return lane
