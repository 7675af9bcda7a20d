"""The same story slower: its tempi are scaled, so that taps are made anew and not stretched."""

from fractions import Fraction

from attrs import evolve

from tapscore.model.manner import USUAL, PartialManner
from tapscore.model.story import Item, Line, Story
from tapscore.model.tempo import Tempo


def slowed(story: Story, share: Fraction) -> Story:
    """The story with every tempo times ``share``; waits keep their seconds."""
    if share == 1:
        return story
    usual = story.manner.tempo or USUAL.tempo
    return evolve(
        story,
        manner=evolve(story.manner, tempo=_scaled(usual, share)),
        sections=tuple(
            evolve(s, manner=_manner(s.manner, share), items=_items(s.items, share))
            for s in story.sections
        ),
        refrains=tuple(evolve(r, items=_items(r.items, share)) for r in story.refrains),
    )


def _items(items: tuple[Item, ...], share: Fraction) -> tuple[Item, ...]:
    return tuple(
        evolve(item, manner=_manner(item.manner, share)) if isinstance(item, Line) else item
        for item in items
    )


def _manner(manner: PartialManner, share: Fraction) -> PartialManner:
    return evolve(manner, tempo=_scaled(manner.tempo, share)) if manner.tempo else manner


def _scaled(tempo: Tempo, share: Fraction) -> Tempo:
    return Tempo(tempo.start * share, None if tempo.end is None else tempo.end * share)
