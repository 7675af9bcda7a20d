"""Small days as tables: who does what instead of whom, what goes with a prop, who speaks, why not.

Each worked out by hand from the hill's adults (``tests/hill.py``): ann leads and sits in the
north, bea has nothing to bring, cyd brings the silk and dot the bell.
"""

from collections.abc import Mapping

import pytest
from attrs import evolve

from tapscore.model.comfort import ADVISED_WAIT_SEC
from tapscore.model.day import Day, Telling
from tapscore.model.story import Line, RefrainUse, Story, Wait
from tapscore.model.walk import section_items
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.product import Choices
from tapscore.workflow.today.arranged import arranged, voice_today
from tapscore.workflow.today.beside import near_pupils
from tapscore.workflow.today.hands import hands_of, why_not
from tapscore.workflow.today.jobs import Job, JobKind, jobs_left
from tapscore.workflow.today.lessening import (
    refrain_telling,
    short_telling,
    without_deed,
    without_props,
)
from tapscore.workflow.today.outcome import DayWish, work_out
from tapscore.workflow.today.plan import changed_cards, plan_today, printing_findings
from tapscore.workflow.today.sharing import Sparing, share_out
from tests.hill import HEAD, STORY, line, lines_of, story_of

ONE = '"| x . . . . . . . |"'


def lines(story: Story) -> list[Line]:
    return [item for _, item in section_items(story) if isinstance(item, Line)]


AWAY = story_of(
    HEAD.replace("A: {at: [50, 70]}", "A: {at: [50, 70], with: cyd}")
    .replace("B: {at: [100, 50]}", "B: {at: [100, 50], with: bea}")
    .replace("  silk:", "  kite: {what: a kite}\n  silk:")
    + f"""\
story:
  - section: One
    says: cyd
    lines:
      - {{words: a, lane: {ONE}, by: ann}}
      - {{words: b, lane: {ONE}, by: cyd, says: bea}}
      - {{words: c c c, lane: "| x . x(cyd) . x(bea, low) . . . |", by: [bea, cyd], says: cyd}}
      - {{words: d, lane: {ONE}, by: everyone, do: clap, done by: cyd}}
      - words: e
        lane: {ONE}
        by: dot
        do: nod
        done by: [cyd, dot]
        warn first: whisper
        warned by: [cyd, bea]
      - words: f
        lane: {ONE}
        by: [bea, ann]
        warn first: whisper
        warned by: cyd
        prop in: [bell, silk, kite]
"""
)


def test_who_does_what_if_one_has_two_roles_and_one_is_away() -> None:
    """Ann has bea's role too, cyd is away, and dot takes all that cyd leaves."""
    performance = perform(AWAY)
    host_of = {"ann": "ann", "bea": "ann", "dot": "dot"}
    jobs = jobs_left(AWAY, performance, host_of)
    assert [job.sentence for job in jobs] == [
        "Nobody taps line 2 (b).",
        "Nobody taps line 3 (c c c).",
        "Nobody does “clap”.",
        "Nobody brings silk.",
        "Nobody is with A.",
    ]
    assert [(job.keys, job.roles) for job in jobs] == [
        *((("line 2",), ("cyd",)), (("line 3",), ("cyd",)), (("line 4",), ("cyd",))),
        *((("line 6",), ("cyd",)), ((), ("cyd",))),
    ]
    # One of two who should tap does: of line 3 cyd's own tap alone is lost.
    assert [(tap.role, tap.event) for tap in jobs[1].taps] == [("cyd", 1)]
    told = arranged(AWAY, performance, host_of, tuple((job, "dot") for job in jobs))
    assert [
        (*item.manner.by, *item.manner.says, "|", *item.done_by, "|", *item.warned_by)
        for item in lines(told)
    ] == [
        ("ann", "|", "|"),
        ("dot", "ann", "|", "|"),
        ("ann", "ann", "|", "|"),
        ("everyone", "|", "dot", "|"),
        ("dot", "|", "dot", "|", "ann"),
        ("ann", "|", "|", "ann"),
    ]
    assert [(tap.role, tap.spot) for tap in perform(told).lines[2].taps] == [
        *(("ann", "middle"), ("dot", "middle"), ("ann", "low"))
    ]
    assert told.sections[0].manner.says == ("ann",)
    assert [role.name for role in told.roles] == ["ann", "dot"]
    assert [(prop.name, prop.by) for prop in told.props] == [
        *(("bell", "dot"), ("kite", "ann"), ("silk", "dot"))
    ]
    assert told.board is not None
    assert [place.partner for place in told.board.places] == ["dot", "ann", None, None]
    # With nobody to take it, it stays with whoever is away.
    nobody = arranged(AWAY, performance, host_of, ())
    assert [item.manner.by for item in lines(nobody)][1] == ("cyd",)
    assert lines(nobody)[3].done_by == ("cyd",)
    assert {prop.name: prop.by for prop in nobody.props}["silk"] == "cyd"


