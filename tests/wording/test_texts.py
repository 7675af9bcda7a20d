"""Every text of the catalogue: there for every rule, filled by its data, in plain words."""

import re

import pytest

from tapscore.checks.all_rules import ALL_RULES
from tapscore.checks.registry import check
from tapscore.checks.rule import Rule, Scene
from tapscore.checks.today.role_has_somebody import BAD_DAY
from tapscore.model.finding import Finding
from tapscore.rhythm.perform import perform
from tapscore.storyfile.day_file import read_day
from tapscore.storyfile.read import read_text
from tapscore.wording.english import KEYS
from tapscore.wording.english import TEXTS as BY_CODE
from tapscore.wording.text import Surface, Text, holes_of

TEXTS = sorted(BY_CODE.items())
each_text = pytest.mark.parametrize(("code", "text"), TEXTS, ids=[code for code, _ in TEXTS])


def _sentences(text: Text) -> tuple[str, ...]:
    return tuple({*text.on(Surface.FILE), *text.on(Surface.WINDOW)})


def _found(text: str) -> tuple[Finding, ...]:
    story = read_text(text).story
    assert story is not None
    return check(Scene(story, perform(story), read_day(BAD_DAY, story).day), ALL_RULES)


def test_every_rule_has_its_text() -> None:
    codes = {code.partition("/")[0] for code in BY_CODE}
    assert {rule.id for rule in ALL_RULES} <= codes


@each_text
def test_texts_are_whole_sentences_in_plain_words(code: str, text: Text) -> None:
    for sentence in _sentences(text):
        assert sentence[0].isupper() or sentence[0] in "“{`"
        assert sentence.endswith((".", "}", "?")), sentence
        assert "  " not in sentence
        for word in ("invalid", "error ", "must not", "safe "):
            assert word not in sentence.casefold()


@each_text
def test_the_window_names_no_key_or_mark_of_the_file(code: str, text: Text) -> None:
    for sentence in text.on(Surface.WINDOW):
        assert "`" not in sentence
    for hole in holes_of("".join(text.on(Surface.WINDOW))):
        if hole.name in KEYS:
            assert "`" not in KEYS[hole.name][1]


@each_text
def test_keys_that_texts_name_are_known(code: str, text: Text) -> None:
    named = {hole.name for sentence in _sentences(text) for hole in holes_of(sentence)}
    assert {name for name in named if "." in name} <= set(KEYS)


def test_every_key_is_used() -> None:
    used = {h.name for _, text in TEXTS for s in _sentences(text) for h in holes_of(s)}
    assert set(KEYS) <= used


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.id)
def test_every_hole_is_filled(rule: Rule) -> None:
    for finding in _found(rule.bad):
        assert finding.about or finding.code == "grain-known"
        for surface in Surface:
            for sentence in finding.said(surface):
                assert not re.search(r"[{}|#]|None|Fraction", sentence.replace("`|`", ""))
                assert not re.search(r"\d\.\d{3}", sentence)


def test_window_and_file_speak_from_the_same_data() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
        '      - words: Crash went the wave\n        lane: "| X x x X . . |"\n'
        "        loudness: loud\n"
    )
    (finding,) = [f for f in _found(text) if f.code == "warn-before-loud"]
    assert finding.message == "Line 1 starts loud after silence, without a warning."
    assert finding.said(Surface.WINDOW).message == finding.message
    assert "Add `warn first:` with what" in finding.remedy
    assert "Write under “Warn first” what" in finding.said(Surface.WINDOW).remedy
    assert finding.about.as_plain() == {
        "line": {"number": 1},
        "earlier": None,
        "level": 3.0,
        "stage": None,
    }
