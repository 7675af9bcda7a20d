"""What is kept from earlier checks never differs from checking everything anew."""

from collections.abc import Iterator
from random import Random

from attrs import evolve
from hypothesis import given, settings

from tapscore.checks.facts import LineFacts
from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import EachLine, EachPair, Found, Rule, Scene, found
from tapscore.checks.setting import Setting
from tapscore.model.edits import replace_item
from tapscore.model.finding import Finding, Severity
from tapscore.model.selection import delete_all, move_all, repeat_all
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.wording.about import LineName
from tests.forgetting import never_seen
from tests.strategies import Maker, cast_of, seeds, stories

TEXT = """\
tapscore: 2
title: T
metre: 6/8
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
      - words: down in the net
        lane: "| X x x X . . |"
"""


def _scene(story: Story) -> Scene:
    return Scene(story, perform(story))


def _anew(story: Story) -> tuple[Finding, ...]:
    return check(_scene(never_seen(story)))


def _edited(story: Story, seed: int) -> Story:
    """The story with one random edit."""
    random = Random(seed)
    items = list(written_items(story))
    if not items:
        return evolve(story, title="another")
    path, item = random.choice(items)
    match random.randrange(5):
        case 0:
            return delete_all(story, [path])
        case 1:
            return repeat_all(story, (path,))[0]
        case 2:
            return move_all(story, (path,), random.choice((-1, 1)))[0]
        case 3 if isinstance(item, Line):
            line = Maker(seed, ["tip-py tap", "oh", "row the boat"]).line(cast_of(story))
            return replace_item(story, path, line)
        case _:
            return evolve(story, pupils=random.randint(1, 9), board=None)


@given(stories, seeds)
@settings(max_examples=80)
def test_after_an_edit_the_same_is_found_as_anew(story: Story, seed: int) -> None:
    check(_scene(story))
    for step in range(4):
        story = _edited(story, seed + step)
        kept = check(_scene(story))
        assert kept == _anew(story)


@given(stories)
@settings(max_examples=40)
def test_a_rule_finds_the_same_alone(story: Story) -> None:
    scene = _scene(story)
    together = check(scene)
    for rule in RULES:
        alone = list(rule.findings(scene))
        if not story.accepted:
            assert alone == [finding for finding in together if finding.code == rule.id]


def test_a_second_look_runs_no_line_rule() -> None:
    story = read_text(TEXT).story
    assert story is not None
    looked: list[str] = []

    def line(_: Setting, facts: LineFacts) -> Iterator[Found]:
        looked.append(facts.line.words)
        yield found(case="looked at")

    def pair(
        _: Setting, before: LineFacts | None, after: LineFacts, paused: bool
    ) -> Iterator[Found]:
        looked.append(f"{before.line.words if before else ''} > {after.line.words}")
        yield found(before=True, case="follows")

    rules = (_rule("a", EachLine(line)), _rule("b", EachPair(pair)))
    first = check(_scene(story), rules)
    lines = ["Row the lan-tern", "down in the net"]
    assert looked == [*lines, " > Row the lan-tern", "Row the lan-tern > down in the net"]
    one, two = LineName(1), LineName(2)
    assert [(f.about["line"], f.about["case"]) for f in first] == [
        *((one, "looked at"), (two, "looked at"), (one, "follows"), (one, "follows"))
    ]
    looked.clear()
    assert check(_scene(story), rules) == first
    again = read_text(TEXT).story
    assert again is not None
    assert again is not story
    assert check(_scene(again), rules) == first
    assert looked == []
    changed = read_text(TEXT.replace("net", "sea")).story
    assert changed is not None
    check(_scene(changed), rules)
    assert looked == ["down in the sea", "Row the lan-tern > down in the sea"]


def test_a_line_rule_that_breaks_is_one_finding_and_the_others_go_on() -> None:
    story = read_text(TEXT).story
    assert story is not None

    def broken(_: Setting, facts: LineFacts) -> Iterator[Found]:
        yield found(case="before the break")
        raise ZeroDivisionError("by nought")

    def sound(_: Setting, facts: LineFacts) -> Iterator[Found]:
        yield found(case="sound")

    made = check(_scene(story), (_rule("a", EachLine(broken)), _rule("b", EachLine(sound))))
    assert [f.code for f in made] == ["rule-broke", "b", "b"]
    assert "ZeroDivisionError: by nought" in made[0].message


def test_a_scene_that_breaks_is_no_crash() -> None:
    story = read_text(TEXT).story
    assert story is not None
    scene = _scene(evolve(story, sections=()))
    assert all(finding.code != "rule-broke" for finding in check(scene))


def _rule(rule_id: str, find: EachLine | EachPair) -> Rule:
    return Rule(rule_id, "Title", "Why.", "none", Severity.ADVICE, find, "", "")
