"""Contrast against the formula of WCAG 2.2 (relative luminance and contrast ratio)."""

import pytest

from tapscore.exports.paper import inks
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Panel, Shape, TextRun, extent
from tapscore.exports.paper.inks import Ink, contrast, ink
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample


def wcag(one: str, other: str) -> float:
    """The formula written out again from the recommendation."""

    def channel(value: int) -> float:
        share = value / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    def luminance(code: str) -> float:
        r, g, b = (channel(int(code[i : i + 2], 16)) for i in (1, 3, 5))
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(
    ("code", "ratio"),
    # Values commonly published for text on white, to two places.
    [
        ("#767676", 4.54),
        ("#777777", 4.48),
        ("#595959", 7.00),
        ("#FF0000", 4.00),
        ("#0000FF", 8.59),
        ("#000000", 21.0),
    ],
)
def test_known_ratios_on_white(code: str, ratio: float) -> None:
    assert contrast(ink(code), ink("#FFFFFF")) == pytest.approx(ratio, abs=0.005)
    assert wcag(code, "#FFFFFF") == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize(
    ("name", "ground", "pinned", "least"),
    # Pinned as `wcag` above gives them; WCAG 2.2 1.4.6 asks 7 for text, 1.4.11 asks 3 for graphics.
    [
        ("INK", "PAPER", 16.8, 7.0),
        ("MUTED", "PAPER", 7.3, 7.0),
        ("LINE", "PAPER", 3.5, 3.0),
        ("TEAL", "PAPER", 7.8, 7.0),
        ("PLUM", "PAPER", 10.3, 7.0),
        ("AMBER", "CREAM", 7.5, 7.0),
    ],
)
def test_contrasts_by_the_standard(name: str, ground: str, pinned: float, least: float) -> None:
    one: Ink = getattr(inks, name)
    other: Ink = getattr(inks, ground)
    assert contrast(one, other) == pytest.approx(wcag(one.hex, other.hex))
    assert contrast(one, other) == pytest.approx(pinned, abs=0.05)
    assert contrast(one, other) >= least


def test_every_printed_text_reaches_seven_to_one() -> None:
    story = sample()
    performance = perform(story)
    pages = [*sheet_pages(story, performance)]
    for role in performance.roles:
        pages += card_pages(story, performance, role)
    for page in pages:
        grounds: list[Panel | Shape] = []
        for block in page.blocks:
            for element in block.elements:
                if isinstance(element, Shape) or (isinstance(element, Panel) and element.fill):
                    grounds.append(element)
                if isinstance(element, TextRun):
                    assert wcag(element.ink.hex, _ground(element, grounds).hex) >= 7.0


def _ground(text: TextRun, painted: list[Panel | Shape]) -> Ink:
    for element in reversed(painted):
        left, top, right, foot = extent(element)
        if left <= text.x and text.x + text.width_pt <= right + 0.5 and top <= text.y <= foot:
            colour = element.fill if isinstance(element, Panel) else element.ink
            return colour or inks.WHITE
    return inks.WHITE


def test_wrong_colour_is_refused() -> None:
    with pytest.raises(ValueError, match="six digits"):
        ink("#FFF")
