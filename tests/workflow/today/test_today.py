from itertools import product

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.paper.cards import role_cards
from tapscore.model.day import Day, Telling, staff_of
from tapscore.model.story import Item, Line, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import LinePart, warners
from tapscore.workflow.product import Choices
from tapscore.workflow.today.arranged import arranged
from tapscore.workflow.today.card_files import card_files, put_cards
from tapscore.workflow.today.hands import clash, hands_of, why_not
from tapscore.workflow.today.jobs import Job, JobKind, jobs_left
from tapscore.workflow.today.plan import changed_cards, plan_today
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.paper_strategies import ROLES, stories


def day(*pairs: tuple[str, str], free: tuple[str, ...] = ()) -> Day:
    """A day on which the whole story is told, whoever is away."""
    return Day((*(adult for _, adult in pairs), *free), pairs, tell=Telling.WHOLE)


def whole(*roles: str) -> Day:
    return day(*((role, role) for role in roles))


LEADER, BEAT, SECOND, HANDLER = ROLES
BY_HEART = Choices(by_heart=True)
days = st.builds(
    lambda roles, free: day(*((role, f"X{i}") for i, role in enumerate(roles)), free=free),
    st.lists(st.sampled_from(ROLES), unique=True, max_size=4),
    st.sampled_from([(), ("YZ",)]),
)


def test_an_adult_named_as_a_role_takes_it() -> None:
    staff = staff_of(sample(), Day(("leader", "AB", "CD"), ((BEAT, "AB"), (SECOND, "AB"))))
    assert staff.taken == {LEADER: "leader", BEAT: "AB", SECOND: "AB"}
    assert staff.host_of == {LEADER: LEADER, BEAT: BEAT, SECOND: BEAT}
    assert staff.free == ("CD",)
    assert staff.away == (HANDLER,)


def test_with_everybody_here_nothing_is_left_and_no_card_changes() -> None:
    today = plan_today(sample(), Day(ROLES))
    assert today.left == ()
    assert today.story == evolve(
        sample(),
        props=tuple(evolve(p, by=sample().bringer(p.name)) for p in sample().props),
    )
    assert all(not changed.new for changed in changed_cards(sample(), today, Choices()))


def test_somebody_without_a_role_takes_an_absent_one_whole() -> None:
    today = plan_today(sample(), day((LEADER, "AB"), (SECOND, "CD"), (HANDLER, "EF"), free=("GH",)))
    assert today.stand_ins == ((BEAT, "GH"),)
    assert today.left == ()
    assert all(not changed.new for changed in changed_cards(sample(), today, Choices()))


def test_what_is_missing_is_named() -> None:
    today = plan_today(sample(), day((LEADER, "AB"), (SECOND, "CD"), (HANDLER, "EF")))
    assert [job.sentence for job in today.left] == [
        "Nobody taps line 1 (Out on the water).",
        "Nobody taps line 3 (The wind went round).",
        "Nobody taps line 7 (One knock and two).",
    ]
    # The second tapper's lines that two should tap are still tapped by one.
    assert {job.name.split()[1] for job in today.left}.isdisjoint({"4", "8"})


def test_nobody_here_leaves_everything() -> None:
    today = plan_today(sample(), Day())
    assert today.sharing.takers == ()
    assert len(today.sharing.left) == len(today.left) > 5
    assert all(why == "nobody is here" for _, why in today.sharing.left)


@settings(max_examples=60, deadline=None)
@given(stories, days)
def test_every_tap_stays_and_what_is_taken_is_done_by_somebody_here(
    story: Story, staff: Day
) -> None:
    today = plan_today(story, staff)
    before, after = perform(story), today.performance
    assert {(t.segment, t.event, t.onset_sec, t.stroke, t.spot) for t in before.taps} == {
        (t.segment, t.event, t.onset_sec, t.stroke, t.spot) for t in after.taps
    }
    here = today.staff.hosts
    still = jobs_left(today.story, after, here)
    assert [(j.kind, j.name) for j in still] == [
        (j.kind, j.name) for j in today.left if j in dict(today.sharing.left)
    ]
    assert len(today.sharing.takers) + len(today.sharing.left) == len(today.left)


