"""The hill (``tests/hill.py``) on days with fewer adults, each outcome worked out by hand."""

from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from attrs import evolve
from pypdf import PdfReader

from tapscore.exports.paper.cue_cards import card_pages
from tapscore.model.board import Place
from tapscore.model.day import Day, Staff, Telling
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.walk import section_items
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tapscore.rhythm.unroll import story_manner
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.open_story import open_story
from tapscore.workflow.product import Choices
from tapscore.workflow.today.amount import suggested
from tapscore.workflow.today.beside import near_pupils
from tapscore.workflow.today.card_files import card_files
from tapscore.workflow.today.check_day import with_day
from tapscore.workflow.today.hands import clash, hands_of, why_not
from tapscore.workflow.today.jobs import Job, JobKind, jobs_left
from tapscore.workflow.today.lessening import (
    refrain_telling,
    said_alone,
    tapped_at,
    the_one_prop,
    without_props,
)
from tapscore.workflow.today.outcome import DayWish, Outcome, told_lines, work_out
from tapscore.workflow.today.plan import ChangedCards, Today, plan_today
from tapscore.workflow.today.typed import (
    NOBODY,
    pupils_text,
    trouble_with,
    typed_adults,
    typed_pupils,
)
from tests.hill import HEAD, HILL, STORY, line, lines_of


@cache
def told(*here: str, tell: Telling | None = None) -> Today:
    return plan_today(STORY, Day(here, tell=tell))


@cache
def outcome(*here: str, tell: Telling | None = None) -> Outcome:
    return work_out(DayWish(STORY, Day(here, tell=tell), Choices(by_heart=True)))


def words(story: Story) -> list[str]:
    return [printed(item.words) for _, item in section_items(story) if isinstance(item, Line)]


def says_of(today: Today) -> tuple[str, ...]:
    return story_manner(today.story).says


def staff(roles: int, here: int) -> Staff:
    names = tuple(f"role {number}" for number in range(roles))
    return Staff(tuple((name, name) for name in names[:here]), (), names[here:])


@pytest.mark.parametrize(
    ("roles", "adults", "pupils", "beside", "telling", "why"),
    [
        (4, 0, 2, 0, Telling.NOT_TODAY, "Nobody is here."),
        (4, 4, 2, 1, Telling.WHOLE, ""),
        (1, 1, 9, 1, Telling.WHOLE, ""),
        (4, 1, 1, 0, Telling.REFRAIN, "One adult and 1 pupil."),
        (4, 1, 2, 0, Telling.REFRAIN, "One adult and 2 pupils."),
        *(
            (4, 1, n, 0, Telling.NOT_TODAY, f"One adult and {n} pupils: nobody would have a hand"
             " free.")
            for n in (3, 7)
        ),
        (4, 1, 2, 1, Telling.NOT_TODAY, "One adult and 2 pupils, 1 of them with somebody beside:"
         " nobody would be left to tap."),
        (4, 2, 4, 0, Telling.SHORT, "2 adults for 4 roles."),
        (5, 2, 4, 0, Telling.SHORT, "2 adults for 5 roles."),
        (3, 2, 4, 0, Telling.LIGHTER, "2 adults for 3 roles."),
        (4, 3, 4, 0, Telling.LIGHTER, "3 adults for 4 roles."),
        (4, 3, 4, 1, Telling.LIGHTER, "3 adults for 4 roles."),
        (4, 3, 4, 2, Telling.SHORT, "3 adults for 4 roles, and 2 pupils with somebody beside."),
        (3, 2, 4, 1, Telling.SHORT, "2 adults for 3 roles, and 1 pupil with somebody beside."),
    ],
)  # fmt: skip
def test_how_much_is_told(
    roles: int, adults: int, pupils: int, beside: int, telling: Telling, why: str
) -> None:
    assert STORY.board is not None
    places = tuple(
        evolve(place, partner="role 0" if number < beside else None)
        for number, place in enumerate(STORY.board.places)
    )
    story = evolve(
        STORY,
        pupils=pupils,
        board=evolve(STORY.board, places=places),
        roles=tuple(evolve(STORY.roles[0], name=f"role {number}") for number in range(roles)),
    )
    assert suggested(story, staff(roles, adults), adults) == (telling, why)


