"""Lines spoken by the voice program, paced so that stressed words begin on their taps."""

from functools import partial

import numpy as np
from attrs import frozen

from tapscore.exports.audio.sound import Sound, frames
from tapscore.exports.audio.spool import PutAside, Spool
from tapscore.exports.audio.voice.clean import cleaned
from tapscore.exports.audio.voice.feet import Foot, feet
from tapscore.exports.audio.voice.kept_speech import Finished, KeptSpeech
from tapscore.exports.audio.voice.program import BRITISH, FASTEST_WPM, VoiceProgram
from tapscore.exports.audio.voice.shaping import beat_frame, levelled, resampled, stretched, trimmed
from tapscore.rhythm.performance import Segment

SLOWEST_KIND_WPM = 100
"""Slower than this, words are drawn out past understanding; silence follows them instead."""
CUE_WPM = 170
MOST_SQUEEZED = 0.85
"""What is still too long at the fastest rate is stretched to no less than this."""
_NEAR = 0.02
_MOST_TRIES = 6
_RATE_STEP_WPM = 4
_FIRST_WPM = 160


@frozen(eq=False)
class SpokenAt:
    """Mono sound and the frame of the performance it begins at (may be below 0)."""

    start_frame: int
    sound: Sound

    @property
    def end_frame(self) -> int:
        """The first frame after it."""
        return self.start_frame + len(self.sound)


@frozen
class _Asked:
    """A foot as the voice is asked for it, in frames from the line's start."""

    text: str
    start_frame: int
    room_frames: int


class SyntheticVoice:
    """One program with the voices it uses: one for the story, another for cues."""

    def __init__(self, program: VoiceProgram, language: str | None = None) -> None:
        self._english = language is None or language.lower().startswith("en")
        self.voice = BRITISH if self._english else str(language).lower()
        self._speech = KeptSpeech(program)
        self._spool = Spool()
        self._heard: dict[tuple[str, str, int], PutAside] = {}
        """What was said and made ready, on the disc: lines told at other speeds ask it again."""

    def line(self, segment: Segment) -> SpokenAt | None:
        """A line's words from its first to its last; None if there is nothing to say.

        Raises VoiceMissing if the program fails.
        """
        begin = frames(segment.start_sec)
        divided = feet(segment)
        # from the line's own start: the same wherever it stands, when it is found again
        asked = tuple(
            _Asked(text, frames(foot.start_sec - segment.start_sec), frames(foot.room_sec))
            for foot in divided
            if (text := self._text(foot, last=foot is divided[-1]))
        )
        if not asked:
            return None
        made = self._speech.finished((self.voice, asked), partial(self._finished, asked))
        return SpokenAt(begin + made.start_frame, made.sound)

    def _finished(self, asked: tuple[_Asked, ...]) -> Finished:
        parts: list[tuple[int, Sound]] = []
        for foot in asked:
            sound = self._paced(foot.text, foot.room_frames)
            free = [start + len(before) for start, before in parts]
            parts.append((max([foot.start_frame - beat_frame(sound), *free]), sound))
        first = parts[0][0]
        whole = np.zeros(max(start + len(sound) for start, sound in parts) - first, np.float32)
        for start, sound in parts:
            whole[start - first : start - first + len(sound)] += sound
        return Finished(first, levelled(whole))

    def plain(self, segment: Segment) -> tuple[Sound, tuple[int, ...]]:
        """A line's feet one after another at an even pace, and the frames they begin at.

        Raises VoiceMissing if the program fails.
        """
        starts: list[int] = []
        sounds: list[Sound] = []
        divided = feet(segment)
        for foot in divided:
            text = self._text(foot, last=foot is divided[-1])
            starts.append(sum(map(len, sounds)))
            sounds.append(
                self._said(text, self.voice, _FIRST_WPM) if text else np.zeros(0, np.float32)
            )
        return np.concatenate([np.zeros(0, np.float32), *sounds]), tuple(starts)

    def cue(self, text: str) -> Sound:
        """A cue at an even pace, in another voice than the story's.

        Raises VoiceMissing if the program fails.
        """
        said = cleaned(text)
        if not said:
            return np.zeros(0, np.float32)
        voice = f"{BRITISH}+f3"

        def made() -> Finished:
            return Finished(0, levelled(self._said(said, voice, CUE_WPM)))

        return self._speech.finished((voice, CUE_WPM, said), made).sound

    def _text(self, foot: Foot, *, last: bool) -> str:
        text = cleaned(foot.words, english=self._english)
        if not text or last or text[-1] in ",.;:!?":
            return text
        return f"{text},"

    def _paced(self, text: str, wanted: int) -> Sound:
        """Said in so many frames: the rate is searched, and the last bit is stretched."""
        low, high = SLOWEST_KIND_WPM, FASTEST_WPM
        rate = _FIRST_WPM
        best = self._said(text, self.voice, rate)
        for _ in range(_MOST_TRIES):
            if abs(len(best) / wanted - 1) <= _NEAR:
                break
            if len(best) > wanted:
                low = rate + _RATE_STEP_WPM
            else:
                high = rate - _RATE_STEP_WPM
            if low > high:
                break
            guess = rate * len(best) / wanted
            rate = min(max(round(guess / _RATE_STEP_WPM) * _RATE_STEP_WPM, low), high)
            said = self._said(text, self.voice, rate)
            if abs(len(said) - wanted) < abs(len(best) - wanted):
                best = said
        if len(best) > wanted:
            return stretched(best, max(wanted, round(len(best) * MOST_SQUEEZED)))
        if len(best) > wanted * (1 - 2 * _NEAR):
            return stretched(best, wanted)
        return best

    def _said(self, text: str, voice: str, words_a_minute: int) -> Sound:
        asked = (text, voice, words_a_minute)
        heard = self._heard.get(asked)
        if heard is not None:
            return heard.samples
        spoken = self._speech.say(text, voice=voice, words_a_minute=words_a_minute)
        samples = spoken.samples.astype(np.float32) / np.float32(32_768)
        ready = trimmed(resampled(samples, spoken.rate_hz))
        self._heard[asked] = self._spool.put(ready)
        return ready