@pytest.mark.parametrize(
    ("host_of", "voice"),
    [
        ({"bea": "bea", "cyd": "cyd", "dot": "dot"}, "dot"),
        ({"bea": "bea", "cyd": "cyd"}, "bea"),
        ({"cyd": "cyd", "bea": "bea"}, "cyd"),
        ({"bea": "bea", "cyd": "bea", "dot": "dot"}, "dot"),
        ({"bea": "bea", "dot": "bea", "cyd": "cyd"}, "cyd"),
        ({"ann": "ann", "dot": "dot"}, "ann"),
        ({"dot": "dot", "ann": "dot"}, "dot"),
        ({}, None),
    ],
)
def test_whoever_taps_least_speaks(host_of: dict[str, str], voice: str | None) -> None:
    """Of the hill bea and cyd tap 10 times, dot 7; an adult's roles count together."""
    assert voice_today(STORY, perform(STORY), host_of) == voice


PROPS = HEAD.partition("props:")[0] + "props: {bell: , silk: , kite: , big drums: }\n"
COMINGS = lines_of(
    line("Here we come", "prop in: [kite, silk]")
    + line("Ring the bell", "prop in: bell, prop out: silk")
    + line("Kite and bell", "prop out: bell")
    + line("Up we go", "prop in: big drums")
    + line("Drum now")
    + line("Bell again", "prop in: bell, prop out: [kite, bell]")
    + line("Home", "prop out: big drums"),
    PROPS,
)
FIRST, RING, KITE, UP, DRUM, AGAIN, HOME = (printed(each.words) for each in lines(COMINGS))


@pytest.mark.parametrize(
    ("gone", "told"),
    [
        # The kite and the silk, which left in lines that are not told, leave with the next ones.
        (["bell"], {FIRST: "+kite +silk", KITE: "-silk", UP: "+big drums", DRUM: "",
                    HOME: "-kite -big drums"}),
        # No line speaks of the kite alone.
        (["kite"], {FIRST: "+silk", RING: "+bell -silk", KITE: "-bell", UP: "+big drums",
                    DRUM: "", AGAIN: "+bell -bell", HOME: "-big drums"}),
        (["bell", "silk"], {FIRST: "+kite", KITE: "", UP: "+big drums", DRUM: "",
                            HOME: "-kite -big drums"}),
        (["big drums"], {FIRST: "+kite +silk", RING: "+bell -silk", KITE: "-bell", UP: "",
                         AGAIN: "+bell -kite -bell", HOME: ""}),
        (["bell", "big drums"], {FIRST: "+kite +silk", KITE: "-silk", UP: "", HOME: "-kite"}),
        (["kite", "bell", "silk", "big drums"], {FIRST: "", UP: "", HOME: ""}),
    ],
)  # fmt: skip
def test_what_comes_and_leaves_without_some_props(gone: list[str], told: dict[str, str]) -> None:
    made, changes = without_props(COMINGS, gone)
    assert {
        printed(each.words): " ".join(
            [
                *(f"+{entrance.prop}" for entrance in each.props_in),
                *(f"-{p}" for p in each.props_out),
            ]
        )
        for each in lines(made)
    } == told
    kept = [name for name in ("bell", "silk", "kite", "big drums") if name not in gone]
    assert [prop.name for prop in made.props] == kept
    about = [words for words in (RING, KITE, DRUM, AGAIN) if words not in told]
    assert changes == [
        *((f"The prop “{name}”", "left out") for name in sorted(gone)),
        *((f"“{words}”", "left out, as it is about what doesn't come") for words in about),
    ]


