"""The papers besides cards and cue sheet."""

import re
from collections import Counter
from collections.abc import Callable

import pytest
from attrs import evolve
from hypothesis import assume, given, settings

from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cautions_page import cautions_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, Panel, TextRun
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.inks import INK
from tapscore.exports.paper.large_words import large_words_pages
from tapscore.exports.paper.observation_slips import observation_pages
from tapscore.exports.paper.outdoors import outdoors_pages
from tapscore.exports.paper.pages import sides_mm
from tapscore.exports.paper.pocket_key import key_pages
from tapscore.exports.paper.prop_list import box_label_pages, prop_list_pages
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.cautions import CAUTIONS
from tapscore.model.curriculum import AREAS
from tapscore.model.loudness import Loudness
from tapscore.model.observing import SLIP
from tapscore.model.pupil_cautions import DEFERS, PLACE_CAUTIONS, PUPIL_CAUTIONS
from tapscore.model.story import Line, Prop, Section, Story
from tapscore.model.strokes import Stroke
from tapscore.model.words import printed
from tapscore.rhythm.moments import moments
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import BOARD, sample
from tests.exports.paper.paper_strategies import Pages, stories
from tests.exports.paper.paper_strategies import pages as any_pages
from tests.exports.paper.test_card_layout import check_apart, check_margins, words_on
from tests.strategies import stories as any_stories

Make = Callable[..., tuple[Page, ...]]


def of_performance(make: Make) -> Make:
    return lambda story, **how: make(story, perform(story), **how)


ALL: dict[str, Make] = {
    "pocket key": lambda story, **how: key_pages(**how),
    "props": of_performance(prop_list_pages),
    "label": box_label_pages,
    "floor": floor_plan_pages,
    "briefing": of_performance(briefing_pages),
    "step in": of_performance(supply_pages),
    "plan": of_performance(session_plan_pages),
    "slips": of_performance(observation_pages),
    "home": of_performance(home_pages),
    "words": of_performance(large_words_pages),
    "cautions": cautions_pages,
    "outdoors": outdoors_pages,
    "sheet": of_performance(sheet_pages),
}


RULED = ("props", "briefing", "plan", "slips", "home", "words", "cautions", "outdoors")
"""Papers whose lines are those of tables and answers; a map's may run behind words."""


def flat(pages: tuple[Page, ...]) -> str:
    return " ".join(words_on(pages).split())


@pytest.mark.parametrize("name", ALL)
@settings(max_examples=15, deadline=None)
@given(story=stories)
def test_nothing_is_small_or_over_the_margins(name: str, story: Story) -> None:
    pages = ALL[name](story)
    assert all(t.size_pt >= 12 for page in pages for t in page.texts if t.text.strip())
    check_margins(pages)
    check_apart(pages, lines=name in RULED)


@pytest.mark.parametrize("name", ALL)
@settings(max_examples=15, deadline=None)
@given(story=stories, wanted=any_pages)
def test_any_paper_keeps_its_margins_and_every_word(name: str, story: Story, wanted: Pages) -> None:
    try:
        pages = ALL[name](story, **wanted)
    except ValueError as error:
        assume("choose" not in str(error))
        raise
    check_margins(pages)
    if not pages:
        assert (name, story.board) == ("floor", None)
        return
    if name != "floor":  # a board of 7 cm has no room for every name clear of every letter
        check_apart(pages, lines=name in RULED)
    sides = {
        round(side / 72 * 25.4, 2) for side in (pages[0].paper.width_pt, pages[0].paper.height_pt)
    }
    assert sides == set(sides_mm(wanted["paper"]))
    if name not in ("slips", "floor", "step in"):
        # Words may be divided, and headings come again; no letter is lost.
        assert not letters(ALL[name](story)) - letters(pages)


def letters(pages: tuple[Page, ...]) -> Counter[str]:
    """Letters and figures of what is not mere decoration."""
    texts = [
        t.text for page in pages for b in page.blocks if b.tag != "Artifact" for t in _texts(b)
    ]
    return Counter(c for text in texts for c in text if c.isalnum())


