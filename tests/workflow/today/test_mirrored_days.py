"""Mirror or turn the room: whoever is here does the same, and is near the same pupils."""

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.paper.drawing import Element, Panel, Shape, StraightLine, extent
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.day import Day, Telling
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.workflow.today.plan import Today, plan_today
from tests.board.boards import moved
from tests.hill import DOOR, STORY

ADULTS = ("ann", "bea", "cyd", "dot")
here = st.lists(st.sampled_from(ADULTS), min_size=1, max_size=4, unique=True)


def in_a_room(story: Story, how: str) -> Story:
    assert story.board is not None
    return evolve(story, board=moved(story.board, how))


def done(today: Today) -> tuple[object, ...]:
    takers = [(job.kind, job.name, who) for job, who in today.sharing.takers]
    left = [(job.kind, job.name, why) for job, why in today.sharing.left]
    return takers, left, today.changes, today.near, today.voice, today.telling


@settings(max_examples=20)
@given(
    st.sampled_from([STORY, DOOR]),
    here,
    st.none() | st.sampled_from(list(Telling)[:3]),
    st.sampled_from(["mirror", "turn"]),
)
def test_the_same_is_shared_out_in_a_mirrored_or_turned_room(
    story: Story, adults: list[str], tell: Telling | None, how: str
) -> None:
    day = Day(tuple(adults), tell=tell)
    assert done(plan_today(in_a_room(story, how), day)) == done(plan_today(story, day))


def drawn(story: Story) -> tuple[list[tuple[float, ...]], float]:
    """What is covered by shapes on the side for whoever steps in, and the paper's width."""
    (page,) = supply_pages(story, perform(story))
    (figure,) = [block for block in page.blocks if block.tag == "Figure"]
    kept: list[Element] = [
        e for e in figure.elements if isinstance(e, Panel | Shape | StraightLine)
    ]
    return sorted(extent(element) for element in kept), page.paper.width_pt


@pytest.mark.parametrize("story", [STORY, DOOR])
def test_whoever_steps_in_sees_a_mirrored_room_mirrored(story: Story) -> None:
    before, wide = drawn(story)
    after, _ = drawn(in_a_room(story, "mirror"))
    mirrored = sorted((wide - right, top, wide - left, foot) for left, top, right, foot in before)
    assert [pytest.approx(box, abs=0.01) for box in mirrored] == after
    assert before != after
