"""A story for a whole hall: two parts, everybody's being the refrain and the big moments."""

import pytest
from hypothesis import given, settings

from tapscore.exports.paper.hall_screen import WORDS_PT, hall_screen_pages
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Line, RefrainUse, Story
from tapscore.model.walk import section_items, written_items
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import warners
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_file, read_text
from tapscore.workflow.hall import HALL, LEADER, hall_story
from tests.exports.paper.paper_strategies import stories
from tests.exports.paper.test_card_layout import check_margins
from tests.hill import HEAD, line, lines_of


def demo(name: str) -> Story:
    story = read_file(next(path for path in demo_stories() if path.stem == name)).story
    assert story is not None
    return story


def test_everybody_taps_the_refrain_and_what_is_warned_of() -> None:
    told = perform(hall_story(demo("the-lantern-boat")))
    assert {tap.role for tap in told.taps} == {HALL}
    for each in told.lines:
        assert each.line is not None
        big = each.refrain is not None or bool(each.line.warn_first)
        assert bool(each.taps) == big, each.line.words
        assert each.manner.says == ((EVERYONE,) if each.refrain else (LEADER,))


def test_the_leader_warns_of_a_refrain_that_everybody_says() -> None:
    """The whole hall was told to warn, those who are to be warned among it."""
    story = lines_of(
        "      - refrain: home\n" + line("Out", "warn first: whisper, warned by: dot"),
        f"{HEAD}refrains:\n  home:\n" + line("Row home", "warn first: lean in"),
    )
    told = perform(hall_story(story)).lines
    assert [(each.manner.says, warners(each)) for each in told] == [
        ((EVERYONE,), (LEADER,)),
        ((LEADER,), (LEADER,)),
    ]


def test_the_leader_does_what_is_done_and_brings_what_comes() -> None:
    lines = line("Out", "do: nod, done by: [dot, bea], prop in: bell") + line("In", "do: nod")
    told = hall_story(lines_of(lines))
    heard = [each.line for each in perform(told).lines]
    assert [each.done_by for each in heard if each] == [(LEADER,), (LEADER,)]
    assert told.bringer("bell") == LEADER


def test_taps_at_a_spot_or_of_one_adult_are_plain_taps() -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nboard: {size_cm: [120, 90], spots: {far: [9, 9]}}\n"
        "roles: {drum: {}}\nstory:\n  - section: One\n    lines:\n"
        '      - {words: a b, lane: "| X(far) . x(loud, far, drum) . |", loudness: loud}\n'
    ).story
    assert story is not None
    (line,) = hall_story(story).sections[0].items
    assert isinstance(line, Line)
    assert line.lane is not None
    assert lane_text(line.lane) == "| X . x(loud) . |"


@settings(max_examples=40, deadline=None)
@given(stories)
def test_words_waits_and_turns_stay(story: Story) -> None:
    told = hall_story(story)
    assert [i.words for _, i in written_items(told) if isinstance(i, Line)] == [
        i.words for _, i in written_items(story) if isinstance(i, Line)
    ]
    before, after = section_items(story), section_items(told)
    kept = [i for _, i in after if not isinstance(i, Line | RefrainUse)]
    assert kept == [i for _, i in before if not isinstance(i, Line | RefrainUse)]
    assert told.role_names == (LEADER, HALL)
    assert {tap.role for tap in perform(told).taps} <= {HALL}


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_a_page_for_the_screen_has_one_thing_and_large_words(path: object) -> None:
    story = demo(getattr(path, "stem", ""))
    told = hall_story(story)
    pages = hall_screen_pages(told, perform(told))
    check_margins(pages)
    assert len(pages) > 10
    for page in pages:
        assert max(text.size_pt for text in page.texts) == WORDS_PT
        assert 1 <= len({text.y for text in page.texts}) <= 8


def test_nothing_of_the_board_is_on_the_hall_s_papers() -> None:
    """Pupils' places least of all: strangers read them."""
    told = hall_story(demo("the-lantern-boat"))
    assert told.board is None
    assert all(
        item.manner.spot is None for _, item in written_items(told) if isinstance(item, Line)
    )
