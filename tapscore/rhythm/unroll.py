"""The story's items in the order they are heard, each with all that holds for it."""

from collections.abc import Iterator
from itertools import islice

from attrs import evolve, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.metre import Metre
from tapscore.model.story import (
    DEEPEST_REFRAIN,
    MOST_HEARD,
    USUAL,
    Item,
    Line,
    Manner,
    Offer,
    RefrainUse,
    Story,
    Unread,
    Wait,
)
from tapscore.model.tempo import Tempo


@frozen
class Placed:
    """An item of the story where it is heard."""

    item: Line | Wait | Offer
    path: StoryPath
    section: str
    manner: Manner
    """Metre, tempo, loudness, stroke and adults all filled in."""
    metre: Metre
    tempo: Tempo
    refrain: str | None = None
    refrain_time: int = 0
    number: int | None = None


def story_manner(story: Story) -> Manner:
    """What holds where neither section nor line says anything."""
    manner = story.manner.over(USUAL)
    if manner.by:
        return manner
    names = story.role_names
    return evolve(manner, by=("beat-keeper" if "beat-keeper" in names else names[0],))


def unroll(story: Story) -> tuple[Placed, ...]:
    """Lines, waits and offerings as heard, a refrain's at every return.

    A refrain always has the story's own manner, so that it returns the same.  An unknown
    refrain, or one that calls itself, gives nothing, and what goes beyond ``MOST_HEARD`` or
    ``DEEPEST_REFRAIN`` is left out (the reader says so).
    """
    return tuple(islice(_Unroller(story).walk_story(), MOST_HEARD))


class _Unroller:
    def __init__(self, story: Story) -> None:
        self._story = story
        self._base = story_manner(story)
        self._refrains = {refrain.name: refrain for refrain in story.refrains}
        self._times: dict[str, int] = {}
        self._number = 0
        self._returns = 0

    def walk_story(self) -> Iterator[Placed]:
        for index, section in enumerate(self._story.sections):
            manner = section.manner.over(self._base)
            yield from self._walk(
                section.items, ("story", index, "lines"), section.title, manner, ()
            )

    def _walk(
        self,
        items: tuple[Item, ...],
        path: StoryPath,
        section: str,
        manner: Manner,
        inside: tuple[str, ...],
    ) -> Iterator[Placed]:
        for index, item in enumerate(items):
            if isinstance(item, RefrainUse):
                yield from self._return(item.name, section, inside)
            elif not isinstance(item, Unread):
                yield self._place(item, (*path, index), section, manner, inside)

    def _return(self, name: str, section: str, inside: tuple[str, ...]) -> Iterator[Placed]:
        refrain = self._refrains.get(name)
        if refrain is None or name in inside or len(inside) >= DEEPEST_REFRAIN:
            return
        self._returns += 1
        if self._returns > MOST_HEARD:
            return
        self._times[name] = self._times.get(name, 0) + 1
        path: StoryPath = ("refrains", name)
        yield from self._walk(refrain.items, path, section, self._base, (*inside, name))

    def _place(
        self,
        item: Line | Wait | Offer,
        path: StoryPath,
        section: str,
        manner: Manner,
        inside: tuple[str, ...],
    ) -> Placed:
        refrain = inside[-1] if inside else None
        number = None
        if isinstance(item, Line):
            manner = item.manner.over(manner)
            if refrain is None:
                self._number += 1
                number = self._number
        assert manner.metre is not None
        assert manner.tempo is not None
        return Placed(
            item,
            path,
            section,
            manner,
            manner.metre,
            manner.tempo,
            refrain,
            self._times[refrain] if refrain else 0,
            number,
        )
