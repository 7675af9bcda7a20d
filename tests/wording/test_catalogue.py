"""A catalogue as the program asks it: which one, what counts, and what is said in its stead.

The language is fixed when a process starts, so each case is a process of its own.
"""

import json
import os
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

HEAD = r"""
msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\n"
"X-Language-Name: polski\n"
"Plural-Forms: nplurals=4; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);\n"
"""  # noqa: E501
POLISH = (
    HEAD
    + """
msgid "Open"
msgstr "Otwórz"

msgctxt "a door"
msgid "Open"
msgstr "Otwarte"

msgid "{n:1 step|# steps} to “{name}”"
msgstr "do „{name}” {n:# krok|# kroki|# kroków|# kroku}"

msgid "{n} lines"
msgstr "{m} linii"

msgid "{n:1 bar|# bars}"
msgstr "{n:# takt|# takty}"

msgid "{n} spots"
msgstr "{n miejsc"

msgid "of {name}"
msgstr "{name:# x|# y|# z|# u}"

msgid "{n} taps"
msgstr "{n:# stuknięcie|# stuknięcia|# stuknięć|# stuknięcia}"

msgid "{names} and {last}"
msgstr "{names} i {last}"

msgctxt "decimal sign"
msgid "."
msgstr ","

#, fuzzy
msgid "Close"
msgstr "Zamknij?"
"""
)


def _said(folder: Path, code: str, **environment: str) -> list[str]:
    """What a fresh process says, each expression in ``code`` on a line of its own."""
    lines = [f"print({line.strip()})" for line in code.strip().splitlines()]
    start = ["from fractions import Fraction", "from tapscore.wording.catalogue import *"]
    kept = {
        name: value
        for name, value in os.environ.items()
        if name not in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG", "TAPSCORE_LANGUAGE")
    }
    settings = {
        "PYTHONPATH": str(Path(__file__).parents[2]),
        "PYTHONIOENCODING": "utf-8",
        "XDG_CACHE_HOME": str(folder / "cache"),
        "XDG_CONFIG_HOME": str(folder / "config"),
        "TAPSCORE_LANGUAGES": str(folder),
    }
    done = subprocess.run(
        [sys.executable, "-c", "\n".join([*start, *lines])],
        capture_output=True,
        encoding="utf-8",
        env=kept | settings | environment,
        check=True,
        timeout=60,
    )
    assert done.stderr == ""
    return done.stdout.splitlines()


@pytest.fixture
def polish(tmp_path: Path) -> Path:
    (tmp_path / "pl.po").write_text(POLISH, encoding="utf-8")
    return tmp_path


def test_texts_are_translated_with_the_plurals_of_the_language(polish: Path) -> None:
    said = _said(
        polish,
        """
        say("Open")
        say_in("a door", "Open")
        say_in("a shop", "Open")
        *(say("{n:1 step|# steps} to “{name}”", n=n, name="A") for n in (1, 2, 5, 22, 1.5))
        say("{n} taps", n=3)
        say("{names:and} {length:.1f}", names=("a", "b", "c"), length=Fraction(5, 2))
        """,
        TAPSCORE_LANGUAGE="pl",
    )
    assert said[:3] == ["Otwórz", "Otwarte", "Open"]
    steps = ["1 krok", "2 kroki", "5 kroków", "22 kroki", "1,5 kroku"]
    assert said[3] == " ".join(f"do „A” {each}" for each in steps)
    assert said[4:] == ["3 stuknięcia", "a, b i c 2,5"]


@pytest.mark.parametrize(
    ("expression", "english"),
    [
        ("say('Untranslated')", "Untranslated"),
        ("say('Close')", "Close"),
        ("say('{n} lines', n=2)", "2 lines"),
        ("say('{n:1 bar|# bars}', n=2)", "2 bars"),
        ("say('{n:1 bar|# bars}', n=1)", "1 bar"),
        ("say('{n} spots', n=2)", "2 spots"),
        ("say('of {name}', name='A')", "of A"),
        ("say('{n:1 apple|# apples}', n=5)", "5 apples"),
        ("say('')", ""),
    ],
)
def test_a_translation_that_does_not_fit_is_said_in_english(
    polish: Path, expression: str, english: str
) -> None:
    assert _said(polish, expression, TAPSCORE_LANGUAGE="pl") == [english]


