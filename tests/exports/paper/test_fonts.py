from unicodedata import category, normalize

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.paper import fonts
from tapscore.exports.paper.text_width import width_pt
from tests.exports.paper.letters import CAPITAL_EM, X_HEIGHT_EM


def test_plain_text_is_one_run_of_the_first_font() -> None:
    (run,) = fonts.runs("“Lantern” café · 12", True)
    assert run.font == fonts.BOLD


def test_what_the_first_font_lacks_comes_from_the_second() -> None:
    found = fonts.runs("boat \N{CYRILLIC SMALL LETTER ZHE} boat", False)
    assert [run.font for run in found] == [fonts.REGULAR, fonts.SECOND_REGULAR, fonts.REGULAR]
    assert fonts.missing("\N{CYRILLIC SMALL LETTER ZHE}") == ""


def test_what_no_font_has_is_named_and_left_out() -> None:
    assert fonts.missing("a \N{GLOWING STAR} b \N{GLOWING STAR}") == "\N{GLOWING STAR}"
    assert "".join(run.text for run in fonts.runs("a\N{GLOWING STAR}b", True)) == "ab"


def test_joiners_and_marks_of_emoji_are_not_complained_of() -> None:
    assert fonts.missing("\N{ZERO WIDTH JOINER}\N{VARIATION SELECTOR-16}") == ""


@given(st.text(max_size=40))
def test_every_character_is_printed_or_missing_or_unseen(text: str) -> None:
    printed = "".join(run.text for run in fonts.runs(text, True))
    lost = fonts.missing(text)
    joined = normalize("NFC", text)
    assert [c for c in joined if c in printed] == list(printed)
    for character in joined:
        unseen = category(character) in ("Cf", "Cc", "Cs") or 0xFE00 <= ord(character) <= 0xFE0F
        unseen = unseen or 0xE0100 <= ord(character) <= 0xE01EF
        assert (character in printed) + (character in lost) + unseen == 1


def test_an_accent_joins_its_letter() -> None:
    (run,) = fonts.runs("cafe\N{COMBINING ACUTE ACCENT}", True)
    assert (run.font, run.text) == (fonts.BOLD, "café")


def test_widths_agree_with_the_font_file() -> None:
    # Advance widths as the font's own tables give them, read by another library.
    font_tools = pytest.importorskip("fontTools.ttLib")
    path = fonts.font_path(fonts.BOLD)
    assert path is not None
    file = font_tools.TTFont(str(path))
    per_em, names, advance = file["head"].unitsPerEm, file.getBestCmap(), file["hmtx"]
    for text in ("lan", "Crash went the wave!", "mmm"):
        expected = sum(advance[names[ord(c)]][0] for c in text) / per_em * 40
        assert width_pt(text, 40, bold=True) == pytest.approx(expected, rel=0.002)


def test_heights_are_those_of_the_font_s_own_table() -> None:
    """OS/2: sxHeight and sCapHeight, in the font's units."""
    font_tools = pytest.importorskip("fontTools.ttLib")
    path = fonts.font_path(fonts.BOLD)
    assert path is not None
    file = font_tools.TTFont(str(path))
    per_em = file["head"].unitsPerEm
    assert pytest.approx(file["OS/2"].sxHeight / per_em, abs=0.002) == X_HEIGHT_EM
    assert pytest.approx(file["OS/2"].sCapHeight / per_em, abs=0.002) == CAPITAL_EM


def test_right_to_left_letters_are_recognised() -> None:
    assert fonts.right_to_left("\N{ARABIC LETTER MEEM}")
    assert not fonts.right_to_left("boat 12")
