"""The click guide: the story as a MIDI file of format 1, after Standard MIDI Files 1.0.

Tracks: the tempo map with markers and cue points; the words, a lyric for each syllable
(a hyphen follows a syllable inside a word, a space follows a word); a part for each
adult; the clicks.  All sounds are General MIDI percussion.  Text is UTF-8.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from io import BytesIO
from typing import TYPE_CHECKING

from attrs import frozen

from tapscore.exports.audio.clicks import clicks
from tapscore.exports.audio.cues import CueKind, cues
from tapscore.exports.audio.tap_gain import tap_gain_db
from tapscore.exports.midi_clock import TICKS_PER_QUARTER, TickClock, tempo_events
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.model.words import Syllable, printed
from tapscore.rhythm.performance import Performance, PerformedTap, SegmentKind
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from mido import Message, MetaMessage, MidiTrack  # type: ignore[import-untyped]


from tapscore.model.metre import Metre

CLOCKS_PER_QUARTER = 24


@frozen
class BarStart:
    """From this felt beat on, bars are counted in this metre."""

    onset_beats: Fraction
    metre: Metre

    @property
    def clocks_per_click(self) -> int:
        """MIDI clocks (24 a crotchet) in a felt beat: 36 in 6/8."""
        return int(self.metre.beat_quarters * CLOCKS_PER_QUARTER)


def bar_starts(performance: Performance) -> tuple[BarStart, ...]:
    """The first bar, and every downbeat where the metre changes or the bars start anew."""
    starts: list[BarStart] = []
    for start in _all_starts(performance):
        if starts and starts[-1].onset_beats == start.onset_beats:
            starts.pop()
        starts.append(start)
    return tuple(starts)


def _all_starts(performance: Performance) -> Iterator[BarStart]:
    if not performance.segments:
        yield BarStart(Fraction(0), Metre(4, 4))
        return
    metre = performance.segments[0].metre
    grid = Fraction(0)
    yield BarStart(grid, metre)
    for segment in performance.segments:
        start, bar = segment.start_beats, segment.metre.beats
        if segment.metre == metre and (start - grid) % bar == segment.bar_phase_beats % bar:
            continue
        downbeat = start + -segment.bar_phase_beats % bar
        if downbeat < start + segment.beats:
            metre, grid = segment.metre, downbeat
            yield BarStart(downbeat, metre)


PERCUSSION_CHANNEL = 9
"""Counted from 0; channel 10 on the front of an instrument."""
CLICK_DOWNBEAT_NOTE = 75
"""Claves."""
CLICK_NOTE = 37
"""Side stick."""
ROLE_NOTES = (76, 77, 60, 61, 63, 64, 67, 68, 65, 66, 62, 56, 54, 69, 70, 50, 48, 47, 45, 43, 41)
"""A General MIDI percussion sound for each adult: the wood blocks first, then drums."""

_VERY_LOUD_VELOCITY = 108
_CLICK_VELOCITY = 64
_DOWNBEAT_VELOCITY = 88
_CLICK_TICKS = TICKS_PER_QUARTER // 8


@frozen
class _Event:
    """A message at an absolute tick; at one tick, lower ``order`` comes first."""

    tick: int
    order: int
    message: "Message | MetaMessage"


_ENDS, _SETS, _SAYS, _STARTS = range(4)


def click_guide(story: Story, performance: Performance) -> bytes:
    """The whole MIDI file of a performance.

    The performance should have a count-in and its offerings shortened.  A tap lasts as
    its lane says.  Taps on no whole tick (a step in seven, say) are moved by less than
    half a tick, and the tempo so bent that they sound on their second.
    """
    import mido

    clock = TickClock(performance)
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8")
    tracks = [
        (story.title, _conductor(performance, clock)),
        ("words", _words(performance, clock)),
        *((role, _part(performance, role, clock)) for role in performance.roles),
        ("clicks", _click_part(performance, clock)),
    ]
    file.tracks.extend(_track(name, events, clock.end_ticks) for name, events in tracks)
    whole = BytesIO()
    file.save(file=whole)
    return whole.getvalue()


def velocity(level: Fraction, *, accent: bool = False) -> int:
    """MIDI velocity for a loudness from 0 to 4.

    Synthesisers commonly give 40*log10(velocity/127) dB (common practice, after the
    Downloadable Sounds standard), so that a step of loudness here is one there too.
    """
    return round(_VERY_LOUD_VELOCITY * 10 ** (tap_gain_db(level, accent=accent) / 40))


def role_note(performance: Performance, role: str) -> int:
    """The percussion note of an adult's part."""
    return ROLE_NOTES[performance.roles.index(role) % len(ROLE_NOTES)]