def test_without_a_refrain_one_adult_does_not_begin() -> None:
    story = lines_of(line("Here is the hill"))
    said = "One adult and 2 pupils, and the story has no refrain to tell by itself."
    assert suggested(evolve(story, pupils=2), staff(4, 1), 1) == (Telling.NOT_TODAY, said)


def test_each_pupil_has_the_nearest_adult() -> None:
    """In cm: A is 22 from ann, B 21 from bea, C 18 from cyd, D 16 from dot."""
    assert dict(near_pupils(STORY, ("ann", "bea", "cyd", "dot"))) == {
        "A": "ann", "B": "bea", "C": "cyd", "D": "dot"
    }  # fmt: skip
    # Two and two: ann's A and B make 79 cm and cyd's C and D 78; ann with D would be farther.
    assert dict(near_pupils(STORY, ("ann", "cyd"))) == {
        "A": "ann", "B": "ann", "C": "cyd", "D": "cyd"
    }  # fmt: skip


def beside(places: dict[str, str]) -> Story:
    """The story with partners at some places."""
    assert STORY.board is not None

    def with_partner(place: Place) -> Place:
        return evolve(place, partner=places.get(place.name))

    made = tuple(with_partner(place) for place in STORY.board.places)
    return evolve(STORY, board=evolve(STORY.board, places=made))


def test_a_partner_stays_with_her_pupil_and_takes_another_last() -> None:
    # Dot is with B, on the other side: cyd comes to D (60 cm) and bea to C (58), together less
    # than cyd at C (18) and bea at D (105).
    near = dict(near_pupils(beside({"B": "dot"}), ("ann", "bea", "cyd", "dot")))
    assert near == {"A": "ann", "B": "dot", "C": "bea", "D": "cyd"}
    # Whoever has no role is nearer than any seat, and is near one pupil before anyone has two.
    free = dict(near_pupils(STORY, ("ann", "bea"), ("IJ", "KL")))
    assert sorted(free.values()) == ["IJ", "KL", "ann", "bea"]
    assert (free["A"], free["B"]) == ("ann", "bea")
    assert near_pupils(evolve(STORY, board=None), ("ann",)) == ()


def test_three_adults_share_what_the_fourth_leaves() -> None:
    """Dot's: Sleep (with the bell going out), the bell, and lifting the silk.

    Bea taps while the silk is lifted, and cyd taps when the bell comes: so bea can't lift, and
    cyd can't bring it.
    """
    said = outcome("ann", "bea", "cyd")
    assert [(row.who, row.hands) for row in said.rows] == [
        ("ann", "taps 1 line and the refrain up we go 2 times\nTakes over: brings bell"),
        ("bea", "taps 2 lines and the refrain up we go 2 times\nTakes over: taps line 4 (Sleep)"),
        (
            "cyd",
            "taps 1 line and the refrain up we go 2 times; brings silk\nTakes over: does “lift it”",
        ),
        ("nobody: dot", "shared out among the others"),
    ]
    assert said.left == ()
    assert said.notes == ("3 adults for 4 roles: nobody is dot.",)
    assert said.told == (
        "ann is near A: that comes first.",
        "bea is near B: that comes first.",
        "cyd is near C and D: that comes first.",
    )
    assert [file.name for file in said.new_cards] == [
        f"the-hill-today-{name}.pdf" for name in ("ann", "bea", "cyd", "step-in", "cue-sheet")
    ]
    assert [file.role for file in said.new_cards[3:]] == ["whoever steps in", "whoever speaks"]


