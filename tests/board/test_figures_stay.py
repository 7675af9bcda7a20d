"""What the model gives for three boards: felt, read by a phone, heard, sinking, and what it is of.

A golden file: it says that a figure has become another one.  Whether it is right the other tests
here say, against textbooks, other programs and sums by hand; many figures of hands and of
sound are by ear or from memory, and nothing but this would tell that one was changed.  Where a
change is meant raise ``MODEL_VERSION`` (maps kept in users' folders hold the old figures), and
write the file anew: ``python -m tests.board.test_figures_stay``.
"""

import json
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from attrs import astuple, evolve

from tapscore.board.bodies import BUILDS
from tapscore.board.cache import MODEL_VERSION
from tapscore.board.facade import (
    BoardTap,
    board_facts,
    described,
    felt_levels,
    felt_map,
    phone_levels,
)
from tapscore.board.hands import HANDS, RUBS
from tapscore.board.plywood import WOODS, Measured
from tapscore.board.strokes import rigid
from tapscore.board.tap_sound import board_tap_sound
from tapscore.model.board import Board, Place, Sheet, Strips
from tapscore.model.strokes import Stroke
from tests.board.boards import TWO_PLACES, at, moved

GOLDEN = Path(__file__).parents[1] / "data" / "board_figures.json"
_UNLIKE = evolve(
    TWO_PLACES,
    places=(Place("A", at(350, 500), lying=True, head="west"), Place("B", at(850, 500))),
    strips=Strips(west="elastic", east="simple", south="free", north="simple"),
    sheet=Sheet("spruce", Fraction(6), 5, "short"),
)
BOARDS: dict[str, tuple[Board, Measured | None]] = {
    "birch": (TWO_PLACES, None),
    "unlike sides, deeper than wide": (moved(_UNLIKE, "turn"), None),
    "measured": (TWO_PLACES, Measured(60.0, 20.0, 2.5)),
}
TAPS = tuple(
    BoardTap(at(x, y), stroke, Fraction(level), accent, 0.7)
    for stroke in Stroke
    for x, y, level, accent in (
        (200, 150, Fraction(0), False),
        (500, 700, Fraction(2), True),
        (800, 300, Fraction(7, 2), False),
    )
)
GRAINS = ("long", "short", None)
SHORT, LONG = 0.01, 2.5
"""Rubs shorter and longer than any that is told from another (s)."""


def _felt(board: Board, own: Measured | None) -> Iterator[tuple[str, list[float]]]:
    for name, levels in (("felt", felt_levels), ("phone", phone_levels)):
        found = levels(board, TAPS, measured=own).level_db
        for tap, row in zip(TAPS, found, strict=True):
            yield f"{name} dB, {tap.stroke.value} {tap.level}", list(row)
    rubs = [BoardTap(at(400, 300), Stroke.SWEEP, length_sec=sec) for sec in (SHORT, LONG)]
    yield "felt dB, rubs", [row[0] for row in felt_levels(board, rubs, measured=own).level_db]
    for stroke in (Stroke.KNUCKLES, Stroke.SWEEP):
        made = felt_map(board, stroke, Fraction(5, 2), "A", measured=own)
        assert made is not None
        yield f"map dB, {stroke.value}", [made.middle_db, *made.level_db[1::10, 2::9].ravel()]


