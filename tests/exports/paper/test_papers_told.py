"""Small things that a reader of a paper relies on: figures, bookmarks, what stays together."""

import re
from collections.abc import Callable
from itertools import chain

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.own_pictures import OwnPicture
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cautions import named_cautions
from tapscore.exports.paper.cautions_page import cautions_pages
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, Photo
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.hall_screen import hall_screen_pages
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.large_words import large_words_pages
from tapscore.exports.paper.outdoors import outdoors_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.people import turns_words
from tapscore.exports.paper.photos import photo_band
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.prop_list import prop_list_pages
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.cautions import title_of
from tapscore.model.story import Prop, Story
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_papers import flat
from tests.exports.paper.test_small_papers import told
from tests.hill import HEAD, STORY, line, lines_of, story_of


def test_the_floor_plan_says_how_tall_its_outlines_are() -> None:
    """109 cm at five years: the median that the outlines' own source gives."""
    assert "pupils 109 cm tall, roughly" in flat(floor_plan_pages(sample()))


def test_each_section_of_the_cue_sheet_has_its_bookmark() -> None:
    sections = [section.title for section in sample().sections]
    pages = sheet_pages(sample(), perform(sample()))
    found = [name for page in pages for name in page.bookmarks]
    assert [name for name in found if name in sections] == sections


@given(st.integers(1, 4000), st.integers(1, 4000))
def test_a_picture_fills_its_space_and_keeps_its_shape(wide: int, high: int) -> None:
    band, width = photo_band(OwnPicture(b"", wide, high), "a drum", (200.0, 100.0))
    ((drawn,),) = [block.elements for block in band.blocks]
    assert isinstance(drawn, Photo)
    assert (drawn.width_pt, drawn.height_pt) == pytest.approx((width, band.height))
    assert drawn.width_pt / drawn.height_pt == pytest.approx(wide / high)
    assert drawn.width_pt <= 200.01
    assert drawn.height_pt <= 100.01
    assert drawn.width_pt > 199.9 or drawn.height_pt > 99.9


WAYS = ("voice", "touch", "sight")

bands = st.lists(
    st.builds(
        lambda height, with_next: Band((), float(height), 2.0, with_next),
        st.integers(5, 30),
        st.booleans(),
    ),
    min_size=1,
    max_size=12,
).map(lambda found: [*found[:-1], evolve(found[-1], with_next=False)])


@given(bands)
def test_what_belongs_above_the_next_is_never_last_where_there_is_room(made: list[Band]) -> None:
    room = 100.0
    sides = pour(made, lambda _: room, lambda _: room)
    assert list(chain.from_iterable(sides)) == made
    for side in sides:
        height = sum(band.height + (2.0 if at else 0.0) for at, band in enumerate(side))
        assert height <= room + 0.01
        # A run of headings that is higher than a side has to be parted somewhere.
        assert not side[-1].with_next or all(band.with_next for band in side)


@pytest.mark.parametrize(
    ("sets", "handers", "pupils", "said"),
    [
        (1, "[dot]", 4, "4 turns, one pupil at a time, 20 seconds or more each turn: 1 minute 20"),
        (2, "[dot, cyd]", 4, "2 turns, 2 pupils at a time, 20 seconds or more each turn: 40 sec"),
        (
            2,
            "[dot, cyd]",
            5,
            "3 turns, 2 pupils at a time, 20 seconds or more each turn: 1 minute or",
        ),
        (2, "[dot]", 4, "4 turns, one pupil at a time, 20 seconds or more each turn: 1 minute 20"),
        (1, "[dot]", 1, "One turn, 20 seconds or more, if the pupil wants it."),
    ],
)
def test_how_many_turns_there_are_and_for_how_many_at_a_time(
    sets: int, handers: str, pupils: int, said: str
) -> None:
    """Two sets in one adult's hands are no two at once."""
    story = story_of(
        f"tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\npupils: {pupils}\n"
        "roles: {ann: {}, cyd: {}, dot: {}}\n"
        f"props: {{bell: {{what: a bell, by: dot, sets: {sets}, handed by: {handers}}}}}\n"
        "story:\n  - section: One\n    lines:\n"
        "      - {words: Row, lane: '| X . . . . . . . |'}\n      - {offer: bell, turn: 20}\n"
    )
    (segment,) = (each for each in perform(story).segments if each.prop)
    assert turns_words(story, segment).startswith(said)


