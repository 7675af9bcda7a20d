"""Holes, faults of translations, dates, names and which language is meant: each case by hand."""

import gettext
import io
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import polib
import pytest

from tapscore.wording import catalogue, dates, grammar, text, translations
from tapscore.wording.about import NOTHING, About, LineName
from tapscore.wording.said import said
from tapscore.wording.terms import TERMS, term
from tapscore.wording.text import (
    Hole,
    Surface,
    Text,
    faults,
    fill,
    forms_of,
    holes_of,
    number_words,
    parts_of,
    without_marks,
)
from tapscore.wording.translations import NotReadError, Translations, own_name, read_translations


def test_dates() -> None:
    day = date(2027, 3, 3)
    assert dates.long_date(day) == "3 March 2027"
    assert dates.day_and_month(day) == "3 March"
    assert dates.short_date(day) == "Wed 3 Mar 2027"
    assert dates.brief_date(day) == "03 Mar"
    assert [dates.long_date(date(2024, month, 29)).split()[1] for month in range(1, 13)] == [
        *("January", "February", "March", "April", "May", "June", "July", "August"),
        *("September", "October", "November", "December"),
    ]
    assert " ".join(dates.short_date(date(2024, 1, each)).split()[0] for each in range(1, 8)) == (
        "Mon Tue Wed Thu Fri Sat Sun"
    )
    short = [dates.brief_date(date(2024, month, 12))[3:] for month in range(1, 13)]
    assert " ".join(short) == "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"


@pytest.mark.parametrize(
    ("names", "how", "told"),
    [
        ((), "and", ""),
        (("a",), "and", "a"),
        (("a", "b"), "and", "a and b"),
        (("a", "b", "c"), "and", "a, b and c"),
        (("a", "b", "c"), "or", "a, b or c"),
        (("a", "b", "c"), "list", "a, b, c"),
        (("a", "b"), "", "a, b"),
    ],
)
def test_lists(names: tuple[str, ...], how: str, told: str) -> None:
    assert grammar.joined(names, how) == told


def test_the_decimal_sign_of_a_language(monkeypatch: pytest.MonkeyPatch) -> None:
    assert grammar.decimal("2.5") == "2.5"
    monkeypatch.setattr(grammar, "_POINT", ",")
    assert grammar.decimal("2.5") == "2,5"


@pytest.mark.parametrize(
    ("name", "inside", "begins"),
    [
        (LineName(4), "line 4", "Line 4"),
        (LineName(refrain="Row"), "the refrain “Row”", "The refrain “Row”"),
        (
            LineName(refrain="Row", place=2),
            "line 2 of the refrain “Row”",
            "Line 2 of the refrain “Row”",
        ),
    ],
)
def test_names_of_lines(name: LineName, inside: str, begins: str) -> None:
    assert grammar.line_name(name, True) == inside
    assert grammar.line_name(name, False) == begins
    assert fill(None, "{x:inside}: {x}", {"x": name}) == f"{inside}: {begins}"


def test_what_json_can_hold() -> None:
    about = About(
        **{"whole": Fraction(6, 2), "part": Fraction(1, 4), "none": None, "word": "a", "n": 3},
        line=LineName(4),
        refrain=LineName(refrain="Row", place=2),
        names=("a", "b"),
    )
    assert about.as_plain() == {
        **{"whole": 3, "part": 0.25, "none": None, "word": "a", "n": 3, "line": {"number": 4}},
        **{"refrain": {"refrain": "Row", "place": 2}, "names": ["a", "b"]},
    }
    assert NOTHING.as_plain() == {}
    assert (len(about), "n" in about, "m" in about) == (8, True, False)
    assert repr(About(a=1, b="x")) == "About(a=1, b='x')"
    assert About(a=1) != {"a": 1}
    assert about.and_also(n=4)["n"] == 4


