"""The same story slower: its tempi are scaled, so that taps are made anew and not stretched."""

from fractions import Fraction

from attrs import evolve, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.manner import USUAL, PartialManner
from tapscore.model.story import Story
from tapscore.model.tempo import Tempo
from tapscore.model.walk import change_manners
from tapscore.wording.catalogue import say


@frozen
class Speed:
    """A share of the written tempo, and its name."""

    share: Fraction
    name: str


SPEEDS = (
    Speed(Fraction(1), say("as written")),
    Speed(Fraction(3, 4), say("slower, 75 %")),
    Speed(Fraction(1, 2), say("half, 50 %")),
)
"""The speeds one can listen at."""


def slowed(story: Story, share: Fraction) -> Story:
    """The story with every tempo times ``share``; waits keep their seconds."""
    if share == 1:
        return story

    def slower(path: StoryPath, manner: PartialManner) -> PartialManner:
        tempo = manner.tempo or (USUAL.tempo if path == () else None)
        return manner if tempo is None else evolve(manner, tempo=_scaled(tempo, share))

    return change_manners(story, slower)


def _scaled(tempo: Tempo, share: Fraction) -> Tempo:
    return Tempo(tempo.start * share, None if tempo.end is None else tempo.end * share)
