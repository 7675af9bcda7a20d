"""What the board's model finds, on the command line."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from tapscore.checks.all_rules import FELT_RULES
from tapscore.checks.rule import Rule
from tapscore.cli.app import main


def _run(*words: str) -> str:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    return result.output


@pytest.mark.parametrize("rule", FELT_RULES, ids=lambda rule: rule.id)
def test_only_when_asked_for(tmp_path: Path, rule: Rule) -> None:

    file = tmp_path / "story.yaml"
    file.write_text(rule.bad, encoding="utf-8")
    assert rule.id not in _run("check", str(file))
    assert f"[{rule.id}]" in _run("check", "--felt", str(file))


def test_with_the_maps(tmp_path: Path) -> None:
    file = tmp_path / "story.yaml"
    file.write_text(FELT_RULES[0].bad, encoding="utf-8")
    said = _run("felt", str(file), "--out", str(tmp_path / "out"))
    assert f"[{FELT_RULES[0].id}]" in said
    assert "Relative, a model, not a measurement." in said


def test_help_about_the_board() -> None:
    page = _run("help", "board")
    for word in ("battens", "stiffness_long_nm", "mass_kg", "strips:", "not\n   calibrated"):
        assert word in page