@pytest.mark.parametrize(
    ("number", "told"),
    [
        *((3, "3"), (-2, "-2"), (0.5, "0.5"), (2.0, "2"), (1 / 3, "0.333333")),
        *((Fraction(7, 2), "3.5"), (Fraction(8, 2), "4"), (10.0, "10"), (0.1234567, "0.123457")),
    ],
)
def test_numbers(number: float | Fraction, told: str) -> None:
    assert number_words(number) == told
    assert fill(None, "{n}", {"n": number}) == told


@pytest.mark.parametrize(
    ("english", "value", "told"),
    [
        ("{x:marked and}", ("a", "b"), "`a` and `b`"),
        ("{x:quoted and}", ("a", "b", "c"), "“a”, “b” and “c”"),
        ("{x:list}", ("a", "b"), "a, b"),
        ("{x:marked}", "write `by:`", "write `by:`"),
        ("{x:.2f}", 1, "1.00"),
        ("{x:,}", 12345, "12,345"),
        ("{x:.0f}", Fraction(5, 3), "2"),
        ("{x}", None, ""),
        ("{x:=none|*=some {x}}", 0, "some 0"),
        ("{x:1=one|2.5=half|*=more}", 2.5, "half"),
        ("{x:1=one|*=more}", Fraction(1), "one"),
        ("{x:1 tap|# taps}", 2.5, "2.5 taps"),
        ("{x:1 tap|# taps}", 1, "1 tap"),
        ("{x:loudness}", 2, "medium"),
        ("{x:loudness}", 2.5, "loud"),
        ("{x:loudness}", 2.49, "medium"),
        ("{x:loudness}", -3, "very quiet"),
        ("{x:loudness}", 9, "very loud"),
        ("{x:tap={each} taps|*={each}}", ("tap:AB", "do:CD"), "AB taps, CD"),
        ("a{x}b{x}c", "-", "a-b-c"),
        ("{x:1={x:1 line|# lines}|*={x:# lines|# lines} and more}", 4, "4 lines and more"),
        ("", "x", ""),
    ],
)
def test_holes_filled(english: str, value: Any, told: str) -> None:
    assert fill(None, english, {"x": value}) == told


def test_the_window_has_no_letters_for_code() -> None:
    assert without_marks("write `by:` or `do:`.") == "write “by:” or “do:”."
    assert fill(None, "`a` {x:marked}", {"x": "`b`"}, Surface.WINDOW) == "“a” “b”"
    assert fill(None, "`a` {x}", {"x": "`b`"}, Surface.WINDOW) == "“a” `b`"
    assert fill(None, "{x:marked or}", {"x": ("a", "b")}, Surface.WINDOW) == "“a” or “b”"
    key = next(iter(text.holes_of("{key.warn_first}")))
    assert fill(None, "{key.warn_first}", {}) == "`warn first:`"
    assert fill(None, "{key.warn_first}", {}, Surface.WINDOW) != "`warn first:`"
    assert key == Hole("key.warn_first")


def test_a_text_s_own_words_for_the_window() -> None:
    plain = Text("a `b`.", "c `d`.")
    assert plain.on(Surface.FILE) == ("a `b`.", "c `d`.")
    assert plain.on(Surface.WINDOW) == ("a “b”.", "c “d”.")
    other = Text("a `b`.", "c `d`.", "do it", "it is")
    assert other.on(Surface.FILE) == ("a `b`.", "c `d`.")
    assert other.on(Surface.WINDOW) == ("it is", "do it")


def test_holes_and_their_forms() -> None:
    assert parts_of("a {b:c} d") == ("a ", Hole("b", "c"), " d")
    assert parts_of("{a}{b}") == (Hole("a"), Hole("b"))
    assert parts_of("") == ()
    assert [hole.name for hole in holes_of("{a:x=1 {b}|*={c:# d|# e}} {f}")] == ["a", "b", "c", "f"]
    assert forms_of("one|two") == ("one", "two")
    assert forms_of("a{b:c|d}|e") == ("a{b:c|d}", "e")
    assert forms_of("plain") == ()
    assert forms_of("# x|") == ("# x", "")
    assert Hole("a", "x=1|*=2").named == {"x": "1", "*": "2"}
    assert Hole("a", "1 x|# y").named == {}
    assert Hole("a", "x=1|2").named == {}, "every form has a name, or none"
    assert Hole("a", "{b:x=y}|# z").named == {}
    for broken in ("{a", "a {b {c}"):
        with pytest.raises(ValueError, match="a brace doesn't close"):
            parts_of(broken)