@pytest.mark.parametrize(
    ("loudness", "more", "minded"),
    [
        ("very quiet", "", "Gently."),
        ("medium", "", "Gently."),
        ("loud", "", "Nothing louder than it is written."),
        ("very loud", "", "Nothing louder than it is written."),
        ("loud", ", warn first: lean in", "Nothing louder unannounced."),
    ],
)
def test_who_steps_in_is_told_how_loud_it_gets(loudness: str, more: str, minded: str) -> None:
    story = lines_of(
        f"      - {{words: Row, lane: '| X . . . . . . . |', loudness: {loudness}{more}}}\n"
    )
    said = flat(supply_pages(story, perform(story)))
    wordings = ("Gently.", "Nothing louder than it is written.", "Nothing louder unannounced.")
    assert [each for each in wordings if each in said] == [minded]


@pytest.mark.parametrize(("cautions", "told"), [("[food]", True), ("[water]", False)])
def test_a_plan_for_mealtimes_comes_before_the_page_where_one_prop_is_food(
    cautions: str, told: bool
) -> None:
    story = story_of(
        "tapscore: 2\ntitle: T\n"
        f"props: {{bell: {{what: a bell}}, bread: {{what: bread, cautions: {cautions}}}}}\n"
        "story:\n  - section: One\n    lines:\n      - {words: Row, prop in: {bell: , bread: }}\n"
        "      - {words: Home, prop out: [bell, bread]}\n"
    )
    assert ("mealtimes" in flat(home_pages(story, perform(story)))) is told


def test_every_caution_of_a_prop_is_minded_outdoors_and_asked_of() -> None:
    story = evolve(STORY, props=(Prop("bell", "a bell", cautions=("cord", "latex", "heat")),))
    titles = [title_of(word) for word in ("cord", "latex", "heat")]
    assert f"Mind: {', '.join(titles)}." in told(outdoors_pages(story))
    rows = told(cautions_pages(story)).splitlines()
    assert [row for row in rows if row in {f"bell: {each}" for each in titles}] == [
        f"bell: {each}" for each in titles
    ]


def test_a_long_rest_goes_from_its_first_words_to_its_last() -> None:
    words = ("Off we go", "On we go", "Up we go", "Down we go")
    rests = "".join(line(each, "by: bea") for each in words)
    story = lines_of(rests + line("Home we go", "by: cyd"))
    said = " ".join(told(part_pages(story, perform(story), "cyd")).split())
    assert "rest for 4 lines, from “Off we go” to “… Down we go”" in said


def test_at_home_one_person_taps_and_nobody_has_a_role() -> None:
    """Of two adults' own ways it said both, with their roles; the mark is the first one's."""
    more = "by: [ann, bea], lane: '| x(bea: knuckles; ann: loud) . x . . . . . |'}"
    made = lines_of(f"      - {{words: Row home, {more}\n" + line("Out", "by: bea"))
    said = told(home_pages(made, perform(made)))
    assert "Knuckles, but fingertips on “home”, quiet." in said
    assert "[Taps. Row: quiet, knuckles; home: quiet, fingertips]" in said
    assert "(" not in said.partition("Row")[2]


def test_who_speaks_deeds_and_hands_has_a_part_in_the_briefing() -> None:
    props = "silk: {what: a silk scarf, sets: 2, by: cyd, handed by: [cyd, bea]}"
    head = HEAD.replace("silk: {what: a silk scarf, sets: 2, by: cyd}", props)
    made = lines_of(
        line("Out", "by: ann, says: dot, do: nod, done by: dot")
        + line("In", "by: ann, says: everyone")
        + "      - {offer: silk}\n",
        head.replace("bell: {what: a hand bell, by: dot}", "bell: {what: a hand bell, by: ann}"),
    )
    said = told(briefing_pages(made, perform(made)))
    assert "Dot: seat “west”, speaks in 2 lines, has something to do in 1 line." in said
    assert "Bea: seat “east”, speaks in 1 line, hands silk to pupils." in said
    assert "Ann: seat “north”, speaks the words, taps 2 lines, brings bell." in said
    silent = line("Out", "by: bea, do: nod").replace("x", "s")
    said = briefing_said(lines_of(silent))
    assert "Bea: seat “east”, has something to do in 1 line." in said
    told_by_all = lines_of(line("Out"), head.replace("title:", "says: everyone\ntitle:"))
    assert briefing_said(told_by_all).count("speaks the words") == 4


