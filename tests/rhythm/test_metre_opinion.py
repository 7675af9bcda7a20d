"""The live arithmetic against music21 over whole stories, by section where the metre changes."""

from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given, settings

from tapscore.model.metre import SUPPORTED
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.resources import demo_stories
from tapscore.rhythm import metre_opinion
from tapscore.rhythm.layout import line_layout
from tapscore.rhythm.line_bars import bar_faults, missing_at_end
from tapscore.rhythm.metre_opinion import Differs, differences
from tapscore.rhythm.unroll import unroll
from tapscore.storyfile.read import read_file, read_text
from tests.strategies import plain_stories, stories


def _story(text: str) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_the_demos_are_counted_alike(path: object) -> None:
    story = read_file(path).story  # type: ignore[arg-type]
    assert story is not None
    assert list(differences(story)) == []


@given(plain_stories)
@settings(max_examples=40, deadline=None)
def test_random_stories_with_full_bars_are_counted_alike(story: Story) -> None:
    _counted_alike_where_bars_are_full(story)


@given(stories)
@settings(max_examples=40, deadline=None)
def test_in_random_stories_only_lines_with_wrong_bars_differ(story: Story) -> None:
    _counted_alike_where_bars_are_full(story)


def _counted_alike_where_bars_are_full(story: Story) -> None:
    for each in differences(story):
        assert each.placed.line is not None
        lane = each.placed.line.lane
        assert lane is not None
        assert list(bar_faults(lane, each.placed.manner.metre)), each


LINE = '      - {{words: {}, metre: {}, lane: "{}"}}\n'


def test_metres_that_change_between_sections() -> None:
    """Every supported metre after every other, with pickups: all placed alike."""
    bars = {
        "2/4": "X . x .",
        "3/4": "X . x . x .",
        "4/4": "X . x . X . x .",
        "6/8": "X . x X . x",
        "9/8": "X . x X . x X . .",
        "12/8": "X . x X . x X . x X . x",
        "2/2": "X . x .",
        "5/4": "X . x . x . x . x .",
        "3/8": "X x x",
    }
    lines = ""
    for one in SUPPORTED:
        for other in SUPPORTED:
            for metre in (one, other):
                said = " ".join("la" for mark in bars[metre] if mark in "xX")
                lines += LINE.format(said, metre, f"| {bars[metre]} |")
    story = _story(f"tapscore: 2\ntitle: T\nstory:\n  - section: One\n    lines:\n{lines}")
    assert len(unroll(story)) == 2 * len(SUPPORTED) ** 2
    assert list(differences(story)) == []


def test_a_bar_too_long_is_said_where_it_goes_astray() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n"
        "      - words: Row the lan-tern home\n"
        '        lane: "| X . x X . x . | X . . . . . |"\n'
    )
    found = list(differences(_story(text)))
    assert {each.what for each in found} >= {Differs.STRENGTH}
    assert all(each.placed.path == ("story", 0, "lines", 0) for each in found)


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("beat_strength", lambda metre, position: Fraction(1, 3)),
        ("missing_at_end", lambda lane, metre: missing_at_end(lane, metre) + 1),
        ("line_layout", None),
    ],
)
def test_a_fault_in_our_own_count_is_found(
    name: str, wrong: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    story = read_file(demo_stories()[1]).story
    assert story is not None
    if name == "line_layout":

        def late(line: Line, metre: object) -> object:
            layout = line_layout(line, metre)  # type: ignore[arg-type]
            moved = (evolve(e, position_beats=e.position_beats + 1) for e in layout.events)
            return evolve(layout, events=tuple(moved))

        wrong = late
    monkeypatch.setattr(metre_opinion, name, wrong)
    assert list(differences(story))


def test_every_line_with_a_lane_is_looked_at() -> None:
    story = read_file(demo_stories()[0]).story
    assert story is not None
    lanes = [item for _, item in written_items(story) if isinstance(item, Line) and item.lane]
    assert lanes