def test_whoever_taps_least_speaks_for_the_leader() -> None:
    """Of 4 beats a line and 3 a refrain dot taps 1 and 6, bea and cyd 4 and 6."""
    today = told("bea", "cyd", "dot")
    assert today.voice == "dot"
    assert says_of(today) == ("dot",)
    assert outcome("bea", "cyd", "dot").notes[1] == (
        "Nobody leads: dot taps least and speaks: give them the cue sheet."
    )
    # She warns for ann too.
    (warned,) = [s.line for s in today.performance.lines if s.line and s.line.warn_first]
    assert warned.warned_by == ("dot",)
    assert says_of(told("ann", "bea", "cyd")) == ("ann",)
    assert told("ann", "bea", "cyd").voice is None


@pytest.mark.parametrize("here", [("bea", "cyd"), ("bea", "dot"), ("cyd", "dot"), ("bea",)])
def test_the_one_who_speaks_is_the_one_who_is_said_to(here: tuple[str, ...]) -> None:
    """In what is told: cyd's one line goes with the bell, so that she taps least of two."""
    today = told(*here, tell=Telling.SHORT)
    assert says_of(today) == (today.voice,)
    if here == ("bea", "cyd"):
        assert today.voice == "cyd"


def test_told_short_the_bell_goes_and_the_silk_stays() -> None:
    """Of two things the one with turns stays; with the bell goes the line on it."""
    said = outcome("bea", "cyd")
    assert said.told == (
        "2 adults for 4 roles. Told short: greeting, refrain, one prop, finish.",
        "The prop “bell”: left out.",
        "“Ring goes the bell”: left out, as it is about what doesn't come.",
        "Told today: Here is the hill; Out comes the silk; turns with silk; up we go; wait 12;"
        " up we go; wait 8; Sleep.",
        "bea is near A and B: that comes first.",
        "cyd is near C and D: that comes first.",
    )
    assert [row.hands for row in said.rows[:2]] == [
        "taps 3 lines and the refrain up we go 2 times"
        "\nTakes over: taps line 1 (Here is the hill); taps line 3 (Sleep)",
        "taps the refrain up we go 2 times; brings silk\nTakes over: does “lift it”",
    ]
    # The silk, which left with the line that is left out, leaves with the next.
    last = told("bea", "cyd").performance.lines[-1].line
    assert last is not None
    assert (printed(last.words), last.props_out) == ("Sleep", ("silk",))


def test_told_by_the_leader_alone_what_no_hand_is_free_for_goes() -> None:
    """Ann brings the silk in line 2 and takes it in the last: neither can she tap."""
    today = told("ann", tell=Telling.LIGHTER)
    assert [change for change in today.changes if "tapped strong" not in change[1]] == [
        ("“Out comes the silk”", "without “lift it”"),
        ("The prop “bell”", "left out"),
        ("“Ring goes the bell”", "left out, as it is about what doesn't come"),
        ("“Out comes the silk”", "said, and not tapped"),
        ("“Sleep”", "said, and not tapped"),
    ]
    assert today.why == "As you chose."
    assert today.sharing.left == ()


def test_one_adult_and_the_refrain_twice_with_the_wait_that_follows_it() -> None:
    today = plan_today(STORY, Day(("bea",), pupils=2))
    assert today.telling is Telling.REFRAIN
    assert told_lines(today) == ("up we go", "wait 12", "up we go", "wait 12")
    assert today.changes == (("Everything but the refrain", "left out"),)
    assert [section.title for section in today.story.sections] == ["The refrain"]
    assert says_of(today) == ("bea",)
    bare = lines_of(
        "      - refrain: a\n" + line("so") + "      - refrain: b\n"
        "      - {wait: 7, look for: a look}\n      - refrain: a\n",
        HEAD + "refrains:\n  a:\n" + line("one") + "  b:\n" + line("two"),
    )
    alone = refrain_telling(bare)
    assert alone is not None
    assert [refrain.name for refrain in alone.refrains] == ["a"]
    waits = [item for _, item in section_items(alone) if isinstance(item, Wait)]
    # No wait follows it straight, so that it is as long as is advised.
    assert [wait.least_sec for wait in waits] == [20, 20]
    assert refrain_telling(lines_of(line("a"))) is None


