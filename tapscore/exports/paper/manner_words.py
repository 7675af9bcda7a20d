"""How a line is tapped, in words: what holds for the whole line, and where it differs."""

from collections import Counter
from collections.abc import Callable, Sequence

from attrs import frozen

from tapscore.exports.paper.text_flow import printable
from tapscore.model.loudness import swell_text
from tapscore.model.story import Story
from tapscore.model.words import Syllable, ordinal
from tapscore.rhythm.perform import line_events
from tapscore.rhythm.performance import PerformedTap, Segment
from tapscore.rhythm.unroll import story_manner

MOST_NAMED = 3


@frozen
class Manners:
    """The words for one line, for the taps of one role."""

    stroke: str
    loudness: str
    swell: bool
    tempo: str
    """``"slowing"``, ``"quickening"``, ``"slower"``, ``"quicker"`` or nothing."""
    spot: str
    """The spot's name, or nothing."""

    @property
    def words(self) -> tuple[str, ...]:
        """All that there is to say, in order."""
        return tuple(w for w in (self.stroke, self.loudness, self.tempo, self.spot) if w)


def manners(story: Story, segment: Segment, taps: Sequence[PerformedTap]) -> Manners:
    """Describe how ``taps`` of a line are made."""
    own = _own_loudness(segment)
    levels = segment.manner.loudness
    swell = len(levels) > 1
    usual = swell_text(levels)

    def loudness(tap: PerformedTap) -> str:
        return tap.loudness.word if tap.event in own else usual

    return Manners(
        _described(segment, taps, lambda tap: tap.stroke.word),
        _described(segment, taps, loudness),
        swell and any(tap.event not in own for tap in taps),
        tempo_word(story, segment),
        _described(segment, taps, lambda tap: tap.spot or ""),
    )


def tempo_word(story: Story, segment: Segment) -> str:
    """How the line's tempo changes, or differs from the story's; empty if it does neither."""
    tempo = segment.manner.tempo
    usual = story_manner(story).tempo
    if tempo is None or usual is None:
        return ""
    if tempo.change_word:
        return tempo.change_word
    if tempo.start == usual.start:
        return ""
    return "slower" if tempo.start < usual.start else "quicker"


def seconds_words(seconds: float) -> str:
    """``"10 seconds"``, ``"1 minute"``, ``"2 minutes 30 seconds"``."""
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    parts = []
    if minutes:
        parts.append(f"{minutes} minute{'s' if minutes != 1 else ''}")
    if rest or not minutes:
        parts.append(f"{rest} second{'s' if rest != 1 else ''}")
    return " ".join(parts)


def clock(seconds: float) -> str:
    """``"3:05"``, minutes and seconds."""
    minutes, rest = divmod(int(seconds + 0.5), 60)
    return f"{minutes}:{rest:02d}"


def _own_loudness(segment: Segment) -> set[int]:
    if segment.line is None:
        return set()
    events, _ = line_events(segment.line, segment.metre)
    return {
        i
        for i, event in enumerate(events)
        if event.cell.detail is not None and event.cell.detail.loudness is not None
    }


def _described(
    segment: Segment, taps: Sequence[PerformedTap], value: Callable[[PerformedTap], str]
) -> str:
    values = [value(tap) for tap in taps]
    counts = Counter(values)
    if not counts:
        return ""
    usual = counts.most_common(1)[0][0]
    if len(counts) == 1:
        return usual
    said = [usual] if usual else []
    for other in dict.fromkeys(values):
        if other == usual or not other:
            continue
        places = [_place(segment, tap) for tap, v in zip(taps, values, strict=True) if v == other]
        named = _listed(places) if len(places) <= MOST_NAMED else f"{len(places)} taps"
        said.append(f"{other} on {named}")
    return ", but ".join(said[:2]) + "".join(f", {more}" for more in said[2:])


def _place(segment: Segment, tap: PerformedTap) -> str:
    """Name a tap by its syllable: which, where the line has several alike, and of what word."""
    syllables = segment.line.syllables if segment.line else ()
    if tap.syllable is not None and tap.syllable < len(syllables):
        return _syllable_name(syllables, tap.syllable)
    before = [s.index for s in segment.syllables if s.onset_beats < tap.onset_beats]
    if not before:
        return "the tap at the start"
    return f"the tap after {_syllable_name(syllables, before[-1])}"


def _syllable_name(syllables: Sequence[Syllable], index: int) -> str:
    here = syllables[index]
    word = [s for s in syllables if s.word == here.word]
    alike = [
        i
        for i, s in enumerate(syllables)
        if _bare(s.text) == _bare(here.text)
        and (len(word) == 1) == (sum(o.word == s.word for o in syllables) == 1)
    ]
    which = f"the {ordinal(alike.index(index) + 1)} " if len(alike) > 1 else ""
    name = f"{which}“{_bare(here.text)}”"
    if len(word) == 1:
        return name
    return f"{name} of “{_bare(''.join(s.text for s in word))}”"


def _bare(text: str) -> str:
    return printable(text).strip(" ,.;:!?").lower()


def _listed(places: Sequence[str]) -> str:
    unique = list(dict.fromkeys(places))
    if len(unique) == 1:
        return unique[0]
    return ", ".join(unique[:-1]) + " and " + unique[-1]
