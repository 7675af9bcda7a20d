"""Rehearsals for tests: made once a run, read as a recording is read."""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from attrs import frozen

from tapscore.model.story import Story
from tapscore.rehearsal.bands import BandLevels, Floats, levels_of
from tapscore.rehearsal.listen import listen
from tapscore.rehearsal.told import ToldRehearsal
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.workflow.open_story import open_story
from tests.rehearsal.simulated.recording import Scene, Sound, recorded
from tests.rehearsal.simulated.telling import STRICT, Telling, tell
from tests.rehearsal.simulated.wood import RATE_HZ


@frozen(eq=False)
class Rehearsed:
    """A story, how it was told, and the sound of that."""

    story: Story
    performance: Performance
    lines: tuple[WrittenLine, ...]
    telling: Telling
    sound: Sound

    def told(self) -> ToldRehearsal:
        """What is heard in it."""
        return listen(levels(self.sound), self.lines)


def demo(name: str) -> Story:
    """One of the stories that come with the program."""
    path = next(path for path in demo_stories() if path.stem == name)
    story = open_story(path).story
    assert story is not None
    return story


@lru_cache(maxsize=16)
def rehearsed(name: str, level: str, seed: int, kind: str = "board model") -> Rehearsed:
    """A rehearsal of a demo story without surprises: nothing left out, nothing begun again."""
    story = demo(name)
    performance = perform(story)
    telling = tell(performance, seed, STRICT)
    sound = recorded(telling, Scene(kind, level, seed))
    return Rehearsed(story, performance, written_lines(performance), telling, sound)


def levels(sound: Sound) -> BandLevels:
    """Levels of a sound, in blocks as they come from a file."""
    return levels_of(_blocks(sound))


def _blocks(sound: Sound) -> Iterator[Floats]:
    for start in range(0, len(sound), 10 * RATE_HZ):
        yield sound[None, start : start + 10 * RATE_HZ].astype(np.float32)