def test_adults_without_a_role_take_the_leader_s_the_partner_s_then_the_busiest() -> None:
    """Ann leads; dot is with D; of the others bea leaves one line, cyd a line and the silk."""
    story = beside({"D": "dot"})
    for count, taken in ((1, ["ann"]), (2, ["ann", "dot"]), (3, ["ann", "dot", "cyd"])):
        today = plan_today(story, Day(("V", "W", "X")[:count], tell=Telling.WHOLE))
        assert [role for role, _ in today.stand_ins] == taken
        assert [adult for _, adult in today.stand_ins] == ["V", "W", "X"][:count]
    # In the story's order, whoever came first.
    assert [role for role, _ in today.staff.adult_of] == ["ann", "cyd", "dot"]
    assert today.staff.away == ("bea",)


def test_what_is_left_and_why() -> None:
    """Bea alone taps line 2, so that she can't bring its silk or lift it.

    The bell comes and goes in lines 3 and 4: to tap these leaves less than to bring it.
    """
    said = outcome("bea", tell=Telling.WHOLE)
    assert said.left == (
        "Nobody does “lift it”. Why: bea taps at the same time.",
        "Nobody brings silk. Why: bea taps while it comes or goes.",
        "Nobody brings bell. Why: bea has another job then.",
    )
    assert told("bea", tell=Telling.WHOLE).left[0].sentence == (
        "Nobody taps line 1 (Here is the hill)."
    )


def test_a_spot_out_of_reach_is_not_given_and_lines_go_where_they_can_be_reached() -> None:
    """Ann sits 80 cm from low and 45 from the middle; the others are nearer than 75."""
    story = lines_of(line("Knock", "by: cyd, spot: low"))
    performance = perform(story)
    (job,) = jobs_left(story, performance, ("ann", "bea", "dot"))
    hands = hands_of(story, performance, {name: name for name in ("ann", "bea", "dot")})
    said = [why_not(story, hands, name, job) for name in ("ann", "bea", "dot")]
    assert said == ["can't reach it", None, None]
    today = plan_today(story, Day(("ann",), tell=Telling.LIGHTER))
    assert today.changes == (("“Knock”", "tapped at middle, which can be reached"),)
    assert {tap.spot for tap in today.performance.taps} == {"middle"}
    single = lines_of('      - {words: a b, lane: "| X(low) . x . |", by: cyd}\n')
    moved, changes = tapped_at(single, "low", [("story", 0, "lines", 0)])
    assert {tap.spot for tap in perform(moved).taps} == {"low"}
    assert len(changes) == 1
    assert tapped_at(moved, "low", [("story", 0, "lines", 0)])[1] == []


@pytest.mark.parametrize("own", ["low", "ann: low", "cyd: loud, low"])
def test_single_taps_of_a_line_in_reach_go_where_they_can_be_reached(own: str) -> None:
    text = f'      - {{words: a b, lane: "| X({own}) . x . |", by: [ann, cyd], spot: middle}}\n'
    moved, changes = tapped_at(lines_of(text), "middle", [("story", 0, "lines", 0)])
    assert changes == [("“a b”", "tapped at middle, which can be reached")]
    assert {tap.spot for tap in perform(moved).taps} == {"middle"}
    assert read_text(write_story(moved)).findings == ()


def test_whoever_takes_over_a_line_has_the_single_tap_of_who_is_away_too() -> None:
    own = lines_of('      - {words: a b, lane: "| X(cyd: loud) . x . |", by: cyd}\n')
    today = plan_today(own, Day(("ann",), tell=Telling.WHOLE))
    assert [(tap.role, tap.loudness) for tap in today.performance.taps] == [
        *(("ann", Loudness.LOUD), ("ann", Loudness.QUIET))
    ]


