"""Recordings like a telling that are none, and tellings that are hard to hear.

No tap is learned from these.  How sure a recording is has been learned on some of the same kinds,
of other stories and seeds; the boards are known to nothing.
"""

from collections.abc import Sequence

import numpy as np
from attrs import evolve
from scipy.signal import butter, lfilter  # type: ignore[import-untyped]

from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tests.rehearsal.simulated.others import silence
from tests.rehearsal.simulated.recording import Scene, Sound, recorded
from tests.rehearsal.simulated.stories import KEPT_APART, a_story
from tests.rehearsal.simulated.telling import STRICT, Telling, Word, tell
from tests.rehearsal.simulated.wood import KINDS, RATE_HZ, Kind

_LINES = 6
FURTHER_KINDS = {
    "hollow": Kind((70, 140), (4, 9), (0.15, 0.45), (0.002, 0.006), (-35, -20)),
    "damped": Kind((150, 400), (20, 40), (0.008, 0.02), (0.001, 0.012), (-30, -10)),
    "loose": Kind((50, 120), (10, 20), (0.05, 0.2), (0.002, 0.008), (-20, 0), rattle=0.9, slap=0.3),
}
"""Kinds of taps that nothing was learned from."""


def short_story(seed: int, files: Sequence[str] = KEPT_APART) -> Story:
    """The first six lines or so of a story, of lines kept apart unless said."""
    story = a_story(seed, files)
    kept, count = [], 0
    for section in story.sections:
        if count < _LINES:
            kept.append(section)
            count += len(section.items)
    return evolve(story, sections=tuple(kept))


def hard_telling(story: Story, seed: int, level: str) -> tuple[Telling, Sound]:
    """A telling on a kind of board that nothing was learned from; what was told, and its sound."""
    KINDS.update(FURTHER_KINDS)
    kind = list(FURTHER_KINDS)[seed % len(FURTHER_KINDS)]
    told = tell(perform(story), seed)
    return told, recorded(told, Scene(kind, level, seed))


def same_metre(story: Story, seed: int, level: str, files: Sequence[str] = KEPT_APART) -> Sound:
    """Another story at the same tempo, told evenly."""
    own = texts(story)
    others = (short_story(seed + 50_000 + step, files) for step in range(0, 100_000, 1_000))
    other = next(each for each in others if not own & texts(each))
    other = evolve(other, manner=evolve(other.manner, tempo=story.manner.tempo))
    return recorded(tell(perform(other), seed, STRICT), Scene("deep", level, seed))


def texts(story: Story) -> set[str]:
    """What the lines say: two stories may have a stanza in common."""
    return {
        "".join(each.syllable.text for each in segment.syllables)
        for segment in perform(story).segments
        if segment.taps
    }


def talk_in_rhythm(performance: Performance, seed: int, level: str = "L2") -> Sound:
    """The story's own words, each just where its tap would be, and no tap."""
    told = tell(performance, seed, STRICT)
    words = [Word(word.sec, min(word.length_sec, 0.35), word.text) for word in told.words]
    return recorded(evolve(told, touches=[], words=words), Scene("deep", level, seed))


def free_talk(performance: Performance, seed: int) -> Sound:
    """Somebody reading the story aloud, not in its rhythm."""
    told = tell(performance, seed)
    rng = np.random.default_rng(seed)
    sec = 1.0
    words = []
    for word in told.words:
        length = 0.12 + 0.05 * len(word.text) * float(np.exp(rng.normal(0, 0.2)))
        words.append(Word(sec, length, word.text))
        sec += length + (float(rng.uniform(0.2, 0.8)) if rng.random() < 0.15 else 0.0)
    told = evolve(told, touches=[], words=words, length_sec=max(sec, told.length_sec))
    return recorded(told, Scene("deep", "L2", seed))


def drums(performance: Performance, seed: int) -> Sound:
    """Drums on the story's own beats, of a pattern that returns, nothing else."""
    rng = np.random.default_rng(seed)
    segments = [s for s in performance.segments if s.taps]
    onsets = np.concatenate([[tap.onset_sec for tap in s.taps] for s in segments])
    gaps = np.diff(np.unique(onsets))
    beat = float(np.median(gaps[gaps > 0.15])) * float(rng.choice([1.0, 1.0, 0.5, 2.0]))
    beat *= float(np.exp(rng.normal(0, 0.03)))
    count = round((performance.length_sec + 6) / (beat / 2))
    pattern = rng.random(16) < np.where(np.arange(16) % 2 == 0, 0.9, 0.3)
    sound = np.zeros(round((performance.length_sec + 8) * RATE_HZ))
    hits = [_hit(rng, low=True), _hit(rng, low=False)]
    for step in range(count):
        if pattern[step % 16]:
            sec = 1 + step * beat / 2 + float(rng.normal(0, 0.006))
            made = hits[int(step % 4 == 2)] * rng.uniform(0.6, 1.0)
            at = round(sec * RATE_HZ)
            made = made[: max(len(sound) - at, 0)]
            sound[at : at + len(made)] += made
    sound += silence(seed, len(sound) / RATE_HZ)[: len(sound)] * 0.5
    whole: Sound = 0.6 * sound / float(np.abs(sound).max())
    return whole


def _hit(rng: np.random.Generator, *, low: bool) -> Sound:
    """A wooden or skinned drum, as like a board as drums are."""
    time = np.arange(round(0.35 * RATE_HZ)) / RATE_HZ
    hz = rng.uniform(60, 130) if low else rng.uniform(150, 420)
    sound = sum(
        np.sin(2 * np.pi * hz * ratio * time) * np.exp(-time * rng.uniform(8, 30) * ratio) / ratio
        for ratio in (1.0, 1.59, 2.14, 2.65)
    )
    b, a = butter(1, rng.uniform(1000, 5000) / (RATE_HZ / 2))
    whole: Sound = sound + lfilter(b, a, rng.normal(0, 0.5, len(time))) * np.exp(-time * 80)
    return whole
