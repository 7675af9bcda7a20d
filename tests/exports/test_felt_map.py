"""The felt map's picture and table.

``felt_map_figures.json`` says how dark each row and column of two pictures is, which were looked
at by eye; where a change is meant look again, and write it anew:
``python -m tests.exports.test_felt_map``.
"""

import csv
import json
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from io import BytesIO, StringIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve
from colorspacious import cspace_convert, deltaE  # type: ignore[import-untyped]
from numpy.typing import NDArray
from PIL import Image

from tapscore.board.contours import smooth_levels, word_index
from tapscore.board.facade import board_facts, felt_levels, felt_map
from tapscore.board.words import MODEL_SENTENCE, WORDS
from tapscore.exports.felt_bands import GROUNDS, band_pixels, hatch, parts, swatch
from tapscore.exports.felt_map import felt_map_png, felt_table, map_warnings
from tapscore.exports.paper.inks import AMBER, TEAL, WHITE, contrast
from tapscore.model.board import Named, Place, Sheet
from tapscore.model.strokes import Stroke
from tests.board.boards import TWO_PLACES, at

MEDIUM = Fraction(2)
GOLDEN = Path(__file__).parents[1] / "data" / "felt_map_figures.json"


@pytest.mark.parametrize("kind", ["protanomaly", "deuteranomaly", "tritanomaly"])
def test_bands_are_told_apart_without_one_kind_of_cone(kind: str) -> None:
    """As colorspacious simulates it (Machado, Oliveira and Fernandes 2009), in CAM02-UCS.

    The three strongest bands differ by their ground, the weaker ones by their lines alone.
    """
    grounds = np.array([parts(ground) for ground in GROUNDS]) / 255
    space = {"name": "sRGB1+CVD", "cvd_type": kind, "severity": 100}
    seen = np.clip(cspace_convert(grounds, space, "sRGB1"), 0, 1)
    apart = [float(deltaE(a, b, input_space="sRGB1")) for a, b in pairwise(seen)]
    assert min(apart[2:]) > 8
    hatched = [hatch(word, (60, 60), 1) for word in range(3)]
    shares = [float(lines.mean()) for lines in hatched]
    assert shares[0] > shares[1] + 0.05 > shares[2] + 0.1


@pytest.fixture(autouse=True, scope="module")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path_factory.mktemp("board-cache")))
        yield


def pixels(data: bytes | None) -> NDArray[np.uint8]:
    assert data is not None
    return np.asarray(Image.open(BytesIO(data)).convert("RGB"))


@cache
def plain() -> NDArray[np.uint8]:
    """With nothing to warn of, and a title."""
    high = evolve(TWO_PLACES, gap_mm=Fraction(60))
    return pixels(felt_map_png(high, Stroke.FLAT_HAND, MEDIUM, "B", title="A Boat"))


@cache
def warned() -> NDArray[np.uint8]:
    """With warnings below, and a line that tells of the reference."""
    unsure = evolve(TWO_PLACES, sheet=Sheet("birch", Fraction(4), 3, "not known"))
    return pixels(felt_map_png(unsure, Stroke.FINGERTIPS, MEDIUM, "A"))


def figures(picture: NDArray[np.uint8]) -> dict[str, list[float]]:
    """Mean darkness of each row and column, 0 to 255."""
    dark = 255 - picture.mean(axis=2)
    return {
        name: np.round(dark.mean(axis=axis), 1).tolist()
        for name, axis in (("rows", 1), ("columns", 0))
    }


@pytest.mark.parametrize("made", [plain, warned])
def test_a_picture_looks_as_it_did(made: Callable[[], NDArray[np.uint8]]) -> None:
    """A letter moved by a pixel makes a row or a column darker by 1 to 9."""
    kept = json.loads(GOLDEN.read_text("utf-8"))[made.__name__]
    for name, found in figures(made()).items():
        assert found == pytest.approx(kept[name], abs=0.6), name


def test_picture_has_its_size_and_the_maps_bands() -> None:
    picture = plain()
    assert picture.shape == (1150, 1600, 3)
    found = felt_map(TWO_PLACES, Stroke.FLAT_HAND, MEDIUM, "B")
    assert found is not None
    words = word_index(smooth_levels(found.level_db, 920, 690))
    inside = picture[236 : 236 + 690, 150 : 150 + 920]
    for word in (3, 4):
        ground = np.array([GROUNDS[word].red, GROUNDS[word].green, GROUNDS[word].blue])
        shown = np.abs(inside.astype(int) - ground).max(axis=2) <= 1
        if (words == word).sum() > 2000:
            assert (words[shown] == word).mean() > 0.97


def test_bands_are_told_apart_without_colour() -> None:
    # As a photocopier sees it: a different grey, or lines on it.
    greys = [np.asarray(Image.fromarray(swatch(w, 80, 60, 2)).convert("L")) for w in range(5)]
    means = [float(grey.mean()) for grey in greys]
    assert means[2] - means[3] > 15
    assert means[3] - means[4] > 30
    assert greys[2].std() < 0.01 < greys[1].std()
    assert hatch(0, (200, 200), 2).mean() > 1.8 * hatch(1, (200, 200), 2).mean()
    assert not hatch(2, (50, 50), 2).any()
    # Words in ink on any ground: WCAG 2.2 asks for 4.5.
    from tapscore.exports.paper.inks import INK

    assert all(contrast(INK, ground) > 6 for ground in GROUNDS)
    assert contrast(WHITE, GROUNDS[2]) == 1


