"""What a teacher measured, put into her board, and compared with the model.  No Qt here."""

from collections.abc import Mapping
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.board.facade import BoardTap, phone_levels
from tapscore.board.measure import Comparison, compare, grain_from, reading_db, stiffness_nm
from tapscore.model.board import Board, Sheet, Strips
from tapscore.wording.catalogue import say

_LEAST, _LEAST_KG = 0.01, 0.1
"""Anything smaller was not measured; the file takes no lighter sheet."""
_STIFFNESS_RANGE_NM = Fraction(1, 100), Fraction(100_000)
"""As the story file takes it."""


@frozen
class Battens:
    """A weight laid on the sheet between two battens; 0 for what was not measured."""

    weight_kg: float = 0.0
    apart_mm: float = 0.0
    sinks_long_mm: float = 0.0
    """Spanning along the longer side, so that the battens lie along the shorter one."""
    sinks_short_mm: float = 0.0


@frozen
class PhoneWish:
    """A phone's readings (m/s^2) by spot, of taps alike with the fingertips."""

    board: Board
    place: str
    readings: tuple[tuple[str, float], ...]


def stiffnesses(board: Board, battens: Battens) -> tuple[Fraction | None, Fraction | None]:
    """Stiffness along the longer and the shorter side (N m), to three figures."""
    sides = sorted((float(board.width_mm), float(board.depth_mm)))
    return (
        _stiffness(battens, sides[0], battens.sinks_long_mm),
        _stiffness(battens, sides[1], battens.sinks_short_mm),
    )


def measured_board(board: Board, battens: Battens, mass_kg: float, strips: Strips) -> Board:
    """The board with what was measured; what was not stays as it was."""
    sheet = board.sheet or Sheet()
    long_nm, short_nm = stiffnesses(board, battens)
    long_nm, short_nm = long_nm or sheet.stiffness_long_nm, short_nm or sheet.stiffness_short_nm
    grain = sheet.grain
    if long_nm is not None and short_nm is not None:
        found = grain_from(float(long_nm), float(short_nm))
        grain = grain if found == "not known" else found
    weighed = Fraction(round(100 * mass_kg), 100) if mass_kg >= _LEAST_KG else sheet.mass_kg
    usual = board.strips is None and strips == Strips()
    new = evolve(
        sheet,
        grain=grain,
        stiffness_long_nm=long_nm,
        stiffness_short_nm=short_nm,
        mass_kg=weighed,
    )
    return evolve(
        board,
        sheet=board.sheet if new == Sheet() else new,
        strips=None if usual else strips,
    )


def forgotten(board: Board) -> Board:
    """The board without any measured figures."""
    sheet = board.sheet
    if sheet is None:
        return board
    new = evolve(sheet, stiffness_long_nm=None, stiffness_short_nm=None, mass_kg=None)
    return evolve(board, sheet=new)


def stiffness_sentence(board: Board, battens: Battens) -> str:
    """What follows from the battens, in words."""
    long_nm, short_nm = stiffnesses(board, battens)
    if long_nm is None and short_nm is None:
        return say(
            "Nothing follows yet: give the weight, the distance and how far the sheet sinks."
        )
    said = [
        say("{stiffness} newton metres along the longer side", stiffness=float(figure))
        if side == "longer"
        else say("{stiffness} newton metres along the shorter side", stiffness=float(figure))
        for figure, side in ((long_nm, "longer"), (short_nm, "shorter"))
        if figure is not None
    ]
    sentence = say("The stiffness is {figures:and}.", figures=tuple(said))
    if long_nm is None or short_nm is None:
        return say("{sentence} Measure the other way, too, to find the grain.", sentence=sentence)
    grain = grain_from(float(long_nm), float(short_nm))
    if grain == "not known":
        return say(
            "{sentence} They are too near to one another to tell the grain.", sentence=sentence
        )
    if grain == "long":
        return say("{sentence} The grain runs along the longer side.", sentence=sentence)
    return say("{sentence} The grain runs along the shorter side.", sentence=sentence)


def phone_comparison(wish: PhoneWish) -> Comparison:
    """The readings against the model; takes up to some tenths of a second."""
    spots = {spot.name: spot.at for spot in wish.board.spots}
    readings = {
        spot: reading_db(value) for spot, value in wish.readings if value > 0 and spot in spots
    }
    return compare(readings, _model_db(wish.board, wish.place, readings))


def _model_db(board: Board, place: str, readings: Mapping[str, float]) -> dict[str, float]:
    spots = {spot.name: spot.at for spot in board.spots}
    levels = phone_levels(board, [BoardTap(spots[name]) for name in readings], (place,))
    if not levels.places:
        return {}
    return {name: row[0] for name, row in zip(readings, levels.level_db, strict=True)}


def _stiffness(battens: Battens, side_mm: float, sinks_mm: float) -> Fraction | None:
    if min(battens.weight_kg, battens.apart_mm, sinks_mm) < _LEAST:
        return None
    found = stiffness_nm(battens.weight_kg, battens.apart_mm, side_mm, sinks_mm)
    low, high = _STIFFNESS_RANGE_NM
    return min(max(Fraction(f"{float(f'{found:.3g}'):.2f}"), low), high)
