"""Every rule against its own examples, all other rules and random stories."""

import re

import pytest
from hypothesis import given, settings

from tapscore.checks.all_rules import mended
from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import Rule, Scene
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tests.strategies import stories

each_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


def _story(text: str) -> Story:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return read.story


def _found(story: Story) -> tuple[Finding, ...]:
    return check(Scene(story, perform(story)))


@each_rule
def test_bad_example_is_found_by_its_rule_alone(rule: Rule) -> None:
    assert {finding.code for finding in _found(_story(rule.bad))} == {rule.id}


@each_rule
def test_good_example_is_clean(rule: Rule) -> None:
    assert _found(_story(rule.good)) == ()


@each_rule
def test_findings_are_placed_in_the_file(rule: Rule) -> None:
    read = read_text(rule.bad)
    assert read.story is not None
    for finding in read.placed(_found(read.story)):
        assert finding.span is not None
        assert finding.path == () or read.locate(finding.path[:2]) is not None


@pytest.mark.parametrize("rule", [r for r in RULES if r.fix], ids=lambda rule: rule.id)
def test_fix_mends_and_can_be_written(rule: Rule) -> None:
    assert rule.fix is not None
    assert rule.mends
    text = rule.bad
    for _ in range(20):
        story = _story(text)
        found = [finding for finding in _found(story) if finding.code == rule.id]
        if not found:
            break
        first = found[0]
        new = mended(story, first)
        assert new is not None
        assert new != story
        text = write_story(new)
    else:
        raise AssertionError("the fix never ends")
    assert _found(_story(text)) == ()


@each_rule
def test_rule_says_all_it_should(rule: Rule) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", rule.id)
    assert rule.title
    assert rule.why.endswith(".")
    assert rule.source
    assert isinstance(rule.severity, Severity)
    for finding in _found(_story(rule.bad)):
        assert finding.message[0].isupper() or finding.message[0] == "“"
        assert finding.message.endswith(".")
        assert finding.remedy.endswith(".")
        said = f"{finding.message} {finding.remedy} {rule.title} {rule.why}".casefold()
        assert "invalid" not in said
        assert not re.search(r"\b(is|are) safe\b", said)


def test_ids_are_all_different() -> None:
    assert len({rule.id for rule in RULES}) == len(RULES)


@given(stories)
@settings(max_examples=150)
def test_random_stories_never_break_a_rule(story: Story) -> None:
    for finding in _found(story):
        assert finding.code != "rule-broke", finding.message


@given(stories)
@settings(max_examples=60)
def test_random_fixes_never_break(story: Story) -> None:
    for finding in _found(story):
        new = mended(story, finding)
        if new is not None:
            assert read_text(write_story(new)).story == new
            assert _words(new) == _words(story)


def _words(story: Story) -> list[str]:
    return [item.words for _, item in written_items(story) if isinstance(item, Line)]
