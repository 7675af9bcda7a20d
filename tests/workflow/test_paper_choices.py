"""What is chosen about paper reaches every page: its size, and a blank strip at its edges."""

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from pypdf import PdfReader

from tapscore.model.finding import Finding
from tapscore.workflow.export_story import planned
from tapscore.workflow.paper_products import PAPER_EXPORTS
from tapscore.workflow.products import Choices
from tests.exports.paper.paper_samples import sample

PRINTED = ("cue-cards", "cue-sheet", *(export.name for export in PAPER_EXPORTS))
LYING = ("floor-plan", "hall-everybody", "hall-screen")
DPI = 100
needs_poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is missing")


def printed(folder: Path, choices: Choices) -> dict[str, tuple[Path, tuple[Finding, ...]]]:
    """Every PDF there is of the sample, by file name, and what was found."""
    made = {}
    for product in planned(sample(), PRINTED, choices):
        path = folder / product.file_name
        made[product.file_name] = (path, product.write(path, lambda share: None))
    return made


def sides_mm(path: Path) -> set[tuple[float, float]]:
    """Widths and heights of a file's pages."""
    boxes = [page.mediabox for page in PdfReader(path).pages]
    return {(float(b.width) / 72 * 25.4, float(b.height) / 72 * 25.4) for b in boxes}


def blank_mm(path: Path) -> float:
    """The narrowest strip without any ink at the edge of any page, as poppler shows it."""
    import numpy as np
    from PIL import Image

    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", path.name, path.stem], cwd=path.parent, check=True
    )
    strips: list[float] = []
    for picture in path.parent.glob(f"{path.stem}-*.pgm"):
        ink: Any = np.asarray(Image.open(picture)) < 250
        for marked in (ink.any(axis=0), ink.any(axis=1)):
            at = np.flatnonzero(marked)
            strips += [at[0], len(marked) - 1 - at[-1]] if len(at) else []
    return min(strips) / DPI * 25.4


@needs_poppler
@pytest.mark.parametrize(
    "choices",
    [
        Choices(),
        Choices(margin_mm=10.0),
        Choices(per_sheet=2, backs=True),
        Choices("A6", 0.5, per_sheet=4, backs=True, margin_mm=10.0),
        Choices("120x180", 0.75, per_sheet=2, backs=True, other_paper="Letter", margin_mm=8.0),
        Choices("90 x 120", 0.4, per_sheet=4, backs=True, other_paper="210x300", margin_mm=7.0),
        Choices("Letter", 2.0, other_paper="A5", margin_mm=12.0),
    ],
    ids=repr,
)
def test_no_ink_is_where_the_printer_cannot_reach(choices: Choices, tmp_path: Path) -> None:
    wanted = 6.5 if choices.margin_mm is None else choices.margin_mm
    pixel = 25.4 / DPI
    for name, (path, _) in printed(tmp_path, choices).items():
        assert blank_mm(path) > wanted - pixel, name


def near(sides: tuple[float, float]) -> Any:
    return pytest.approx(sides, abs=0.01)


def test_pages_are_of_the_paper_that_was_asked_for(tmp_path: Path) -> None:
    made = printed(tmp_path, Choices("180x120", other_paper="letter"))
    # ANSI/ASME Y14.1: size A is 8.5 by 11 inches, 215.9 by 279.4 mm.
    parts = {"box-label": (215.9, 139.7), "pocket-key": (139.7, 107.95)}
    lying = {**parts, **dict.fromkeys(LYING, (279.4, 215.9))}
    for name, (path, _) in made.items():
        (sides,) = sides_mm(path)
        ending = name.removeprefix("the-lantern-boat-").removesuffix(".pdf")
        usual = (180.0, 120.0) if ending.startswith("cards-") else (215.9, 279.4)
        assert sides == near(lying.get(ending, usual)), name


def test_pages_are_a4_a5_and_a6_unless_something_else_is_asked_for(tmp_path: Path) -> None:
    # ISO 216: A4 210 x 297, A5 148 x 210, A6 105 x 148 mm.
    made = printed(tmp_path, Choices())
    small = {"box-label": (210, 148), "pocket-key": (148, 105)}
    lying = {**small, **dict.fromkeys(LYING, (297, 210))}
    for name, (path, _) in made.items():
        (sides,) = sides_mm(path)
        ending = name.removeprefix("the-lantern-boat-").removesuffix(".pdf")
        usual = (210, 148) if ending.startswith("cards-") else (210, 297)
        assert sides == near(lying.get(ending, usual)), name


def test_cards_of_an_own_size_are_cut_from_the_other_paper(tmp_path: Path) -> None:
    choices = Choices("120x180", 0.75, per_sheet=2)
    (path, found), *_ = printed(tmp_path, choices).values()
    # Two cards 180 mm wide and 120 mm high on an A4 that stands: 15 mm left over at the
    # sides, 28.5 mm above and below: marks show every cut.
    assert list(sides_mm(path)) == [near((210, 297))]
    assert "print-cut-by-measure" not in {finding.code for finding in found}
    narrow = evolve(choices, card_paper="120x200")
    (path, found), *_ = printed(tmp_path, narrow).values()
    (strip,) = (f for f in found if f.code == "print-cut-by-measure")
    assert "5.0 mm at the left and the right" in strip.message


def test_a_narrow_margin_is_printed_and_told(tmp_path: Path) -> None:
    for name, (_, found) in printed(tmp_path, Choices(margin_mm=3.0)).items():
        assert [f.code for f in found].count("print-margin") == 1, name
    for name, (_, found) in printed(tmp_path, Choices(margin_mm=5.0)).items():
        assert "print-margin" not in {f.code for f in found}, name


def test_a_margin_without_room_is_refused_with_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "never-written"
    for product in planned(sample(), PRINTED, Choices(margin_mm=90.0)):
        with pytest.raises(ValueError, match="choose"):
            product.write(path, lambda share: None)
        assert not path.exists(), product.export
