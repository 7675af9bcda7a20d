"""Sets of simulated rehearsals: learned on, chosen on, and kept apart.

Each has boards, stories and seeds of its own; the board's own model is never learned on.
"""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from attrs import frozen

from tapscore.rehearsal.bands import BandLevels, levels_of
from tapscore.rehearsal.recording import blocks_of, look_into
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.rehearsal.elsewhere.place import Place
from tests.rehearsal.simulated.recording import CODECS, Scene, recorded, write
from tests.rehearsal.simulated.stories import KEPT_APART, LEARNED_ON, a_story
from tests.rehearsal.simulated.telling import Telling, TrueLine, tell
from tests.rehearsal.simulated.wood import BOARD_MODEL, KINDS

CHOSEN_KINDS = ("bright", "slap")
LEARNED_KINDS = tuple(kind for kind in KINDS if kind not in CHOSEN_KINDS)
LEVELS = ("L0", "L1", "L2", "L3", "L4")


@frozen(eq=False)
class Made:
    """One rehearsal as it came out of a file, and what was truly told."""

    scene: Scene | Place
    lines: tuple[WrittenLine, ...]
    telling: Telling
    levels: BandLevels

    @property
    def true(self) -> dict[int, TrueLine]:
        """By segment."""
        return {line.segment: line for line in self.telling.lines}


def learned_on(count: int = 56) -> Iterator[Made]:
    """Six kinds of tap, everyday lines and rhymes."""
    mixed = ("L1", "L2", "L3", "L0", "L2", "L3", "L4")
    for n in range(count):
        rng = np.random.default_rng(n)
        kind = LEARNED_KINDS[int(rng.integers(len(LEARNED_KINDS)))]
        yield _made(n, kind, mixed[n % 7], LEARNED_ON, rng)


def chosen_on(count: int = 80) -> Iterator[Made]:
    """Two further kinds, further lines."""
    for n in range(count):
        rng = np.random.default_rng(10_000 + n)
        kind = CHOSEN_KINDS[n // 5 % 2]
        yield _made(1_000 + n, kind, LEVELS[n % 5], ("story_lines_more.txt",), rng)


def tried_on(count: int = 12) -> Iterator[Made]:
    """All eight kinds, further lines: what the confidence is learned on as well, L0 and L1."""
    kinds = tuple(KINDS)
    for n in range(count):
        rng = np.random.default_rng(30_000 + n)
        level = LEVELS[n // len(kinds) % len(LEVELS)]
        yield _made(60_000 + n, kinds[n % len(kinds)], level, ("story_lines_more.txt",), rng)


def kept_apart(count: int, first: int = 0) -> Iterator[Made]:
    """The board's own model, lines that nothing is learned from; for scoring alone."""
    for n in range(first, first + count):
        rng = np.random.default_rng(20_000 + n)
        yield _made(2_000 + n, BOARD_MODEL, LEVELS[n % 5], KEPT_APART, rng)


def _made(
    seed: int, kind: str, level: str, files: tuple[str, ...], rng: np.random.Generator
) -> Made:
    scene = Scene(kind, level, seed, CODECS[int(rng.integers(len(CODECS)))])
    performance = perform(a_story(seed, files))
    telling = tell(performance, seed)
    with tempfile.TemporaryDirectory() as folder:
        path = write(recorded(telling, scene), Path(folder) / "rehearsal", scene.codec)
        levels = levels_of(blocks_of(look_into(path)))
    return Made(scene, written_lines(performance), telling, levels)