def test_why_somebody_cannot() -> None:
    """Cyd has the silk and brings it in line 2; bea taps there; dot is with D."""
    story = beside({"D": "dot"})
    here = {name: name for name in ("ann", "bea", "cyd", "dot")}
    hands = hands_of(story, perform(story), here)
    line_2 = ("story", 0, "lines", 1)
    tap = Job(JobKind.TAP, "x", (), ("x",), (line_2,))
    bring = Job(JobKind.BRING, "kite", (), ("x",), (line_2,))
    do = Job(JobKind.DO, "x", (), ("x",), (line_2,))
    stay = Job(JobKind.WITH, "A", (), ("x",))
    assert {
        (job.kind.value, name): why_not(story, hands, name, job)
        for job in (tap, bring, do, stay)
        for name in here
    } == {
        ("tap", "ann"): None,
        ("tap", "bea"): None,
        ("tap", "cyd"): "brings a prop then",
        ("tap", "dot"): None,
        ("bring", "ann"): None,
        ("bring", "bea"): "taps while it comes or goes",
        ("bring", "cyd"): None,
        ("bring", "dot"): "is with D",
        ("do", "ann"): None,
        ("do", "bea"): "taps at the same time",
        ("do", "cyd"): None,
        ("do", "dot"): None,
        ("with", "ann"): None,
        ("with", "bea"): None,
        ("with", "cyd"): "has the props",
        ("with", "dot"): "has the props",
    }
    assert why_not(story, hands, "dot", bring, dear="kite") is None
    assert why_not(beside({"D": "ann"}), hands, "ann", stay) == "is with D already"
    assert not clash(tap, tap)
    assert not clash(do, bring)
    assert clash(tap, do)
    assert clash(bring, tap)
    assert clash(stay, bring)
    assert clash(stay, stay)
    assert not clash(stay, tap)
    assert not clash(do, stay)
    assert not clash(tap, evolve(do, paths=(("story", 0, "lines", 5),)))


@pytest.mark.parametrize(("tempo", "fires"), [(100, None), (101, "would have to tap too fast")])
def test_taps_of_two_are_given_to_one_where_hands_keep_up(tempo: int, fires: str | None) -> None:
    """A quarter of a beat between two adults' taps, 150 ms at 100 beats a minute; then a second."""
    story = lines_of(
        '      - {words: a b c, lane: "| x(ann)x(bea) . . x(ann) . . . . |", by: ann}\n',
        HEAD.replace("tempo: 60", f"tempo: {tempo}"),
    )
    performance = perform(story)
    (job,) = jobs_left(story, performance, ("ann",))
    assert [tap.role for tap in job.taps] == ["bea"]
    hands = hands_of(story, performance, {"ann": "ann"})
    assert why_not(story, hands, "ann", job) == fires


@pytest.mark.parametrize(
    ("props", "lines", "kept"),
    [
        ("bell: , silk: {sets: 3}", "in: [bell, silk]", "silk"),
        ("bell: {sets: 3}, silk: ", "in: [bell, silk]", "bell"),
        ("bell: , silk: ", "in: [bell, silk]", "bell"),
        ("bell: , silk: {sets: 3}", "in: [bell, silk]; offer: bell", "bell"),
        ("bell: , silk: {sets: 3}", "in: [bell, silk]; offer: bell; offer: silk", "silk"),
        ("bell: , silk: ", "in: [bell, silk]; offer: silk; offer: bell", "silk"),
        ("bell: {sets: 3}, silk: ", "in: silk", "silk"),
        ("bell: , silk: ", "", None),
    ],
)  # fmt: skip
def test_the_one_prop_that_is_kept(props: str, lines: str, kept: str | None) -> None:
    """Turns before none, then most sets, then whichever is first in turns, then in the list."""
    made = ""
    for item in filter(None, lines.split("; ")):
        what, _, names = item.partition(": ")
        if what == "in":
            made += line("a", f"prop in: {names}")
        else:
            made += f"      - {{offer: {names}, look for: a look}}\n"
    made = made or line("a")
    head = HEAD.partition("props:")[0] + f"props: {{{props}}}\n"
    assert the_one_prop(lines_of(made, head)) == kept


