"""A photocopier: pages at 150 dots an inch, black or white at half, and all still there."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, Shape, StraightLine, extent
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.inks import PLUM, WHITE, luminance
from tapscore.exports.paper.observation_slips import observation_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.pdf import write_pdf
from tapscore.exports.paper.pocket_key import key_pages
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample

DPI = 150
HALF = 127
needs_poppler = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is missing")
STORY = sample()
PAPERS: dict[str, Callable[[], tuple[Page, ...]]] = {
    "cards": lambda: card_pages(STORY, perform(STORY), "beat-keeper"),
    "part sheets": lambda: part_pages(STORY, perform(STORY), "second tapper", distance_m=0.5),
    "small cards": lambda: card_pages(
        STORY, perform(STORY), "second tapper", paper="A6", distance_m=0.5
    ),
    "sheet": lambda: sheet_pages(STORY, perform(STORY)),
    "home": lambda: home_pages(STORY, perform(STORY)),
    "slips": lambda: observation_pages(STORY, perform(STORY)),
    "key": key_pages,
}


def copied(pages: tuple[Page, ...], tmp_path: Path, dpi: int) -> list[Any]:
    """Grey pictures of pages, 0 black to 255 white."""
    import numpy as np
    from PIL import Image

    pdf, _ = write_pdf(pages, title="Copy", subject="", language=None)
    (tmp_path / "in.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", "in.pdf", "out"], cwd=tmp_path, check=True)
    return [np.asarray(Image.open(path), float) for path in sorted(tmp_path.glob("out*.pgm"))]


def within(picture: Any, box: tuple[float, float, float, float], dpi: int = DPI) -> Any:
    left, top, right, foot = (side * dpi / 72 for side in box)
    return picture[max(int(top), 0) : int(foot) + 1, max(int(left), 0) : int(right) + 1]


@needs_poppler
@pytest.mark.parametrize("name", PAPERS)
def test_words_keep_their_weight(name: str, tmp_path: Path) -> None:
    pages = PAPERS[name]()
    for page, grey in zip(pages, copied(pages, tmp_path, DPI), strict=True):
        black = grey <= HALF
        for text in page.texts:
            if not any(c.isalnum() for c in text.text):
                continue
            share = float(within(black, extent(text)).mean())
            # Letters cover about a fifth to a third of their line; white ones the rest.
            if text.ink == WHITE:
                assert 0.4 < share < 0.95, text
                continue
            assert 0.06 < share < 0.6, text
            # As dark as the ink alone makes it: nothing filled in or worn away.
            box = within(grey, extent(text))
            cover = float(((box.max() - box) / (box.max() - box.min())).mean())
            assert share == pytest.approx(cover, rel=0.35, abs=0.05), text


@needs_poppler
@pytest.mark.parametrize("name", PAPERS)
def test_marks_and_bar_lines_are_still_there(name: str, tmp_path: Path) -> None:
    pages = PAPERS[name]()
    for page, grey in zip(pages, copied(pages, tmp_path, DPI), strict=True):
        black = grey <= HALF
        for block in page.blocks:
            for element in block.elements:
                if isinstance(element, Shape) and element.ink != WHITE:
                    least = 0.015 if element.ink == PLUM else 0.15
                    assert float(within(black, extent(element)).mean()) > least, element
                if isinstance(element, StraightLine) and luminance(element.ink) < 0.2:
                    rows = within(black, extent(element))
                    along = rows.any(axis=1 if element.x0 == element.x1 else 0)
                    assert float(along.mean()) > 0.8, element


@needs_poppler
def test_every_tap_can_be_counted_on_the_copy(tmp_path: Path) -> None:
    """Marks of knuckles, one solid diamond each, as pieces of black apart from one another."""
    from scipy.ndimage import label  # type: ignore[import-untyped]

    card = next(
        card
        for card in role_cards(STORY, perform(STORY), "beat-keeper")
        if any(tap.stroke.word == "knuckles" for tap in card.taps)
    )
    pages = card_pages(STORY, perform(STORY), "beat-keeper")
    pictures = copied(pages, tmp_path, DPI)
    seen = 0
    for page, grey in zip(pages, pictures, strict=True):
        for block in page.blocks:
            # Each is the first outline of its shape; wedge and tail follow it.
            shapes = [Shape(e.ops[:5], e.ink) for e in block.elements if isinstance(e, Shape)]
            diamonds = [e for e in shapes if e.ops[4:] == (("Z", ()),)]
            if not block.alt.startswith("Taps") or not diamonds:
                continue
            boxes = [extent(e) for e in diamonds]
            row = (
                min(b[0] for b in boxes) - 1,
                min(b[1] for b in boxes),
                max(b[2] for b in boxes) + 1,
                max(b[3] for b in boxes),
            )
            pieces, count = label(within(grey <= HALF, row))
            # The row holds wedges of accents, too: a tap is the piece in a diamond's middle.
            for left, top, right, foot in boxes:
                x, y = ((left + right) / 2 - row[0], (top + foot) / 2 - row[1])
                middle = pieces[round(y * DPI / 72), round(x * DPI / 72)]
                assert middle
                size = int((pieces == middle).sum())
                wide = (right - left) * DPI / 72
                seen += 0.3 * wide * wide < size < 0.8 * wide * wide
            assert count >= len(boxes)
    assert seen == len(card.taps)