@pytest.mark.parametrize(
    ("environment", "chosen", "code"),
    [
        ({}, None, "en"),
        ({"TAPSCORE_LANGUAGE": "pl"}, None, "pl"),
        ({"TAPSCORE_LANGUAGE": "pl-PL"}, None, "pl"),
        ({"TAPSCORE_LANGUAGE": "en"}, "pl", "en"),
        ({}, "pl", "pl"),
        ({"LANG": "pl_PL.UTF-8"}, "en", "en"),
        ({"LANG": "pl_PL.UTF-8"}, None, "pl"),
        ({"LANG": "pl_PL.UTF-8"}, "gone", "pl"),
        ({"LANG": "pl_PL.UTF-8"}, 7, "pl"),
        ({"LANG": "de_DE.UTF-8"}, None, "en"),
        ({"LANGUAGE": "de:pl:en", "LANG": "en_GB"}, None, "pl"),
        ({"LANGUAGE": "en:pl"}, None, "en"),
    ],
)
def test_which_language_is_spoken(
    polish: Path, environment: dict[str, str], chosen: object, code: str
) -> None:
    settings = polish / "config" / "tapscore" / "settings.json"
    settings.parent.mkdir(parents=True)
    settings.write_text("{" if chosen is None else json.dumps({"language": chosen}))
    assert _said(polish, "language(), trouble()", **environment) == [f"{code} "]


def test_what_is_not_there_is_said_once(polish: Path) -> None:
    (said,) = _said(polish, "trouble()", TAPSCORE_LANGUAGE="kw")
    assert said == "There is no language kw here, only en, pl. English is used."


def test_a_catalogue_that_is_no_text_is_named_and_english_is_spoken(tmp_path: Path) -> None:
    (tmp_path / "pl.po").write_bytes(b"\xff\xfe")
    code, trouble = _said(tmp_path, "language()\ntrouble()", TAPSCORE_LANGUAGE="pl")
    assert code == "en"
    assert trouble.startswith("The language pl can't be used: pl.po: ")
    assert trouble.endswith(". English is used.")


@pytest.mark.parametrize("written", ["", "msgid 'Open\n", 'msgid "Open\nmsgstr "b"\n', POLISH[:-9]])
def test_what_is_broken_in_a_catalogue_is_passed_over(tmp_path: Path, written: str) -> None:
    (tmp_path / "pl.po").write_text(written, encoding="utf-8")
    said = _said(tmp_path, "say('Open')\nsay('Shut')", TAPSCORE_LANGUAGE="pl")
    assert said == ["Otwórz" if written.startswith(HEAD) else "Open", "Shut"]


@pytest.mark.parametrize(
    "rule", ["nplurals=2; plural=__import__('os')", "nplurals=x", "plural=n/0"]
)
def test_a_head_that_is_no_rule_does_no_harm(tmp_path: Path, rule: str) -> None:
    head = HEAD[: HEAD.index("nplurals")] + rule + '\\n"\n\nmsgid "Open"\nmsgstr "Otwórz"\n'
    (tmp_path / "pl.po").write_text(head, encoding="utf-8")
    (said,) = _said(tmp_path, "say('{n:1 step|# steps}', n=2)", TAPSCORE_LANGUAGE="pl")
    assert said == "2 steps"


def test_an_edited_catalogue_counts_from_the_next_start(polish: Path) -> None:
    _said(polish, "say('Open')", TAPSCORE_LANGUAGE="pl")
    kept = polish / "cache" / "tapscore" / "languages"
    (first,) = kept.iterdir()
    (polish / "pl.po").write_text(POLISH.replace("Otwórz", "Otwieranie"), encoding="utf-8")
    assert _said(polish, "say('Open')", TAPSCORE_LANGUAGE="pl") == ["Otwieranie"]
    (second,) = kept.iterdir()
    assert first != second
    second.write_bytes(b"damaged")
    assert _said(polish, "say('Open')", TAPSCORE_LANGUAGE="pl") == ["Otwieranie"]


def test_languages_to_choose_name_themselves(polish: Path) -> None:
    (polish / "cy.po").write_text('msgid ""\nmsgstr ""\n', encoding="utf-8")
    (said,) = _said(polish, "languages()")
    assert said == "(('en', 'English'), ('cy', 'cy'), ('pl', 'polski'))"


def test_pages_of_help_may_be_translated_too(polish: Path) -> None:
    (polish / "pl").mkdir()
    (polish / "pl" / "lane.txt").write_text("RYTM", encoding="utf-8")
    said = _said(
        polish,
        "page('lane.txt').read_text()\npage('story.txt').parent.name",
        TAPSCORE_LANGUAGE="pl",
    )
    assert said == ["RYTM", "resources"]


def test_english_asks_for_no_catalogue(tmp_path: Path) -> None:
    (said,) = _said(
        tmp_path,
        "say('Open'), sorted({'gettext', 'polib', 'attrs', 'json', 'platformdirs'}"
        " & set(__import__('sys').modules))",
    )
    assert said == "Open []"


def test_fractions_take_the_last_form_in_english_too() -> None:
    from tapscore.wording.catalogue import say

    assert say("{n:1 step|# steps}", n=Fraction(1, 2)) == "0.5 steps"
    assert say("{n:1 step|# steps}", n=1.0) == "1 step"
    assert say("{path}", path=Path("a.yaml")) == "a.yaml"
