"""What must be on a card's sides whatever the size of paper and letters."""

import pytest

from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.sizes import card_sizes
from tapscore.rhythm.perform import perform
from tests.exports.paper.test_laid_out import YARD
from tests.hill import DOOR, STORY


@pytest.mark.parametrize(
    ("size", "distance_m"),
    [("A6", 0.6), ("A6", 1.0), ("A5", 0.75), ("A5", 1.5), ("120 x 90", 0.75)],
)
def test_what_to_listen_for_is_first_and_no_side_is_empty(size: str, distance_m: float) -> None:
    """On every size: the words before one's own stand at the head of a card's first side alone."""
    sheet, sizes = paper(size, landscape=True), card_sizes(distance_m)
    for story in (STORY, DOOR, YARD):
        performance = perform(story)
        for card in (c for role in performance.roles for c in role_cards(story, performance, role)):
            pages = lay_out(story, card, sheet, sizes)
            heads = [_said_from(page, 0.0, 0.6) for page in pages]
            if card.come_in_after is not None:
                assert "Come in" in heads[0]
                assert card.come_in_after in " ".join(heads[0].split())
            assert not any("Come in" in _said_from(page, 0.0, 0.3) for page in pages[1:])
            if len(pages) > 1:
                assert all(_said_from(page, 0.16, 0.8) or _figures(page) for page in pages)


def _said_from(page: Page, begin: float, end: float) -> str:
    """What stands between two shares of a side's height."""
    high = page.paper.height_pt
    return " ".join(t.text for t in page.texts if begin * high <= t.y <= end * high)


def _figures(page: Page) -> int:
    """How many pictures, of taps or of the board, a side has."""
    return sum(block.tag == "Figure" for block in page.blocks)
