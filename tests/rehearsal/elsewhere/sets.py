"""Rehearsals elsewhere: learned on, chosen on, and kept apart; each with seeds and stories its own.

What is learned on never has the felt mallet or the box; what is kept apart has them half the time.
"""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tapscore.model.story import Story
from tapscore.rehearsal.bands import levels_of
from tapscore.rehearsal.recording import blocks_of, look_into
from tapscore.rehearsal.written import written_lines
from tapscore.resources import demo_stories, resource_path
from tapscore.rhythm.perform import perform
from tapscore.workflow.open_story import open_story
from tests.rehearsal.elsewhere.contact import BOARDS, HELD_BACK, LEFT_OUT, TOOLS
from tests.rehearsal.elsewhere.place import FILES, Place, recorded_at, write_file
from tests.rehearsal.elsewhere.team import told_by_team
from tests.rehearsal.simulated.sets import LEVELS, Made
from tests.rehearsal.simulated.stories import KEPT_APART, a_story

CHOSEN_FILES = ("story_lines_more.txt",)
_LEARNED_TOOLS = tuple(tool for tool in TOOLS if tool != LEFT_OUT)
_LEARNED_BOARDS = tuple(board for board in BOARDS if board != HELD_BACK)


def learned_elsewhere(count: int = 40) -> Iterator[Made]:
    """Everyday lines, every tool and board but one."""
    for n in range(count):
        yield _made(n, ("story_lines.txt", "rhymes.txt"), 100_000, apart=False)


def chosen_elsewhere(count: int = 60) -> Iterator[Made]:
    """Further lines; the tool and the board left out among the others."""
    for n in range(count):
        yield _made(n, CHOSEN_FILES, 200_000, apart=n % 2 == 1)


def kept_elsewhere(count: int, first: int = 0) -> Iterator[Made]:
    """Lines that nothing is learned from, and whole stories that come with the program."""
    for n in range(first, first + count):
        yield _made(n, KEPT_APART, 300_000, apart=n % 2 == 1, whole=n % 3 == 2)


def whole_stories() -> list[Story]:
    """The demo stories and the starters."""
    starters = sorted(resource_path("starters/journey.yaml").parent.glob("*.yaml"))
    opened = [open_story(path).story for path in (*demo_stories(), *starters)]
    return [story for story in opened if story is not None and written_lines(perform(story))]


def _made(
    n: int, files: tuple[str, ...], first_seed: int, *, apart: bool, whole: bool = False
) -> Made:
    seed = first_seed + n
    rng = np.random.default_rng(seed)
    place = place_for(seed, LEVELS[n % 5], rng, apart=apart)
    every = whole_stories() if whole else []
    story = every[int(rng.integers(len(every)))] if every else a_story(seed, files)
    performance = perform(story)
    telling = told_by_team(performance, seed)
    with tempfile.TemporaryDirectory() as folder:
        path = write_file(recorded_at(telling, place), Path(folder) / "rehearsal", place.file)
        levels = levels_of(blocks_of(look_into(path)))
    return Made(place, written_lines(performance), telling, levels)


def place_for(seed: int, level: str, rng: np.random.Generator, *, apart: bool) -> Place:
    """A place, a tool and a board drawn anew; ``apart``: one of both is never learned from."""
    tool = LEFT_OUT if apart and rng.random() < 0.5 else _one(_LEARNED_TOOLS, rng)
    board = HELD_BACK if apart and (tool != LEFT_OUT or rng.random() < 0.3) else None
    return Place(
        tool,
        board or _one(_LEARNED_BOARDS, rng),
        level,
        seed,
        _one(tuple(FILES), rng),
        hall=bool(rng.random() < 0.3),
        children=bool(rng.random() < 0.3),
        other_tools=_LEARNED_TOOLS if rng.random() < 0.5 else (),
    )


def _one(every: tuple[str, ...], rng: np.random.Generator) -> str:
    return every[int(rng.integers(len(every)))]
