"""A story small enough to work everything out by hand: four adults, four pupils, two props.

Ann sits in the north, bea in the east, cyd in the south and dot in the west of a board of 120 by
90 cm; ann leads.  Everybody reaches the middle (75 cm); ann alone doesn't reach ``low``, 80 cm
from her seat.  A beat is a second, a bar four.
"""

from tapscore.model.story import Story
from tapscore.storyfile.read import read_text

HEAD = """\
tapscore: 2
title: The Hill
metre: 4/4
tempo: 60
loudness: quiet
stroke: fingertips
spot: middle
pupils: 4
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45], low: [60, 10]}
  seats: {north: [60, 90], east: [120, 45], south: [60, 0], west: [0, 45]}
  places:
    A: {at: [50, 70]}
    B: {at: [100, 50]}
    C: {at: [70, 15]}
    D: {at: [15, 40]}
roles: {ann: {seat: north}, bea: {seat: east}, cyd: {seat: south}, dot: {seat: west}}
props:
  bell: {what: a hand bell, by: dot}
  silk: {what: a silk scarf, sets: 2, by: cyd}
"""
FOUR = '"| X . x . x . x . |"'


def line(words: str, more: str = "") -> str:
    """A line in a story file, a beat for each word, four at most."""
    count = len(words.split())
    lane = " ".join(["x ."] * count + [". ."] * (4 - count))
    return f"      - {{words: {words}, lane: '| {lane} |'{', ' * bool(more)}{more}}}\n"


HILL = (
    HEAD
    + f"""\
refrains:
  up we go:
    - {{words: Up we go, lane: "| X . x . x . . . |", by: everyone}}
story:
  - section: Morning
    lines:
      - {{words: Here is the hill, lane: {FOUR}, by: ann}}
      - words: Out comes the silk
        lane: {FOUR}
        by: bea
        prop in: {{silk: middle}}
        do: lift it
        done by: dot
      - {{offer: silk, turn: 30, look for: a reach}}
      - refrain: up we go
      - {{wait: 12, look for: a look}}
      - words: Ring goes the bell
        lane: {FOUR}
        by: cyd
        prop out: silk
        prop in: {{bell: low}}
        spot: low
        warn first: whisper
        warned by: ann
      - refrain: up we go
      - {{wait: 8, look for: a breath}}
      - {{words: Sleep, lane: "| X . . . . . . . |", by: dot, prop out: bell}}
"""
)


def story_of(text: str) -> Story:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return read.story


def lines_of(lines: str, head: str = HEAD) -> Story:
    """A story of some lines."""
    return story_of(f"{head}story:\n  - section: One\n    lines:\n{lines}")


STORY = story_of(HILL)

DOOR = story_of(
    HEAD.replace("The Hill", "The Door")
    .replace("by: dot}", "by: dot, cautions: [cord], instead: a spoon}")
    .replace("A: {at: [50, 70]}", "A: {at: [50, 70], with: bea}")
    + """\
comfort: {stage: on the board}
refrains:
  knock:
    - {words: Knock knock, lane: "| X . x . . . . . |", by: [bea, cyd]}
story:
  - section: In
    lines:
      - words: Who is there
        lane: "| X . x . x _ _ _ |"
        by: bea
        loudness: quiet to loud
        warn first: whisper
        warned by: [bea, cyd]
        warned through: [voice, touch]
        areas: [Communication and Language]
      - refrain: knock
      - {wait: 5, look for: a look}
  - section: Out
    lines:
      - words: Slow-ly now
        lane: "| x . x . x . . . |"
        by: [bea, cyd]
        tempo: 60 to 40
        stroke: knuckles
        do: nod
        done by: [bea, dot]
      - {words: Bang, lane: "| X . t . . . . . |", by: cyd, loudness: loud, says: dot}
      - {offer: bell, turn: 20}
      - refrain: knock
      - words: Hush hush
        lane: "| X(cyd) . . . x(bea, low) . . . |"
        by: cyd
        look for: a smile
"""
)
"""A second one on the same board: a swell, a slowing, knuckles, a partner, others who speak."""
