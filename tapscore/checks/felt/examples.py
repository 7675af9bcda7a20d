"""Story files for the examples of these rules."""

from tapscore.checks.rule import example

TAPS = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'


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