def briefing_said(made: Story) -> str:
    return told(briefing_pages(made, perform(made)))


def test_a_prop_is_offered_after_what_was_heard_last() -> None:
    head = f"{HEAD}refrains:\n  home:\n{line('Row home', 'by: ann')}"
    made = lines_of(
        "      - {offer: silk}\n" + line("Out", "by: ann") + "      - {wait: 5}\n"
        "      - {offer: silk}\n      - refrain: home\n      - {offer: bell}\n",
        head,
    )
    said = told(prop_list_pages(made, perform(made)))
    assert "cyd, offered at the start, offered after line 1" in said
    assert "dot, offered after home" in said


def test_two_adults_tap_and_one_taps() -> None:
    for names, said in (
        ("[ann, bea]", "ann and bea tap; ann and bea speak the words and warn."),
        ("everyone", "everyone taps; all speak the words and warn."),
        ("ann", "ann taps; ann speaks the words and warns."),
    ):
        head = HEAD.replace("title:", f"by: {names}\nsays: {names}\ntitle:")
        made = lines_of(line("Out"), head)
        assert said in told(sheet_pages(made, perform(made)))


def test_a_part_that_nothing_holds_for_throughout_still_has_the_tempo() -> None:
    made = lines_of(
        line("Out", "by: ann, stroke: scratch, loudness: loud, spot: low")
        + line("In", "by: ann")
        + line("Up", "by: bea, says: cyd")
    )
    said = told(part_pages(made, perform(made), "ann"))
    assert "\n60 beats a minute.\nYou speak the words" in said
    assert "beats a minute" not in told(part_pages(made, perform(made), "cyd"))


def test_a_refrain_that_nobody_taps_is_nothing_for_a_hall_to_tap() -> None:
    lane = line("Hush", "by: ann").replace("x", "s")
    head = f"{HEAD}refrains:\n  hush:\n{lane}"
    made = lines_of("      - refrain: hush\n" + line("Out", "by: ann"), head)
    said = told(hall_screen_pages(made, perform(made)))
    assert said.count("Everybody taps") == 1


@pytest.mark.parametrize("pages", [sheet_pages, session_plan_pages, home_pages, large_words_pages])
def test_no_wait_and_no_turn_begins_a_page_away_from_its_line(
    pages: Callable[..., tuple[Page, ...]],
) -> None:
    """Whoever told the line at the foot of a page had to turn it to see that she waits."""
    begun: list[str] = []
    for more in range(4):
        step = line("Out", "by: ann, do: nod, look for: a look")
        step += "      - {wait: 5, look for: a turn}\n      - {offer: bell}\n"
        made = lines_of(line("In", "by: ann") * more + step * 60)
        for page in pages(made, perform(made))[1:]:
            said = [row for row in told((page,)).splitlines() if not row.startswith(("=", "["))]
            begun.append(said[0])
    assert len(begun) > 6
    assert not [said for said in begun if re.search("Wait|offers|Offer|Give|turn|Do|Look", said)]


def test_whoever_speaks_where_nobody_is_called_leader_finds_her_own_seat() -> None:
    """On a day without the leader it showed the seat of whoever stands first in the story."""
    bea, ann = (
        "roles: {ann: {seat: north}, bea: {seat: east}",
        "roles: {bea: {seat: east}, ann: {seat: north}",
    )

    def picture(head: str) -> tuple[object, ...]:
        made = lines_of(line("Out", "by: bea"), head)
        blocks = [block for page in sheet_pages(made, perform(made)) for block in page.blocks]
        return next(block.elements for block in blocks if block.alt.startswith("The board"))

    assert picture(HEAD) == picture(HEAD.replace(bea, f"says: ann\n{ann}"))
    assert picture(HEAD) != picture(HEAD.replace(bea, ann))
    assert picture(HEAD) != picture(HEAD.replace("roles:", "says: bea\nroles:"))
    named = HEAD.replace("ann: {", "leader: {")
    assert picture(named) == picture(named.replace("roles:", "says: bea\nroles:"))


