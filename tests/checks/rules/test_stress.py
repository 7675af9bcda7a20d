"""Stress against beat, on rhymes in their traditional rhythms and with words pushed aside."""

from pathlib import Path

import pytest

from tapscore.checks.examples import example
from tapscore.checks.metre.stress_on_beat import RULE
from tapscore.checks.rule import Scene
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file, read_text

RHYMES = sorted((Path(__file__).parents[2] / "data" / "rhymes").glob("*.yaml"))


def _messages(text: str) -> list[str]:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return [found.message for found in RULE.findings(Scene(read.story, perform(read.story)))]


@pytest.mark.parametrize("path", RHYMES, ids=lambda path: path.stem)
def test_traditional_rhythms_are_left_alone(path: Path) -> None:
    """The rhythms of the usual tunes, written from memory: songs follow the words' stress."""
    assert len(RHYMES) == 5
    story = read_file(path).story
    assert story is not None
    assert list(RULE.find(Scene(story, perform(story)))) == []


@pytest.mark.parametrize(
    ("words", "light", "heavy"),
    [
        ("the lan-tern", "tern", "lan"),
        ("“the wa-ter!”", "ter", "wa"),
        ("three rab-bits", "bits", "rab"),
    ],
)
def test_a_word_pushed_off_its_beat(words: str, light: str, heavy: str) -> None:
    (message,) = _messages(example(f'- words: {words}\n  lane: "| X . x X . . |"'))
    assert f"“{light}”, which is said lightly" in message
    assert f"than “{heavy}”" in message


@pytest.mark.parametrize("words", ["a-way we go", "to-day is ours"])
def test_stress_on_the_second_syllable(words: str) -> None:
    """away and today are stressed on their second syllable (any dictionary)."""
    assert _messages(example(f'- words: {words}\n  lane: "x | X . x X . |"')) == []
    assert len(_messages(example(f'- words: {words}\n  lane: "| X . x X x . |"'))) == 1


def test_the_teachers_own_division_wins() -> None:
    line = '- words: the mu-lo\n  lane: "| X . x X . . |"'
    stressed_late = 'glossary: {mulo: "mu-LO"}\n'
    stressed_early = 'glossary: {mulo: "MU-lo"}\n'
    assert _messages(example(line, extra=stressed_late)) == []
    assert len(_messages(example(line, extra=stressed_early))) == 1


def test_other_languages_are_left_alone() -> None:
    line = '- words: the lan-tern\n  lane: "| X . x X . . |"'
    assert _messages(example(line, extra="language: fr\n")) == []
    assert len(_messages(example(line, extra="language: en-GB\n"))) == 1
