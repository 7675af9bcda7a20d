"""Small things that a reader of a paper relies on: figures, bookmarks, what stays together."""

from itertools import chain

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.own_pictures import OwnPicture
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cautions_page import cautions_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Photo
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.outdoors import outdoors_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.people import turns_words
from tapscore.exports.paper.photos import photo_band
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.cautions import title_of
from tapscore.model.story import Prop
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.test_papers import flat
from tests.exports.paper.test_small_papers import told
from tests.hill import STORY, line, lines_of, story_of


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
