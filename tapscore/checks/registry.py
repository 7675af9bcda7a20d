"""All rules, in the order they are explained, and one way to run them."""

from tapscore.checks import accent_on_beat, bars_full, pickup_joins
from tapscore.checks.rule import Rule, Scene
from tapscore.model.finding import Finding, Severity

RULES: tuple[Rule, ...] = (bars_full.RULE, pickup_joins.RULE, accent_on_beat.RULE)


def rule(rule_id: str) -> Rule | None:
    """The rule of that id."""
    return next((rule for rule in RULES if rule.id == rule_id), None)


def check(scene: Scene, rules: tuple[Rule, ...] = RULES) -> tuple[Finding, ...]:
    """Everything the rules find; a rule that breaks becomes a finding about itself."""
    findings: list[Finding] = []
    for each in rules:
        try:
            findings.extend(each.findings(scene))
        except Exception as error:
            findings.append(
                Finding(
                    "rule-broke",
                    Severity.LOOK_AGAIN,
                    f"The check “{each.title}” stopped by a fault of the program "
                    f"({type(error).__name__}: {error}).",
                    "The other checks went on. Please report this with the story file.",
                )
            )
    return tuple(findings)
