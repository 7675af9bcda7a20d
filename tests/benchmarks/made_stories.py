"""Stories for benchmarks: as long as wanted, no line like another, no story like another."""

from random import Random

from tapscore.model.story import Story
from tapscore.storyfile.read import read_text

ROLES = ("leader", "beat-keeper", "second tapper", "third tapper", "prop handler", "floater")
_ONSETS = ("b", "bl", "br", "d", "dr", "f", "g", "gr", "h", "k", "l", "m", "n", "p", "r", "s", "t")
_RHYMES = ("ain", "all", "en", "ill", "ing", "oat", "ock", "oon", "ow", "un", "ay", "ight")
_REAL = (
    *("the", "and", "on", "to", "of", "a", "in", "out", "up", "down", "wa-ter", "moon", "boat"),
    *("lit-tle", "lan-tern", "ri-ver", "home", "hill", "rain", "light", "slow-ly", "soft-ly"),
    *("go-ing", "o-ver", "un-der", "morn-ing", "even-ing", "wind", "tree", "leaf", "stone"),
)
_LOUD = ("very quiet", "quiet", "medium", "loud", "quiet to loud", "loud to quiet")
_STROKES = ("fingertips", "flat hand", "knuckles", "scratch")
HEAD = """tapscore: 2
title: Story {seed}
metre: 6/8
tempo: {tempo}
pupils: 4
spot: middle
board:
  size_cm: [120, 90]
  spots: {{middle: [60, 45], near left: [30, 20]}}
  seats: {{north: [60, 90], east: [120, 45], south: [60, 0], west: [0, 45]}}
  places: {{A: {{at: [45, 50]}}, B: {{at: [85, 50]}}}}
roles:
  leader: {{seat: north}}
  beat-keeper: {{seat: east}}
  second tapper: {{seat: south}}
  third tapper: {{seat: west}}
  prop handler: {{}}
  floater: {{}}
props:
  beads: {{what: string of wooden beads, instead: wooden rings, cautions: [cord]}}
refrains:
  home:
    - words: Row the lan-tern, row the lan-tern
      lane: "| X . x X . x | X . x X . x |"
story:
"""


def made_text(lines: int, seed: int) -> str:
    """A story file of so many lines of its own, with returns, waits, swells and comments."""
    random = Random(f"{lines} {seed}")
    parts = [HEAD.format(seed=seed, tempo=random.randint(46, 60))]
    for number in range(lines):
        if number % 10 == 0:
            parts.append(f"  - section: Part {number // 10 + 1}\n    lines:\n")
        words, syllables = _words(random)
        parts.append(f"      # about line {number + 1}\n      - words: {words}\n")
        parts.append(f'        lane: "{_lane(random, syllables)}"   # as tried\n')
        by = random.sample(ROLES[:4], random.randint(1, 2))
        parts.append(f"        by: [{', '.join(by)}]\n        stroke: {random.choice(_STROKES)}\n")
        parts.append(f"        loudness: {random.choice(_LOUD)}\n")
        if number % 5 == 4:
            parts.append(f"      - refrain: home\n      - wait: {random.randint(8, 14)}\n")
    return "".join(parts)


def made_story(lines: int, seed: int) -> Story:
    """The same, read."""
    story = read_text(made_text(lines, seed)).story
    assert story is not None
    return story


def _words(random: Random) -> tuple[str, int]:
    words = []
    count = 0
    while count < 8:
        if random.random() < 0.6:
            word = random.choice(_REAL)
        else:
            sounds = [random.choice(_ONSETS) + random.choice(_RHYMES) for _ in range(2)]
            word = "-".join(sounds[: random.randint(1, 2)])
        words.append(word)
        count += word.count("-") + 1
    return " ".join(words).capitalize(), count


def _lane(random: Random, syllables: int) -> str:
    steps = ["x"] * syllables + ["."] * (18 - syllables)
    random.shuffle(steps)
    steps[steps.index("x")] = "X"
    return "| " + " | ".join(" ".join(steps[i : i + 6]) for i in (0, 6, 12)) + " |"
