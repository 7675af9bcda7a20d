"""The rule's count of letters against cards that are really laid out."""

import random

import pytest

from tapscore.checks.cards.words_fit_a_card import MOST_LETTERS, card_letters
from tapscore.checks.rule import Scene
from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.sizes import card_sizes
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text

_SAID = (
    "down and o-ver the riv-er we go to the moon bread is so warm in the lit-tle house by "
    "wa-ter where some-bod-y waits all day for you"
)


def _letters_and_sides(words: list[str]) -> tuple[float, int]:
    syllables = sum(word.count("-") + 1 for word in words)
    steps = ["x"] * syllables + ["."] * (-syllables % 8)
    bars = " | ".join(" ".join(steps[at : at + 8]) for at in range(0, len(steps), 8))
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 4/4\nstory:\n  - section: One\n    lines:\n"
        f'      - words: {" ".join(words)}\n        lane: "| {bars} |"\n'
    ).story
    assert story is not None
    performance = perform(story)
    (card,) = role_cards(story, performance, "leader")
    pages = lay_out(story, card, paper("A5", landscape=True), card_sizes(1.0))
    return card_letters(Scene(story, performance).told[0].facts), len(pages)


@pytest.mark.parametrize("seed", range(40))
def test_words_fit_one_a5_card_at_a_metre(seed: int) -> None:
    """Ragged line ends cost up to a word in each row: some ten letters in three rows."""
    chooser = random.Random(seed)
    letters, sides = _letters_and_sides(chooser.choices(_SAID.split(), k=chooser.randint(4, 22)))
    if letters < MOST_LETTERS - 10:
        assert sides == 1
    elif letters > MOST_LETTERS + 10:
        assert sides > 1
