"""A story performed again after edits is what it would be performed for the first time."""

from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.edits import change_line
from tapscore.model.story import Line, Story
from tapscore.resources import demo_stories
from tapscore.rhythm import perform as performing
from tapscore.rhythm import unroll as unrolling
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.unroll import unroll
from tapscore.storyfile.read import read_file
from tests.forgetting import forget_all
from tests.storyfile.random_edits import Editor
from tests.strategies import WORDS, seeds, stories


def _everything(performance: Performance) -> tuple[object, ...]:
    return (
        performance.segments,
        performance.tempo_map,
        performance.taps,
        [segment.syllables for segment in performance.segments],
        performance.beats,
        performance.roles,
    )


def _anew(story: Story, bars: int, longest: Fraction | None) -> Performance:
    forget_all()
    return perform(story, count_in_bars=bars, longest_offer_sec=longest)


@given(
    stories,
    st.lists(seeds, min_size=1, max_size=6),
    st.sampled_from([0, 2]),
    st.sampled_from([None, Fraction(10)]),
)
@settings(max_examples=25, deadline=None)
def test_after_random_edits(
    story: Story, edits: list[int], bars: int, longest: Fraction | None
) -> None:
    told = [story]
    for seed in edits:
        told.append(Editor(seed, told[-1], WORDS).edit().story)
    forget_all()
    again = [perform(each, count_in_bars=bars, longest_offer_sec=longest) for each in told]
    back = [perform(each, count_in_bars=bars, longest_offer_sec=longest) for each in told[::-1]]
    for each, one, other in zip(told, again, reversed(back), strict=True):
        wanted = _everything(_anew(each, bars, longest))
        assert _everything(one) == wanted
        assert _everything(other) == wanted


@pytest.fixture
def demo() -> Story:
    story = read_file(demo_stories()[0]).story
    assert story is not None
    return story


def test_what_an_edit_does_not_reach_is_the_same_segment(demo: Story) -> None:
    before = perform(demo)
    path = next(segment.path for segment in before.lines if segment.path[0] == "story")
    do = change_line(demo, path, lambda line: evolve(line, do="rock"))
    after = perform(do)
    changed = [
        number
        for number, (one, other) in enumerate(zip(before.segments, after.segments, strict=True))
        if one is not other
    ]
    section = {s.path[:2] for s in before.segments if s.path == path}
    assert changed
    # the changed section's own items, and what stands before its first line
    assert len(changed) <= len(demo.sections[0].items) + 1
    assert {before.segments[n].path[:2] for n in changed} >= section


def test_a_longer_line_moves_all_that_follows(demo: Story) -> None:
    before = perform(demo)
    first = before.lines[0]
    assert isinstance(first.item, Line)
    half = evolve(first.manner.tempo, start=first.manner.tempo.start / 2)
    slower = change_line(
        demo,
        first.path,
        lambda line: evolve(line, manner=evolve(line.manner, tempo=half)),
    )
    after = perform(slower)
    assert after.lines[1].start_sec > before.lines[1].start_sec
    assert _everything(after) == _everything(_anew(slower, 0, None))


def test_little_is_kept(demo: Story) -> None:
    for bars in range(9):
        perform(demo, count_in_bars=bars)
        unroll(demo)
    assert len(performing._kept) <= performing._MOST_KEPT
    assert len(unrolling._sections) <= unrolling._SECTIONS_KEPT
