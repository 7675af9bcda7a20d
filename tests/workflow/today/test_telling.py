"""Fewer adults: what goes and what stays, by common practice (no source): waits, the refrain and
somebody beside a pupil stay, one prop stays, and nobody has everything to do."""

from collections import Counter

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.checks.props.props_are_used import used_props
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.model.day import Day, Telling
from tapscore.model.finding import Severity
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.walk import section_items
from tapscore.model.words import printed
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.storyfile.read import read_file
from tapscore.workflow.product import Choices
from tapscore.workflow.today.jobs import JobKind, jobs_left
from tapscore.workflow.today.lessening import (
    ABOUT_WHAT_IS_GONE,
    short_telling,
    the_one_prop,
    without_props,
)
from tapscore.workflow.today.outcome import DayWish, near_whom, told_lines, work_out
from tapscore.workflow.today.plan import Today, plan_today
from tests.exports.paper.paper_strategies import ROLES, stories

DEMOS = {path.stem: path for path in demo_stories()}
AB, CD, EF, GH = "AB", "CD", "EF", "GH"


def demo(name: str) -> Story:
    story = read_file(DEMOS[name]).story
    assert story is not None
    return story


BOAT = demo("the-lantern-boat")
VAN = demo("the-bread-van")


def kinds(today: Today) -> Counter[SegmentKind]:
    return Counter(segment.kind for segment in today.performance.segments)


def words(story: Story) -> list[str]:
    return [printed(item.words) for _, item in section_items(story) if isinstance(item, Line)]


def test_everybody_here_tells_the_whole_and_nothing_is_changed() -> None:
    today = plan_today(BOAT, Day((AB, CD, EF, GH)))
    assert (today.telling, today.changes) == (Telling.WHOLE, ())
    assert words(today.story) == words(BOAT)


@pytest.mark.parametrize("name", ["the-lantern-boat", "the-bread-van"])
def test_two_adults_tell_it_short_with_one_prop_and_share(name: str) -> None:
    story = demo(name)
    today = plan_today(story, Day((AB, CD)))
    assert today.telling is Telling.SHORT
    assert used_props(today.story) == {the_one_prop(story)}
    told = words(today.story)
    assert told[0] == words(story)[0]
    assert told[-1] == words(story)[-1]
    assert any(isinstance(item, RefrainUse) for _, item in section_items(today.story))
    assert kinds(today)[SegmentKind.WAIT] >= 2
    assert kinds(today)[SegmentKind.OFFER] >= 1
    # Never everything on the leader: props and deeds that she takes over are one at most, and
    # the other adult taps, too, and takes over at least as much.
    leads = today.staff.host_of["leader"]
    handed = [j for j, who in today.sharing.takers if who == leads and j.kind is not JobKind.TAP]
    assert len(handed) <= 1
    over = sum(who == leads for _, who in today.sharing.takers)
    if len(today.sharing.takers) > 1:
        assert 2 * over <= len(today.sharing.takers)
    assert len({tap.role for tap in today.performance.taps}) == 2 or over == len(handed)
    assert not today.sharing.left


def test_lines_about_what_does_not_come_go_with_it_and_are_named() -> None:
    today = plan_today(VAN, Day((AB, CD)))
    assert "in goes the flour, pat pat, pat pat." not in words(today.story)
    assert any("flour, pat pat" in where for where, _ in today.changes)
    assert "Told today: " in " ".join(
        work_out(DayWish(VAN, Day((AB, CD)), Choices(by_heart=True))).told
    )


def test_a_deed_with_a_prop_that_does_not_come_goes_too() -> None:
    today = plan_today(BOAT, Day((AB, CD)))
    assert not any(
        "lantern low" in (line.line.do or "") for line in today.performance.lines if line.line
    )
    # The lantern of the refrain's own words stays.
    assert "row home" in told_lines(today)


def test_one_adult_tells_the_refrain_or_it_is_not_today() -> None:
    alone = plan_today(BOAT, Day((AB,), places=("B", "C")))
    assert alone.telling is Telling.REFRAIN
    assert told_lines(alone) == ("row home", "wait 10", "row home", "wait 10")
    assert not used_props(alone.story)
    assert {tap.role for tap in alone.performance.taps} == {"leader"}
    many = plan_today(BOAT, Day((AB,)))
    assert many.telling is Telling.NOT_TODAY
    assert "4 pupils" in many.why
    beside = plan_today(VAN, Day((AB,), places=("A",)))
    assert beside.telling is Telling.NOT_TODAY
    bare = evolve(
        BOAT, refrains=(), sections=(evolve(BOAT.sections[0], items=BOAT.sections[0].items[:2]),)
    )
    assert plan_today(bare, Day((AB,), pupils=1)).telling is Telling.NOT_TODAY
    outcome = work_out(DayWish(BOAT, Day((AB,)), Choices(by_heart=True)))
    assert outcome.not_today
    assert outcome.new_cards == ()