def test_what_came_in_a_line_that_is_not_told_and_leaves_in_the_next_never_comes() -> None:
    story = lines_of(
        line("One")
        + line("Ring the bell", "prop in: [bell, kite]")
        + line("Two", "prop in: silk, prop out: kite")
        + line("Bell rings", "prop in: big drums")
        + line("Bells ring", "prop out: big drums")
        + line("Three", "prop out: silk"),
        PROPS,
    )
    made, _ = without_props(story, ["bell"])
    assert [(printed(each.words), [e.prop for e in each.props_in], list(each.props_out))
            for each in lines(made)] == [
        ("One", [], []), ("Two", ["silk"], []), ("Three", [], ["silk"])
    ]  # fmt: skip


def test_told_short_one_prop_stays_and_nothing_is_said_of_the_others_but_that() -> None:
    made, changes = short_telling(COMINGS)
    assert [printed(each.words) for each in lines(made)] == [FIRST, RING, KITE, AGAIN, HOME]
    assert [prop.name for prop in made.props] == ["bell"]
    assert changes == [
        ("“Bell again”", "“bell” does not leave here any more"),
        ("The section “One”", "2 of 7 lines left out"),
        *((f"The prop “{name}”", "left out") for name in ("big drums", "kite", "silk")),
    ]


@pytest.mark.parametrize(
    ("body", "wait"),
    [
        ("RwsRW", 5),  # the first that follows straight
        ("RsRW", 9),
        ("wRsW", 20),  # none does: as long as is advised
        ("QwRW", 9),  # nor another refrain's
    ],
)
def test_the_refrain_alone_has_the_wait_that_first_follows_it(body: str, wait: int) -> None:
    says = {
        "R": "      - refrain: hum\n",
        "Q": "      - refrain: call\n",
        "w": "      - {wait: 5, look for: a look}\n",
        "W": "      - {wait: 9, look for: a look}\n",
        "s": line("so"),
    }
    head = f"{HEAD}refrains:\n  hum:\n{line('hum', 'by: bea')}  call:\n{line('call')}"
    if "Q" not in body:
        head = head.partition("  call:")[0]
    story = lines_of("".join(says[sign] for sign in body), head)
    alone = refrain_telling(story)
    assert alone is not None
    named = "call" if body[0] == "Q" else "hum"
    assert [refrain.name for refrain in alone.refrains] == [named]
    waits = [item.least_sec for _, item in section_items(alone) if isinstance(item, Wait)]
    assert waits == [5 if named == "call" else wait] * 2
    looks = {item.look_for for _, item in section_items(alone) if isinstance(item, Wait)}
    assert looks == ({"a look"} if named == "call" or wait != ADVISED_WAIT_SEC else {None})


def test_a_refrain_that_ends_in_a_wait_of_its_own_gets_no_other() -> None:
    head = f"{HEAD}refrains:\n  hum:\n{line('hum', 'by: bea')}      - {{wait: 5}}\n"
    alone = refrain_telling(lines_of("      - refrain: hum\n" + line("so"), head))
    assert alone is not None
    assert [type(item) for _, item in section_items(alone)] == [RefrainUse] * 2


def test_a_refrain_s_lines_stay_whatever_they_name_and_bring_nothing_that_was_cut() -> None:
    """The kite, which came in the line that is not told, comes with the line after the refrain."""
    story = lines_of(
        line("One")
        + line("Ring the bell", "prop in: [bell, kite]")
        + "      - refrain: hum\n"
        + line("Two")
        + line("Three", "prop out: kite")
        + line("Four", "prop out: bell"),
        PROPS + "refrains:\n  hum:\n" + line("Bells go") + line("so"),
    )
    made, changes = without_props(story, ["bell"])
    assert [printed(each.words) for each in made.refrains[0].items if isinstance(each, Line)] == [
        *("Bells go", "so")
    ]
    assert all(not each.props_in for each in made.refrains[0].items if isinstance(each, Line))
    assert [(printed(each.words), [e.prop for e in each.props_in], list(each.props_out))
            for each in lines(made)] == [
        ("One", [], []), ("Two", ["kite"], []), ("Three", [], ["kite"]), ("Four", [], [])
    ]  # fmt: skip
    assert [name for name, _ in changes] == ["The prop “bell”", "“Ring the bell”"]


