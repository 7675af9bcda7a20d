"""Where lines of a paragraph end, against the Unicode Line Breaking Algorithm (UAX #14).

Outside: the library uniseg says where the algorithm allows a break.  Ours are fewer: at spaces
alone, as hyphens and dashes in a story belong to its words.
"""

from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uniseg.linebreak import line_break_boundaries  # type: ignore[import-untyped]

from tapscore.exports.paper.text_flow import Piece, flow

PT, WIDE = 12.0, 90.0
WORDS = (
    *(
        "row",
        "home,",
        "night-night",
        "Wios\u0142uj,",
        "l\u2019eau",
        "\u2018Splash!\u2019",
        "\u2014",
        "10",
        "cm",
    ),
    *(
        "\u00ab",
        "\u00bb",
        "!",
        "?",
        ":",
        "(so",
        "soft)",
        "\u00bfQu\u00e9",
        "\u00c0",
        "\u00c7a",
        "km/h",
        "3.5",
        "...",
        "a\u00a0b",
    ),
)


def lines(text: str) -> list[str]:
    """The lines as they are set, without what is between them."""
    texts = flow((Piece(text),), PT, WIDE).texts
    return ["".join(t.text for t in row) for _, row in groupby(texts, lambda t: t.y)]


def check(text: str) -> None:
    allowed = set(line_break_boundaries(text))
    at = 0
    made = lines(text)
    for line in made:
        found = text.index(line.strip(), at)
        if found:
            assert found in allowed, (text, line)
        at = found + len(line.strip())
    assert " ".join(line.strip() for line in made) == text


@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=14))
def test_every_line_ends_where_the_algorithm_allows_it(words: list[str]) -> None:
    check(" ".join(words))


def test_two_long_dashes_stay_together() -> None:
    for first in range(1, 14):
        check(f"{'a' * first} \u2018Splash!\u2019 \u2014 \u2014 soft \u2014 \u2014")


@pytest.mark.parametrize("space", ["\u00a0", "\u202f", "\u2007"])
def test_spaces_where_no_line_ends(space: str) -> None:
    """The glue of French before a sign, and between a figure and its measure."""
    for first in range(1, 11):
        check(f"{'a' * first} bonjour{space}! {'b' * (first % 7 + 1)} 10{space}kg ici")
