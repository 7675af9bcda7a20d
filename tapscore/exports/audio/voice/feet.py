"""A line divided where its stressed words meet the beat, each part with its time.

The parts are of whole words, as a voice can only say those.  Each begins at a word whose
stressed, tapped syllable falls on the beat, so that it can be spoken to begin there.
"""

from fractions import Fraction

from attrs import frozen

from tapscore.model.words import Syllable
from tapscore.rhythm.performance import PerformedSyllable, Segment
from tapscore.words.line import written_out

SHORTEST_SEC = 0.5
"""A shorter part is spoken together with the next: prepositions alone sound like barking."""

WEAK_SYLLABLE_SEC = 0.16
"""How long a voice takes over a syllable that leads to a stressed one (as espeak-ng does)."""

KIND_SYLLABLE_SEC = 0.45
"""The last words may ring on into a rest up to this for each syllable."""


@frozen
class Foot:
    """A few words, and the seconds they may take."""

    words: str
    """As printed."""
    start_sec: float
    room_sec: float
    """Up to the next part, or the end of the line's last syllable."""
    syllables: int


def feet(segment: Segment) -> tuple[Foot, ...]:
    """The parts of a line in order; none if it has no words."""
    words = _words(segment.syllables)
    if not words:
        return ()
    strong = _strong(segment)
    groups: list[list[list[PerformedSyllable]]] = []
    for word in words:
        begins = any(syllable.index in strong for syllable in word)
        begins = begins and not (groups and _said_with(groups[-1][-1], word))
        if not groups or (begins and _long_enough(groups[-1], word)):
            groups.append([])
        groups[-1].append(word)
    starts = [group[0][0].onset_sec for group in groups]
    starts[0] = _begun_late(groups[0], strong)
    last = groups[-1][-1][-1]
    kind_sec = KIND_SYLLABLE_SEC * sum(len(word) for word in groups[-1])
    rest_sec = min(starts[-1] + kind_sec, segment.start_sec + segment.length_sec)
    ends = [*starts[1:], max(last.onset_sec + last.length_sec, rest_sec)]
    return tuple(
        Foot(
            " ".join(_printed(word) for word in group),
            start,
            max(end - start, 0.05),
            sum(len(word) for word in group),
        )
        for group, start, end in zip(groups, starts, ends, strict=True)
    )


def _words(syllables: tuple[PerformedSyllable, ...]) -> list[list[PerformedSyllable]]:
    words: list[list[PerformedSyllable]] = []
    for syllable in syllables:
        if not words or words[-1][-1].syllable.word != syllable.syllable.word:
            words.append([])
        words[-1].append(syllable)
    return words


def _begun_late(words: list[list[PerformedSyllable]], strong: frozenset[int]) -> float:
    """When the first part begins: its weak words just before the stressed one they lead to."""
    before = 0
    for word in words:
        if any(syllable.index in strong for syllable in word):
            late = word[0].onset_sec - before * WEAK_SYLLABLE_SEC
            return max(words[0][0].onset_sec, late)
        before += len(word)
    return words[0][0].onset_sec


def _strong(segment: Segment) -> frozenset[int]:
    """Syllables that are tapped and stand on a felt beat or carry an accent."""
    tapped = {tap.syllable: tap.accent for tap in segment.taps if tap.syllable is not None}
    return frozenset(
        syllable.index
        for syllable in segment.syllables
        if syllable.index in tapped
        and (tapped[syllable.index] or _on_beat(segment, syllable.onset_beats))
    )


def _on_beat(segment: Segment, onset: Fraction) -> bool:
    return (segment.bar_phase_beats + onset - segment.start_beats) % 1 == 0


def _long_enough(group: list[list[PerformedSyllable]], following: list[PerformedSyllable]) -> bool:
    return following[0].onset_sec - group[0][0].onset_sec >= SHORTEST_SEC


def _said_with(word: list[PerformedSyllable], following: list[PerformedSyllable]) -> bool:
    """Whether a word is said otherwise for the one beside it, as in *No. 3* or *Henry VIII*."""
    pair = (_printed(word), _printed(following))
    return written_out(" ".join(pair)) != " ".join(map(written_out, pair))


def _printed(word: list[PerformedSyllable]) -> str:
    parts: list[Syllable] = [syllable.syllable for syllable in word]
    return "".join(part.text for part in parts)