def test_a_deed_goes_and_its_line_stays() -> None:
    made, changes = without_deed(STORY, ("story", 0, "lines", 1))
    assert changes == [("“Out comes the silk”", "without “lift it”")]
    assert [(each.do, each.done_by) for each in lines(made)] == [(None, ())] * 4
    assert without_deed(STORY, ("story", 0, "lines", 0)) == (STORY, [])
    assert without_deed(STORY, ("story", 0, "lines", 2)) == (STORY, [])


@pytest.mark.parametrize(
    ("spots", "moved_to"),
    [
        # Ann sits at [60, 90]: the nearest that she reaches, wherever it stands in the list.
        ("far: [60, 5], wide: [100, 60], near: [60, 70], mid: [60, 40]", "near"),
        ("near: [60, 70], far: [60, 5], mid: [60, 40]", "near"),
        ("far: [60, 5], mid: [60, 40], near: [60, 70]", "near"),
        ("far: [60, 5], edge: [60, 15]", "edge"),
        ("far: [60, 5], beyond: [60, 14]", None),
    ],
)
def test_taps_go_to_the_nearest_spot_that_is_reached(spots: str, moved_to: str | None) -> None:
    head = HEAD.replace("middle: [60, 45], low: [60, 10]", spots).replace(
        "spot: middle", "spot: far"
    )
    today = plan_today(
        lines_of(line("Knock", "by: cyd"), head), Day(("ann",), tell=Telling.LIGHTER)
    )
    assert today.changes[0] == (
        ("“Knock”", "said, and not tapped")
        if moved_to is None
        else ("“Knock”", f"tapped at {moved_to}, which can be reached")
    )
    assert {tap.spot for tap in today.performance.taps} == ({moved_to} if moved_to else set())


@pytest.mark.parametrize(
    ("partners", "hosts", "free", "near"),
    [
        # In cm from the seats: A 22 from ann, B 21 from bea, C 18 from cyd, D 16 from dot.
        ({}, "ann bea cyd dot", "", "ann bea cyd dot"),
        ({}, "dot cyd bea ann", "", "ann bea cyd dot"),
        ({"A": "dot"}, "ann bea cyd dot", "", "dot bea cyd ann"),
        ({"A": "dot", "B": "dot"}, "ann cyd dot", "", "dot dot cyd ann"),
        ({"A": "dot"}, "dot", "", "dot dot dot dot"),
        ({"A": "dot"}, "ann", "", "ann ann ann ann"),  # dot is away
        ({}, "", "IJ", "IJ IJ IJ IJ"),
        ({}, "", "", ""),
    ],
)
def test_who_is_near_whom(partners: Mapping[str, str], hosts: str, free: str, near: str) -> None:
    assert STORY.board is not None
    places = tuple(evolve(place, partner=partners.get(place.name)) for place in STORY.board.places)
    story = evolve(STORY, board=evolve(STORY.board, places=places))
    found = near_pupils(story, tuple(hosts.split()), tuple(free.split()))
    assert found == tuple(zip("ABCD", near.split(), strict=False))


def test_one_line_of_several_is_enough_to_have_no_hand_free() -> None:
    """Cyd brings the silk in line 2 and bea taps it; nobody has anything in line 9."""
    here = {name: name for name in ("ann", "bea", "cyd", "dot")}
    hands = hands_of(STORY, perform(STORY), here)
    paths = (("story", 0, "lines", 9), ("story", 0, "lines", 1))
    for kind, who, why in (
        (JobKind.TAP, "cyd", "brings a prop then"),
        (JobKind.BRING, "bea", "taps while it comes or goes"),
        (JobKind.DO, "bea", "taps at the same time"),
    ):
        job = Job(kind, "x", (), ("x",), paths)
        assert [name for name in here if why_not(STORY, hands, name, job)] == [who]
        assert why_not(STORY, hands, who, job) == why


