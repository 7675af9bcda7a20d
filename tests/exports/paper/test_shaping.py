"""Joined letters, against the names that Unicode gives their forms."""

import unicodedata
from collections.abc import Iterator

import pytest

from tapscore.exports.paper import fonts
from tapscore.exports.paper.shaping import run_width_em, shaped, width_em

FORMS = ("isolated", "initial", "medial", "final")


def forms() -> dict[str, dict[str, int]]:
    """Every Arabic letter with its presentation forms, from Unicode's decompositions."""
    found: dict[str, dict[str, int]] = {}
    for code in (*range(0xFB50, 0xFC00), *range(0xFE80, 0xFEF5)):
        kind, _, letters = unicodedata.decomposition(chr(code)).partition(" ")
        if kind.strip("<>") in FORMS and len(letters) == 4:
            found.setdefault(chr(int(letters, 16)), {}).setdefault(kind.strip("<>"), code)
    return found


def glyphs(text: str, *, bold: bool = False) -> list[tuple[str, int]]:
    """Font and number of every glyph, from the left."""
    return [
        (part.font, fonts._face(part.font).charToGlyph[ord(character)])
        for cluster in shaped(text, bold).clusters
        for part in cluster.glyphs
        for character in part.text
    ]


@pytest.fixture
def second_font(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Only DejaVu Sans, whose file has a character for every form."""

    def font_of(character: str, bold: bool) -> str | None:
        name = fonts.second(bold)
        return name if ord(character) in fonts._widths(name) else None

    monkeypatch.setattr(fonts, "font_of", font_of)
    shaped.cache_clear()
    yield
    shaped.cache_clear()


@pytest.mark.usefixtures("second_font")
def test_letters_have_the_form_of_their_place_in_the_word() -> None:
    table = fonts.glyph_numbers(fonts.SECOND_REGULAR)
    tried = 0
    for letter, form in forms().items():
        wanted = [form.get(kind) for kind in ("final", "medial", "initial")]
        if None in wanted or ord(letter) not in table or any(c not in table for c in wanted):
            continue
        tried += 1
        found = [number for _, number in glyphs(letter * 3)]
        # From the left: the last letter, the middle one, the first one.
        assert found == [table[code] for code in wanted if code], unicodedata.name(letter)
        assert [number for _, number in glyphs(letter)] == [table[ord(letter)]]
    assert tried > 20


@pytest.mark.usefixtures("second_font")
def test_lam_and_alef_are_one_glyph_and_say_both_letters() -> None:
    (cluster,) = shaped("لا", False).clusters
    # U+FEFB: ARABIC LIGATURE LAM WITH ALEF ISOLATED FORM.
    assert glyphs("لا") == [
        (fonts.SECOND_REGULAR, fonts.glyph_numbers(fonts.SECOND_REGULAR)[0xFEFB])
    ]
    assert (cluster.letter, cluster.more) == ("ل", "ا")


def test_a_glyph_without_a_letter_of_its_own_means_the_letter_it_is_for() -> None:
    said = "".join(
        fonts.meant(ord(character))
        for cluster in shaped("بيت", False).clusters
        for part in cluster.glyphs
        for character in part.text
    )
    assert said == "تيب"


@pytest.mark.parametrize("text", ["(אב)", "[سلام]"])
def test_brackets_are_mirrored(text: str) -> None:
    # UAX #9, L4.
    ends = glyphs(text)
    for (font, number), bracket in zip((ends[0], ends[-1]), (text[0], text[-1]), strict=True):
        assert number == fonts.glyph_numbers(font)[ord(bracket)]


@pytest.mark.parametrize("text", ["مَرْ", "שָׁלוֹם"])
def test_points_take_no_room(text: str) -> None:
    bare = "".join(c for c in text if not unicodedata.combining(c))
    for bold in (False, True):
        pointed, plain = (run_width_em(t, bold, from_right=True) for t in (text, bare))
        assert pointed == pytest.approx(plain, abs=0.02)
    said = "".join(c.letter + c.more for c in shaped(text, True).clusters)
    assert set(text) >= set(said)


def test_a_joiner_joins_and_a_non_joiner_parts() -> None:
    joined = glyphs("ب\N{ZERO WIDTH JOINER}")
    assert joined != glyphs("ب")
    assert joined == glyphs("بت")[1:]
    assert glyphs("ب\N{ZERO WIDTH NON-JOINER}ت") == glyphs("ت") + glyphs("ب")


def test_width_is_the_sum_of_what_runs_each_way() -> None:
    whole = width_em("boat سلام 12", True)
    parts = width_em("boat ", True) + width_em("سلام", True) + width_em(" ", True)
    assert whole == pytest.approx(parts + width_em("12", True))


def test_urdu_persian_and_kurdish_letters_are_all_there() -> None:
    if fonts.font_path(fonts.ARABIC_BOLD) is None:
        pytest.skip("the font for Arabic letters is not installed")
    for text in ("آؤ کہانی سنیں، ٹھیک ہے؟", "می‌خواهم پرنده ببینم", "ڕۆژ باش ئێوە", "ښه راغلې"):
        assert fonts.missing(text) == ""
