"""Spoken lines as an offline recogniser hears them: the right line, its words on their taps.

Reference: PocketSphinx with the acoustic model and dictionary in its own package; its
grammar is the lines of one story, as somebody would choose who knows the story.
"""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import numpy as np
import pytest
from attrs import frozen

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound
from tapscore.exports.audio.voice.telling import teller
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment
from tapscore.storyfile.read import read_file

RATE_HZ = 16_000
FRAMES_A_SEC = 100
SILENCE_SEC = 0.25

pytestmark = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="the synthetic voice is not installed"
)


@frozen
class Heard:
    words: str
    starts_sec: tuple[float, ...]
    """Of every word, from the beginning of the sound."""


class Recogniser:
    def __init__(self, lines: list[str]) -> None:
        from pocketsphinx import Decoder  # type: ignore[import-untyped]

        self._decoder = Decoder(
            lm=None,
            loglevel="FATAL",
            cmn="batch",
            beam=1e-100,
            wbeam=1e-80,
            pbeam=1e-100,
            lw=1.0,
            silprob=0.2,
            maxhmmpf=-1,
        )
        self.lines = {self.known(line) for line in lines}
        rule = " | ".join(sorted(self.lines))
        self._decoder.add_jsgf_string(
            "lines", f"#JSGF V1.0; grammar lines; public <line> = {rule};"
        )
        self._decoder.activate_search("lines")

    def known(self, line: str) -> str:
        """The line's words as far as the recogniser's dictionary has them."""
        plain = re.sub(r"[^a-z' ]", "", line.lower().replace("’", "'").replace("-", " "))
        return " ".join(w for w in plain.split() if self._decoder.lookup_word(w) is not None)

    def hear(self, sound: Sound) -> Heard:
        """What it makes of a sound, with a little of a room's noise round it."""
        from scipy.signal import resample_poly  # type: ignore[import-untyped]

        quiet = np.zeros(round(SILENCE_SEC * RATE_HZ))
        lowered = resample_poly(sound, RATE_HZ, SAMPLE_RATE_HZ)
        whole = np.concatenate([quiet, lowered / np.abs(lowered).max() / 2, quiet])
        whole += np.random.default_rng(0).normal(0, 0.002, len(whole))
        self._decoder.start_utt()
        self._decoder.process_raw((whole * 32_767).astype(np.int16).tobytes(), full_utt=True)
        self._decoder.end_utt()
        found = self._decoder.hyp()
        said = [seg for seg in self._decoder.seg() or [] if not seg.word.startswith(("<", "["))]
        starts = tuple(seg.start_frame / FRAMES_A_SEC - SILENCE_SEC for seg in said)
        return Heard(found.hypstr if found else "", starts)


def spoken(path: Path) -> Iterator[tuple[Segment, Sound, float]]:
    story = read_file(path).story
    assert story is not None
    performance = perform(story)
    speech = teller(performance, story.language, None).speech(performance)
    for segment, said in zip(performance.lines, speech.lines, strict=True):
        yield segment, said.sound.samples, said.start_frame / SAMPLE_RATE_HZ


@pytest.mark.parametrize("name", ["the-lantern-boat", "the-bread-van"])
def test_every_line_is_understood_and_its_words_begin_on_their_taps(
    name: str, demo_path: Path
) -> None:
    lines = list(spoken(demo_path.with_name(f"{name}.yaml")))
    texts = [printed(segment.line.words) for segment, _, _ in lines if segment.line]
    recogniser = Recogniser(texts)
    after_sec = []
    for (segment, sound, start_sec), text in zip(lines, texts, strict=True):
        heard = recogniser.hear(sound)
        assert heard.words == recogniser.known(text)
        if len(heard.words.split()) == len(text.split()):
            after_sec += _after_sec(segment, heard, start_sec)
    assert len(recogniser.lines) > 8
    assert len(after_sec) > 40
    assert -0.15 < median(after_sec) < 0.0, "its consonant sounds before the tap, its vowel on it"
    assert np.percentile(after_sec, 5) > -0.25
    assert np.percentile(after_sec, 95) < 0.1


def _after_sec(segment: Segment, heard: Heard, start_sec: float) -> list[float]:
    """How long after its tap each word begins that begins with a strong tap."""
    first: dict[int, float] = {}
    stressed: set[int] = set()
    for performed in segment.syllables:
        word = performed.syllable.word
        if word not in first:
            first[word] = performed.onset_sec
            if performed.index in {tap.syllable for tap in segment.taps if tap.accent}:
                stressed.add(word)
    words = sorted(first)
    assert len(words) == len(heard.starts_sec)
    return [
        start_sec + heard.starts_sec[at] - first[word]
        for at, word in enumerate(words)
        if word in stressed
    ]