def test_whoever_speaks_takes_one_prop_or_deed_at_most() -> None:
    """Dot has two deeds and two things; ann and bea may do them all."""
    story = lines_of(
        line("one", "by: ann, do: nod, done by: dot")
        + line("two", "by: ann, do: wave, done by: dot")
        + line("three", "by: ann, prop in: bell")
        + line("four", "by: ann, prop out: bell"),
    )
    performance = perform(story)
    for speaker, others in (("bea", 2), (None, 0)):
        host_of = {"cyd": "cyd", "bea": "bea"} if speaker else {"bea": "bea"}
        jobs = [
            job for job in jobs_left(story, performance, host_of) if job.kind is not JobKind.TAP
        ]
        assert [job.name for job in jobs] == ["nod", "wave", "bell"]
        shared = share_out(story, performance, host_of, jobs, Sparing(speaker, anew=True))
        assert sum(who == "bea" for _, who in shared.takers) == (1 if speaker else 3)
        assert sum(who == "cyd" for _, who in shared.takers) == others
    alone = share_out(story, performance, {"bea": "bea"}, jobs, Sparing("bea"))
    assert len(alone.takers) == 1
    assert {why for _, why in alone.left} == {"bea has another job then"}


def test_in_a_telling_that_is_new_to_all_work_is_shared_evenly() -> None:
    """Four lines of dot's and cyd's; ann speaks, so that she takes fewer where it is uneven."""
    for count, most in ((2, 1), (3, 2), (4, 2), (5, 3)):
        story = lines_of("".join(line(f"w{n}", "by: dot") for n in range(count)))
        performance = perform(story)
        host_of = {"ann": "ann", "bea": "bea"}
        jobs = jobs_left(story, performance, host_of)
        shared = share_out(story, performance, host_of, jobs, Sparing("ann", anew=True))
        counts = [sum(who == name for _, who in shared.takers) for name in ("ann", "bea")]
        assert counts == [count - most, most]
        assert shared.left == ()


@pytest.mark.parametrize(
    ("choices", "codes"),
    [
        (Choices(), []),
        (Choices(margin_mm=2), ["print-margin"]),
        (Choices(margin_mm=2, card_paper="120x80", by_heart=True), ["print-margin"]),
        # Two cards 200 mm wide leave 5 mm at A4's sides, too little for marks; only cards are cut.
        (Choices(card_paper="120x200", per_sheet=2, by_heart=True), ["print-cut-by-measure"]),
        (Choices(card_paper="120x200", per_sheet=2), []),
    ],
)
def test_what_is_said_of_paper_is_of_the_sheets_that_are_chosen(
    choices: Choices, codes: list[str]
) -> None:
    assert [finding.code for finding in printing_findings(choices)] == codes


def test_a_refrain_is_one_job_whose_lines_are_all_named_and_a_pause_has_its_number() -> None:
    story = lines_of(
        "      - {offer: bell, look for: a look}\n"
        "      - {words: 'Way, up and on; off', lane: '| x . x . x x x . |', by: dot}\n"
        + "      - refrain: hum\n"
        * 2,
        HEAD
        + "refrains:\n  hum:\n"
        + line("one", "by: dot")
        + line("two", "by: ann")
        + line("three", "by: dot"),
    )
    jobs = jobs_left(story, perform(story), ("ann", "bea", "cyd"))
    assert [(job.kind, job.name, job.keys, len(job.taps)) for job in jobs] == [
        (JobKind.TAP, "line 1 (Way, up and on)", ("line 1",), 5),
        (JobKind.TAP, "the refrain hum", ("hum",), 4),
        (JobKind.BRING, "bell", ("pause 0",), 0),
    ]
    assert jobs[1].paths == (("refrains", "hum", 0), ("refrains", "hum", 2))


def test_a_lighter_telling_that_changes_nothing_is_the_whole() -> None:
    """Dot taps, brings and does nothing that the others don't do too."""
    story = lines_of(line("one two", "by: [ann, dot]") + line("three", "by: bea"))
    today = plan_today(story, Day(("ann", "bea", "cyd")))
    assert (today.telling, today.why, today.changes, today.left) == (Telling.WHOLE, "", (), ())
    assert not today.changed
    chosen = plan_today(story, Day(("ann", "bea", "cyd"), tell=Telling.LIGHTER))
    assert (chosen.telling, chosen.why) == (Telling.LIGHTER, "As you chose.")
    # One line of dot's alone is shared out, and nothing is left out or changed for that.
    other = lines_of(line("one two", "by: dot") + line("three", "by: bea"))
    shared = plan_today(other, Day(("ann", "bea", "cyd")))
    assert (shared.telling, [who for _, who in shared.sharing.takers]) == (Telling.WHOLE, ["ann"])