def _heard(board: Board, own: Measured | None) -> Iterator[tuple[str, list[float]]]:
    for stroke in Stroke:
        for level in (0, 2, 4):
            made = board_tap_sound(
                board,
                stroke,
                Fraction(level),
                at(330, 300),
                accent=level == 4,
                length_sec=0.3,
                sample_rate_hz=44_100 if level == 2 else 48_000,
                measured=own,
            ).astype(float)
            power = np.abs(np.fft.rfft(made)) ** 2
            parts = [part.sum() for part in np.array_split(power[:12_000], 6)]
            early = np.square(made[: len(made) // 8]).sum()
            yield (
                f"heard dB, {stroke.value} {level}",
                [10 * float(np.log10(each)) for each in (*parts, early, np.abs(made).max() ** 2)],
            )


def _board(board: Board, own: Measured | None) -> Iterator[tuple[str, list[float]]]:
    facts, plate = board_facts(board, measured=own), described(board, own)
    yield "sag mm", [facts.sag.deepest_mm, *(mm for _, mm in facts.sag.at_mm)]
    yield "share of strength", [facts.load_share]
    of = plate.plate
    yield "stiffness N m", [of.d11_nm, of.d22_nm, of.d12_nm, of.d66_nm]
    yield "kg a square metre, loss", [of.mass_kg_per_m2, of.loss_factor]
    yield "stretch N/m", list(plate.stretch_n_per_m)


def _hands() -> Iterator[tuple[str, list[float]]]:
    for stroke, hand in HANDS.items():
        for level in (0.0, 2.0, 4.4):
            blow = rigid(hand, level)
            yield (
                f"{stroke.value} {level} on something rigid: N, s, N s",
                [blow.peak_n[0], blow.contact_sec[0], blow.force_n.sum() * blow.step_sec],
            )
    for stroke, rub in RUBS.items():
        yield f"{stroke.value}: Hz, N, m", [rub.low_hz, rub.high_hz, rub.rms_n, rub.reach_m]
    for wood in ("", *WOODS):
        for thickness_mm, grain in product(("3", "5", "5.1", "8", "9", "10.5", "12", "15"), GRAINS):
            sheet = Sheet(wood or None, Fraction(thickness_mm), None, grain)
            of = described(evolve(TWO_PLACES, sheet=sheet), None)
            stiff = of.plate.d11_nm, of.plate.d22_nm, of.plate.d12_nm, of.plate.d66_nm
            yield (
                f"Hz, N, m of {thickness_mm} mm of {wood or 'something'}, {grain}",
                [*stiff, of.plate.mass_kg_per_m2, *of.stretch_n_per_m],
            )
    for ratio, thickness_mm in product(("1", "1.1", "1.3", "1.5", "1.8", "2.5"), ("4", "7", "9")):
        board = evolve(
            TWO_PLACES, width_mm=900 * Fraction(ratio), sheet=Sheet("birch", Fraction(thickness_mm))
        )
        yield f"Hz, N, m: strength, {ratio}, {thickness_mm}", [board_facts(board).load_share]
    for years, build in BUILDS.items():
        yield f"a child of {years}: mm, kg", list(astuple(build))


@cache
def figures() -> dict[str, list[float]]:
    """Every figure by what it is of."""
    found = dict(_hands())
    for name, (board, own) in BOARDS.items():
        parts = [*_board(board, own), *_felt(board, own)]
        parts += _heard(board, own) if own is None else ()
        found |= {f"{name}: {what}": each for what, each in parts}
    return {what: [float(f"{each:.6g}") for each in those] for what, those in found.items()}


def _kept() -> dict[str, list[float]]:
    kept: dict[str, list[float]] = json.loads(GOLDEN.read_text(encoding="utf-8"))
    return kept


@pytest.mark.parametrize(
    "part", ["rigid", *(f"{name}:" for name in BOARDS), "Hz, N, m", "a child of"]
)
def test_figures_stay(part: str) -> None:
    """To a fiftieth of a dB, or a two-thousandth of anything else."""
    kept, found = _kept(), figures()
    assert kept.keys() == found.keys() | {"model version"}
    changed = {
        what: (kept[what], those)
        for what, those in found.items()
        if part in what
        and those != pytest.approx(kept[what], rel=5e-4, abs=0.02 if " dB" in what else 1e-9)
    }
    assert any(part in what for what in found)
    assert not changed


def test_other_figures_have_another_version() -> None:
    """Or maps that users keep would go on giving the old ones."""
    assert _kept()["model version"] == [MODEL_VERSION]


if __name__ == "__main__":
    whole = figures() | {"model version": [MODEL_VERSION]}
    lines = (f"{json.dumps(what)}: {json.dumps(those)}" for what, those in whole.items())
    GOLDEN.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