def test_two_adults_who_tap_in_other_places_have_each_a_row_on_the_cue_sheet() -> None:
    lane = "'| x(ann: low; bea: middle) . x(ann, bea) . . . . . |'"
    made = lines_of(f"      - {{words: Row home, by: ann, lane: {lane}}}\n")
    said = told(sheet_pages(made, perform(made)))
    assert "[ann. Taps. Row" in said
    assert "[bea. Taps. Row" in said


def test_at_home_what_stays_the_same_is_said_once() -> None:
    silent = line("Out").replace("x", "s")
    made = lines_of(line("In", "by: ann") + silent + line("Up", "by: ann"))
    assert told(home_pages(made, perform(made))).count("Fingertips, quiet.") == 1


def test_a_pupil_who_sits_has_no_head_to_a_side_on_the_floor_plan() -> None:
    places = "A: {at: [50, 70], head: west}"
    made = lines_of(line("Out"), HEAD.replace("A: {at: [50, 70]}", places))
    assert "Place A. Place B." in told(floor_plan_pages(made))
    lies = HEAD.replace("A: {at: [50, 70]}", places.replace("head:", "lying: true, head:"))
    assert "Place A, lying, head to west. Place B." in told(
        floor_plan_pages(lines_of(line("Out"), lies))
    )


def test_one_thing_is_made_ready_by_one_adult_though_two_hand_it_round() -> None:
    head = HEAD.replace("a hand bell, by: dot", "a hand bell, by: dot, handed by: [dot, bea]")
    head = head.replace("by: [dot, bea]", "by: [dot, bea], cautions: [cord]")
    made = lines_of(line("Out", "by: [bea, dot]") + "      - {offer: bell}\n", head)
    for role, ready in (("dot", True), ("bea", False)):
        sheets = told(part_pages(made, perform(made), role))
        assert ("Have ready: bell" in sheets) == ready
        assert "Offer bell" in sheets
        assert "bell (cord, beads or bangle)" in sheets


def test_all_who_hand_a_thing_round_are_named_where_others_rest() -> None:
    """The cue sheet named the one who brings it, and another's sheet said “Offer bell”."""
    head = HEAD.replace("a hand bell, by: dot", "a hand bell, by: dot, handed by: [dot, bea]")
    made = lines_of(line("Out", "by: ann") + "      - {offer: bell}\n" + line("In"), head)
    performance = perform(made)
    assert "dot and bea offer bell: 4 turns" in told(sheet_pages(made, performance))
    assert "rest: dot and bea offer bell, 2 minutes" in told(part_pages(made, performance, "ann"))
    assert "Rest : dot and bea offer bell, 2 minutes" in told(card_pages(made, performance, "ann"))
    usual = lines_of(line("Out", "by: ann") + "      - {offer: bell}\n")
    assert "rest: dot offers bell," in told(part_pages(usual, perform(usual), "ann"))


def test_a_caution_of_somebody_s_own_is_told_as_it_is_written() -> None:
    bell = Prop("bell", "a bell", cautions=("splinters", "noise"))
    said = named_cautions(evolve(STORY, props=(bell,)), ("bell",))
    assert said[0] == "bell: splinters"
    assert said[1].startswith("bell (noise): ")


def test_whoever_steps_in_is_told_every_way_in_which_somebody_warns() -> None:
    made = lines_of(
        "".join(line("Out", f"by: bea, warn first: now, warned through: [{way}]") for way in WAYS)
        + line("In", "by: bea, warn first: now, warned by: dot")
    )
    said = told(supply_pages(made, perform(made)))
    assert "Ann warns (voice, touch and sight); dot warns first." in said


@pytest.mark.parametrize(
    "pages", [sheet_pages, home_pages, lambda made, of: part_pages(made, of, "ann")]
)
def test_one_tap_of_a_swell_is_as_loud_on_every_paper(
    pages: Callable[..., tuple[Page, ...]],
) -> None:
    """The cue sheet and the one for home said that it grows, where two make it."""
    made = lines_of(line("Crash", "by: [ann, bea], loudness: loud to very loud"))
    said = told(pages(made, perform(made)))
    assert "loud to very loud" not in said
    assert "loud" in said
