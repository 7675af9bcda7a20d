"""All rules: the usual ones, and those that ask more than most checks have need of.

They are apart, so that a usual check doesn't wait for what the others bring in.
"""

from tapscore.checks.felt import (
    clear_of_floor,
    felt_jump,
    felt_left_out,
    felt_weak,
    grain_known,
    sheet_carries,
)
from tapscore.checks.holding_back import same_finding
from tapscore.checks.metre import metre_agrees
from tapscore.checks.registry import GROUPS, RULES
from tapscore.checks.rule import Rule, Scene
from tapscore.checks.today import role_has_somebody
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

FELT_LINE_RULES: tuple[Rule, ...] = (felt_jump.RULE, felt_weak.RULE, felt_left_out.RULE)
FELT_RULES = (*FELT_LINE_RULES, clear_of_floor.RULE, sheet_carries.RULE, grain_known.RULE)
"""Run by ``tapscore check --felt``, by ``tapscore felt``, and by the editor after the usual ones.

They ask the board's model, for which numpy and scipy must be loaded and a board worked out
(some tenths of a second the first time).  Where no board is described, or no place is on it,
they find nothing and load nothing.
"""
FULL_RULES: tuple[Rule, ...] = (metre_agrees.RULE,)
"""Run by ``tapscore check --full``, before every export, and by the editor after a longer pause.

They ask music21, which takes a quarter of a second to load."""
TODAY_RULES: tuple[Rule, ...] = (role_has_somebody.RULE,)
"""Run by ``tapscore check --day``."""
ALL_GROUPS = (
    *GROUPS,
    (say("What is felt"), FELT_RULES),
    (say("A second opinion"), FULL_RULES),
    (say("Today"), TODAY_RULES),
)
ALL_RULES = (*RULES, *FELT_RULES, *FULL_RULES, *TODAY_RULES)
IDS = tuple(each.id for each in ALL_RULES)


def rule(rule_id: str) -> Rule | None:
    """The rule of that id."""
    return next((rule for rule in ALL_RULES if rule.id == rule_id), None)


def mended(story: Story, finding: Finding) -> Story | None:
    """The story with a finding mended; None where its rule can't or the teacher must choose."""
    found = rule(finding.code)
    if found is None or found.fix is None:
        return None
    new = found.fix(story, finding)
    if new is None or new == story:
        return None
    left = found.findings(Scene(new, perform(new)))
    still = any(same_finding(each, finding) for each in left)
    return None if still else new
