from itertools import pairwise

import pytest
from attrs import evolve

from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, TextRun
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.model.cautions import CAUTIONS
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story
from tapscore.model.wordings import clock
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import length_words
from tapscore.storyfile.read import read_text
from tests.exports.paper.paper_samples import lane, sample
from tests.exports.paper.test_card_layout import check_margins


def pages() -> tuple[Page, ...]:
    return sheet_pages(sample(), perform(sample()))


def said() -> str:
    return " ".join(" ".join(text.text for page in pages() for text in page.texts).split())


def test_a_refrain_is_printed_once_and_then_named() -> None:
    text = said()
    assert text.count("Row the lan tern, row the lan tern,") == 1
    for time in ("2nd", "3rd", "4th"):
        assert f"Refrain: row home , {time} time" in text.replace("home,", "home ,")


def test_times_in_the_margin_are_the_performances() -> None:
    performance = perform(sample())
    width = pages()[0].paper.width_pt - pages()[0].paper.margin_pt
    times = [
        text.text
        for page in pages()
        for text in page.texts
        if abs(text.x + text.width_pt - width) < 0.5 and ":" in text.text
    ]
    expected = [
        clock(s.start_sec)
        for i, s in enumerate(performance.segments)
        if s.refrain_time <= 1 or performance.segments[i - 1].refrain_time != s.refrain_time
    ]
    assert times == [*expected, clock(performance.length_sec)]


def test_everything_a_leader_needs_is_there() -> None:
    text = said()
    for words in (
        "The Lantern Boat",
        "6/8, 54 beats a minute; fingertips, quiet, at middle",
        "5 pupils.",
        "6:58 at least, likely ",
        "Evening",
        "Night",
        "Leader warns first: lean in, whisper “ready?”",
        "Lift the cloth",
        "Wait 10",
        "Look for a look, a still body, a reach",
        "3 turns for 5 pupils, 30 seconds each, 1 minute 30 seconds or more.",
        "Look for quiet eyes",
        "slowing",
        "Anyone may come away from the board at any time",
    ):
        assert words in text, words
    for caution in ("cord", "light", "battery"):
        assert CAUTIONS[caution].title in text


@pytest.mark.parametrize("name", ["the-lantern-boat", "the-bread-van"])
def test_a_usual_story_is_on_one_side_of_a4(name: str) -> None:
    path = next(path for path in demo_stories() if path.stem == name)
    story = read_text(path.read_text(encoding="utf-8")).story
    assert story is not None
    assert len(sheet_pages(story, perform(story))) == 1


def test_forty_lines_are_on_two_sides_of_a3() -> None:
    path = next(path for path in demo_stories() if path.stem == "the-lantern-boat")
    story = read_text(path.read_text(encoding="utf-8")).story
    assert story is not None
    long = evolve(story, sections=(*story.sections * 4, *story.sections[:2]))
    assert perform(long).line_count == 41
    pages = sheet_pages(long, perform(long), paper="A3")
    assert len(pages) == 2
    check_margins(pages)


def test_the_running_time_is_the_same_on_every_paper() -> None:
    story = sample()
    performance = perform(story)
    words = ", ".join(length_words(story, performance))
    assert "in all" in words
    for made in (sheet_pages, briefing_pages, session_plan_pages):
        text = " ".join(t.text for page in made(story, performance) for t in page.texts)
        assert words in " ".join(text.split())


def test_adults_who_tap_the_same_share_a_row_and_stand_under_the_words() -> None:
    alts = [block.alt for page in pages() for block in page.blocks if "Taps." in block.alt]
    assert sum(alt.startswith("everyone. ") for alt in alts) == 2
    assert any(alt.startswith("beat-keeper, second tapper. ") for alt in alts)


def test_numbers_run_down_the_side() -> None:
    numbers = [
        int(text.text)
        for page in pages()
        for text in page.texts
        if text.text.isdigit() and text.bold and abs(text.x - page.paper.margin_pt) < 1
    ]
    assert numbers == list(range(1, 9))


def test_lines_follow_one_another_down_the_page() -> None:
    for page in pages():
        heights = [
            t.y for t in page.texts if isinstance(t, TextRun) and t.size_pt == 17.0 and t.bold
        ]
        assert all(later >= earlier - 20 for earlier, later in pairwise(heights))


def test_a_tap_by_somebody_the_story_does_not_list_is_still_shown() -> None:
    line = Line("Tap", lane("| x . . . |"), PartialManner(by=("visitor",)))
    story = Story("Test", roles=(Role("leader"),), sections=(Section("One", (line,)),))
    (page,) = sheet_pages(story, perform(story))
    assert any(block.alt.startswith("visitor. Taps. Tap: quiet") for block in page.blocks)


def test_where_nothing_is_tapped_it_names_nobody_who_taps() -> None:
    told = evolve(sample(), sections=(Section("One", (Line("hush", lane("| s . . . . . |")),)),))
    text = " ".join(run.text for page in sheet_pages(told, perform(told)) for run in page.texts)
    assert "6/8, 54 beats a minute; nobody taps; leader speaks the words and warns." in text