def test_who_is_told_to_do_what_with_two_roles_one_adult_free_and_turns() -> None:
    day = Day(("AB", "CD", "EF"), (("ann", "AB"), ("bea", "CD"), ("cyd", "CD"), ("dot", "CD")))
    said = work_out(DayWish(STORY, day, Choices(by_heart=True)))
    assert [(row.who, row.hands, row.cards) for row in said.rows] == [
        (
            "AB: ann",
            "taps 1 line and the refrain up we go 2 times",
            "1 side: Up we go",
        ),  # it names those who tap, too
        (
            "CD: bea",
            "taps 3 lines and the refrain up we go 2 times; brings silk, bell",
            "6 sides: 2 of 4, Up we go, 3 of 4, 4 of 4",
        ),
        ("CD: cyd", "as well as bea", "with bea"),
        ("CD: dot", "as well as bea", "with bea"),
        ("EF", "free to help", ""),
    ]
    assert said.told == (
        "AB (ann) is near A: that comes first.",
        "CD (bea) is near B: that comes first.",
        "EF is near C and D: that comes first.",
    )
    assert said.notes == ("Without a role: EF.",)
    assert said.suggested == ()


def test_how_many_sides_stay_as_they_are() -> None:
    """Ann brings and takes the bell, bea taps the last line, and cyd lifts the silk: other sides
    stay as they are.  The refrain's foot tells what comes next.
    """
    today = plan_today(STORY, Day(("ann", "bea", "cyd")))
    cards = changed_cards(STORY, today, Choices(by_heart=True))
    assert [(each.role, each.adult, each.names, each.kept) for each in cards] == [
        ("ann", "ann", ("Up we go", "3 of 4", "4 of 4"), 1),
        ("bea", "bea", ("Up we go", "4 of 4"), 1),
        ("cyd", "cyd", ("2 of 4",), 3),
    ]


def test_who_brings_what_the_story_does_not_list_is_not_left_to_whoever_is_away() -> None:
    """Unlisted, bell and silk are the leader's: bea, who takes ann's place, brings both."""
    story = evolve(STORY, props=())
    performance = perform(story)
    host_of = {"ann": "bea", "bea": "bea", "cyd": "cyd", "dot": "dot"}
    told = arranged(story, performance, host_of, ())
    assert [(prop.name, prop.by) for prop in told.props] == [("silk", "bea"), ("bell", "bea")]


def test_a_refrain_with_another_in_it_is_told_with_it() -> None:
    text = HEAD + "refrains:\n  hum:\n" + line("hum", "by: bea") + "      - refrain: call\n"
    text += "  call:\n" + line("call", "by: bea") + "  other:\n" + line("so", "by: bea")
    read = read_text(
        f"{text}story:\n  - section: One\n    lines:\n"
        "      - refrain: hum\n      - refrain: other\n"
    )
    assert read.story is not None
    alone = refrain_telling(read.story)
    assert alone is not None
    assert {"hum", "call"} <= {refrain.name for refrain in alone.refrains}


def test_a_warning_by_what_does_not_come_is_told_and_stays() -> None:
    """It stood on the cards, and nobody could give it; nobody's words are rewritten."""
    first = line("bell", "by: ann, prop in: bell, warn first: show the bell")
    story = lines_of(first + line("two", "by: ann, warn first: whisper") + line("three"))
    made, changes = without_props(story, ["bell"])
    assert [each.warn_first for each in made.sections[0].items if isinstance(each, Line)] == [
        "show the bell",
        "whisper",
        None,
    ]
    assert changes[1:] == [("“bell”", "“show the bell” can't be done: warn in another way")]


def test_what_everybody_does_is_done_by_whoever_is_here() -> None:
    story = lines_of(line("one", "by: ann, do: nod, done by: everyone"))
    assert jobs_left(story, perform(story), ("ann", "bea", "cyd")) == ()