@pytest.mark.parametrize(
    ("english", "translation", "found"),
    [
        ("{n} lines", "{n} linii", ()),
        ("{n} lines", "linii", ("{n} is missing",)),
        ("{n} lines", "{n} {m}", ("{m} is not in the English",)),
        ("{n} of {m}", "x", ("{m} is missing", "{n} is missing")),
        ("{n:1 line|# lines}", "{n:# a|# b|# c}", ()),
        (
            "{n:1 line|# lines}",
            "{n:# a|# b}",
            ("{n:...} has 2 forms for numbers instead of 3",),
        ),
        ("{k:a=x|b=y}", "{k:a=x|b=y}", ()),
        ("{k:a=x|b=y}", "no choice", ()),
        ("{k:a=x|b=y}", "{k:a=x|*=y}", ()),
        ("{k:a=x|b=y}", "{k:a=x|c=y}", ("{k:...} has no form “*=” for all other values",)),
        ("{n:.1f}", "{n:.0f}", ()),
        ("{n:.1f}", "{n:big}", ("{n:big}: “big” is no way to fill a hole",)),
        ("{n}", "{n:and}", ()),
        ("{n}", "{n:quoted or}", ()),
        ("{n}", "{n:loud}", ("{n:loud}: “loud” is no way to fill a hole",)),
        ("{n}", "{n", ("a brace doesn't close: '{n'",)),
        ("body { color: red }", "{", ()),
        ("{", "x", ()),
        ("{each} {k:a={each}|*=}", "{k:a={each}|*=}", ()),
        ("{key.warn_first}", "{key.warn_first}", ()),
    ],
)
def test_what_is_wrong_with_a_translation(
    english: str, translation: str, found: tuple[str, ...]
) -> None:
    assert faults(english, translation, 3) == found


def test_a_language_of_one_form_still_writes_two() -> None:
    assert faults("{n:1 line|# lines}", "{n:# gyo|}", 1) == ()
    assert faults("{n:1 line|# lines}", "{n:# gyo|# x|# y}", 1) != ()


def test_what_is_found_in_words() -> None:
    gone = About(case="missing", path="x.yaml", near=None, why="gone")
    told = said("can't-open", gone)
    assert told.message == "There is no file x.yaml."
    assert said("can't-open", gone.and_also(in_file="d.yaml")).message == (
        "d.yaml: There is no file x.yaml."
    )
    one, four = (said("can't-open", gone.and_also(more_here=n)).message for n in (1, 4))
    assert one == f"{told.message} There is one more of this kind in the line."
    assert four == f"{told.message} There are 4 more of this kind in the line."
    assert said("can't-open", gone.and_also(more_here=0)) == told
    assert said("can't-open", gone, Surface.FILE) == told
    with pytest.raises(KeyError):
        said("can't-open", About(case="no such case"))


def test_words_of_the_file_as_they_are_shown() -> None:
    assert {word for word, shown in TERMS.items() if word != shown} == set()
    assert term("flat hand") == "flat hand"
    assert term("of my own") == "of my own"


THERE = {"cy": Path("cy.po"), "pt_BR": Path("pt_BR.po"), "pt": Path("pt.po")}


@pytest.mark.parametrize(
    ("wish", "code"),
    [
        *(("cy_GB.UTF-8", "cy"), ("cy", "cy"), ("CY", "cy"), ("cy@euro", "cy")),
        *(("pt_BR", "pt_BR"), ("pt-br.utf8", "pt_BR"), ("pt_PT", "pt"), ("en_GB.UTF-8", "en")),
        *(("de_DE", None), ("", None), ("C", None)),
    ],
)
def test_which_catalogue_is_meant(wish: str, code: str | None) -> None:
    assert catalogue._best(wish, THERE) == code