@settings(max_examples=25, deadline=None)
@given(any_stories)
def test_any_story_at_all_has_its_papers(story: Story) -> None:
    for name, make in ALL.items():
        assert make(story) or (name, story.board) == ("floor", None)


def test_large_print_is_eighteen_points_and_whole() -> None:
    # UKAAF G003 (2019): 16 pt at least, 18 pt ideal.
    pages = large_words_pages(sample(), perform(sample()))
    texts = [t for page in pages for b in page.blocks if b.tag != "Artifact" for t in _texts(b)]
    assert min(t.size_pt for t in texts) >= 18
    said = flat(pages)
    at = -1
    for segment in perform(sample()).lines:
        assert segment.line is not None
        at = said.find(printed(segment.line.words), at + 1)
        assert at >= 0, segment.line.words


def _texts(block: object) -> list[TextRun]:
    return [e for e in getattr(block, "elements", ()) if isinstance(e, TextRun)]


def test_the_prop_list_says_all_there_is_about_props() -> None:
    story = sample()
    said = flat(prop_list_pages(story, perform(story)))
    for prop in story.props:
        assert prop.name in said
        assert prop.what in said
        assert story.bringer(prop.name) in said
    assert "beads , 2 sets" in said
    assert "wooden curtain rings" in said
    assert "nothing written yet" in said
    assert "hygiene policy" in said
    assert "in at line 2, offered after line 2, out at line 3" in said
    assert "lantern" in flat(box_label_pages(story))


def test_a_box_with_many_props_has_further_labels() -> None:
    props = tuple(Prop(f"thing {i}") for i in range(60))
    pages = box_label_pages(Story("Many", props=props))
    assert len(pages) > 1
    assert all(f"thing {i}" in flat(pages) for i in range(60))


def test_the_floor_plan_is_to_scale() -> None:
    (page,) = floor_plan_pages(sample())
    (scale,) = {int(n) for n in re.findall(r"Scale 1 : (\d+)", flat((page,)))}
    panels = [e for b in page.blocks for e in b.elements if isinstance(e, Panel)]
    (board,) = [p for p in panels if p.edge == INK and p.edge_pt == 2.0]
    assert board.width_pt / 72 * 25.4 * scale == pytest.approx(float(BOARD.width_mm))
    assert board.height_pt / 72 * 25.4 * scale == pytest.approx(float(BOARD.depth_mm))
    # Place A is at (32 cm, 55 cm) from the south-west corner, north at the top.
    (letter,) = [t for t in page.texts if t.text == "A"]
    mm = 72 / 25.4 / scale
    assert letter.x + letter.width_pt / 2 == pytest.approx(board.x + 320 * mm)
    assert letter.y == pytest.approx(board.y + (900 - 550) * mm + 0.34 * letter.size_pt)
    for name in ("leader", "beat-keeper", "second tapper", "prop handler", "middle"):
        assert all(word in flat((page,)) for word in name.split())
    assert "way out" in flat((page,))


def test_whoever_steps_in_needs_one_side() -> None:
    story = sample()
    near = (("A", "beat-keeper"), ("B", "second tapper"))
    (page,) = supply_pages(story, perform(story), near)
    said = flat((page,))
    for words in (
        "Leader speaks the words.",
        "near A first of all",
        "(minutes:seconds); with setting up",
        "Nothing louder unannounced.",
        "When to stop.",
        "1 Waits are for the pupils.",
    ):
        assert words in said, words
    for refrain in story.refrains:
        for line in refrain.items:
            assert not isinstance(line, Line) or printed(line.words) in said
    (picture,) = [block for block in page.blocks if block.tag == "Figure"]
    assert "leader sits" in (picture.alt or "")
    nowhere = flat(supply_pages(evolve(story, board=None), perform(story)))
    assert "Where everybody sits is not written down" in nowhere


def test_a_story_where_nothing_is_loud_asks_for_soft_taps() -> None:
    story = evolve(sample(), refrains=(), sections=())
    assert "Nothing in this story is loud." in flat(supply_pages(story, perform(story)))


