"""The voice program's words, paced: with the real program where it is installed."""

import os
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve

from tapscore.disc.whole import part_name
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, frames
from tapscore.exports.audio.voice import kept_speech, synthetic
from tapscore.exports.audio.voice.feet import feet
from tapscore.exports.audio.voice.kept_speech import KeptSpeech, prune
from tapscore.exports.audio.voice.program import (
    SpokenSound,
    VoiceMissing,
    VoiceProgram,
    speak,
    voice_program,
)
from tapscore.exports.audio.voice.shaping import beat_frame, resampled
from tapscore.exports.audio.voice.synthetic import SyntheticVoice
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment, Sounds
from tests.exports.audio.audio_stories import lane, story
from tests.exports.audio.voice.voices import rise_after_sec, spoken

FAKE = VoiceProgram(("nowhere",), "test 1")
REAL = voice_program()
needs_program = pytest.mark.skipif(REAL is None, reason="espeak-ng is not installed here")


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path / "voice"))


def _line(tempo: int, words: str = "Out on the wa-ter the lit-tle boat lay") -> Segment:
    told = story(
        Line(words, lane("XxxXxx", "XxxX..")), metre=Metre(6, 8), tempo=Tempo(Fraction(tempo))
    )
    return perform(told, count_in_bars=1).lines[0]


@needs_program
def test_feet_begin_on_their_taps_and_end_in_their_line() -> None:
    """By energy alone, another way than the project's own, words rise near their taps."""
    assert REAL is not None
    apart: list[float] = []
    for tempo in (40, 54, 66, 80, 100):
        segment = _line(tempo)
        said = SyntheticVoice(REAL).line(segment)
        assert said is not None
        begin = said.start_frame + beat_frame(said.sound)
        first_sec = segment.syllables[0].onset_sec
        assert begin / SAMPLE_RATE_HZ == pytest.approx(first_sec, abs=0.02)
        end_sec = segment.start_sec + segment.length_sec
        assert said.end_frame / SAMPLE_RATE_HZ <= end_sec + 0.05
        assert said.sound.dtype == np.float32
        assert np.isfinite(said.sound).all()
        for foot in feet(segment):
            tap = round(foot.start_sec * SAMPLE_RATE_HZ) - said.start_frame
            apart.append(abs(rise_after_sec(said.sound, tap)))
    assert np.median(apart) <= 0.05
    assert np.mean(apart) <= 0.08


@needs_program
def test_the_program_says_more_words_longer_and_faster_shorter() -> None:
    assert REAL is not None
    short = speak(REAL, "row", voice="en-gb", words_a_minute=160)
    long = speak(REAL, "row the lantern home", voice="en-gb", words_a_minute=160)
    fast = speak(REAL, "row the lantern home", voice="en-gb", words_a_minute=320)
    assert len(short.samples) < len(long.samples)
    assert len(fast.samples) < 0.7 * len(long.samples)
    assert np.abs(long.samples.astype(int)).max() > 3_000


@needs_program
def test_an_unknown_language_is_told() -> None:
    assert REAL is not None
    with pytest.raises(VoiceMissing, match="xx"):
        speak(REAL, "row", voice="xx", words_a_minute=160)


def test_the_rate_is_searched_until_the_words_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[str, int]] = []

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        asked.append((text, words_a_minute))
        return spoken(text, words_a_minute)

    monkeypatch.setattr(kept_speech, "speak", says)
    voice = SyntheticVoice(FAKE)
    segment = _line(80)
    said = voice.line(segment)
    assert said is not None
    rates = [rate for text, rate in asked if text == "Out on the,"]
    room_sec = feet(segment)[0].room_sec
    ends = [spoken("Out on the", rate).samples for rate in rates]
    lengths = [np.count_nonzero(samples) / 22_050 for samples in ends]
    assert min(abs(length / room_sec - 1) for length in lengths) < 0.06
    assert len(rates) <= 7


