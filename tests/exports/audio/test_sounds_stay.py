"""How tones, clicks and taps sound, as figures: a golden file, which says that one has changed.

What they should be like the other tests here say; many figures are by ear, and nothing but this
would tell that one became another.  Where a change is meant, listen, and write the file
anew: ``python -m tests.exports.audio.test_sounds_stay``.
"""

import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.click_sound import click_sound
from tapscore.exports.audio.cue_tones import TONES, cue_tone
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound
from tapscore.exports.audio.tap_sound import made_sound, tap_asked
from tapscore.model.board import Point
from tapscore.model.strokes import Stroke

GOLDEN = Path(__file__).parents[2] / "data" / "sound_figures.json"
_TAPS = (
    ("softest", Fraction(0), False, 0.0, 0, None),
    ("middling", Fraction(9, 4), True, 0.11, 3, (200, 150)),
    ("loudest", Fraction(4), False, 0.7, 1, (500, 300)),
)


def _sounds() -> Iterator[tuple[str, Sound]]:
    for kind in TONES:
        yield kind.value, cue_tone(kind)
    for name, downbeat in (("downbeat", True), ("beat", False)):
        yield name, click_sound(downbeat=downbeat)
    for stroke in Stroke:
        for name, level, accent, length_sec, place, at in _TAPS:
            asked = tap_asked(
                stroke,
                level,
                accent=accent,
                length_sec=length_sec,
                place=place,
                at=at and Point(*map(Fraction, at)),
            )
            yield f"{stroke.value}, {name}", made_sound(asked)


def figures(sound: Sound) -> list[float]:
    """Its frames; in dB how high it is in each sixteenth of it, and its energy in each octave."""
    samples = sound.astype(np.float64)
    parts = [float(np.square(part).mean()) for part in np.array_split(samples, 16)]
    power = np.abs(np.fft.rfft(samples)) ** 2 / len(samples)
    hz = np.fft.rfftfreq(len(samples), 1 / SAMPLE_RATE_HZ)
    octaves = [
        float(power[(hz >= low) & (hz < 2 * low)].sum()) for low in 93.75 * 2 ** np.arange(8)
    ]
    return [len(sound), *np.round(10 * np.log10(np.array([*parts, *octaves]) + 1e-9), 2).tolist()]


MADE = dict(_sounds())


def test_every_sound_is_as_it_was() -> None:
    kept = json.loads(GOLDEN.read_text("utf-8"))
    assert kept.keys() == MADE.keys()
    for name, sound in MADE.items():
        assert figures(sound) == pytest.approx(kept[name], abs=0.05), name


if __name__ == "__main__":
    lines = [f"{json.dumps(name)}: {figures(sound)}" for name, sound in MADE.items()]
    GOLDEN.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