@settings(max_examples=60, deadline=None)
@given(stories, days)
def test_hands_and_reach_stay_possible(story: Story, staff: Day) -> None:
    today = plan_today(story, staff)
    hands = hands_of(story, perform(story), today.staff.host_of)
    takers = today.sharing.takers
    for job, who in takers:
        assert why_not(story, hands, who, job) is None
    for job, who in takers:
        for other, also in takers:
            assert who != also or job is other or not clash(job, other)


@settings(max_examples=60, deadline=None)
@given(stories, days)
def test_a_job_is_left_only_if_all_ways_leave_as_many(story: Story, staff: Day) -> None:
    today = plan_today(story, staff)
    jobs, hosts = today.left, today.staff.hosts
    if not hosts or not 0 < len(jobs) <= 5:
        return
    fewest = min(sum(who is None for who in way) for way in _ways(story, jobs, today.staff.host_of))
    assert len(today.sharing.left) == fewest


def _ways(
    story: Story, jobs: tuple[Job, ...], host_of: dict[str, str]
) -> list[tuple[str | None, ...]]:
    """All ways to share jobs that hands and reach allow, by trying every one."""
    hands = hands_of(story, perform(story), host_of)
    hosts = tuple(dict.fromkeys(host_of.values()))
    can = [(None, *(h for h in hosts if why_not(story, hands, h, job) is None)) for job in jobs]
    return [
        way
        for way in product(*can)
        if not any(
            way[i] is not None and way[i] == way[j] and clash(jobs[i], jobs[j])
            for i in range(len(jobs))
            for j in range(i)
        )
    ]


def _cards_changed(story: Story, told: Story, hosts: tuple[str, ...]) -> int:
    """Cards of the telling that are not among the old ones, counted without the solver."""
    before, after = perform(story), perform(told)
    old = {role: role_cards(story, before, role) for role in hosts}
    return sum(
        _seen(card) not in [_seen(c) for c in old[role]]
        for role in hosts
        for card in role_cards(told, after, role)
    )


def _seen(card: object) -> tuple[object, ...]:
    """What somebody sees of a card, without who else taps."""
    from tapscore.exports.paper.cards import Card

    assert isinstance(card, Card)
    parts = tuple(
        (
            p.taps,
            p.do,
            p.warn_first,
            p.warns and p.warn_first,
            warners(p.segment) if p.warn_first else (),
            p.says and not p.taps,
            p.brings,
            p.takes,
            p.others_bring,
            p.others_take,
        )
        if isinstance(p, LinePart)
        else (p.segment.path, p.mine)
        for p in card.parts
    )
    lead = tuple((p.segment.path, p.mine) for p in card.lead)
    return (card.label, card.come_in_after, lead, parts, card.then)


@pytest.mark.parametrize("away", ROLES)
@pytest.mark.parametrize("also_away", ROLES)
def test_no_other_way_changes_fewer_cards(away: str, also_away: str) -> None:
    story = sample()
    here = [role for role in ROLES if role not in (away, also_away)]
    today = plan_today(story, whole(*here))
    jobs, host_of = today.left, today.staff.host_of
    best = min(
        _cards_changed(
            story,
            arranged(
                story,
                perform(story),
                host_of,
                tuple((j, who) for j, who in zip(jobs, way, strict=True) if who is not None),
            ),
            today.staff.hosts,
        )
        for way in _ways(story, jobs, host_of)
        if sum(who is None for who in way) == len(today.sharing.left)
    )
    assert _cards_changed(story, today.story, today.staff.hosts) == best


