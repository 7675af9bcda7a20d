"""Fitting a story to a time, with the trade's worked example."""

from pathlib import Path

import pytest
from hypothesis import given, settings

from tapscore.model.story import Story
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import HANDING_SEC, running_time, set_up_sec
from tapscore.storyfile.read import read_file, read_text
from tapscore.workflow.fit_time import plan_to_fit, room_left
from tests.strategies import plain_stories


def _eight_lines(sets: int) -> Story:
    """Common practice, no source: eight lines, each 10 s of tapping, refrain and wait, and

    turns of 30 s for six pupils: 28 minutes with one set of the prop, 16 with two.
    """
    lane = "| x . . . | . . . . | . . . . | . . . . | . . . . |"
    lines = (
        f'      - words: a\n        lane: "{lane}"\n      - refrain: home\n      - wait: 10\n'
        "      - offer: beads\n        turn: 30\n"
    )
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\ntempo: 60\npupils: 6\n"
        f"props: {{beads: {{sets: {sets}}}}}\nrefrains:\n  home:\n    - words: b\n"
        f'      lane: "{lane}"\nstory:\n  - section: One\n    lines:\n' + lines * 8
    ).story
    assert story is not None
    return story


def test_one_set_doubled_is_the_worked_example() -> None:
    plan = plan_to_fit(_eight_lines(1), 25 * 60)
    assert plan.before.least_sec == 28 * 60
    assert plan.steps[0].what == "2 sets of “beads” instead of 1"
    assert plan.steps[0].then.least_sec == 16 * 60
    assert plan.fits


def test_likely_of_the_worked_example_by_hand() -> None:
    """48 turns of 5 to 15 s of handing over, 8 waits 10 s longer, 8 lines with up to 2 s."""
    likely = running_time(perform(_eight_lines(1))).total.likely_sec
    assert HANDING_SEC == (5, 15)
    assert likely == (28 * 60 + 48 * 5, 28 * 60 + 48 * 15 + 8 * 10 + 8 * 2)


def test_what_fits_needs_nothing() -> None:
    plan = plan_to_fit(_eight_lines(1), 60 * 60)
    assert plan.fits
    assert plan.steps == ()
    assert plan.story == _eight_lines(1)


def test_room_for_more_still_fits() -> None:
    story = _eight_lines(3)
    longest = plan_to_fit(story, 3600).before.likely_sec[1]
    steps = room_left(story, longest + 200)
    assert {step.what for step in steps} == {
        "a second turn for each with “beads”",
        "the refrain twice each time",
    }
    assert all(longest < step.then.likely_sec[1] <= longest + 200 for step in steps)
    assert room_left(story, longest) == ()


def test_what_can_never_fit_says_so() -> None:
    plan = plan_to_fit(_eight_lines(6), 60)
    assert not plan.fits
    assert plan.after.likely_sec[1] > 60


@given(plain_stories)
@settings(max_examples=40)
def test_every_step_saves_what_it_says(story: Story) -> None:
    plan = plan_to_fit(story, 120)
    longest = plan.before.likely_sec[1]
    for step in plan.steps:
        assert step.saves_sec > 0
        assert step.then.likely_sec[1] == pytest.approx(longest - step.saves_sec)
        longest = step.then.likely_sec[1]
    assert running_time(perform(plan.story)).total == plan.after
    assert plan.fits == (longest <= 120)
    assert len(plan.story.sections) >= min(len(story.sections), 2)


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_demos_have_a_likely_range(path: Path) -> None:
    story = read_file(path).story
    assert story is not None
    time = running_time(perform(story))
    total = time.total
    assert total.least_sec <= total.likely_sec[0] < total.likely_sec[1] < 3 * total.least_sec
    for end in (0, 1):
        assert sum(s.likely_sec[end] for s in time.sections) == pytest.approx(total.likely_sec[end])


@pytest.mark.parametrize(("stage", "minutes"), [("on a table", 8), ("on the board", 11)])
def test_setting_up(stage: str, minutes: int) -> None:
    """House rule: 5 minutes and, for each of 3 pupils, 1 minute or on the board 2."""
    story = read_text(
        f"tapscore: 2\ntitle: T\npupils: 3\ncomfort: {{stage: {stage}}}\nstory: []\n"
    ).story
    assert story is not None
    assert set_up_sec(story) == minutes * 60
