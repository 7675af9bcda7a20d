"""Everything that is spoken in a performance, placed: the story's lines and the cues."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from pathlib import Path

from attrs import define, field, frozen

from tapscore.exports.audio.cues import CueKind, SpokenCue, cues
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, frames
from tapscore.exports.audio.spool import PutAside, Spool
from tapscore.exports.audio.voice.alignment import part_starts
from tapscore.exports.audio.voice.decode import RecordingUnusable, read_recording
from tapscore.exports.audio.voice.feet import feet
from tapscore.exports.audio.voice.line_names import spoken_lines
from tapscore.exports.audio.voice.program import PROGRAM, VoiceMissing, voice_program
from tapscore.exports.audio.voice.recorded import placed_recording
from tapscore.exports.audio.voice.recordings import Recordings, find_recordings
from tapscore.exports.audio.voice.synthetic import SpokenAt, SyntheticVoice
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.role_view import RoleView
from tapscore.wording.about import About, Datum

EARLIEST_SEC = 8.0
"""So long before a line its cues are spoken at the most, beyond their own length."""
AFTER_TONE_SEC = 0.35
BETWEEN_SEC = 0.12
_STEP_SEC = 0.1
_HERE = (CueKind.WAIT, CueKind.OFFER)

Stretch = tuple[float, float]
"""Begin and end in seconds."""


def is_spoken_here(cue: SpokenCue) -> bool:
    """Whether a cue is spoken as its wait or offering begins, and not before."""
    return cue.kind in _HERE


def place_before(
    length_sec: float, deadline_sec: float, busy: Sequence[Stretch], earliest_sec: float = 0.0
) -> float:
    """When to begin something of a length so that it ends by the deadline.

    The latest time that overlaps least with ``busy`` (the story's own words).  If there
    is no room after ``earliest_sec``, that is when it begins, and it ends too late.
    """
    latest = deadline_sec - length_sec
    if latest <= earliest_sec:
        return earliest_sec
    first = max(earliest_sec, latest - EARLIEST_SEC)
    near = [(a, b) for a, b in busy if b > first and a < deadline_sec]
    count = int((latest - first) / _STEP_SEC)
    tried = [latest - i * _STEP_SEC for i in range(count + 1)]
    tried += [b for _, b in near if first <= b <= latest]
    return min(sorted(tried, reverse=True), key=lambda at: _overlap(at, at + length_sec, near))


def _overlap(begin: float, end: float, busy: Sequence[Stretch]) -> float:
    shared = sum(max(min(end, b) - max(begin, a), 0.0) for a, b in busy)
    return round(shared, 2)


@frozen(eq=False)
class SpeechAt:
    """What is spoken, put aside, and the frame of the performance it begins at (may be below 0)."""

    start_frame: int
    sound: PutAside

    @property
    def end_frame(self) -> int:
        """The first frame after it."""
        return self.start_frame + len(self.sound)


@frozen(eq=False)
class Speech:
    """What is spoken in one performance."""

    lines: tuple[SpeechAt, ...]
    cues: tuple[SpeechAt, ...]


@define
class Teller:
    """Speaks performances of one story, and remembers what could not be spoken."""

    names: Mapping[StoryPath, str]
    recorded: Mapping[str, PutAside]
    """Recorded lines by their names, at the loudness of all speech."""
    voice: SyntheticVoice | None
    findings: list[Finding] = field(factory=list)
    _spool: Spool = field(factory=Spool, repr=False)
    _said: dict[object, SpeechAt | None] = field(factory=dict, repr=False)
    """Lines already made, each begun at the line's own start: returns and loops share them."""
    _cued: dict[str, PutAside] = field(factory=dict, repr=False)

    def speech(
        self,
        performance: Performance,
        *,
        names: tuple[str, ...] | None = None,
        speed: Fraction = Fraction(1),
        view: RoleView | None = None,
    ) -> Speech:
        """Speak a performance.

        ``names`` are those of its lines in order, where it is only a part of the story;
        ``speed`` is its share of the written tempo; ``view`` is whose doings are spoken, too.
        """
        lines: list[SpeechAt] = []
        called = iter(names) if names is not None else None
        for segment in performance.segments:
            if segment.kind is not SegmentKind.LINE:
                continue
            name = next(called) if called is not None else self.names.get(segment.path, "")
            spoken = self._line(segment, name, speed)
            if spoken is not None:
                lines.append(spoken)
        return Speech(tuple(lines), tuple(self._cues(performance, lines, view)))

    def _line(self, segment: Segment, name: str, speed: Fraction) -> SpeechAt | None:
        start = segment.start_sec
        timing = tuple(
            (foot.words, round(foot.start_sec - start, 4), round(foot.room_sec, 4))
            for foot in feet(segment)
        )
        begin = frames(start)
        asked = (name if name in self.recorded else "", speed, timing)
        if asked not in self._said:
            made = self._made(segment, name, speed)
            self._said[asked] = (
                SpeechAt(made.start_frame - begin, self._spool.put(made.sound)) if made else None
            )
        said = self._said[asked]
        return said and SpeechAt(said.start_frame + begin, said.sound)

    def _made(self, segment: Segment, name: str, speed: Fraction) -> SpokenAt | None:
        recorded = self.recorded.get(name)
        if recorded is not None:
            sound = recorded.samples
            return placed_recording(segment, sound, speed, self._part_starts(segment, sound))
        if self.voice is None:
            return None
        try:
            return self.voice.line(segment)
        except VoiceMissing as error:
            self._give_up(error)
            return None

    def _part_starts(self, segment: Segment, sound: Sound) -> tuple[int, ...] | None:
        if self.voice is None:
            return None
        try:
            spoken, starts = self.voice.plain(segment)
        except VoiceMissing as error:
            self._give_up(error)
            return None
        return part_starts(sound, spoken, starts)

    def _cues(
        self, performance: Performance, lines: list[SpeechAt], view: RoleView | None
    ) -> Iterator[SpeechAt]:
        rate = SAMPLE_RATE_HZ
        busy = [(line.start_frame / rate, line.end_frame / rate) for line in lines]
        free = 0.0
        told = sorted(cues(performance, view), key=lambda cue: (cue.segment, cue.onset_beats))
        for index, group in groupby(told, key=lambda cue: cue.segment):
            segment = performance.segments[index]
            for together in _together(tuple(group)):
                sounds = [sound for cue in together if (sound := self._cue(cue)) is not None]
                if not sounds:
                    continue
                length = sum(len(s) / rate for s in sounds) + BETWEEN_SEC * len(sounds)
                if is_spoken_here(together[0]):
                    at = max(segment.start_sec + AFTER_TONE_SEC, free)
                else:
                    at = place_before(length, segment.start_sec, busy, free)
                for sound in sounds:
                    yield SpeechAt(frames(at), sound)
                    at += len(sound) / rate + BETWEEN_SEC
                free = at

    def _cue(self, cue: SpokenCue) -> PutAside | None:
        if self.voice is None:
            return None
        if cue.said not in self._cued:
            try:
                self._cued[cue.said] = self._spool.put(self.voice.cue(cue.said))
            except VoiceMissing as error:
                self._give_up(error)
                return None
        sound = self._cued[cue.said]
        return sound if len(sound) else None

    def _give_up(self, error: VoiceMissing) -> None:
        self.voice = None
        self.findings.append(_finding("voice-failed", why=str(error), program=PROGRAM))


def teller(performance: Performance, language: str | None, recordings: Path | None) -> Teller:
    """A teller for a whole story, with the recordings in a folder.

    What is missing or can't be used becomes findings; the rest is still spoken.
    """
    spoken = spoken_lines(performance)
    found = find_recordings(recordings, {line.name: line.words for line in spoken})
    findings: list[Finding] = []
    spool = Spool()
    recorded: dict[str, PutAside] = {}
    for name, path in found.files.items():
        try:
            read = read_recording(path)
        except RecordingUnusable as error:
            findings.append(_finding("recording-unusable", why=str(error)))
            continue
        recorded[name] = spool.put(read.sound)
        findings += [_finding("recording-remark", remark=remark) for remark in read.remarks]
    program = voice_program()
    findings += _not_recorded(found, "yes" if program else "no")
    if program is None and len(recorded) < len(spoken):
        findings.append(_finding("voice-missing", program=PROGRAM))
    voice = SyntheticVoice(program, language) if program else None
    return Teller({line.path: line.name for line in spoken}, recorded, voice, findings, spool)


def _not_recorded(found: Recordings, voice: str) -> Iterator[Finding]:
    if found.files and found.missing:
        yield _finding("recordings-missing", names=tuple(found.missing), voice=voice)
    for name, words in found.other_words.items():
        yield _finding("recording-other-words", name=name, words=words, voice=voice)
    for name in found.unmatched:
        yield _finding("recording-unmatched", name=name)


def _together(group: tuple[SpokenCue, ...]) -> Iterator[tuple[SpokenCue, ...]]:
    """Cues before something, then those that are spoken as it begins."""
    for here in (False, True):
        part = tuple(cue for cue in group if is_spoken_here(cue) is here)
        if part:
            yield part


def _finding(code: str, **about: Datum) -> Finding:
    return Finding(code, Severity.ADVICE, about=About(**about))
