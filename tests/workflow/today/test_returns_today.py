"""Returns of a refrain that say themselves who taps, on days when that adult is away."""

import pytest

from tapscore.model.day import Day, Telling
from tapscore.model.story import RefrainUse, Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.product import Choices
from tapscore.workflow.today.jobs import jobs_left
from tapscore.workflow.today.outcome import DayWish, told_sentences, work_out
from tapscore.workflow.today.plan import Today, plan_today
from tapscore.workflow.today.supply import papers_for_all

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
        "the refrain home, the 1st time",
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


PLAIN = """\
tapscore: 2
title: The mill
metre: 2/4
tempo: 60
roles: {leader: {}, helper: {}, third: {}}
refrains:
  home:
    - {words: row it home now, lane: "| x x x x |", by: third}
story:
  - section: One
    lines:
      - {refrain: home, by: helper}
      - {words: then the sun now, lane: "| x x x x |", by: helper}
      - refrain: home
      - refrain: home
"""


def without_the_third(text: str) -> Today:
    told = read_text(text).story
    assert told is not None
    takes = (("leader", "AB"), ("helper", "CD"))
    return plan_today(told, Day(here=("AB", "CD"), takes=takes, tell=Telling.WHOLE))


def test_a_refrain_whose_first_return_says_who_taps_is_left_at_its_others_too() -> None:
    today = without_the_third(PLAIN)
    assert [job.sentence for job in today.left] == ["Nobody taps the refrain home."]
    assert all(who_taps(today))
    assert not jobs_left(today.story, today.performance, today.staff.hosts)


def test_who_could_not_keep_up_with_a_quicker_return_does_not_take_the_refrain() -> None:
    quick = PLAIN.removesuffix("      - refrain: home\n") + "      - {refrain: home, tempo: 300}\n"
    left = [job.sentence for job, _ in without_the_third(quick).sharing.left]
    assert left == ["Nobody taps the refrain home."]
    assert not without_the_third(PLAIN).sharing.left


OWN = (
    TEXT.partition("refrains:")[0]
    + """\
story:
  - section: One
    lines:
      - words: crash and hush
        lane: "| X(BY) . x . | x . . . |"
        by: helper
"""
)


BOTH_CD = {"leader": "AB", "helper": "CD", "third": "CD"}
AS_HELPER = "“crash and hush”: CD taps “crash” in one way, as helper, not as third."


@pytest.mark.parametrize(
    ("by", "takes", "tapped", "said"),
    [
        # her own way stays hers, also where it is written last
        (
            "third: loud, knuckles; helper: quiet",
            BOTH_CD,
            [("helper", "fingertips", 1)],
            AS_HELPER,
        ),
        (
            "helper: quiet; third: loud, knuckles",
            BOTH_CD,
            [("helper", "fingertips", 1)],
            AS_HELPER,
        ),
        # so does a tap that has nothing of her own
        (
            "helper; third: loud, knuckles",
            BOTH_CD,
            [("helper", "fingertips", 1)],
            AS_HELPER,
        ),
        # and what another would have tapped plainly falls away
        (
            "third; helper: loud",
            BOTH_CD,
            [("helper", "fingertips", 3)],
            AS_HELPER,
        ),
        # quiet as the line is anyway
        (
            "third; helper: quiet",
            BOTH_CD,
            [("helper", "fingertips", 1)],
            None,
        ),
        # nobody's own way: as it was written
        (
            "third: loud, knuckles",
            BOTH_CD,
            [("helper", "knuckles", 3)],
            None,
        ),
        # two ways that are the same are nothing to say
        (
            "helper: loud; third: loud",
            BOTH_CD,
            [("helper", "fingertips", 3)],
            None,
        ),
        (
            "third: loud, knuckles; helper: quiet",
            {"leader": "AB", "helper": "CD", "third": "EF"},
            [("helper", "fingertips", 1), ("third", "knuckles", 3)],
            None,
        ),
    ],
)
def test_two_ways_of_a_tap_that_fall_to_one_adult_are_one_and_it_is_said(
    by: str, takes: dict[str, str], tapped: list[tuple[str, str, int]], said: str | None
) -> None:
    told = read_text(OWN.replace("BY", by)).story
    assert told is not None
    here = tuple(dict.fromkeys(takes.values()))
    today = plan_today(told, Day(here=here, takes=tuple(takes.items()), tell=Telling.WHOLE))
    first = today.performance.lines[0].taps
    made = sorted((t.role, t.stroke.value, int(t.loudness)) for t in first if t.event == 0)
    assert made == tapped
    ways = [each for each in told_sentences(today) if "in one way" in each]
    assert ways == ([] if said is None else [said])


@pytest.mark.parametrize(
    ("third", "papers"), [("EF", ["step-in"]), ("CD", ["step-in", "cue-sheet"])]
)
def test_whoever_leads_has_a_new_cue_sheet_where_hers_would_name_nobody(
    third: str, papers: list[str]
) -> None:
    takes = (("leader", "AB"), ("helper", "CD"), ("third", third))
    here = tuple(dict.fromkeys(adult for _, adult in takes))
    today = plan_today(story(), Day(here=here, takes=takes))
    assert not today.changed
    files = papers_for_all(story(), today, Choices())
    assert [each.name for each in files] == [f"the-mill-today-{name}.pdf" for name in papers]