def _track(name: str, events: Iterable[_Event], end_ticks: int) -> "MidiTrack":
    import mido

    track = mido.MidiTrack([mido.MetaMessage("track_name", name=_text(name))])
    now = 0
    for event in sorted(events, key=lambda event: (event.tick, event.order)):
        track.append(event.message.copy(time=event.tick - now))
        now = event.tick
    track.append(mido.MetaMessage("end_of_track", time=max(end_ticks - now, 0)))
    return track


def _conductor(performance: Performance, clock: TickClock) -> Iterator[_Event]:
    import mido

    for start in bar_starts(performance):
        metre = start.metre
        signature = mido.MetaMessage(
            "time_signature",
            numerator=metre.count,
            denominator=metre.unit,
            clocks_per_click=start.clocks_per_click,
        )
        yield _Event(clock.ticks(start.onset_beats), _SETS, signature)
    for tempo in tempo_events(performance, clock):
        message = mido.MetaMessage("set_tempo", tempo=tempo.tempo_us)
        yield _Event(tempo.tick, _SETS, message)
    for beat, text in _markers(performance):
        yield _Event(clock.ticks(beat), _SAYS, mido.MetaMessage("marker", text=_text(text)))
    for cue in cues(performance):
        if cue.kind is not CueKind.SECTION:
            message = mido.MetaMessage("cue_marker", text=_text(cue.text))
            yield _Event(clock.ticks(cue.onset_beats), _SAYS, message)


def _markers(performance: Performance) -> Iterator[tuple[Fraction, str]]:
    section = None
    refrain: tuple[str | None, int] = (None, 0)
    for segment in performance.segments:
        if segment.kind is SegmentKind.COUNT_IN:
            yield segment.start_beats, say("count-in")
            continue
        if segment.section and segment.section != section:
            yield segment.start_beats, say("section: {title}", title=segment.section)
        section = segment.section
        if segment.refrain and (segment.refrain, segment.refrain_time) != refrain:
            yield (
                segment.start_beats,
                say("refrain: {name} ({time})", name=segment.refrain, time=segment.refrain_time),
            )
        refrain = (segment.refrain, segment.refrain_time)
        if segment.line is not None:
            number = f"{segment.number}: " if segment.number is not None else ""
            yield segment.start_beats, number + printed(segment.line.words)


def _words(performance: Performance, clock: TickClock) -> Iterator[_Event]:
    import mido

    for segment in performance.segments:
        for said in segment.syllables:
            message = mido.MetaMessage("lyrics", text=_text(lyric(said.syllable)))
            yield _Event(clock.ticks(said.onset_beats), _SAYS, message)


def lyric(syllable: Syllable) -> str:
    """A syllable as a lyric: inside a word it ends in a hyphen, at its end in a space."""
    if syllable.ends_word:
        return syllable.text + " "
    return syllable.text if syllable.text.endswith("-") else syllable.text + "-"


def _part(performance: Performance, role: str, clock: TickClock) -> Iterator[_Event]:
    import mido

    taps: dict[int, PerformedTap] = {}
    for tap in performance.taps:
        if tap.role == role:
            taps.setdefault(clock.ticks(tap.onset_beats), tap)
    starts = sorted(taps)
    note = role_note(performance, role)
    stroke: Stroke | None = None
    for tick, following in zip(starts, [*starts[1:], clock.end_ticks + 1], strict=False):
        tap = taps[tick]
        if tap.stroke is not stroke:
            stroke = tap.stroke
            yield _Event(tick, _SAYS, mido.MetaMessage("text", text=stroke.shown))
        end = max(min(clock.ticks(tap.onset_beats + tap.length_beats), following), tick + 1)
        yield from _note(note, velocity(tap.level, accent=tap.accent), tick, end)


def _click_part(performance: Performance, clock: TickClock) -> Iterator[_Event]:
    ticks = [(clock.ticks(click.onset_beats), click.downbeat) for click in clicks(performance)]
    following = [*(tick for tick, _ in ticks[1:]), clock.end_ticks + _CLICK_TICKS]
    for (tick, downbeat), limit in zip(ticks, following, strict=False):
        note = CLICK_DOWNBEAT_NOTE if downbeat else CLICK_NOTE
        loud = _DOWNBEAT_VELOCITY if downbeat else _CLICK_VELOCITY
        yield from _note(note, loud, tick, max(min(tick + _CLICK_TICKS, limit), tick + 1))


def _note(note: int, loud: int, start: int, end: int) -> Iterator[_Event]:
    import mido

    on = mido.Message("note_on", channel=PERCUSSION_CHANNEL, note=note, velocity=loud)
    off = mido.Message("note_off", channel=PERCUSSION_CHANNEL, note=note, velocity=0)
    yield _Event(start, _STARTS, on)
    yield _Event(end, _ENDS, off)


def _text(text: str) -> str:
    """One line of text that UTF-8 can hold."""
    return " ".join(text.encode("utf-8", "replace").decode("utf-8").splitlines())
