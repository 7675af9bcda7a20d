"""The rules about what is felt, as a group that is run apart from the others.

They ask the board's model, for which numpy and scipy must be loaded and a board worked out
(some tenths of a second the first time).  So they are no part of the usual check: they are run
by ``tapscore check --felt``, by ``tapscore felt``, and by the editor in its own thread after
what the usual rules find is shown.  Where no board is described, or no place is on it, they
find nothing and load nothing.
"""

from tapscore.checks.felt import (
    clear_of_floor,
    felt_jump,
    felt_left_out,
    felt_weak,
    grain_known,
)
from tapscore.checks.rule import Rule

LINE_RULES: tuple[Rule, ...] = (felt_jump.RULE, felt_weak.RULE, felt_left_out.RULE)
BOARD_RULES: tuple[Rule, ...] = (clear_of_floor.RULE, grain_known.RULE)
FELT_RULES: tuple[Rule, ...] = (*LINE_RULES, *BOARD_RULES)
