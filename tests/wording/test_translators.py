"""Texts as translators get them, catalogues that lie in the program, and a language that proves it.

The language nobody speaks is spoken by fresh processes: see ``pseudo.py``.
"""

import gettext
import json
import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from babel import Locale
from babel.messages.pofile import read_po

from tapscore.resources import demo_stories, language_files
from tapscore.wording.text import english_plural, holes_of
from tests.wording import pseudo
from tests.wording.texts import NotALiteralError, extract, plural_forms, slips, texts, updated

LANGUAGES = ("cy", "pl", "ar", "ru", "fr", "de", "lv", "ja", "en")


@pytest.mark.parametrize("code", LANGUAGES)
def test_plurals_follow_cldr(code: str) -> None:
    """What the standard library makes of the head against CLDR's rules as Babel reads them."""
    forms, rule = plural_forms(code)
    which = gettext.c2py(rule)
    plural = Locale.parse(code).plural_form
    names: dict[int, str] = {}
    for number in range(201):
        form = which(number)
        assert 0 <= form < forms
        assert names.setdefault(form, plural(number)) == plural(number)
    assert len(set(names.values())) == len(names)
    assert len(plural.tags | {"other"}) == forms


def test_the_last_form_is_what_cldr_calls_other() -> None:
    for code in LANGUAGES:
        forms, rule = plural_forms(code)
        which = gettext.c2py(rule)
        others = [n for n in range(201) if Locale.parse(code).plural_form(n) == "other"]
        assert {which(n) for n in others} <= {forms - 1}


@pytest.mark.parametrize("number", [*range(201), 1.5, 0.5])
def test_english_plurals_follow_cldr(number: float) -> None:
    assert english_plural(number) == int(Locale.parse("en").plural_form(number) == "other")


def test_every_text_can_be_found_and_read() -> None:
    """3,700 of them, each with holes that close; none is put together where it is said."""
    found = [message for message in texts() if message.id]
    assert len(found) > 3000
    for message in found:
        english = str(message.id)
        assert english.strip()
        list(holes_of(english))


@pytest.mark.parametrize("said", ["say(f'{n} lines')", "say(name)", "say('a' if x else 'b')"])
def test_a_text_that_is_put_together_is_refused(said: str, tmp_path: Path) -> None:
    path = tmp_path / "some.py"
    path.write_text(said)
    with path.open("rb") as file, pytest.raises(NotALiteralError, match="line 1"):
        list(extract(file, None, None, None))


def test_texts_are_found_where_they_stand(tmp_path: Path) -> None:
    path = tmp_path / "some.py"
    path.write_text("A = 'one'\nsay('two ' 'three', n=say('four'))\nsay_in('here', A + ' five')\n")
    with path.open("rb") as file:
        found = [(line, message) for line, _, message, _ in extract(file, None, None, None)]
    assert found == [(2, "two three"), (3, ("here", "one five")), (2, "four")]


def test_a_catalogue_is_made_and_updated() -> None:
    made = updated("cy")
    catalogue = read_po(BytesIO(made))
    assert catalogue.num_plurals == 6
    assert b'"X-Language-Name: Cymraeg' in made
    asked = b'msgid "Wait {seconds}"\nmsgstr ""'
    assert asked in made
    done = made.replace(asked, b'msgid "Wait {seconds}"\nmsgstr "Arhoswch {second}"')
    again = updated("cy", done.replace(b"Cymraeg", b"Cymraeg y De"))
    assert b"Arhoswch {second}" in again
    assert b"Cymraeg y De" in again
    assert [slip.splitlines()[-1].strip() for slip in slips(again)] == [
        "{seconds} is missing",
        "{second} is not in the English",
    ]


def test_catalogues_of_the_program_fit_the_english() -> None:
    """Holes of translations are those of the English, forms as many as the language has."""
    for path in language_files().values():
        assert list(slips(path.read_bytes())) == []


def test_the_language_nobody_speaks_fits_the_english() -> None:
    assert list(slips(pseudo.catalogue().encode())) == []


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The environment of a process that speaks it."""
    folder = tmp_path_factory.mktemp("languages")
    (folder / f"{pseudo.CODE}.po").write_text(pseudo.catalogue(), encoding="utf-8")
    return os.environ | {
        "TAPSCORE_LANGUAGES": str(folder),
        "TAPSCORE_LANGUAGE": pseudo.CODE,
        "XDG_CACHE_HOME": str(folder / "cache"),
        "PYTHONPATH": str(Path(__file__).parents[2]),
        "PYTHONIOENCODING": "utf-8",
    }


def _wrong(spoken: dict[str, str], module: str, *args: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-m", f"tests.wording.{module}", *args],
        capture_output=True,
        encoding="utf-8",
        env=spoken,
        check=False,
        timeout=280,
    )
    assert done.returncode == 0, done.stderr
    found: list[str] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_every_word_on_every_paper_is_translated_and_whole(
    spoken: dict[str, str], path: Path
) -> None:
    assert _wrong(spoken, "on_paper", str(path)) == []


def test_every_finding_is_translated_and_whole(spoken: dict[str, str]) -> None:
    assert _wrong(spoken, "in_findings") == []