@pytest.mark.parametrize("name", sorted(set(ALL) - {"pocket key", "outdoors"}))
def test_no_paper_of_a_story_speaks_of_a_refrain_it_lacks(name: str) -> None:
    """But the key of all signs, and what suits a hall, which are the same for every story."""
    story = evolve(sample(), refrains=(), sections=(Section("One", (Line("Out we go"),)),))
    assert "refrain" not in flat(ALL[name](story)).lower()


def test_where_to_come_in_again() -> None:
    story = sample()
    without = evolve(story, refrains=(), sections=(Section("One", (Line("Out we go"),)),))
    briefed, stepping_in = ALL["briefing"], ALL["step in"]
    assert "Rest, listen for the refrain, and come in there." in flat(briefed(story))
    assert "Rest, listen, and come in at the next line." in flat(briefed(without))
    for said in ("Join in the refrain.", "Say the refrain softly once, and finish."):
        assert said in flat(stepping_in(story))
    assert "You may stop the story anywhere. Finish softly." in flat(stepping_in(without))


def test_the_briefing_of_the_sample_is_one_page_and_names_everybody() -> None:
    pages = briefing_pages(sample(), perform(sample()))
    assert len(pages) == 1
    said = flat(pages)
    assert all(f"{r.name.capitalize()}:" in said for r in sample().roles)
    assert "Row the lantern, row the lantern, home, home, home. (4 times)" in said
    assert "come away at any time" in said


def test_the_session_plan_tells_areas_with_their_lines() -> None:
    story = Story(
        "T", sections=(Section("One", (Line("Hush", areas=AREAS[:2]), Line("a", areas=AREAS[:1]))),)
    )
    said = flat(session_plan_pages(story, perform(story)))
    assert "Communication and Language (line 1, line 2)" in said
    assert "Physical Development (line 1)" in said
    for words in ("Who was there", "Intended outcomes", "pupils may", "Next steps", "Position:"):
        assert words in said
    assert "Change" in said
    assert "tage:" not in said


def test_slips_have_everything_in_the_slip_s_order_but_no_scores() -> None:
    pages = observation_pages(sample(), perform(sample()))
    said = flat(pages)
    slips = said.split("The Lantern Boat")[1:]
    assert len(slips) % 2 == 0
    for slip in slips:
        at = 0
        for field in SLIP:
            at = slip.index(field.label, at) + len(field.label)
            for choice in field.choices:
                at = slip.index(choice, at) + len(choice)
    assert "a startle that settles, a smile" in said
    assert not re.search(r"score|level \d|out of|mark:", said, re.I)


def test_a_slip_says_which_moment_it_is() -> None:
    said = flat(observation_pages(sample(), perform(sample())))
    for moment in moments(perform(sample())):
        assert f"Moment {moment.name}" in said


def test_the_home_version_uses_household_things_and_defers() -> None:
    said = flat(home_pages(sample(), perform(sample())))
    assert "wooden curtain rings" in said
    assert "lap" in said
    assert "tray" in said
    assert "Ask your child’s teacher, nurse or therapist" in said
    assert "Again: row home" in said
    assert said.count("Wait 10 seconds or more") == 2


def test_the_cautions_page_defers_and_names_whom_to_ask() -> None:
    props = tuple(Prop(f"prop {word}", cautions=(word,)) for word in CAUTIONS)
    said = flat(cautions_pages(evolve(sample(), props=props)))
    assert DEFERS in said
    assert "your school's policy" in said
    for caution in (*CAUTIONS.values(), *PUPIL_CAUTIONS, *PLACE_CAUTIONS):
        assert f"{caution.reminder} Ask {caution.ask}." in said, caution.name
    without = said.replace(DEFERS, "")
    assert not re.search(r"\b(is|are) safe\b", without)


def test_the_key_explains_every_mark() -> None:
    pages = key_pages()
    assert len(pages) == 2
    said = flat(pages)
    assert all(stroke.word in said for stroke in Stroke)
    assert all(level.word in said for level in Loudness)
    assert all(sign in said for sign in ("Wait", "warn first", "refrain", "Stop", "slowing"))
