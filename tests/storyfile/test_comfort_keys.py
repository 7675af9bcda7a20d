"""The keys `comfort`, `accepted` and `areas`: what is read, and what is said about mistakes."""

from fractions import Fraction

import pytest

from tapscore.model.accepted import Acceptance
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line
from tapscore.storyfile.read import read_text

HEAD = "tapscore: 2\ntitle: T\n"
LINE = "story:\n  - section: One\n    lines:\n      - words: a\n        areas: {}\n"


def test_comfort_is_read() -> None:
    read = read_text(
        HEAD + "comfort: {ceiling: mf, largest jump: 2, least wait: 7.5, stage: On the  board,\n"
        "  introduce gently: yes}\nstory: []\n"
    )
    assert read.findings == ()
    assert read.story is not None
    assert read.story.comfort == Comfort(
        Loudness.MEDIUM, 2, Fraction(15, 2), Stage.ON_THE_BOARD, True
    )


def test_what_is_not_said_is_usual() -> None:
    comfort = Comfort()
    assert (comfort.jump_steps, comfort.wait_sec, comfort.loudest) == (
        1,
        Fraction(10),
        Loudness.VERY_LOUD,
    )
    assert Comfort(introduce_gently=True).loudest is Loudness.MEDIUM
    assert Comfort(Loudness.LOUD, introduce_gently=True).loudest is Loudness.MEDIUM


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("comfort: {ceiling: loudd}", "Did you mean `loud`?"),
        ("comfort: {largest jump: 9}", "whole number of steps from 1 to 4"),
        ("comfort: {stage: on the bord}", "Did you mean `on the board`?"),
        ("comfort: {celing: loud}", "Did you mean `ceiling`?"),
        ("accepted: [{finding: a}]", "`why:` is missing"),
        ("accepted: [{why: a}]", "`finding:` is missing"),
    ],
)
def test_mistakes(text: str, said: str) -> None:
    read = read_text(f"{HEAD}{text}\nstory: []\n")
    (finding,) = read.findings
    assert said in f"{finding.message} {finding.remedy}"
    assert finding.span is not None
    assert finding.span.line == 3


def test_accepted_is_read() -> None:
    read = read_text(
        HEAD + "story: []\naccepted:\n  - finding: one-breath\n    why: yes\n"
        "  - {finding: a-b, where: 12, why: c}\n"
    )
    assert read.findings == ()
    assert read.story is not None
    assert read.story.accepted == (
        Acceptance("one-breath", "yes"),
        Acceptance("a-b", "c", "12"),
    )


def test_areas_are_written_as_published() -> None:
    read = read_text(HEAD + LINE.format("[literacy, EXPLORATION]"))
    assert read.findings == ()
    assert read.story is not None
    (line,) = read.story.sections[0].items
    assert isinstance(line, Line)
    assert line.areas == ("Literacy", "exploration")


@pytest.mark.parametrize(
    ("areas", "said"),
    [
        ("[Personal, Social and Emotional Development]", "The comma cuts"),
        ("Comunication and Language", "Did you mean `Communication and Language`?"),
        ("Numeracy", "as it is published"),
    ],
)
def test_area_mistakes(areas: str, said: str) -> None:
    (finding,) = read_text(HEAD + LINE.format(areas)).findings
    assert said in f"{finding.message} {finding.remedy}"
