"""A role with nobody today."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from tapscore.checks.all_rules import TODAY_RULES
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.checks.today.role_has_somebody import BAD_DAY, RULE
from tapscore.cli.app import main
from tapscore.model.day import Day
from tapscore.model.finding import Severity
from tapscore.rhythm.perform import perform
from tapscore.storyfile.day_file import read_day
from tapscore.storyfile.read import read_text


def _scene(text: str, day: Day | None) -> Scene:
    story = read_text(text).story
    assert story is not None
    return Scene(story, perform(story), day)


def test_bad_example_is_found_and_good_is_silent() -> None:
    story = read_text(RULE.bad).story
    assert story is not None
    day = read_day(BAD_DAY, story).day
    found = check(_scene(RULE.bad, day), TODAY_RULES)
    assert {finding.code for finding in found} == {RULE.id}
    everybody = Day(here=story.role_names)
    assert check(_scene(RULE.good, everybody), TODAY_RULES) == ()
    assert check(_scene(RULE.bad, None), TODAY_RULES) == ()


@pytest.mark.parametrize("text", RULE.more_good)
def test_more_that_is_good_even_when_only_the_leader_is_here(text: str) -> None:
    assert check(_scene(text, _bad_day(text)), TODAY_RULES) == ()


@pytest.mark.parametrize("text", RULE.more_bad)
def test_more_that_is_bad_when_only_the_leader_is_here(text: str) -> None:
    (finding,) = check(_scene(text, _bad_day(text)), TODAY_RULES)
    assert finding.about["jobs"] == 1
    assert "has one thing to do" in finding.message


def _bad_day(text: str) -> Day | None:
    story = read_text(text).story
    assert story is not None
    return read_day(BAD_DAY, story).day


def test_check_command_with_a_day(tmp_path: Path, demo_path: Path) -> None:
    day = tmp_path / "monday.yaml"
    day.write_text("here: [leader, beat-keeper, second tapper]\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["check", str(demo_path), "--day", str(day)])
    assert result.exit_code == 1
    assert f"{Severity.MUST_MEND.value} [role-has-somebody]" in result.output
    assert "Nobody is prop handler today" in result.output
    day.write_text(
        "here: [AB, leader, beat-keeper, second tapper]\nroles: {prop handler: AB}\n",
        encoding="utf-8",
    )
    result = CliRunner().invoke(main, ["check", str(demo_path), "--day", str(day)])
    assert result.exit_code == 0
    result = CliRunner().invoke(main, ["check", str(demo_path), "--day", str(tmp_path / "no")])
    assert "can't be read" in result.output
    assert result.exit_code == 1
