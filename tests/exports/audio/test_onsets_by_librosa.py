"""Taps in the sound, found by a detector that is not ours: librosa's spectral flux."""

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve

from tapscore.exports.audio.guide import audio_guide
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file

HOP = 48
"""One millisecond."""


@pytest.mark.filterwarnings("ignore")  # of the libraries it brings
def test_every_tap_of_the_demo_is_found_within_5_ms(demo_path: Path) -> None:
    import librosa

    story = read_file(demo_path).story
    assert story is not None
    short = evolve(story, sections=story.sections[:2])
    performance = perform(short, count_in_bars=1)
    file = BytesIO()
    audio_guide(short, performance, file, format="wav")
    file.seek(0)
    sound, rate_hz = soundfile.read(file, dtype="float32")
    spectrum = np.abs(librosa.stft(sound.mean(axis=1), n_fft=240, hop_length=HOP))
    rising = librosa.onset.onset_strength(S=np.log1p(1000 * spectrum), sr=rate_hz)
    found = librosa.onset.onset_detect(
        onset_envelope=rising,
        sr=rate_hz,
        hop_length=HOP,
        backtrack=True,
        units="time",
        delta=0.02,
        wait=1,
    )
    written = np.array(sorted({tap.onset_sec for tap in performance.taps}))
    away = np.array([np.abs(found - second).min() for second in written])
    assert len(written) > 50
    assert away.max() <= 0.005
    assert np.median(away) < 0.002
    assert len(found) < 2.5 * len(written)
