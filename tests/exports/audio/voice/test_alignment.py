"""Parts of a line found in a recording: tried on other voices whose parts are known."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound
from tapscore.exports.audio.voice.alignment import features, part_starts
from tapscore.exports.audio.voice.feet import feet
from tapscore.exports.audio.voice.program import speak, voice_program
from tapscore.exports.audio.voice.recorded import placed_recording
from tapscore.exports.audio.voice.shaping import beat_frame, resampled, trimmed
from tapscore.exports.audio.voice.synthetic import SyntheticVoice
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment
from tests.exports.audio.audio_stories import lane, story
from tests.exports.audio.voice.voices import rise_after_sec

REAL = voice_program()
needs_program = pytest.mark.skipif(REAL is None, reason="espeak-ng is not installed here")
LINES = (
    ("Out on the wa-ter the lit-tle boat lay", ("XxxXxx", "XxxX..")),
    ("Small waves came run-ning, tip-py tap toe", ("XxxXx.", "XxxX..")),
    ("Back to the har-bour, the beads put a-way", ("XxxXxx", "XxxX..")),
)


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path / "voice"))


def _line(words: str, bars: tuple[str, ...], tempo: int = 54) -> Segment:
    told = story(Line(words, lane(*bars)), metre=Metre(6, 8), tempo=Tempo(Fraction(tempo)))
    return perform(told, count_in_bars=1).lines[0]


def _recording(segment: Segment, voice: str) -> tuple[Sound, list[int]]:
    """Another voice saying the feet at changing rates with breaths between: parts are known."""
    assert REAL is not None
    noise = np.random.default_rng(3)
    sounds: list[Sound] = []
    starts: list[int] = []
    for foot, rate in zip(feet(segment), (130, 190, 150, 120), strict=True):
        said = speak(REAL, f"{foot.words},", voice=voice, words_a_minute=rate)
        samples = said.samples.astype(np.float32) / np.float32(32_768)
        part = trimmed(resampled(samples, said.rate_hz))
        starts.append(sum(map(len, sounds)))
        sounds += [part, np.zeros(1_500, np.float32)]
    whole = np.concatenate(sounds)
    hiss = noise.standard_normal(len(whole)).astype(np.float32)
    return whole + np.float32(1e-3) * hiss, starts


@needs_program
@pytest.mark.parametrize("voice", ["en-us+f2", "en-gb-scotland+m3", "en-gb-x-rp+f4"])
def test_parts_are_found_in_another_voice(voice: str) -> None:
    assert REAL is not None
    apart: list[float] = []
    for words, bars in LINES:
        segment = _line(words, bars)
        recorded, known = _recording(segment, voice)
        found = part_starts(recorded, *SyntheticVoice(REAL).plain(segment))
        assert found is not None
        apart += [abs(a - b) / SAMPLE_RATE_HZ for a, b in zip(found, known, strict=True)]
    assert np.median(apart) <= 0.04
    assert max(apart) <= 0.15


@needs_program
def test_feet_of_a_recording_meet_their_taps_better_than_without() -> None:
    """Where words rise by energy alone, against where they would have been."""
    assert REAL is not None
    fitted: list[float] = []
    plain: list[float] = []
    for words, bars in LINES:
        segment = _line(words, bars)
        recorded, known = _recording(segment, "en-us+f2")
        found = part_starts(recorded, *SyntheticVoice(REAL).plain(segment))
        with_feet = placed_recording(segment, recorded, Fraction(1), found)
        without = placed_recording(segment, recorded, Fraction(1))
        assert with_feet is not None
        assert without is not None
        taps = [foot.start_sec for foot in feet(segment)]
        ratio = len(without.sound) / len(recorded)
        for tap, start in zip(taps, known, strict=True):
            frame = round(tap * SAMPLE_RATE_HZ) - with_feet.start_frame
            fitted.append(abs(rise_after_sec(with_feet.sound, frame)))
            plain.append(abs((without.start_frame + start * ratio) / SAMPLE_RATE_HZ - tap))
        first = (with_feet.start_frame + beat_frame(with_feet.sound)) / SAMPLE_RATE_HZ
        assert first == pytest.approx(taps[0], abs=0.02)
        end_sec = segment.start_sec + segment.length_sec
        assert with_feet.end_frame / SAMPLE_RATE_HZ <= end_sec + 0.3
        assert np.isfinite(with_feet.sound).all()
    assert np.mean(fitted) < 0.1
    assert np.mean(fitted) < np.mean(plain) / 2


def test_a_sound_lies_beside_itself_and_a_slower_one_in_proportion() -> None:
    noise = np.random.default_rng(5)
    pieces = [
        noise.standard_normal(9_600) * 0.1,
        np.sin(2 * np.pi * 300 * np.arange(9_600) / SAMPLE_RATE_HZ),
        np.sin(2 * np.pi * 2_500 * np.arange(9_600) / SAMPLE_RATE_HZ),
    ]
    sound = np.concatenate(pieces).astype(np.float32)
    slow = np.concatenate([np.tile(piece, 2) for piece in pieces]).astype(np.float32)
    assert part_starts(sound, sound, (0, 9_600, 19_200)) == pytest.approx(
        (0, 9_600, 19_200), abs=960
    )
    found = part_starts(slow, sound, (0, 9_600, 19_200))
    assert found == pytest.approx((0, 19_200, 38_400), abs=1_920)


def test_what_is_too_unlike_or_too_short_is_not_believed() -> None:
    short = np.zeros(100, np.float32)
    assert part_starts(short, short, (0,)) is None
    assert part_starts(np.ones(90_000, np.float32), np.ones(90_000, np.float32), ()) is None
    long = np.ones(16 * SAMPLE_RATE_HZ, np.float32)
    assert part_starts(long, long, (0, 5)) is None
    noise = np.random.default_rng(1).standard_normal(48_000).astype(np.float32)
    assert part_starts(noise, noise, (0, 100, 200)) is None
    assert np.isfinite(features(np.zeros(5_000, np.float32))).all()
