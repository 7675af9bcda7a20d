"""The ways of touching the board."""

from enum import Enum

from tapscore.wording.terms import term


class Stroke(Enum):
    """How a tap is made; the value is the word used in files and on cards."""

    FINGERTIPS = "fingertips"
    FLAT_HAND = "flat hand"
    KNUCKLES = "knuckles"
    HEEL_OF_HAND = "heel of hand"
    SCRATCH = "scratch"
    SWEEP = "sweep"

    @property
    def word(self) -> str:
        """The word used in the file."""
        return self.value

    @property
    def shown(self) -> str:
        """The word used on screen and on paper."""
        return term(self.value)


_BY_WORD = {stroke.value: stroke for stroke in Stroke}
STROKE_WORDS = tuple(_BY_WORD)


def parse_stroke(text: str) -> Stroke | None:
    """Read a stroke's word; None where it is not one."""
    return _BY_WORD.get(" ".join(text.split()).casefold())