def test_edges_between_bands_are_drawn() -> None:
    ramp = np.repeat(np.linspace(-20, 14, 800)[None, :], 40, axis=0)
    row = band_pixels(ramp, 2)[20].sum(axis=1)
    dark = row < 200
    starts = int(np.diff(dark.astype(int)).clip(0).sum())
    assert starts == 4


def test_a_place_that_is_not_on_the_board_has_no_picture() -> None:
    assert felt_map_png(TWO_PLACES, Stroke.SWEEP, MEDIUM, "Z") is None
    assert felt_map_png(None, Stroke.SWEEP, MEDIUM, "A") is None


def test_odd_boards_can_be_drawn() -> None:
    tall = evolve(
        TWO_PLACES,
        width_mm=Fraction(500),
        depth_mm=Fraction(1500),
        sheet=None,
        spots=(Named("a spot with a name so long that it hardly fits", at(490, 10)),),
        seats=tuple(Named(n, at(x, y)) for n, x, y in (("w", 0, 0), ("East side", 500, 1490))),
        places=(Place("A", at(0, 0), True, "north"), Place("B", at(250, 900), True, "south")),
    )
    assert pixels(felt_map_png(tall, Stroke.KNUCKLES, Fraction(4), "A")).shape[1] == 1600


def test_warnings() -> None:
    assert map_warnings(board_facts(evolve(TWO_PLACES, gap_mm=Fraction(60)))) == ()
    unsure = evolve(TWO_PLACES, sheet=Sheet("birch", Fraction(4), 3, "not known"))
    said = " ".join(map_warnings(board_facts(evolve(unsure, gap_mm=Fraction(10)))))
    assert "grain is not known" in said
    assert "of its 10 mm gap" in said
    assert "no board" in map_warnings(board_facts(None))[0]
    more = warned().astype(int)
    assert more.shape[0] > 1150
    amber = np.abs(more - (AMBER.red, AMBER.green, AMBER.blue)).max(axis=2) <= 1
    assert amber[1000:].sum() > 500, "the warning stands below the map"


def test_table() -> None:
    kinds = [(Stroke.FLAT_HAND, Fraction(3)), (Stroke.SCRATCH, MEDIUM)]
    rows = list(csv.reader(StringIO(felt_table(TWO_PLACES, kinds))))
    assert rows[0][0].startswith(MODEL_SENTENCE)
    table = [dict(zip(rows[1], row, strict=True)) for row in rows[2:]]
    assert len(table) == 2 * 2 * 2
    assert table[0]["stroke"] == "flat hand"
    assert table[0]["loudness"] == "loud"
    assert (table[0]["tapped at"], table[0]["x cm"], table[0]["place"]) == ("middle", "60", "A")
    assert all(int(row["dB, steps of 3"]) % 3 == 0 for row in table)
    assert {row["in words"] for row in table} <= set(WORDS)
    assert len(felt_levels(TWO_PLACES, []).level_db) == 0


def test_table_without_spots_and_with_odd_names() -> None:
    bare = evolve(TWO_PLACES, spots=())
    assert "the middle,60,45,A" in felt_table(bare, [(Stroke.KNUCKLES, MEDIUM)])
    odd = evolve(TWO_PLACES, spots=(Named("=2+3, or so", at(100, 100)),))
    rows = list(csv.reader(StringIO(felt_table(odd, [(Stroke.KNUCKLES, MEDIUM)]))))
    assert rows[2][2] == "'=2+3, or so"


def test_a_mirrored_board_has_a_mirrored_map() -> None:
    """Nothing of model or picture knows left from right; only the words stay readable."""
    one = evolve(TWO_PLACES, places=(Place("A", at(250, 500)),), spots=(), seats=())
    other = evolve(one, places=(Place("A", at(950, 500)),))
    maps = [felt_map(board, Stroke.FINGERTIPS, MEDIUM, "A") for board in (one, other)]
    assert maps[0] is not None
    assert maps[1] is not None
    assert maps[1].level_db == pytest.approx(maps[0].level_db[:, ::-1], abs=0.05)
    # The ring and outline of the place that is asked about are the only teal on the sheet.
    middles = []
    for board in (one, other):
        picture = pixels(felt_map_png(board, Stroke.FINGERTIPS, MEDIUM, "A")).astype(int)
        sheet = picture[236 : 236 + 690, 150 : 150 + 920]
        teal = np.abs(sheet - (TEAL.red, TEAL.green, TEAL.blue)).max(axis=2) <= 1
        middles.append(np.argwhere(teal).mean(axis=0))
    assert middles[0][1] == pytest.approx(250 / 1200 * 920, abs=3)
    assert middles[1][1] == pytest.approx(950 / 1200 * 920, abs=3)
    assert middles[0][0] == pytest.approx(400 / 900 * 690, abs=3)


if __name__ == "__main__":
    kept = {made.__name__: figures(made()) for made in (plain, warned)}
    GOLDEN.write_text(json.dumps(kept).replace("], ", "],\n") + "\n", encoding="utf-8")
