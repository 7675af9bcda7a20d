"""How a line is tapped: what holds for all of it, and where single taps differ.

The one description.  Rows, cards, cue sheet, notation and what a screen reader says are views
on it: the data first, their words last.
"""

from collections.abc import Callable, Collection, Sequence
from functools import lru_cache

from attrs import evolve, frozen

from tapscore.model.lane import LaneEvent, TapDetail
from tapscore.model.loudness import Swell, nearest_step, swell_words
from tapscore.model.manner import EVERYONE, Manner
from tapscore.model.story import Line
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo, tempo_words
from tapscore.model.wordings import joined, ordinal
from tapscore.model.words import Syllable
from tapscore.rhythm.layout import line_layout, tap_levels
from tapscore.rhythm.unroll import Placed
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

MOST_NAMED = 3
"""More taps than this that differ alike are counted, not named."""


@frozen
class WrittenTap:
    """A tap of a line with all that holds for it, as written: not yet in time."""

    event: int
    """Which event of the line's lane, from 0."""
    lane_event: LaneEvent
    loudness: Swell
    """Its own one step, or the line's: steady, or the swell it stands in."""
    own_loudness: bool
    stroke: Stroke
    spot: str | None
    by: tuple[str, ...]
    single: str | None = None
    """The one adult of whom this is told, where adults tap differently at once."""


@frozen
class Unlike:
    """Taps of a line that differ from most in one thing, all in the same way."""

    word: str
    events: tuple[int, ...]
    where: str
    """Which taps, in words."""

    @property
    def words(self) -> str:
        """``"loud on “tern”"``."""
        return say("{how} on {taps}", how=self.word or say("anywhere"), taps=self.where)


@frozen
class Aspect:
    """One thing about how taps are made: the usual, and what differs."""

    usual: str
    """The word for most of the taps; empty where there is nothing to say."""
    unlike: tuple[Unlike, ...] = ()
    """What differs, in the order in which it first comes."""

    @property
    def words(self) -> str:
        """``"quiet, but loud on “tern”"``."""
        said = [self.usual] if self.usual else []
        said += [other.words for other in self.unlike]
        if len(said) < 2:
            return "".join(said)
        return say("{usual}, but {unlike:list}", usual=said[0], unlike=tuple(said[1:]))


@frozen
class Description:
    """How some taps of a line are made."""

    loudness: Aspect
    stroke: Aspect
    spot: Aspect
    by: Aspect
    tempo: str
    """``"slowing"``, ``"quickening"``, ``"slower"``, ``"quicker"`` (than the story) or nothing."""
    pace: str
    """The same with felt beats a minute: ``"slowing, 54 to 42 a minute"``."""
    line_loudness: Swell
    """What taps without a loudness of their own keep to: one step, or a swell; empty for none."""

    @property
    def swell(self) -> bool:
        """Whether several of the taps stand in a swell."""
        return len(self.line_loudness) > 1

    @property
    def manner_words(self) -> tuple[str, ...]:
        """Loudness, stroke, tempo and spot, as far as there is something to say."""
        found = (self.loudness.words, self.stroke.words, self.tempo, self.spot.words)
        return tuple(words for words in found if words)


@lru_cache(maxsize=4096)
def written_taps(line: Line, manner: Manner) -> tuple[WrittenTap, ...]:
    """The taps of a line in order of time; none for a line without a rhythm."""
    layout = line_layout(line, manner.metre)
    taps: list[WrittenTap] = []
    for index in layout.tapped:
        event = layout.events[index]
        detail = event.cell.detail or TapDetail()
        adults = detail.adults or manner.by
        singles = [name for name, _ in detail.single]
        if EVERYONE in adults or any(name not in singles for name in adults):
            taps.append(_written(index, event, detail, manner, adults))
        for name in singles:
            taps.append(
                evolve(_written(index, event, detail.of(name), manner, adults), single=name)
            )
    return tuple(taps)


def _written(
    index: int, event: LaneEvent, own: TapDetail, manner: Manner, adults: tuple[str, ...]
) -> WrittenTap:
    return WrittenTap(
        index,
        event,
        (own.loudness,) if own.loudness is not None else manner.loudness,
        own.loudness is not None,
        own.stroke or manner.stroke,
        own.spot if own.spot is not None else manner.spot,
        adults,
    )


def _one_tap_is_steady(taps: list[WrittenTap], line: Line, manner: Manner) -> list[WrittenTap]:
    """The taps; where one alone stands in the swell, with the step at which it is heard."""
    swelling = {tap.event for tap in taps if len(tap.loudness) > 1}
    if len(swelling) != 1:
        return taps
    (event,) = swelling
    layout = line_layout(line, manner.metre)
    level = tap_levels(layout, manner.loudness)[layout.tapped.index(event)]
    step = (nearest_step(level),)
    return [evolve(tap, loudness=step) if len(tap.loudness) > 1 else tap for tap in taps]


def _made_by(taps: Sequence[WrittenTap], role: str) -> list[WrittenTap]:
    """The taps as one adult makes them."""
    own = {tap.event for tap in taps if tap.single == role}
    return [tap for tap in taps if tap.single == role or not (tap.single or tap.event in own)]


def describe(
    placed: Placed, events: Collection[int] | None = None, role: str | None = None
) -> Description:
    """How a line's taps are made, or those of the lane's ``events`` alone, as ``role`` makes them.

    One tap alone has one loudness, in a swell as well: the step it is heard at.
    Raises ValueError for what is no line.
    """
    line = placed.line
    if line is None:
        raise ValueError("only a line is tapped")
    some = None if events is None else frozenset(events)
    return _described(line, placed.manner, placed.usual.tempo, some, role)


