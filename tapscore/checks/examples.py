"""Story files for the examples of rules: a few lines, lines on a board, a whole small story."""


def example(*items: str, metre: str = "6/8", extra: str = "") -> str:
    """A small story file around some lines (each as it stands in a list), for examples."""
    lines = (line for item in items for line in item.strip("\n").split("\n"))
    body = "".join(f"      {line}\n" for line in lines)
    return (
        f"tapscore: 2\ntitle: Example\nmetre: {metre}\n{extra}"
        f"story:\n  - section: One\n    lines:\n{body}"
    )


def tapped(words: str, lane: str, *keys: str) -> str:
    """A line with a lane, and more of its keys."""
    return "\n  ".join((f"- words: {words}", f'lane: "{lane}"', *keys))


TAPS = tapped("Row the lan-tern", "| X . x X . x |")


def on_board(
    lines: str, *, places: str, grain: str = "long", gap_mm: int = 60, spots: str = ""
) -> str:
    """An example on a sheet of 4 mm that is described; ``places`` as in a story file."""
    return example(
        lines,
        extra=(
            "loudness: medium\nstroke: fingertips\nspot: middle\n"
            "board:\n  size_cm: [120, 90]\n"
            f"  sheet: {{wood: birch, thickness_mm: 4, plies: 3, grain: {grain}}}\n"
            f"  gap_mm: {gap_mm}\n  spots: {{middle: [60, 45]{spots}}}\n  places: {{{places}}}\n"
        ),
    )


WHOLE = """\
tapscore: 2
title: The Morning Bell
metre: 4/4
tempo: 60
loudness: quiet
spot: middle
by: beat-keeper
pupils: 2
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45], mat: [85, 65]}
  seats: {north: [60, 90], east: [120, 45], west: [0, 45]}
roles:
  leader: {seat: north}
  beat-keeper: {seat: east}
  prop handler: {seat: west}
props:
  bell: {what: brass hand bell, instead: a tin and a spoon}
refrains:
  ring:
    - words: Ring it low and ring it slow,
      lane: "| X . x . X . x . | X . x . X . . . |"
story:
  - section: Morning
    lines:
      - words: Morn-ing comes a-cross the hill,
        lane: "| X . x . X . x . | X . x . X . . . |"
        do: hold up the picture of the hill
      - words: all the lit-tle house is still.
        lane: "| X . x . X . x . | X . x . X . . . |"
      - refrain: ring
      - wait: 10
        look for: a look, a still body
  - section: The bell
    lines:
      - words: Here is some-thing round and cold,
        lane: "| X . x . X . x . | X . x . X . . . |"
        prop in: {bell: mat}
      - words: some-thing for your hand to hold.
        lane: "| X . x . X . x . | X . x . X . . . |"
      - offer: bell
        turn: 30
        look for: fingers that close
      - refrain: ring
      - wait: 10
        look for: a sound, a reach
  - section: Home
    lines:
      - words: Put the bell a-way to sleep,
        lane: "| X . x . X . x . | X . x . X . . . |"
        prop out: bell
      - words: in the box so dark and deep.
        lane: "| X . x . X . x . | X . x . X . . . |"
        tempo: 60 to 48
        loudness: quiet to very quiet
        do: rest both hands on the board
"""


def whole_story(*changes: tuple[str, str], everywhere: bool = False) -> str:
    """The whole story with parts of its text replaced; raises ValueError for one not there."""
    text = WHOLE
    for old, new in changes:
        if old not in text:
            raise ValueError(f"the example has no {old!r}")
        text = text.replace(old, new) if everywhere else text.replace(old, new, 1)
    return text
