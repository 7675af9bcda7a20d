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


@pytest.mark.parametrize(
    "keys",
    ["says: drummer", "warn first: whisper\n        warned by: drummer", "words alone"],
)
def test_whoever_only_speaks_warns_or_is_with_a_pupil_is_missed(keys: str) -> None:
    """A warning that nobody gives startles."""
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\nroles: {leader: , drummer: , helper: }\nby: leader\n"
        "board: {size_cm: [120, 90], places: {A: {at: [20, 20], with: helper}}}\n"
        "story:\n  - section: One\n    lines:\n      - words: Row\n"
        '        lane: "| X . . . . . |"\n'
    ) + (f"        {keys}\n" if ":" in keys else "")
    missed = [each.about["role"] for each in check(_scene(text, _bad_day(text)), TODAY_RULES)]
    assert missed == (["drummer", "helper"] if ":" in keys else ["helper"])
    part = [each for each in check(_scene(text, None)) if each.code == "everyone-has-a-part"]
    assert [each.path for each in part] == ([] if ":" in keys else [("roles", "drummer")])


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
