"""The story's items in their places: as they are written, and in the order they are heard."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import islice, zip_longest
from typing import Any

from attrs import evolve, field, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.loudness import Swell, level_of, nearest_step
from tapscore.model.manner import USUAL, Manner, PartialManner
from tapscore.model.story import (
    DEEPEST_REFRAIN,
    MOST_HEARD,
    Item,
    Line,
    Refrain,
    RefrainUse,
    Section,
    Story,
    Unread,
)
from tapscore.model.tempo import Tempo
from tapscore.rhythm.layout import line_layout


@frozen
class Placed:
    """An item with all that its place in the story adds to it."""

    item: Item | None
    """None for what is no item of the story: a count-in, a heading."""
    path: StoryPath
    """Where it is written in the story file."""
    manner: Manner
    section: str = ""
    refrain: str | None = None
    """The refrain that it is written in."""
    refrain_time: int = 0
    """1 the first time the refrain is heard, 2 the second; 0 as written."""
    returned_path: StoryPath | None = None
    """Where a section has the refrain return; None outside refrains, and as written."""
    number: int | None = None
    """The number on the cards; a refrain's lines have its name instead."""
    usual: Manner = USUAL
    """What holds in this story where neither section nor line says anything."""
    known: dict[object, Any] = field(factory=dict, init=False, eq=False, repr=False)
    """What others have worked out of it and find again, whenever it is heard."""

    @property
    def line(self) -> Line | None:
        """The line, if it is one."""
        return self.item if isinstance(self.item, Line) else None


def story_manner(story: Story) -> Manner:
    """What holds where neither section nor line says anything."""
    manner = story.manner.over(USUAL)
    tapper = "beat-keeper" if "beat-keeper" in story.role_names else story.leader
    return evolve(manner, by=manner.by or (tapper,), says=manner.says or (story.leader,))


def as_written(story: Story) -> Iterator[Placed]:
    """Every item once, in the file's order of telling: the sections', then the refrains'."""
    base = story_manner(story)
    number = 0
    for index, section in enumerate(story.sections):
        for placed in section_as_written(section, index, base, number):
            number = placed.number or number
            yield placed
    yield from refrains_as_written(story)


def refrains_as_written(story: Story) -> Iterator[Placed]:
    """Every item of the refrains, where they are written."""
    base = story_manner(story)
    for refrain in story.refrains:
        kept = _refrains.get(id(refrain))
        if kept is None or kept[0] is not refrain or kept[1] != base:
            if len(_refrains) >= _SECTIONS_KEPT:
                _refrains.clear()
            made = tuple(
                _placed(item, ("refrains", refrain.name, at), base, base, refrain=refrain.name)
                for at, item in enumerate(refrain.items)
            )
            kept = _refrains[id(refrain)] = refrain, base, made
        yield from kept[2]


def section_as_written(section: Section, index: int, base: Manner, before: int) -> Iterator[Placed]:
    """Every item of one section; so many lines come ``before`` it."""
    key = id(section), index, before
    kept = _sections.get(key)
    if kept is None or kept[0] is not section or kept[1] != base:
        if len(_sections) >= _SECTIONS_KEPT:
            _sections.clear()
            _places.clear()
        last = _places.get(index)
        again = last.places if last and last.holds(section, base, before) else ()
        places = tuple(_section_as_written(section, index, base, before, again))
        _places[index] = _LastPlaces(section, base, before, places)
        kept = _sections[key] = section, base, tuple([placed for _, placed in places])
    return iter(kept[2])


_Place = tuple[Manner, Placed]
"""An item of a section, and what held for it where it says nothing itself."""


@frozen(eq=False)
class _LastPlaces:
    """The last section that stood somewhere, of which an edit takes again what it left."""

    section: Section
    base: Manner
    before: int
    places: tuple[_Place, ...]

    def holds(self, section: Section, base: Manner, before: int) -> bool:
        """Whether an item of another section may be placed as it was in this one."""
        return self.section.title == section.title and self.before == before and self.base == base


_SECTIONS_KEPT = 512
_RETURNS_KEPT = 2048
_sections: dict[tuple[int, int, int], tuple[Section, Manner, tuple[Placed, ...]]] = {}
"""Sections as they were placed, so that those an edit left as they are give the very same items:
found by identity, which needs no look inside.  Refrains and their returns likewise.
"""
_places: dict[int, _LastPlaces] = {}
_refrains: dict[int, tuple[Refrain, Manner, tuple[Placed, ...]]] = {}
_returned: dict[tuple[int, int, int], tuple[Placed, Placed, PartialManner, Placed]] = {}


def _section_as_written(
    section: Section, index: int, base: Manner, before: int, last: tuple[_Place, ...]
) -> Iterator[_Place]:
    number = before
    items = through_section(section, base)
    for at, ((item, manner), was) in enumerate(zip_longest(items, last[: len(section.items)])):
        number += isinstance(item, Line)
        if was is not None and _as_it_was(item, manner, number, was):
            yield was
            continue
        path: StoryPath = ("story", index, "lines", at)
        yield manner, _placed(item, path, manner, base, section=section.title, number=number)


def _as_it_was(item: Item, manner: Manner, number: int, was: _Place) -> bool:
    held, placed = was
    if placed.item is not item or (placed.number or number) != number:
        return False
    return held is manner or held == manner