@pytest.fixture
def nothing_set(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> pytest.MonkeyPatch:
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG", "TAPSCORE_LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(catalogue, "settings_file", lambda: tmp_path / "settings.json")
    return monkeypatch


def test_languages_of_the_system_in_their_order(nothing_set: pytest.MonkeyPatch) -> None:
    nothing_set.setattr("locale.getlocale", lambda: ("cy_GB", "UTF-8"))
    assert catalogue._of_the_system() == ("cy_GB",)
    nothing_set.setattr("locale.getlocale", lambda: (None, None))
    assert catalogue._of_the_system() == ("",)
    for name, value in (
        *(("LANG", "en_GB"), ("LC_MESSAGES", "pl_PL"), ("LC_ALL", "de_DE"), ("LANGUAGE", "cy:en")),
    ):
        nothing_set.setenv(name, value)
        assert catalogue._of_the_system() == tuple(value.split(":"))


@pytest.mark.parametrize(
    ("written", "chosen"),
    [
        *((None, ""), ('{"language": "cy"}', "cy"), ('{"language": 7}', ""), ("[]", "")),
        *(("{", ""), ("{}", ""), ("[" * 100_000, "")),
    ],
)
def test_the_language_that_was_chosen(
    nothing_set: pytest.MonkeyPatch, written: str | None, chosen: str
) -> None:
    if written is not None:
        catalogue.settings_file().write_text(written)
    assert catalogue._chosen() == chosen


POLISH = """\
msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\\n"
"X-Language-Name: polski \\n"
"Plural-Forms: nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 ? 1 : 2);\\n"

msgid "Open"
msgstr "Otwórz"

msgctxt "a door"
msgid "Open"
msgstr "Otwarte"

msgid "Same"
msgstr "Same"

msgid "{n:1 step|# steps}"
msgstr "{n:# krok|# kroki|# kroków}"

msgid "{n} lines"
msgstr "linie"
"""


@pytest.fixture
def polish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "pl.po"
    path.write_text(POLISH, encoding="utf-8")
    return path


def test_a_catalogue_s_texts_and_plurals(polish: Path) -> None:
    there = read_translations("pl", polish)
    assert (there.code, there.forms) == ("pl", 3)
    assert there.of(None, "Open") == "Otwórz"
    assert there.of("a door", "Open") == "Otwarte"
    assert there.of("a shop", "Open") is None
    assert there.of(None, "Shut") is None
    assert there.of(None, "") is None
    assert [there.plain(None, each) for each in ("Open", "Shut", "Open", "")] == [
        *("Otwórz", "Shut", "Otwórz", ""),
    ]
    assert [there.plural(n) for n in (0, 1, 2, 5, 22, -1, 2.0, 1.5, Fraction(1, 2))] == [
        *(2, 0, 1, 2, 1, 0, 1, 2, 2),
    ]
    assert own_name(polish) == "polski"
    assert own_name(polish.with_name("none.po")) == ""


def test_what_was_made_of_a_catalogue_is_kept_once(
    polish: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_translations("pl", polish)
    folder = polish.parent / "cache" / "tapscore" / "languages"
    (kept,) = folder.iterdir()
    assert kept.name.startswith("pl-")
    assert kept.suffix == ".mo"
    assert gettext.GNUTranslations(io.BytesIO(kept.read_bytes())).gettext("Open") == "Otwórz"
    calls: list[object] = []
    monkeypatch.setattr(polib, "pofile", calls.append)
    assert read_translations("pl", polish).of(None, "Open") == "Otwórz"
    assert calls == [], "what is kept is not made again"
    monkeypatch.undo()
    monkeypatch.setenv("XDG_CACHE_HOME", str(polish.parent / "cache"))
    polish.with_name("cy.po").write_text(POLISH, encoding="utf-8")
    read_translations("cy", polish.with_name("cy.po"))
    polish.write_text(POLISH.replace("Otwarte", "Otwarty"), encoding="utf-8")
    read_translations("pl", polish)
    assert kept not in (left := list(folder.iterdir()))
    assert sorted(each.name[:3] for each in left) == ["cy-", "pl-"], "one of each language"


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"\xff\xfe", "pl.po: "),
        (b"x" * 30, "larger than any catalogue"),
        (None, "pl.po: No such file"),
    ],
)
def test_why_a_catalogue_can_t_be_read(
    polish: Path, monkeypatch: pytest.MonkeyPatch, data: bytes | None, why: str
) -> None:
    monkeypatch.setattr(translations, "MOST_BYTES", 29)
    polish.unlink()
    if data is not None:
        polish.write_bytes(data)
    with pytest.raises(NotReadError, match=why):
        read_translations("pl", polish)


