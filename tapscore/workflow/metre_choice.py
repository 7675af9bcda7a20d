"""Which metre a new story starts in, and why; the teacher chooses."""

from collections.abc import Sequence

from tapscore.model.metre import Metre
from tapscore.words.line import read_line
from tapscore.words.suggest_metre import suggest_metre


def likely_metre(lines: Sequence[str]) -> tuple[Metre, str]:
    """The likeliest metre of plain lines, and a sentence that says why and what else."""
    found = suggest_metre([read_line(line) for line in lines])
    if not found:
        return Metre(4, 4), "The words did not tell; 4/4 is a guess."
    best = found[0]
    others = [str(other.metre) for other in found[1:3]]
    also = f" Also possible: {' or '.join(others)}." if others else ""
    return best.metre, f"{best.metre} is a guess. {best.reason}{also}"
