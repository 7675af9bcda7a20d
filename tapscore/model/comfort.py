"""What pupils are spared: the settings that the teacher makes for one class and one board."""

from enum import Enum
from fractions import Fraction

from attrs import frozen

from tapscore.model.loudness import Loudness


class Stage(Enum):
    """How far the board has been introduced; the value is the word in the file."""

    ON_A_TABLE = "on a table"
    BESIDE_THE_BOARD = "beside the board"
    ON_THE_BOARD = "on the board"


STAGE_WORDS = tuple(stage.value for stage in Stage)
USUAL_JUMP = 1
"""Steps of loudness from one tap to the next that need no warning."""
USUAL_LEAST_WAIT_SEC = Fraction(10)
"""Answered twice as often as none after 5, 10 or 15 s (Johnson & Parker 2013); 20 is advised."""
ADVISED_WAIT_SEC = Fraction(20)
"""Alertness comes in waves of about 20 s (Munde 2012)."""
ADULTS_A_HOIST = 2
"""Never fewer (common practice, no source)."""


@frozen
class Comfort:
    """None where the teacher has not said."""

    ceiling: Loudness | None = None
    """Nothing louder than this."""
    largest_jump: int | None = None
    """Steps of loudness that may come without a warning."""
    least_wait_sec: Fraction | None = None
    stage: Stage | None = None
    introduce_gently: bool = False

    @property
    def stage_word(self) -> str | None:
        """The stage in the file's words."""
        return None if self.stage is None else self.stage.value

    @property
    def jump_steps(self) -> int:
        """Steps of loudness that may come without a warning, as written or as usual."""
        return USUAL_JUMP if self.largest_jump is None else self.largest_jump

    @property
    def wait_sec(self) -> Fraction:
        """The shortest wait, as written or as usual."""
        return USUAL_LEAST_WAIT_SEC if self.least_wait_sec is None else self.least_wait_sec

    @property
    def loudest(self) -> Loudness:
        """The ceiling; a gentle introduction stays at medium, whatever ceiling is written."""
        most = Loudness.MEDIUM if self.introduce_gently else Loudness.VERY_LOUD
        return most if self.ceiling is None else min(self.ceiling, most)