def test_what_was_said_is_kept_and_a_broken_file_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = iter(range(100))
    count = [0]

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        count[0] = next(calls) + 1
        return spoken(text, words_a_minute)

    monkeypatch.setattr(kept_speech, "speak", says)
    first = KeptSpeech(FAKE).say("row", voice="en-gb", words_a_minute=160)
    again = KeptSpeech(FAKE).say("row", voice="en-gb", words_a_minute=160)
    assert count[0] == 1
    assert np.array_equal(first.samples, again.samples)
    KeptSpeech(FAKE).say("row", voice="en-gb", words_a_minute=164)
    KeptSpeech(VoiceProgram(("nowhere",), "test 2")).say("row", voice="en-gb", words_a_minute=160)
    assert count[0] == 3
    for path in (tmp_path / "voice").glob("*.npz"):
        path.write_bytes(path.read_bytes()[:60])
    KeptSpeech(FAKE).say("row", voice="en-gb", words_a_minute=160)
    assert count[0] == 4
    killed = tmp_path / "voice" / part_name("a.npz").replace(f"-{os.getpid()}-", "-999999999-")
    killed.write_bytes(b"half")
    prune(tmp_path / "voice", most_bytes=0)
    assert not list((tmp_path / "voice").iterdir())


def test_no_words_no_sound() -> None:
    voice = SyntheticVoice(FAKE)
    told = story(Line("", lane("x...t...")))
    assert voice.line(perform(told).lines[0]) is None
    assert len(voice.cue("\u2014")) == 0


@pytest.mark.parametrize("by_sec", [2, 7e-6, 0.5000082, 1.23456789])
def test_a_finished_line_is_kept_wherever_it_is_told(
    by_sec: float, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where it begins between two samples: a longer line before it moves it there."""
    asked: list[str] = []

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        asked.append(text)
        return spoken(text, words_a_minute)

    monkeypatch.setattr(kept_speech, "speak", says)
    segment = _line(57)
    first = SyntheticVoice(FAKE).line(segment)
    assert first is not None
    assert asked
    for path in (tmp_path / "voice").glob("*.npz"):
        path.unlink()
    asked.clear()
    start_sec = segment.start_sec + by_sec
    later = evolve(segment, start_sec=start_sec, sounds=lambda: _later(segment, by_sec), known={})
    again = SyntheticVoice(FAKE).line(later)
    assert again is not None
    assert not asked
    assert np.array_equal(again.sound, first.sound)
    assert again.start_frame - first.start_frame == frames(start_sec) - frames(segment.start_sec)
    for path in (tmp_path / "voice" / "lines").glob("*.npz"):
        path.write_bytes(b"torn")
    assert SyntheticVoice(FAKE).line(segment) is not None
    assert asked
    for path in (tmp_path / "voice" / "lines").glob("*.npz"):
        os.utime(path, (1e9, 1e9))
    prune(tmp_path / "voice" / "lines")
    assert not list((tmp_path / "voice" / "lines").glob("*.npz"))


def test_words_are_made_ready_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same words at the same rate are asked again by lines told at other speeds."""
    ready: list[int] = []

    def counting(samples: Sound, rate_hz: int) -> Sound:
        ready.append(len(samples))
        return resampled(samples, rate_hz)

    monkeypatch.setattr(
        kept_speech, "speak", lambda _, text, *, voice, words_a_minute: spoken(text, words_a_minute)
    )
    monkeypatch.setattr(synthetic, "resampled", counting)
    voice = SyntheticVoice(FAKE)
    first = voice.line(_line(80))
    count = len(ready)
    assert first is not None
    for path in (tmp_path / "voice").rglob("*.npz"):
        path.unlink()
    again = voice.line(_line(80))
    assert again is not None
    assert np.array_equal(again.sound, first.sound)
    assert len(ready) == count > 0
    assert len(voice.cue("\u2026")) == 0


def _later(segment: Segment, by_sec: float) -> Sounds:
    taps, syllables = segment.taps, segment.syllables
    return taps, tuple(evolve(each, onset_sec=each.onset_sec + by_sec) for each in syllables)