def test_what_goes_with_a_prop_and_what_stays() -> None:
    """A line is about the hand bell by its last word; beside the bell a deed is by any word."""
    story = lines_of(
        line("Here is the bell", "prop in: hand bell")
        + line("Ring the bells", "prop in: silk, do: ring the bell")
        + "      - {wait: 5, look for: a look}\n"
        "      - {offer: hand bell, look for: a look}\n"
        "      - {wait: 9, look for: a breath}\n"
        + line("Bell and silk", "prop out: hand bell, do: ring by hand, done by: dot")
        + line("Wave a hand", "do: hold a hand, done by: dot")
        + line("Home", "do: shake the bell, done by: dot")
        + line("Wave the bell", "prop out: silk"),
        HEAD.replace("bell:", "hand bell:"),
    )
    short, changes = without_props(story, ["hand bell"])
    items = [item for _, item in section_items(short)]
    # The first and the last line stay, and the one that names the silk as well.
    assert words(short) == [
        *("Here is the bell", "Bell and silk", "Wave a hand", "Home", "Wave the bell")
    ]
    assert not any(isinstance(item, Offer) for item in items)
    # Two waits with nothing between any more are one: the longer.
    assert [item.least_sec for item in items if isinstance(item, Wait)] == [9]
    lines = [item for item in items if isinstance(item, Line)]
    # What came with the line that went comes with the next.
    assert [[each.prop for each in line.props_in] for line in lines] == [[], ["silk"], [], [], []]
    assert [line.props_out for line in lines] == [(), (), (), (), ("silk",)]
    assert [line.do for line in lines] == [None, None, "hold a hand", None, None]
    assert [line.done_by for line in lines] == [(), (), ("dot",), (), ()]
    assert changes == [
        ("The prop “hand bell”", "left out"),
        ("“Ring the bells”", "left out, as it is about what doesn't come"),
        ("“Bell and silk”", "without “ring by hand”"),
        ("“Home”", "without “shake the bell”"),
    ]
    assert without_props(story, ["kite"]) == (story, [])


def test_said_alone_keeps_the_words_where_they_were() -> None:
    story = lines_of('      - {words: a b, lane: "| X . t . x . . . |"}\n')
    quiet, changes = said_alone(story, [("story", 0, "lines", 0)])
    performance = perform(quiet)
    assert performance.taps == ()
    assert changes == [("“a b”", "said, and not tapped")]
    assert performance.lines[0].line is not None
    assert len(performance.lines[0].line.syllables) == 2
    assert said_alone(quiet, []) == (quiet, [])


def test_a_refrain_s_and_waits_never_go() -> None:
    for here in (("bea", "cyd"), ("ann",)):
        today = told(*here, tell=Telling.LIGHTER)
        kept = [i for _, i in section_items(today.story) if isinstance(i, RefrainUse | Wait)]
        assert len(kept) == 4


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("AB\nCD", ("AB", "CD")),
        (" AB , CD;EF ", ("AB", "CD", "EF")),
        ("A  B,,\n\n AB, AB", ("A B", "AB", "AB")),
        ("", ()),
    ],
)
def test_adults_as_typed(text: str, names: tuple[str, ...]) -> None:
    assert typed_adults(text) == names


@pytest.mark.parametrize(
    ("text", "places", "pupils"),
    [
        ("A, C", ("A", "C"), None),
        ("A C;A", ("A", "C"), None),
        ("3", None, 3),
        ("99999", None, 99999),
        ("100000", ("100000",), None),
        ("3, 4", ("3", "4"), None),
        (" ", None, None),
    ],
)
def test_pupils_as_typed(text: str, places: tuple[str, ...] | None, pupils: int | None) -> None:
    assert typed_pupils(text) == (places, pupils)
    again = pupils_text(Day(places=places, pupils=pupils))
    assert typed_pupils(again) == (places, pupils)


def test_what_is_wrong_with_a_day_is_said() -> None:
    assert trouble_with(STORY, Day()) == NOBODY
    assert trouble_with(STORY, Day(("Ed", "ED"))) == (
        "“ED” is there twice. If they are two people, write them differently, such as ED 1 and"
        " ED 2."
    )
    assert trouble_with(STORY, Day(("AB",), (("ann", "CD"),))) == (
        "CD takes ann but is not here: choose somebody else for ann."
    )
    assert trouble_with(STORY, Day(("AB",), (("ann", "AB"),))) is None
    assert "Q" in (trouble_with(STORY, Day(("AB",), places=("Q",))) or "")
    # The first of two is told, with what to do about it.
    two = Day(("AB",), (("cook", "AB"),), places=("Q",))
    assert trouble_with(STORY, two) == trouble_with(STORY, evolve(two, places=None))