def test_one_adult_with_two_roles_has_both_on_their_cards() -> None:
    story = sample()
    today = plan_today(story, day((LEADER, "AB"), (BEAT, "CD"), (SECOND, "CD"), (HANDLER, "EF")))
    assert today.left == ()
    cards = {card.label for card in role_cards(today.story, today.performance, BEAT)}
    assert {"1 of 8", "2 of 8", "3 of 8"} <= cards
    changed = {c.role: c for c in changed_cards(story, today, BY_HEART)}
    assert changed[BEAT].new
    assert not changed[LEADER].new


def test_who_does_something_is_replaced_too() -> None:
    story = sample()

    def by_handler(items: tuple[Item, ...]) -> tuple[Item, ...]:
        return tuple(
            evolve(i, done_by=(HANDLER,)) if isinstance(i, Line) and i.do else i for i in items
        )

    story = evolve(
        story,
        sections=tuple(evolve(s, items=by_handler(s.items)) for s in story.sections),
    )
    today = plan_today(story, day((LEADER, "AB"), (BEAT, "CD"), (SECOND, "EF")))
    (deed,) = [job for job in today.left if job.kind is JobKind.DO]
    assert dict(today.sharing.takers)[deed] == LEADER
    assert any(
        isinstance(part, LinePart) and part.do == "Lift the cloth"
        for card in role_cards(today.story, today.performance, LEADER)
        for part in card.parts
    )


def test_only_changed_cards_are_printed_in_files_named_by_role(tmp_path: object) -> None:
    from pathlib import Path

    folder = Path(str(tmp_path))
    story = sample()
    today = plan_today(story, day((LEADER, "AB"), (SECOND, "CD"), (HANDLER, "EF")))
    cards = changed_cards(story, today, BY_HEART)
    paths = put_cards(card_files(story, cards, BY_HEART), folder, story).made
    assert len(paths) == sum(bool(changed.new) for changed in cards)
    assert all("ab" not in p.stem.split("-today-")[1].split("-") for p in paths)
    assert all(path.read_bytes().startswith(b"%PDF") for path in paths)
    assert any(changed.kept for changed in cards)


def with_a_partner() -> Story:
    """The sample, somebody beside place A."""
    story = sample()
    assert story.board is not None
    first, *others = story.board.places
    places = (evolve(first, partner=SECOND), *others)
    return evolve(story, board=evolve(story.board, places=places))


def test_somebody_is_beside_every_pupil_before_anything_is_tapped() -> None:
    story = with_a_partner()
    today = plan_today(story, whole(LEADER, BEAT, HANDLER))
    (beside,) = [job for job in today.left if job.kind is JobKind.WITH]
    assert beside.sentence == "Nobody is with A."
    taker = dict(today.sharing.takers)[beside]
    # The prop handler has no hand free.
    assert taker in (LEADER, BEAT)
    assert today.story.board is not None
    assert today.story.board.places[0].partner == taker
    alone = plan_today(story, whole(HANDLER))
    left = [why for job, why in alone.sharing.left if job.kind is JobKind.WITH]
    assert left == [f"{HANDLER} has the props"]


def test_whoever_taps_least_speaks_and_warns_for_a_leader_who_is_away() -> None:
    story = sample()
    today = plan_today(story, whole(BEAT, SECOND, HANDLER))
    assert today.voice == HANDLER
    for segment in today.performance.lines:
        assert segment.manner.says == (HANDLER,)
        assert warners(segment) == (HANDLER,)
    here = plan_today(story, whole(LEADER, BEAT, SECOND, HANDLER))
    assert here.voice is None
    assert here.story.manner == story.manner


def test_part_sheets_change_too_and_only_those_of_whoever_takes_something_over() -> None:
    # who hands the beads round is here: turns take as long as ever
    story = sample()
    story = evolve(story, props=tuple(evolve(prop, handed_by=()) for prop in story.props))
    today = plan_today(story, day((LEADER, "AB"), (SECOND, "CD"), (HANDLER, "EF")))
    takers = {who for _, who in today.sharing.takers}
    for changed in changed_cards(story, today, Choices()):
        assert bool(changed.new) == (changed.role in takers), changed.role
        assert all("heet" in name or "Before" in name for name in changed.names)