def through_section(section: Section, usual: Manner) -> Iterator[tuple[Item, Manner]]:
    """A section's items with what holds for each where it says nothing itself.

    A swell or a change of tempo that stands on the section goes through its lines, from the
    first to the last; refrains that return between them have the story's own.
    """
    whole = section.manner.over(usual)
    lines = [item for item in section.items if isinstance(item, Line)]
    swells, changes = len(whole.loudness) > 1, whole.tempo.end is not None
    swells = swells and section.manner.loudness is not None
    changes = changes and section.manner.tempo is not None
    if not lines or not (swells or changes):
        yield from ((item, whole) for item in section.items)
        return
    metres = (line.manner.metre or whole.metre for line in lines)
    beats = [line_layout(line, metre).beats for line, metre in zip(lines, metres, strict=True)]
    total, done = sum(beats), Fraction(0)
    for item in section.items:
        manner = whole
        if isinstance(item, Line):
            ends = done / total, (done + beats[0]) / total
            done += beats.pop(0)
            loudness = _part_of_swell(whole.loudness, *ends) if swells else whole.loudness
            tempo = _part_of_change(whole.tempo, *ends) if changes else whole.tempo
            manner = evolve(whole, loudness=loudness, tempo=tempo)
        yield item, manner


def _part_of_swell(swell: Swell, begin: Fraction, end: Fraction) -> Swell:
    """The steps of loudness from one share of a swell to another, each to the nearest step."""
    first, last = (
        nearest_step(level_of(swell, at.numerator, at.denominator)) for at in (begin, end)
    )
    return (first,) if first == last else (first, last)


def _part_of_change(tempo: Tempo, begin: Fraction, end: Fraction) -> Tempo:
    """The part of a change of tempo, in whole beats a minute; the period changes evenly."""
    periods = 1 / tempo.start, 1 / tempo.last
    first, last = (
        Fraction(round(1 / (periods[0] + at * (periods[1] - periods[0])))) for at in (begin, end)
    )
    return Tempo(first, None if first == last else last)


def unroll(story: Story) -> tuple[Placed, ...]:
    """Lines, waits and offerings as heard, a refrain's at every return.

    A refrain has the story's own manner, whatever section it returns in, so that it returns
    the same unless its return says otherwise.  An unknown refrain, or one that calls itself,
    gives nothing, and what goes beyond ``MOST_HEARD`` or ``DEEPEST_REFRAIN`` is left out (the
    reader says so).
    """
    return tuple(islice(_Unroller(as_written(story)).walk(), MOST_HEARD))


def at_returns(written: Iterable[Placed]) -> dict[StoryPath, tuple[Placed, ...]]:
    """What is heard at each return, by the return's path; ``written`` is every item once."""
    found: dict[StoryPath, list[Placed]] = {}
    for placed in islice(_Unroller(written).walk(), MOST_HEARD):
        if placed.returned_path is not None:
            found.setdefault(placed.returned_path, []).append(placed)
    return {path: tuple(items) for path, items in found.items()}


class _Unroller:
    def __init__(self, written: Iterable[Placed]) -> None:
        self._written: dict[str, list[Placed]] = {}
        self._sections: list[Placed] = []
        for placed in written:
            if placed.refrain is None:
                self._sections.append(placed)
            else:
                self._written.setdefault(placed.refrain, []).append(placed)
        self._times: dict[str, int] = {}
        self._returns = 0

    def walk(self) -> Iterator[Placed]:
        for placed in self._sections:
            if isinstance(placed.item, RefrainUse):
                yield from self._return(placed.item, placed, PartialManner(), ())
            elif not isinstance(placed.item, Unread):
                yield placed

    def _return(
        self, use: RefrainUse, returned: Placed, outer: PartialManner, inside: tuple[str, ...]
    ) -> Iterator[Placed]:
        name = use.name
        differs = outer.within(use.manner)
        if name not in self._written or name in inside or len(inside) >= DEEPEST_REFRAIN:
            return
        self._returns += 1
        if self._returns > MOST_HEARD:
            return
        time = self._times[name] = self._times.get(name, 0) + 1
        for placed in self._written[name]:
            if isinstance(placed.item, RefrainUse):
                yield from self._return(placed.item, returned, differs, (*inside, name))
            elif not isinstance(placed.item, Unread):
                yield _at_return(placed, returned, differs, time)


def _at_return(placed: Placed, returned: Placed, differs: PartialManner, time: int) -> Placed:
    key = id(placed), id(returned), time
    kept = _returned.get(key)
    if kept is None or kept[0] is not placed or kept[1] is not returned or kept[2] != differs:
        if len(_returned) >= _RETURNS_KEPT:
            _returned.clear()
        made = evolve(
            placed,
            manner=differs.over(placed.manner),
            section=returned.section,
            refrain_time=time,
            returned_path=returned.path,
        )
        kept = _returned[key] = placed, returned, differs, made
    return kept[3]


def _placed(
    item: Item,
    path: StoryPath,
    manner: Manner,
    usual: Manner,
    *,
    section: str = "",
    refrain: str | None = None,
    number: int | None = None,
) -> Placed:
    if isinstance(item, Line):
        return Placed(
            item,
            path,
            item.manner.over(manner),
            section,
            refrain,
            number=number,
            usual=usual,
        )
    if isinstance(item, RefrainUse):
        manner = item.manner.over(usual)
    return Placed(item, path, manner, section, refrain, usual=usual)