def test_whoever_is_with_a_pupil_who_is_away_is_stood_in_for_on_the_board_too() -> None:
    """Cyd has the silk and dot is away: ann and bea may be with D, and ann would leave her taps
    no worse; whoever it is, the board and the sheet for whoever steps in say so."""
    today = plan_today(beside({"D": "dot"}), Day(("ann", "bea", "cyd"), tell=Telling.WHOLE))
    ((job, taker),) = [each for each in today.sharing.takers if each[0].kind is JobKind.WITH]
    assert job.sentence == "Nobody is with D."
    assert taker in ("ann", "bea")
    assert today.story.board is not None
    partners = {place.name: place.partner for place in today.story.board.places}
    assert partners == {"A": None, "B": None, "C": None, "D": taker}
    assert dict(today.near)["D"] == taker


def test_the_side_for_whoever_steps_in_says_who_is_near_whom() -> None:
    (step_in,) = [f for f in outcome("ann", "cyd").new_cards if f.name.endswith("step-in.pdf")]
    (page,) = PdfReader(BytesIO(step_in.pdf)).pages
    said = " ".join(page.extract_text().split())
    assert "Ann: sits north, near A and B first of all" in said
    assert "Cyd: sits south, near C and D first of all, brings silk" in said


def test_a_spot_is_moved_to_where_somebody_reaches_who_doesn_t_speak() -> None:
    """On a wide board ann, who speaks, reaches only ``top``, bea only ``side``, nobody ``far``."""
    head = HEAD.replace("size_cm: [120, 90]", "size_cm: [400, 90]")
    head = head.replace("{middle: [60, 45], low: [60, 10]}", "{middle: [60, 45], side: [395, 45]}")
    head = head.replace("east: [120, 45]", "east: [400, 45]")
    head = head.replace("side: [395, 45]", "side: [395, 45], far: [250, 45]")
    today = plan_today(
        lines_of(line("Knock", "by: cyd, spot: far"), head),
        Day(("ann", "bea"), tell=Telling.LIGHTER),
    )
    assert today.changes == (("“Knock”", "tapped at side, which can be reached"),)
    assert [tap.role for tap in today.performance.taps] == ["bea"]


def test_somebody_with_a_pupil_brings_a_prop_only_if_nobody_else_can() -> None:
    """The bell is dot's; bea is with A.  Cyd brings it, though both have a card for the line."""
    story = lines_of(
        line("one two", "by: ann")
        + line("Ring the bell", "by: ann, prop in: bell")
        + "      - {offer: bell, look for: a look}\n"
        + line("Sleep", "by: ann, prop out: bell"),
        HEAD.replace("A: {at: [50, 70]}", "A: {at: [50, 70], with: bea}"),
    )
    for here, who in ((("ann", "bea", "cyd"), "cyd"), (("ann", "bea"), "bea")):
        today = plan_today(story, Day(here, tell=Telling.LIGHTER))
        assert [(job.name, taker) for job, taker in today.sharing.takers] == [("bell", who)]
        assert today.changes == ()


def test_roles_that_are_written_alike_have_files_of_their_own() -> None:
    """``Ann!`` and ``ann`` would both be ``the-hill-today-ann.pdf``."""
    pages = card_pages(STORY, perform(STORY), "cyd")
    changed = tuple(
        ChangedCards(role, role, pages[:1], 0) for role in ("ann", "Ann!", "a n n", "ann.")
    )
    files = card_files(STORY, (*changed, ChangedCards("dot", "dot", (), 4)), Choices(by_heart=True))
    assert [file.name for file in files] == [
        "the-hill-today-ann.pdf",
        "the-hill-today-ann-again.pdf",
        "the-hill-today-a-n-n.pdf",
        "the-hill-today-ann-again-again.pdf",
    ]
    assert [file.role for file in files] == ["ann", "Ann!", "a n n", "ann."]