def test_a_catalogue_may_be_as_long_as_the_most(
    polish: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(translations, "MOST_BYTES", len(POLISH.encode()))
    assert read_translations("pl", polish).code == "pl"


def _speaking(monkeypatch: pytest.MonkeyPatch, polish: Path) -> Translations:
    there = read_translations("pl", polish)
    monkeypatch.setattr(text, "_OTHER", True)
    monkeypatch.setattr(text, "translations", lambda: there)
    monkeypatch.setattr(catalogue, "_translations", there)
    text._translated.cache_clear()
    return there


def test_texts_in_another_language(polish: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _speaking(monkeypatch, polish)
    try:
        assert catalogue.say("Open") == "Otwórz"
        assert catalogue.say_in("a door", "Open") == "Otwarte"
        assert catalogue.language() == "pl"
        told = [catalogue.say("{n:1 step|# steps}", n=n) for n in (1, 3, 5, 1.5)]
        assert told == ["1 krok", "3 kroki", "5 kroków", "1.5 kroków"]
        assert catalogue.say("{n} lines", n=2) == "2 lines", "a hole is missing"
        assert catalogue.say("{n} taps", n=2) == "2 taps"
    finally:
        text._translated.cache_clear()


def test_which_language_a_process_speaks(polish: Path, nothing_set: pytest.MonkeyPatch) -> None:
    nothing_set.setattr(catalogue, "language_files", dict)
    assert catalogue._loaded() == (None, "")
    nothing_set.setenv("TAPSCORE_LANGUAGE", "kw")
    assert catalogue._loaded() == (
        None,
        "There is no language kw here, only en. English is used.",
    )
    nothing_set.setattr(catalogue, "language_files", lambda: {"pl": polish})
    assert catalogue._loaded()[1] == "There is no language kw here, only en, pl. English is used."
    nothing_set.setenv("TAPSCORE_LANGUAGE", " pl ")
    found, trouble = catalogue._loaded()
    assert found is not None
    assert (found.code, trouble) == ("pl", "")
    nothing_set.delenv("TAPSCORE_LANGUAGE")
    for language, code in (("en:pl", None), ("de:pl", "pl"), ("de", None)):
        nothing_set.setenv("LANGUAGE", language)
        found, trouble = catalogue._loaded()
        assert ((found and found.code), trouble) == (code, "")
    catalogue.settings_file().write_text('{"language": "pl"}')
    found, _ = catalogue._loaded()
    assert found is not None
    polish.write_bytes(b"\xff\xfe")
    found, trouble = catalogue._loaded()
    assert found is None
    assert trouble.startswith("The language pl can't be used: pl.po: ")
    assert trouble.endswith(". English is used.")


def test_languages_to_choose(polish: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    polish.with_name("cy.po").write_text('msgid ""\nmsgstr ""\n')
    files = {"pl": polish, "cy": polish.with_name("cy.po")}
    monkeypatch.setattr(catalogue, "language_files", lambda: files)
    assert catalogue.languages() == (("en", "English"), ("cy", "cy"), ("pl", "polski"))
    assert catalogue.page("lane.txt").parent.name == "resources"
    assert catalogue.page("lane.txt").is_file()