def test_pupils_who_are_not_here_take_no_turn_and_nobody_is_kept_for_them() -> None:
    today = plan_today(BOAT, Day((AB, CD, EF, GH), places=("A", "C")))
    assert today.story.pupil_count == 2
    assert [place for place, _ in today.near] == ["A", "C"]
    assert _turns(today.performance) == (1,)
    assert _turns(perform(BOAT)) == (2,)
    fewer = plan_today(VAN, Day((AB, CD, EF), places=("B", "D")))
    assert not any(job.kind is JobKind.WITH for job in fewer.left)


def test_every_pupil_has_somebody_near_and_nobody_has_two_more_than_another() -> None:
    for here in ((AB, CD), (AB, CD, EF), (AB, CD, EF, GH)):
        near = near_whom(plan_today(BOAT, Day(here)))
        counts = [len(places) for _, places in near]
        assert sum(counts) == 4
        assert max(counts) - min(counts) <= 1
    spare = near_whom(plan_today(BOAT, Day((AB, CD, EF, GH, "IJ"))))
    assert "IJ" in dict(spare), "an adult without a role is beside a pupil first"


def test_a_partner_brings_nothing_and_comes_first_of_all_who_stand_in() -> None:
    today = plan_today(VAN, Day((AB, CD)))
    assert dict(today.stand_ins) == {"leader": AB, "partner": CD}
    for job, who in today.sharing.takers:
        assert not (job.kind is JobKind.BRING and who == "partner")


def test_what_was_chosen_is_told_whoever_is_here() -> None:
    for telling in (Telling.WHOLE, Telling.SHORT, Telling.REFRAIN):
        today = plan_today(BOAT, Day((AB, CD, EF, GH), tell=telling))
        assert today.telling is telling
    short = plan_today(BOAT, Day((AB, CD, EF, GH), tell=Telling.SHORT))
    assert used_props(short.story) == {"beads"}


def _worst(story: Story) -> set[str]:
    found = check(Scene(story, perform(story)))
    return {f.code for f in found if f.severity is Severity.MUST_MEND}


@settings(max_examples=60, deadline=None)
@given(stories, st.integers(1, 4), st.sampled_from(Telling), st.integers(1, 6))
def test_whatever_is_told_stands_by_itself(
    story: Story, adults: int, telling: Telling, pupils: int
) -> None:
    here = (AB, CD, EF, GH)[:adults]
    chosen = None if telling is Telling.NOT_TODAY else telling
    today = plan_today(story, Day(here, pupils=pupils, tell=chosen))
    if today.telling is Telling.NOT_TODAY:
        return
    assert _worst(today.story) <= _worst(story)
    if today.telling is not Telling.WHOLE:
        # What nobody could do has gone, but for a refrain that no hand here reaches.
        still = jobs_left(today.story, today.performance, today.staff.hosts)
        assert {job.kind for job in still} <= {JobKind.TAP, JobKind.WITH}
        for job in still:
            assert job.kind is JobKind.WITH or job.keys[0] in {r.name for r in story.refrains}
    if today.telling in (Telling.WHOLE, Telling.LIGHTER):
        waits = [i for _, i in section_items(story) if isinstance(i, Wait)]
        kept = [i for _, i in section_items(today.story) if isinstance(i, Wait)]
        assert sum(w.least_sec for w in kept) <= sum(w.least_sec for w in waits)
        for _, item in section_items(story):
            if isinstance(item, RefrainUse):
                assert any(
                    isinstance(i, RefrainUse) and i.name == item.name
                    for _, i in section_items(today.story)
                )


@given(stories, st.integers(0, 3))
def test_props_that_stay_come_and_leave_as_before(story: Story, which: int) -> None:
    names = sorted(used_props(story))
    gone = names[which : which + 1]
    told, changes = without_props(story, gone)
    assert bool(changes) == bool(gone)
    assert used_props(told).isdisjoint(gone)
    offers = [i.prop for _, i in section_items(story) if isinstance(i, Offer)]
    kept = [i.prop for _, i in section_items(told) if isinstance(i, Offer)]
    assert kept == [prop for prop in offers if prop not in gone]
    assert _worst(told) <= _worst(story)


@given(stories)
def test_short_is_never_longer(story: Story) -> None:
    short, _ = short_telling(story)
    assert len(words(short)) <= len(words(story))
    assert len(used_props(short)) <= 1
    assert story.role_names == ROLES


def _turns(performance: Performance) -> tuple[int, ...]:
    return tuple(s.turns for s in performance.segments if s.kind is SegmentKind.OFFER)


def test_what_is_left_out_is_said_once_and_not_changed_as_well() -> None:
    """The rainy walk's boot: its line goes, so that nothing else is said of that line."""
    _, changes = short_telling(demo("the-rainy-walk"))
    where = [where for where, _ in changes]
    for line, what in changes:
        if what == ABOUT_WHAT_IS_GONE:
            assert where.count(line) == 1, changes
    assert any(what == ABOUT_WHAT_IS_GONE for _, what in changes)
