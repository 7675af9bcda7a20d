"""Stiffness and weight of plywood by kind, thickness, plies and grain.

Every figure here is from memory of trade tables (marked M), not measured by us; a teacher
can measure her own sheet (see ``measure``), and then her figures are used instead.
"""

from attrs import frozen

from tapscore.board.stiffness import Plate
from tapscore.model.board import Board, Sheet
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

LOSS_FACTOR = 0.03
"""M: a mounted sheet of plywood."""

DEFAULT_THICKNESS_MM = 4.0


@frozen
class Wood:
    """A layer of one wood: moduli along and across its fibres (GPa), density (kg/m^3)."""

    along_gpa: float
    across_gpa: float
    shear_gpa: float
    coupling_gpa: float
    density_kg_m3: float
    bending_gpa: tuple[tuple[int, float, float], ...] = ()
    """Whole sheets where the trade tables know them: plies, along, across."""


WOODS = {
    "birch": Wood(17.1, 0.41, 0.62, 0.17, 680, ((3, 16.5, 1.03), (5, 12.7, 4.8), (7, 11.4, 6.1))),
    "poplar": Wood(9.0, 0.4, 0.4, 0.15, 455),
    "beech": Wood(14.0, 0.9, 0.8, 0.3, 720),
    "spruce": Wood(11.0, 0.4, 0.5, 0.15, 460),
}
"""All M.  Names as a teacher would write them."""

DEFAULT_WOOD = "birch"
_USUAL_PLIES = ((5.0, 3), (8.0, 5), (10.5, 7), (13.5, 9))
"""M: plies of a birch sheet up to a thickness in mm."""
_MOST_USUAL_PLIES = 11


@frozen
class Measured:
    """What a teacher measured herself; None where she did not."""

    along_long_nm: float | None = None
    """Bending stiffness D along the longer side (N m)."""
    along_short_nm: float | None = None
    mass_kg: float | None = None


def measured_of(sheet: Sheet | None) -> Measured:
    """What a story file says that its teacher measured."""
    own = sheet or Sheet()
    figures = own.stiffness_long_nm, own.stiffness_short_nm, own.mass_kg
    return Measured(*(None if figure is None else float(figure) for figure in figures))


@frozen
class Described:
    """A plate, and in words what had to be assumed to make it."""

    plate: Plate
    assumed: tuple[str, ...]
    grain_known: bool
    stretch_n_per_m: tuple[float, float]
    """Modulus in the sheet's plane times thickness, along x and along y."""


def describe(board: Board, measured: Measured | None = None) -> Described:
    """Make the plate of a board; what the story does not say is assumed and told.

    ``measured`` stands in for the sheet's own measured figures.
    """
    sheet = board.sheet or Sheet()
    own = measured_of(sheet) if measured is None else measured
    assumed = []
    wood = WOODS.get((sheet.wood or "").strip().casefold())
    if wood is None:
        wood = WOODS[DEFAULT_WOOD]
        assumed.append(
            say(
                "wood: {usual}{wood:=|*= in place of {wood}}",
                usual=term(DEFAULT_WOOD),
                wood=sheet.wood or None,
            )
        )
    thickness_mm = float(sheet.thickness_mm or 0)
    if thickness_mm <= 0:
        thickness_mm = DEFAULT_THICKNESS_MM
        assumed.append(say("thickness: {thickness} mm", thickness=thickness_mm))
    plies = sheet.plies or usual_plies(thickness_mm)
    if sheet.plies is None:
        assumed.append(say("layers: {plies}", plies=plies))
    grain_known = sheet.grain in ("long", "short") or None not in (
        own.along_long_nm,
        own.along_short_nm,
    )
    if not grain_known:
        assumed.append(say("grain: along the longer side"))
    along, across = bending_gpa(wood, plies)
    pull = _stretch_gpa(wood, plies)
    cubed = (thickness_mm / 1000) ** 3 / 12 * 1e9
    long_nm, short_nm = along * cubed, across * cubed
    if sheet.grain == "short":
        long_nm, short_nm = short_nm, long_nm
        pull = pull[::-1]
    long_nm, short_nm = own.along_long_nm or long_nm, own.along_short_nm or short_nm
    width_m, depth_m = float(board.width_mm) / 1000, float(board.depth_mm) / 1000
    d11, d22 = long_nm, short_nm
    if width_m < depth_m:
        d11, d22, pull = short_nm, long_nm, pull[::-1]
    mass = wood.density_kg_m3 * thickness_mm / 1000
    if own.mass_kg is not None:
        mass = own.mass_kg / (width_m * depth_m)
    d12 = min(wood.coupling_gpa * cubed, 0.5 * (d11 * d22) ** 0.5)
    plate = Plate(width_m, depth_m, d11, d22, d12, wood.shear_gpa * cubed, mass, LOSS_FACTOR)
    stretch = pull[0] * thickness_mm * 1e6, pull[1] * thickness_mm * 1e6
    return Described(plate, tuple(assumed), grain_known, stretch)


def usual_plies(thickness_mm: float) -> int:
    """How many layers a sheet of this thickness usually has."""
    for most_mm, plies in _USUAL_PLIES:
        if thickness_mm <= most_mm:
            return plies
    return _MOST_USUAL_PLIES


def bending_gpa(wood: Wood, plies: int) -> tuple[float, float]:
    """Moduli in bending, along and across the outer layers' fibres.

    From the table if it is there, else from equal layers that cross (laminate theory).
    """
    for known, along, across in wood.bending_gpa:
        if known == plies:
            return along, across
    share = _outer_share(plies)
    stiff, soft = wood.along_gpa, wood.across_gpa
    return share * stiff + (1 - share) * soft, share * soft + (1 - share) * stiff


def _outer_share(plies: int) -> float:
    """Share of the second moment in layers that run as the outer ones do."""
    total = 0.0
    for layer in range(plies):
        low, high = 2 * layer / plies - 1, 2 * (layer + 1) / plies - 1
        from_outside = min(layer, plies - 1 - layer)
        if from_outside % 2 == 0:
            total += (high**3 - low**3) / 2
    return total


def _stretch_gpa(wood: Wood, plies: int) -> tuple[float, float]:
    """Moduli in the sheet's plane, along and across, from equal layers that cross."""
    outer = sum(min(layer, plies - 1 - layer) % 2 == 0 for layer in range(plies)) / plies
    return (
        outer * wood.along_gpa + (1 - outer) * wood.across_gpa,
        outer * wood.across_gpa + (1 - outer) * wood.along_gpa,
    )