@lru_cache(maxsize=4096)
def _described(
    line: Line, manner: Manner, usual: Tempo, events: frozenset[int] | None, role: str | None
) -> Description:
    taps = [t for t in written_taps(line, manner) if events is None or t.event in events]

    if role is not None:
        taps = _made_by(taps, role)
    taps = _one_tap_is_steady(taps, line, manner)

    def aspect(value: Callable[[WrittenTap], str]) -> Aspect:
        if role is not None or len(set(map(value, taps))) < 2:
            return _aspect(line, manner, taps, value)
        return _aspect(line, manner, taps, lambda tap: _by_whom(tap, value(tap)))

    return Description(
        loudness=aspect(lambda tap: swell_words(tap.loudness)),
        stroke=aspect(lambda tap: tap.stroke.shown),
        spot=aspect(lambda tap: tap.spot or ""),
        by=_aspect(line, manner, taps, lambda tap: joined(tap.by)),
        tempo=tempo_word(manner.tempo, usual),
        pace=_pace(manner.tempo, usual),
        line_loudness=next((tap.loudness for tap in taps if not tap.own_loudness), ()),
    )


def usual_manner(placed: Placed) -> Manner:
    """A line's manner as most of its taps have it, which its description begins with.

    Raises ValueError for what is no line.
    """
    found, manner, line = describe(placed), placed.manner, placed.line
    assert line is not None
    taps = written_taps(line, manner)
    loudness = found.line_loudness or manner.loudness
    return evolve(
        manner,
        loudness=next(
            (t.loudness for t in taps if swell_words(t.loudness) == found.loudness.usual), loudness
        ),
        stroke=next(
            (t.stroke for t in taps if t.stroke.shown == found.stroke.usual), manner.stroke
        ),
        spot=next((t.spot for t in taps if (t.spot or "") == found.spot.usual), manner.spot),
        by=next((t.by for t in taps if joined(t.by) == found.by.usual), manner.by),
    )


def tempo_word(tempo: Tempo, usual: Tempo) -> str:
    """How a tempo changes, or differs from the story's; empty if it does neither."""
    if tempo.change_word or tempo.start == usual.start:
        return tempo.change_word
    return "slower" if tempo.start < usual.start else "quicker"


def tap_place(line: Line, manner: Manner, event: int) -> str:
    """Name a tap by its syllable, so that it can't be taken for another.

    Which one, where the line has several alike, and of what word: ``the 2nd “the”``,
    ``“tern” of “lantern”``, ``the first tap after “bump”``.
    """
    events = line_layout(line, manner.metre).events
    syllables = line.syllables
    said = _said(events[event], syllables)
    if said is not None:
        return syllable_name(syllables, said)
    first = last = event
    while first > 0 and _said(events[first - 1], syllables) is None:
        first -= 1
    while last + 1 < len(events) and _said(events[last + 1], syllables) is None:
        last += 1
    which = _counted(event - first + 1) if last > first else None
    before = _said(events[first - 1], syllables) if first else None
    if before is None:
        return say("the {which:=|*={which} }tap at the start", which=which)
    return say(
        "the {which:=|*={which} }tap after {syllable}",
        which=which,
        syllable=syllable_name(syllables, before),
    )


def syllable_name(syllables: Sequence[Syllable], index: int) -> str:
    """A syllable in quotes, with which one it is and of what word where that is needed."""
    here = syllables[index]
    word = [s for s in syllables if s.word == here.word]
    alike = [
        i
        for i, s in enumerate(syllables)
        if _bare(s.text) == _bare(here.text)
        and (len(word) == 1) == (sum(o.word == s.word for o in syllables) == 1)
    ]
    return say(
        "{which:=|*=the {which} }“{syllable}”{word:=|*= of “{word}”}",
        which=ordinal(alike.index(index) + 1) if len(alike) > 1 else None,
        syllable=_bare(here.text),
        word=None if len(word) == 1 else _bare("".join(s.text for s in word)),
    )


def _by_whom(tap: WrittenTap, word: str) -> str:
    return f"{word} ({tap.single})" if tap.single and word else word


def _aspect(
    line: Line, manner: Manner, taps: Sequence[WrittenTap], value: Callable[[WrittenTap], str]
) -> Aspect:
    events: dict[str, list[int]] = {}
    for tap in taps:
        at = events.setdefault(value(tap), [])
        at += [tap.event] if tap.event not in at else []
    if not events:
        return Aspect("")
    usual = max(events, key=lambda word: len(events[word]))
    return Aspect(
        usual,
        tuple(
            Unlike(word, tuple(at), _named(line, manner, at))
            for word, at in events.items()
            if word != usual
        ),
    )


def _named(line: Line, manner: Manner, events: Sequence[int]) -> str:
    if len(events) > MOST_NAMED:
        return say("{taps:1 tap|# taps}", taps=len(events))
    return joined(tap_place(line, manner, event) for event in events)


def _pace(tempo: Tempo, usual: Tempo) -> str:
    word = tempo_word(tempo, usual)
    if not word:
        return ""
    return say("{how}, {tempo} a minute", how=term(word), tempo=tempo_words(tempo))


def _said(event: LaneEvent, syllables: Sequence[Syllable]) -> int | None:
    """The syllable of an event, if the words go so far."""
    said = event.syllable
    return said if said is not None and said < len(syllables) else None


def _counted(number: int) -> str:
    words = (say("first"), say("second"), say("third"), say("fourth"), say("fifth"))
    return words[number - 1] if number <= len(words) else ordinal(number)


def _bare(text: str) -> str:
    return text.strip(" ,.;:!?").lower()
