"""Fewer taps, or all of them again, for a line, a section or a whole story."""

from collections.abc import Callable

from attrs import evolve

from tapscore.checks.comfort.taps_thin_enough import quick_stretches
from tapscore.checks.rule import Scene
from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines
from tapscore.rhythm.perform import perform
from tapscore.rhythm.unroll import as_written


def thinned(
    story: Story, which: Tapped, where: Callable[[StoryPath], bool] = lambda _: True
) -> tuple[Story, tuple[StoryPath, ...]]:
    """The story with taps on those syllables, and the paths of the lines that changed."""
    metres = {placed.path: placed.manner.metre for placed in as_written(story)}
    changed: list[StoryPath] = []

    def change(path: StoryPath, line: Line) -> Line:
        if line.lane is None or path not in metres or not where(path):
            return line
        lane = tapped_on(line.lane, metres[path], which)
        if lane == line.lane:
            return line
        changed.append(path)
        return evolve(line, lane=lane)

    return change_lines(story, change), tuple(changed)


def without_buzz(story: Story) -> tuple[Story, int]:
    """On the beat where every syllable would be a buzz, and in how many parts that is.

    A section, or a refrain, is tapped in one way throughout: in all its lines on the beat if
    the check of quick tapping would find some of them.
    """
    quick = {
        told.path[:2]
        for stretch in quick_stretches(Scene(story, perform(story)).told)
        for told in stretch
    }
    story, _ = thinned(story, Tapped.BEATS, lambda path: path[:2] in quick)
    return story, len(quick)
