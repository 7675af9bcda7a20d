"""Fewer taps, or all of them again, for a line, a section or a whole story."""

from collections.abc import Callable

from attrs import evolve

from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines
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