def test_a_return_that_somebody_away_would_say_is_said_by_whoever_speaks() -> None:
    plain = "      - refrain: home\n"
    said = plain.replace("refrain: home", "{refrain: home, says: NAME}")
    text = PLAIN.replace(plain * 2, said.replace("NAME", "third") + said.replace("NAME", "helper"))
    told = read_text(text).story
    assert told is not None
    takes = (("leader", "AB"), ("helper", "CD"))
    today = plan_today(told, Day(here=("AB", "CD"), takes=takes, tell=Telling.WHOLE))
    says = [line.manner.says for line in today.performance.lines if line.refrain]
    assert says == [("leader",), ("leader",), ("helper",)]


def test_a_deed_after_the_refrain_within_a_refrain_is_left_too() -> None:
    """Both parts of the refrain are one job to tap, and the second part's deed is one to do."""
    deed = "by: third, do: nod, done by: third}"
    text = PLAIN.partition("story:")[0].replace(", by: third}", ", by: helper}")
    text += '  whole:\n    - {words: out we go, lane: "| X . x x |", by: third}\n'
    text += '    - refrain: home\n    - {words: shine, lane: "| X . . . |", ' + deed + "\n"
    text += "story:\n  - section: One\n    lines:\n      - refrain: whole\n      - refrain: whole\n"
    told = read_text(text).story
    assert told is not None
    left = jobs_left(told, perform(told), ("leader", "helper"))
    assert [job.sentence for job in left] == [
        "Nobody taps the refrain whole.",
        "Nobody does “nod”.",
    ]
    assert left[0].keys == ("whole", "whole #2")
    assert left[0].paths == (("refrains", "whole", 0), ("refrains", "whole", 2))


NESTED = (
    PLAIN.partition("story:")[0]
    + """\
  whole:
    - {words: out we go, lane: "| X . x x |", by: helper}
    - {refrain: homeWITHIN}
    - {words: shine, lane: "| X . . . |", by: helper}
story:
  - section: One
    lines:
      - {refrain: wholeAT}
      - refrain: whole
"""
)


@pytest.mark.parametrize(
    ("within", "at", "jobs"),
    [
        ("", "", ["the refrain home"]),
        (", by: third", "", ["the refrain home"]),
        # what is told at a return by others than its lines say is one job, whatever returns in it
        ("", ", by: third", ["the refrain whole, the 1st time", "the refrain home"]),
    ],
)
def test_a_refrain_within_a_refrain_is_tapped_by_somebody_who_is_here(
    within: str, at: str, jobs: list[str]
) -> None:
    today = without_the_third(NESTED.replace("WITHIN", within).replace("AT", at))
    assert [job.name for job in today.left] == jobs
    assert len(today.sharing.takers) == len(jobs)
    assert not today.sharing.left
    assert not jobs_left(today.story, today.performance, today.staff.hosts)
    assert all(who_taps(today))


def test_whoever_taps_at_a_return_alone_has_no_free_hands() -> None:
    takes = (("leader", "AB"), ("helper", "CD"), ("third", "EF"))
    told = work_out(DayWish(story(), Day(here=("AB", "CD", "EF"), takes=takes), Choices()))
    assert [(row.who, row.hands) for row in told.rows] == [
        ("AB: leader", "taps 2 lines and the refrain home once"),
        ("CD: helper", "hands free"),
        ("EF: third", "taps the refrain home 2 times"),
    ]


@pytest.mark.parametrize(
    ("takes", "hands", "turns"),
    [
        ({"leader": "AB", "helper": "CD", "third": "EF"}, ("helper", "third"), 2),
        ({"leader": "AB", "helper": "CD"}, ("helper",), 4),
        ({"leader": "AB", "helper": "AB", "third": "CD"}, ("leader", "third"), 2),
        # nobody who hands it round is here: whoever brings it does
        ({"leader": "AB"}, ("leader",), 4),
    ],
)
def test_who_hands_a_prop_round_is_here(
    takes: dict[str, str], hands: tuple[str, ...], turns: int
) -> None:
    """Two were to hand it round, one of them away: half as many turns were told as it takes."""
    text = PLAIN.replace("tempo: 60", "tempo: 60\npupils: 4\nprops: {bell: PROP}").replace(
        "PROP", "{what: a bell, sets: 2, by: leader, handed by: [helper, third]}"
    )
    told = read_text(text + "      - {offer: bell, turn: 30}\n").story
    assert told is not None
    here = tuple(dict.fromkeys(takes.values()))
    today = plan_today(told, Day(here=here, takes=tuple(takes.items()), tell=Telling.WHOLE))
    assert today.story.props[0].handed_by == hands
    assert today.performance.segments[-1].turns == turns


def test_a_single_tap_of_a_refrain_that_others_tap_at_every_return_is_not_lost() -> None:
    text = PLAIN.replace("x x x x |", "x x(third) x x |", 1).replace(
        "refrain: home\n", "{refrain: home, by: third}\n"
    )
    today = without_the_third(
        text.replace("{refrain: home, by: helper}", "{refrain: home, by: third}")
    )
    assert len(today.left) == 3
    assert not jobs_left(today.story, today.performance, today.staff.hosts)
    assert all(len(line.taps) == 4 for line in today.performance.lines)


def test_a_refrain_that_comes_once_has_no_first_time() -> None:
    once = PLAIN.replace("      - refrain: home\n", "").replace(
        "home, by: helper", "home, by: third"
    )
    assert [job.name for job in without_the_third(once).left] == ["the refrain home"]
