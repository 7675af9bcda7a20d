"""Returns of a refrain that say themselves who taps, on days when that adult is away."""

import pytest

from tapscore.model.day import Day
from tapscore.model.story import RefrainUse, Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.today.jobs import jobs_left
from tapscore.workflow.today.plan import Today, plan_today

TEXT = """\
tapscore: 2
title: The mill
metre: 2/4
tempo: 60
roles: {leader: {}, helper: {}, third: {}}
refrains:
  home:
    - {words: row it home, lane: "| X . x . | X . . . |"}
story:
  - section: One
    lines:
      - {words: first the moon, lane: "| X . x . | X . . . |", by: leader}
      - {refrain: home, by: leader}
      - {words: then the sun, lane: "| X . x . | X . . . |", by: leader}
      - {refrain: home, by: third}
      - {refrain: home, by: third}
"""


def story() -> Story:
    read = read_text(TEXT)
    assert read.story is not None
    assert not read.findings
    return read.story


def who_taps(today: Today) -> list[list[str]]:
    """Who taps each line as it is heard."""
    return [sorted({tap.role for tap in line.taps}) for line in today.performance.lines]


def returns(told: Story) -> list[tuple[str, ...]]:
    return [i.manner.by for s in told.sections for i in s.items if isinstance(i, RefrainUse)]


def test_each_is_left_by_itself() -> None:
    told = story()
    left = jobs_left(told, perform(told), ("leader", "helper"))
    assert [job.sentence for job in left] == [
        "Nobody taps the refrain home, the 2nd time.",
        "Nobody taps the refrain home, the 3rd time.",
    ]
    assert [job.returns for job in left] == [(("story", 0, "lines", at),) for at in (3, 4)]
    first = jobs_left(told, perform(told), ("helper", "third"))
    assert [job.name.partition(" (")[0] for job in first] == [
        "line 1",
        "the refrain home",
        "line 2",
    ]


@pytest.mark.parametrize(
    ("takes", "taps"),
    [
        # the third is away: the helper's hands are free
        ((("leader", "AB"), ("helper", "CD")), ["leader", "leader", "leader", "helper", "helper"]),
        # one adult is leader and third: all that is the third's is told of the leader
        ((("leader", "AB"), ("helper", "CD"), ("third", "AB")), ["leader"] * 5),
        # the leader is away: what the third has stays hers
        ((("helper", "CD"), ("third", "EF")), [None, None, None, "third", "third"]),
    ],
)
def test_somebody_who_is_here_taps_each(
    takes: tuple[tuple[str, str], ...], taps: list[str | None]
) -> None:
    adults = tuple(dict.fromkeys(adult for _, adult in takes))
    today = plan_today(story(), Day(here=adults, takes=takes))
    told = who_taps(today)
    assert all(told), "nothing is left without a tap"
    assert jobs_left(today.story, today.performance, today.staff.hosts) == ()
    for has, wanted in zip(told, taps, strict=True):
        assert wanted is None or has == [wanted]


def test_with_everybody_here_nothing_changes() -> None:
    takes = (("leader", "AB"), ("helper", "CD"), ("third", "EF"))
    today = plan_today(story(), Day(here=("AB", "CD", "EF"), takes=takes))
    assert returns(today.story) == [("leader",), ("third",), ("third",)]
    assert today.left == ()