def test_a_day_s_own_faults_are_told_by_its_name_and_line(tmp_path: Path) -> None:
    story, day = tmp_path / "hill.yaml", tmp_path / "monday.yaml"
    story.write_text(HILL, encoding="utf-8")
    opened = open_story(story)
    before = [finding.code for finding in opened.findings]
    day.write_text("here: [ann, bea, cyd]\nroles:\n  cook: ann\n", encoding="utf-8")
    found = with_day(opened, day).findings[len(before) :]
    assert [each.span for each in found if each.code != "role-has-somebody"] == [None]
    assert "monday.yaml, line 3" in found[0].message
    day.write_text("here: [ann, bea, cyd]\n", encoding="utf-8")
    (away,) = with_day(opened, day).findings[len(before) :]
    # Dot taps a line and the refrain, brings the bell, and lifts the silk.
    assert (away.code, away.path) == ("role-has-somebody", ("roles", "dot"))
    assert away.span is not None
    (gone,) = with_day(opened, tmp_path / "no.yaml").findings[len(before) :]
    assert (gone.code, gone.must_mend) == ("can't-open", True)
    assert "no.yaml" in gone.message
    day.write_bytes(b"\xff\xfe\x00")
    (odd,) = with_day(opened, day).findings[len(before) :]
    assert "it is not plain text" in odd.message


@pytest.mark.parametrize(("y_cm", "fires"), [("15", None), ("14.5", "can't reach it")])
def test_reach_ends_at_75_cm(y_cm: str, fires: str | None) -> None:
    """Ann sits at 90 cm: 75 to a spot at 15, 75.5 to one at 14.5."""
    story = lines_of(
        line("Knock", "by: cyd, spot: low"), HEAD.replace("low: [60, 10]", f"low: [60, {y_cm}]")
    )
    performance = perform(story)
    (job,) = jobs_left(story, performance, ("ann",))
    assert why_not(story, hands_of(story, performance, {"ann": "ann"}), "ann", job) == fires


def test_a_prop_of_three_letters_is_spoken_of_and_one_of_two_that_stay_keeps_a_line() -> None:
    story = lines_of(
        line("Here we go", "prop in: [cup, silk, bell]")
        + line("Fill the cup")
        + line("Silk and cup")
        + line("Home", "prop out: [cup, silk, bell]"),
        HEAD.replace("props:", "props:\n  cup: {what: a cup}"),
    )
    short, changes = without_props(story, ["cup"])
    assert words(short) == ["Here we go", "Silk and cup", "Home"]
    assert changes == [
        ("The prop “cup”", "left out"),
        ("“Fill the cup”", "left out, as it is about what doesn't come"),
    ]


def test_adults_without_a_role_are_near_pupils_first_wherever_others_sit() -> None:
    """Even where nobody has a seat, so that none is nearer; then whoever is first on the list."""
    story = evolve(STORY, roles=tuple(evolve(role, seat=None) for role in STORY.roles))
    near = near_pupils(story, ("ann", "bea"), ("Kim", "Lou"))
    assert [who for _, who in near] == ["Kim", "Lou", "ann", "bea"]
    assert [place for place, _ in near] == ["A", "B", "C", "D"]


def test_a_line_said_alone_keeps_its_syllables_and_nothing_else() -> None:
    """Taps without a syllable become rests, syllables without a tap stay, holds go on."""
    story = lines_of(
        "      - {words: Row the boat, lane: '| x . t . X _ s . |'}\n"
        "      - {words: Home, lane: '| x . t . . . . . |'}\n"
    )
    told, changes = said_alone(story, [("story", 0, "lines", 0)])
    written = write_story(told)
    assert "| s . . . s _ s . |" in written
    assert "| x . t . . . . . |" in written
    assert [what for _, what in changes] == ["said, and not tapped"]
