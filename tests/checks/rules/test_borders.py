"""Three good and three bad examples a rule, and a threshold that moves changes one of them."""

import sys
from collections.abc import Iterator
from fractions import Fraction

import pytest
from attrs import frozen

import tapscore.checks.felt.levels
import tapscore.model.comfort
from tapscore.checks.all_rules import FELT_RULES
from tapscore.checks.registry import RULES
from tapscore.checks.rule import EachLine, EachPair, Rule, Scene
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tests.forgetting import forget_facts

NO_THRESHOLDS = {
    "SLOWEST": "a bound of what can be written, used in mending",
    "USUAL_LINES": "only said",
    "USUAL_WAIT_SEC": "only said",
    "USUAL_TURN_SEC": "only said, and used in mending",
    "ADVISED_WAIT_SEC": "only said",
    "REACH_MM": "where REACH_CM comes from",
}
ELSEWHERE = {
    "warn-before-loud": (tapscore.model.comfort, "USUAL_JUMP"),
    "no-sudden-tap": (tapscore.model.comfort, "USUAL_JUMP"),
    "waits-long-enough": (tapscore.model.comfort, "USUAL_LEAST_WAIT_SEC"),
    "felt-weak": (tapscore.checks.felt.levels, "USUAL_WEAK_DB"),
    "felt-left-out": (tapscore.checks.felt.levels, "USUAL_WEAK_DB"),
}
"""Thresholds that stand outside the rule's own module."""
FURTHER = {"BETWEEN_SYLLABLES": (0.0, 1.0), "USUAL_JUMP_DB": (7.0, 13.0)}
"""Where a tenth is less than what can be told apart: moved so far."""
each_rule = pytest.mark.parametrize("rule", [*RULES, *FELT_RULES], ids=lambda rule: rule.id)


@frozen(eq=False)
class Threshold:
    """A number in a module, and where it is moved to."""

    rule: Rule
    module: object
    name: str
    to: object

    @property
    def called(self) -> str:
        return f"{self.rule.id}: {self.name} = {self.to}"


def _moved(name: str, value: float | Fraction) -> tuple[object, object]:
    """A little less and a little more: a step for counts, else a tenth."""
    if name in FURTHER:
        return FURTHER[name]
    if isinstance(value, int) and abs(value) <= 20:
        return value - 1, value + 1
    if isinstance(value, int):
        return round(value * 0.9), round(value * 1.1)
    tenth = value / 10
    return value - tenth, value + tenth


def _thresholds() -> Iterator[Threshold]:
    for rule in (*RULES, *FELT_RULES):
        find = rule.find.find if isinstance(rule.find, EachLine | EachPair) else rule.find
        own = sys.modules[find.__module__]
        found = [(own, name) for name in vars(own) if name.isupper() and name[0] != "_"]
        if rule.id in ELSEWHERE:
            place = ELSEWHERE[rule.id]
            found = [each for each in found if each[1] != place[1]] + [place]
        for module, name in found:
            value = getattr(module, name)
            if isinstance(value, int | float | Fraction) and name not in NO_THRESHOLDS:
                for to in _moved(name, value):
                    yield Threshold(rule, module, name, to)


THRESHOLDS = tuple(_thresholds())


def _verdict(rule: Rule, text: str) -> list[object]:
    """Where the rule finds what; its data may name the threshold, so they don't count."""
    story = read_text(text).story
    assert story is not None
    forget_facts()
    found = rule.findings(Scene(story, perform(story)))
    return [(each.path, each.about.get("case"), each.severity) for each in found]


def _good(rule: Rule) -> tuple[str, ...]:
    return rule.good, *rule.more_good


def _bad(rule: Rule) -> tuple[str, ...]:
    return rule.bad, *rule.more_bad


@each_rule
def test_three_good_and_three_bad_examples(rule: Rule) -> None:
    for examples in (_good(rule), _bad(rule)):
        assert len(set(examples)) >= 3
        assert all(read_text(text).findings == () for text in examples)
    assert [_verdict(rule, text) for text in _good(rule)] == [[]] * len(_good(rule))
    assert all(_verdict(rule, text) for text in _bad(rule))


@pytest.mark.parametrize("moved", THRESHOLDS, ids=[each.called for each in THRESHOLDS])
def test_a_threshold_that_moves_is_noticed(
    moved: Threshold, monkeypatch: pytest.MonkeyPatch
) -> None:
    examples = (*_good(moved.rule), *_bad(moved.rule))
    before = [_verdict(moved.rule, text) for text in examples]
    monkeypatch.setattr(moved.module, moved.name, moved.to)
    assert [_verdict(moved.rule, text) for text in examples] != before


def test_rules_with_figures_have_thresholds() -> None:
    """The search for thresholds finds them: a rule whose source names one has one."""
    assert len({each.rule.id for each in THRESHOLDS}) >= 20
