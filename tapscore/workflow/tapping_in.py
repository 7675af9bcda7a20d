"""A rhythm tapped in: times of taps become a line's lane."""

from collections.abc import Sequence
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from pathlib import Path

from attrs import frozen

from tapscore.disc.reading import read_bounded
from tapscore.model.lane import Lane, lane_events
from tapscore.model.lane_edits import toggle_tap
from tapscore.model.metre import Metre
from tapscore.wording.catalogue import say
from tapscore.words.fit import Fit
from tapscore.words.line import SungSyllable, read_line
from tapscore.words.tapped import TappedReading, read_taps
from tapscore.workflow.fitting import lane_of

_FINEST = 4
MOST_TAPS = 200
"""More than one line ever has; reading them takes longer the more there are."""
_MOST_BYTES = 200_000
_LONGEST_SEC = 3600.0


@frozen
class TappedLane:
    """One way to read what was tapped."""

    lane: Lane
    tempo: int
    """Felt beats a minute, rounded."""
    pace: str
    """``as tapped``, ``half as fast`` or ``twice as fast``."""
    missed: tuple[str, ...]
    """Syllables that had no tap; they are said alone."""
    extra: int
    """Taps that belong to no syllable; they are left out."""


def lanes_from_taps(words: str, metre: Metre, taps_sec: Sequence[float]) -> tuple[TappedLane, ...]:
    """Lanes for hyphenated words from times in seconds, likeliest first; none for too few."""
    syllables = read_line(words)
    lanes: list[TappedLane] = []
    for reading in read_taps(taps_sec, syllables, metre):
        onsets = _onsets(reading, len(syllables), metre)
        if onsets is None:
            continue
        bars = int(max(onsets) // metre.beats) + 1
        fit = Fit(tuple(onsets), bars, max(-onsets[0], Fraction(0)), 0.0, metre)
        lanes.append(_tapped_lane(reading, lane_of(fit, syllables), syllables, metre))
    return tuple(lanes)


def read_tap_times(path: Path) -> tuple[float, ...]:
    """Times in seconds from a MIDI file's note-ons or a text with one time a line.

    Raises OSError where the file can't be read, ValueError with a plain sentence where it
    holds something else.
    """
    data = read_bounded(path, _MOST_BYTES)
    times = _midi_times(data) if data.startswith(b"MThd") else _written_times(data)
    if len(times) > MOST_TAPS:
        raise ValueError(
            say(
                "there are {count:,} taps in it; a line has at most {most}",
                count=len(times),
                most=MOST_TAPS,
            )
        )
    return tuple(sorted(times))


def _written_times(data: bytes) -> list[float]:
    times: list[float] = []
    for number, line in enumerate(data.decode("utf-8-sig", errors="replace").splitlines(), 1):
        if not line.strip():
            continue
        try:
            time = float(line.strip().replace(",", "."))
        except ValueError:
            time = -1.0
        if not 0 <= time < _LONGEST_SEC:
            raise ValueError(
                say(
                    "line {number} is no time in seconds: {words}",
                    number=number,
                    words=line.strip()[:40],
                )
            )
        times.append(time)
    return times


def _midi_times(data: bytes) -> list[float]:
    import mido  # type: ignore[import-untyped]

    now, times = 0.0, []
    try:
        for message in mido.MidiFile(file=BytesIO(data)):
            now += message.time
            if not 0 <= now < _LONGEST_SEC:
                break
            if message.type == "note_on" and message.velocity > 0:
                times.append(now)
    except Exception as error:  # a damaged file makes the library raise nearly anything
        raise ValueError(say("the MIDI file breaks off or is damaged")) from error
    if not 0 <= now < _LONGEST_SEC:
        raise ValueError(say("it lasts far too long"))
    return times


def _onsets(reading: TappedReading, count: int, metre: Metre) -> list[Fraction] | None:
    """Where each syllable falls; those without a tap halfway to the next, on a fine grid."""
    known: dict[int, Fraction] = {}
    for syllable, place in zip(reading.syllables, reading.places_beats, strict=True):
        if syllable is not None and place is not None:
            known.setdefault(syllable, place)
    if not known:
        return None
    step = Fraction(1, metre.steps_per_beat)
    onsets: list[Fraction] = []
    for syllable in range(count):
        if syllable in known:
            onsets.append(known[syllable])
            continue
        following = min((s for s in known if s > syllable), default=None)
        if not onsets:
            assert following is not None
            onsets.append(known[following] - (following - syllable) * step)
        elif following is None:
            onsets.append(onsets[-1] + step)
        else:
            gap = (known[following] - onsets[-1]) / (following - syllable + 1)
            fine = step / _FINEST
            onsets.append(onsets[-1] + max(gap // fine, 1) * fine)
    if any(after <= before for before, after in pairwise(onsets)):
        return None
    return onsets


def _tapped_lane(
    reading: TappedReading, lane: Lane, syllables: tuple[SungSyllable, ...], metre: Metre
) -> TappedLane:
    missed = set(reading.missed)
    for number, event in enumerate(lane_events(lane, metre)):
        if event.syllable in missed:
            lane = toggle_tap(lane, number)
    return TappedLane(
        lane,
        round(reading.tempo),
        reading.pace,
        tuple(syllables[at].text for at in reading.missed),
        sum(syllable is None for syllable in reading.syllables),
    )
