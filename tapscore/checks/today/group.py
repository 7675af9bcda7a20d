"""The rules that ask the day file: run by ``tapscore check --day``."""

from tapscore.checks.rule import Rule
from tapscore.checks.today import role_has_somebody

TODAY_RULES: tuple[Rule, ...] = (role_has_somebody.RULE,)
