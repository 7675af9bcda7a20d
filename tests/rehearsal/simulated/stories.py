"""Stories to be told: of the lines in tests/data, with loudness, swells and waits of their own."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np
from attrs import evolve

from tapscore.model.fewer_taps import Tapped
from tapscore.model.loudness import Loudness, Swell
from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, Section, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.read import read_bytes
from tapscore.workflow.new_story import typed_story_text
from tapscore.workflow.thinning import thinned

DATA = Path(__file__).parents[2] / "data"
LEARNED_ON = ("story_lines.txt", "rhymes.txt")
KEPT_APART = ("story_lines_unseen.txt", "rhymes_unseen.txt")
_LOUDNESS: tuple[Swell, ...] = tuple((Loudness(step),) for step in (1, 1, 2, 2, 3))
_SWELLS: tuple[Swell, ...] = (
    (Loudness.VERY_QUIET, Loudness.MEDIUM),
    (Loudness.QUIET, Loudness.LOUD),
    (Loudness.LOUD, Loudness.QUIET),
)


def stanzas(files: Sequence[str]) -> list[list[str]]:
    """The stanzas of some files as plain lines."""
    found: list[list[str]] = []
    for name in files:
        for line in (DATA / name).read_text(encoding="utf-8").splitlines():
            if line.startswith("=="):
                found.append([])
            elif line and found and not line.startswith(("#", "~")):
                found[-1].append(_plain(line))
    return [each for each in found if each]


def _plain(line: str) -> str:
    words = " ".join(line.replace("+", " ").replace("|", " ").split())
    return " ".join(token for token in words.replace("- ", "").split() if token != ".")


def a_story(seed: int, files: Sequence[str] = LEARNED_ON) -> Story:
    """A story of some stanzas and a returning refrain."""
    rng = np.random.default_rng(seed)
    pool = stanzas(files)
    chosen = [pool[at] for at in rng.choice(len(pool), int(rng.integers(2, 4)), replace=False)]
    refrain = pool[int(rng.integers(len(pool)))][:2]
    text = "\n\n".join("\n".join([*part[:5], *refrain]) for part in chosen)
    story = read_bytes(typed_story_text(text, "A story").encode()).story
    assert story is not None
    story, _ = thinned(story, Tapped.EVERY)
    sections = tuple(_varied(section, rng) for section in story.sections)
    tempo = Tempo(Fraction(int(rng.integers(50, 85))))
    return evolve(story, sections=sections, manner=evolve(story.manner, tempo=tempo))


def _varied(section: Section, rng: np.random.Generator) -> Section:
    return evolve(section, items=tuple(_varied_item(item, rng) for item in section.items))


def _varied_item(item: Item, rng: np.random.Generator) -> Item:
    if isinstance(item, Line):
        swells = _SWELLS if rng.random() < 0.15 else _LOUDNESS
        loudness = swells[int(rng.integers(len(swells)))]
        return evolve(item, manner=PartialManner(loudness=loudness))
    if isinstance(item, Wait):
        return evolve(item, least_sec=Fraction(int(rng.integers(4, 11))))
    return item
