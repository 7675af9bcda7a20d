"""What is said of a take just recorded."""

import numpy as np
import pytest

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound
from tapscore.exports.audio.voice import take
from tapscore.exports.audio.voice.take import take_remark, why_not_kept
from tests.exports.audio.voice.voices import tone


def test_silence_and_a_slip_of_the_finger_are_not_kept() -> None:
    assert why_not_kept(np.zeros(SAMPLE_RATE_HZ, np.float32), SAMPLE_RATE_HZ) == take.NOTHING_HEARD
    assert why_not_kept(tone(2.0)[: SAMPLE_RATE_HZ // 5], SAMPLE_RATE_HZ) == take.TOO_SHORT
    assert why_not_kept(np.zeros(0, np.float32), 8_000) == take.TOO_SHORT
    assert why_not_kept(tone(1.0, peak=0.002), SAMPLE_RATE_HZ) == ""


def noisy() -> Sound:
    hiss = 0.05 * np.random.default_rng(1).standard_normal(len(tone(2.0)))
    return (tone(2.0) + hiss).astype(np.float32)


@pytest.mark.parametrize(
    ("sound", "line_sec", "remark"),
    [
        (tone(2.0), 2.2, ""),
        (tone(2.0, peak=1.0), 2.2, take.OVERLOADED),
        (tone(2.0, peak=0.01), 2.2, take.SOFT),
        (noisy(), 2.2, take.NOISY),
        (tone(4.0), 2.0, take.QUICK),
        (tone(0.8), 5.0, take.SLOW),
    ],
    ids=["good", "overloaded", "soft", "noisy", "too long", "too short"],
)
def test_the_one_thing_most_worth_saying(sound: Sound, line_sec: float, remark: str) -> None:
    assert take_remark(sound, line_sec) == remark
