"""Fitting a story to a time, with an example worked out by hand (common practice, no source)."""

from pathlib import Path

import pytest
from hypothesis import given, settings

from tapscore.model.story import RefrainUse, Story, Wait
from tapscore.model.walk import written_items
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import BETWEEN_SEC, HANDING_SEC, around_sec, running_time
from tapscore.storyfile.read import read_file, read_text
from tapscore.workflow.fit_time import plan_to_fill, plan_to_fit
from tests.strategies import plain_stories


def _eight_lines(sets: int, handed_by: str = "") -> Story:
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
        f"props: {{beads: {{sets: {sets}{handed_by}}}}}\nrefrains:\n  home:\n    - words: b\n"
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


def test_no_more_sets_than_there_are_hands_to_give_them() -> None:
    """Six pupils would get three sets; two hands give two."""
    for hands, most in ((", handed by: [Ann, Bea]", "2 sets"), ("", "3 sets")):
        steps = plan_to_fit(_eight_lines(1, hands), 60).steps
        sets = [step.what for step in steps if "sets of" in step.what]
        assert sets[-1].startswith(most)


def test_of_two_turns_the_longer_one_is_shortened_first() -> None:
    """Of one kind of step the one that saves most: 40 s for each of two pupils, not 10 s."""
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\npupils: 2\nprops: {beads: {}, cup: {}}\n"
        "story:\n  - section: One\n    lines:\n      - {words: a, lane: '| x . . . |'}\n"
        "      - {offer: beads, turn: 30}\n      - {offer: cup, turn: 60}\n"
    ).story
    assert story is not None
    assert [step.what for step in plan_to_fit(story, 1).steps] == [
        "turns of 20 seconds with “cup” instead of 60",
        "turns of 20 seconds with “beads” instead of 30",
    ]


def test_the_last_return_of_a_refrain_stays() -> None:
    told = plan_to_fit(_eight_lines(3), 60).story
    assert sum(isinstance(item, RefrainUse) for _, item in written_items(told)) == 1


def test_likely_of_the_worked_example_by_hand() -> None:
    """48 turns of 15 to 45 s of handing over, 8 waits 10 s longer, 16 lines with 3 to 15 s."""
    likely = running_time(perform(_eight_lines(1))).total.likely_sec
    assert (HANDING_SEC, BETWEEN_SEC) == ((15, 45), (3, 15))
    assert likely == (28 * 60 + 48 * 15 + 16 * 3, 28 * 60 + 48 * 45 + 8 * 10 + 16 * 15)


def test_what_fits_needs_nothing() -> None:
    plan = plan_to_fit(_eight_lines(1), 100 * 60)
    assert plan.fits
    assert plan.steps == ()
    assert plan.story == _eight_lines(1)


def test_time_that_is_left_goes_to_waits_first_and_still_fits() -> None:
    story = _eight_lines(3)
    longest = plan_to_fit(story, 3600).before.likely_sec[1]
    plan = plan_to_fill(story, longest + 200)
    assert plan.steps[0].what == "20 seconds or more for 8 waits"
    assert plan.fits
    assert plan.after.likely_sec[1] <= longest + 200
    assert plan_to_fill(story, longest - 1).steps == ()
    more = plan_to_fill(story, longest + 4000)
    assert any("60 seconds with “beads”" in step.what for step in more.steps)


@given(plain_stories)
@settings(max_examples=30)
def test_fitting_and_filling_never_cut_a_wait(story: Story) -> None:
    def waits(of: Story) -> list[Wait]:
        return [item for _, item in written_items(of) if isinstance(item, Wait)]

    kept = waits(plan_to_fit(story, 120).story)
    assert all(wait in waits(story) for wait in kept)
    filled = plan_to_fill(story, 1200)
    for old, new in zip(waits(story), waits(filled.story), strict=True):
        assert new.least_sec >= old.least_sec
    assert filled.after.likely_sec[1] <= 1200 or not filled.steps


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
    assert total.least_sec <= total.likely_sec[0] < total.likely_sec[1] < 5 * total.least_sec
    for end in (0, 1):
        assert sum(s.likely_sec[end] for s in time.sections) == pytest.approx(total.likely_sec[end])


@pytest.mark.parametrize(
    ("stage", "minutes"), [("on a table", (9, 13)), ("on the board", (30, 45))]
)
def test_setting_up_and_coming_down(stage: str, minutes: tuple[int, int]) -> None:
    """Four pupils with hoists: 25 to 40 minutes (common practice, no source), 5 for the board."""
    story = read_text(
        f"tapscore: 2\ntitle: T\npupils: 4\ncomfort: {{stage: {stage}}}\nstory: []\n"
    ).story
    assert story is not None
    assert around_sec(story) == (minutes[0] * 60, minutes[1] * 60)
