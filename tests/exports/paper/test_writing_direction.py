"""Which way letters run, against the rules and examples of UAX #9 and against a library."""

import unicodedata
from pathlib import Path

import pytest
from bidi import get_display  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.paper.writing_direction import begins_from_right, stretches

HEBREW = {chr(ord("A") + i): chr(0x5D0 + i) for i in range(26)}
"""Capitals stand for letters from right to left, as in the examples of UAX #9."""
MIXED = st.text(
    st.sampled_from("אבגמحب abc12()[]{}-+,.:/%!\"'٠١٢\u05b0\u064e\u0301 –“”…\u200f\u200e"),
    min_size=1,
    max_size=24,
)


def shown(text: str, *, from_right: bool, before: str = "") -> str:
    """Characters as they stand from the left; brackets are not mirrored."""
    parts = []
    for stretch in stretches(text, from_right=from_right, before=before):
        part = text[stretch.start : stretch.end]
        parts.append(part[::-1] if stretch.from_right else part)
    return "".join(parts)


def hebrew(text: str) -> str:
    return "".join(HEBREW.get(character, character) for character in text)


@pytest.mark.parametrize(
    ("memory", "display", "from_right"),
    [
        # UAX #9, rule L2, examples 1 and 2.
        ("car means CAR.", "car means RAC.", False),
        ("car MEANS CAR.", ".RAC SNAEM car", True),
        # W2, W4 and L2: numbers run from left to right among letters from right to left.
        ("A 12 B", "B 12 A", True),
        ("A 1,234.5 B", "B 1,234.5 A", True),
        # N0: brackets go with the direction of the paragraph, not with what is in them.
        ("AB (car) CD", "DC )car( BA", True),
        ("a (BC) d", "a (CB) d", False),
        # N1 and N2: signs between both directions go with the paragraph.
        ("a B, c", "a B, c", False),
        ("A b! C", "C !b A", True),
    ],
)
def test_lines_stand_as_the_algorithm_says(memory: str, display: str, from_right: bool) -> None:
    assert shown(hebrew(memory), from_right=from_right) == hebrew(display)


CONFORMANCE = Path("/usr/share/unicode/BidiCharacterTest.txt")
"""Unicode's own file of the Unicode Character Database, as Debian's ``unicode-data`` has it."""


@pytest.mark.skipif(not CONFORMANCE.is_file(), reason="Unicode's conformance file is not here")
def test_unicode_s_conformance_file() -> None:
    """Each case: text; direction wanted; the paragraph's level; levels; order from the left."""
    cases = 0
    for line in CONFORMANCE.read_text(encoding="utf-8").splitlines():
        if line.startswith("#") or not line:
            continue
        codes, wanted, paragraph, levels, order = line.split(";")
        text = "".join(chr(int(code, 16)) for code in codes.split())
        from_right = paragraph == "1"
        if wanted == "2":  # as the text itself begins
            assert begins_from_right(text) == from_right, line
        found: list[int] = []
        turned: dict[int, bool] = {}
        for stretch in stretches(text, from_right=from_right):
            run = range(stretch.start, stretch.end)
            found += reversed(run) if stretch.from_right else run
            turned |= dict.fromkeys(run, stretch.from_right)
        assert sorted(found) == list(range(len(text))), line
        # Characters that rule X9 removes have no place of their own.
        seen = [int(at) for at in order.split()]
        assert [at for at in found if at in set(seen)] == seen, line
        level = levels.split()
        assert all(turned[at] == (int(level[at]) % 2 == 1) for at in seen), line
        cases += 1
    assert cases > 90_000


def test_an_isolate_left_open_loses_no_letter() -> None:
    for opened in ("\u2066", "\u2067", "\u2068", "\u202a", "\u202b", "\u202d", "\u202e"):
        text = hebrew("A") + opened * 300 + "b" + hebrew("C") + opened + "d"
        for from_right in (True, False):
            assert sorted(shown(text, from_right=from_right)) == sorted(text)


@settings(max_examples=300)
@given(MIXED, st.booleans())
def test_tags_change_nothing_and_stretches_cover_the_line(text: str, from_right: bool) -> None:
    found = stretches(text, from_right=from_right)
    covered = sorted(i for stretch in found for i in range(stretch.start, stretch.end))
    assert covered == list(range(len(text)))
    plain = get_display(text, base_dir="R" if from_right else "L")
    assert shown(text, from_right=from_right) == plain


@given(MIXED)
def test_the_first_letter_with_a_direction_decides(text: str) -> None:
    # UAX #9, P2 and P3.
    strong = [c for c in map(unicodedata.bidirectional, text) if c in ("L", "R", "AL")]
    assert begins_from_right(text) == (strong[:1] in (["R"], ["AL"]))


def test_somebodys_own_words_do_not_turn_what_follows() -> None:
    isolated = f"after \u2068{hebrew('AB')}\u2069: 3 of 4"
    assert shown(isolated, from_right=False).replace("\u2068", "").replace("\u2069", "") == (
        f"after {hebrew('BA')}: 3 of 4"
    )


def test_an_isolate_goes_on_in_the_next_line() -> None:
    before = f"Do \u2068{hebrew('AB')}"
    assert shown(f"car {hebrew('CD')}", from_right=False, before=before) == f"{hebrew('DC')} car"


def test_very_long_lines_are_whole() -> None:
    text = hebrew("ABC de 12 ") * 500
    for from_right in (True, False):
        assert sorted(shown(text, from_right=from_right)) == sorted(text)
