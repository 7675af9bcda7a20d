"""What a listener chooses for her own ears: mono, and a ceiling for taps."""

from fractions import Fraction
from io import BytesIO

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio.guide import audio_guide
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text

TEXT = """\
tapscore: 2
title: Two sides
metre: 4/4
tempo: 100
board:
  size_cm: [120, 90]
  seats: {north: [60, 90], east: [120, 45], west: [0, 45]}
roles:
  leader: {seat: north}
  one: {seat: east}
  two: {seat: west}
story:
  - section: One
    lines:
      - words: soft soft soft soft
        lane: "| x . x . x . x . |"
        loudness: quiet
        by: one
      - words: one two three four
        lane: "| X . x . x . x . |"
        loudness: very loud
        by: two
"""


@pytest.fixture
def sides() -> Story:
    story = read_text(TEXT).story
    assert story is not None
    return story


def taps(story: Story, heard: TapsHeard) -> list[PlacedSound]:
    performance = perform(story)
    starts = {round(tap.onset_sec * 48_000) for tap in performance.taps}
    long = [p for p in plan(story, performance, heard) if p.start_frame in starts]
    return [p for p in long if len(p.sound) > 4_000]


def power_db(placed: PlacedSound) -> float:
    energy = float(np.square(placed.samples).sum()) * (placed.left**2 + placed.right**2)
    return float(10 * np.log10(energy))


def test_mono_is_the_same_in_both_ears_and_as_strong(sides: Story) -> None:
    wide, narrow = taps(sides, AS_WRITTEN), taps(sides, TapsHeard(mono=True))
    assert any(abs(p.left - p.right) > 0.1 for p in wide)
    assert all(p.left == pytest.approx(p.right) for p in narrow)
    for one, other in zip(wide, narrow, strict=True):
        assert power_db(one) == pytest.approx(power_db(other), abs=0.01)


def test_a_mono_file_has_equal_channels(sides: Story) -> None:
    for heard, alike in ((TapsHeard(mono=True), True), (AS_WRITTEN, False)):
        file = BytesIO()
        audio_guide(sides, perform(sides), file, format="wav", heard=heard)
        file.seek(0)
        samples, _ = soundfile.read(file)
        assert np.array_equal(samples[:, 0], samples[:, 1]) is alike


def test_the_ceiling_lowers_what_is_above_it_and_nothing_else(sides: Story) -> None:
    written = taps(sides, AS_WRITTEN)
    eased = taps(sides, TapsHeard(loudest=Loudness.MEDIUM))
    soft = [(power_db(a), power_db(b)) for a, b in zip(written, eased, strict=True)][:4]
    loud = [(power_db(a), power_db(b)) for a, b in zip(written, eased, strict=True)][-4:]
    assert all(a == b for a, b in soft)
    assert all(a - b > 8 for a, b in loud)
    levels = [b for _, b in loud]
    assert max(levels) - min(levels) < 0.5, "at the ceiling an accent adds nothing"
    assert min(levels) > max(b for _, b in soft)


def test_a_ceiling_above_everything_changes_nothing(sides: Story) -> None:
    for tap in perform(sides).taps:
        assert TapsHeard(loudest=None).tap(tap) is tap
        capped = TapsHeard(loudest=Loudness.LOUD).tap(tap)
        assert capped.level == min(tap.level, Fraction(3))
        assert capped.onset_beats == tap.onset_beats
