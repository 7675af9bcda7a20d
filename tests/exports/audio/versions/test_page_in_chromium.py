"""The page a set is played with, in a real browser engine without a screen.

Reference: Chromium, as it comes in Qt's WebEngine; in a process of its own.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tapscore.exports.audio.versions.rehearsal_set import rehearsal_set
from tests.exports.audio.versions.test_versions import told

_PROGRAM = Path(__file__).with_name("chromium_page.py")
"""Run apart and never loaded here: it sets how Qt begins."""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    folder = tmp_path_factory.mktemp("set with a space & more")
    rehearsal_set(told(), folder, format="mp3")
    run = subprocess.run(
        [sys.executable, str(_PROGRAM), str(folder)],
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
    )
    assert run.stdout, run.stderr[-2000:]
    answers: dict[str, object] = json.loads(run.stdout.strip().splitlines()[-1])
    return answers


def test_nothing_plays_by_itself_and_nothing_is_fetched(found: dict[str, object]) -> None:
    assert found["quiet"] is True
    assert set(found["schemes"]) <= {"file", "data"}  # type: ignore[call-overload]


def test_a_version_is_chosen_played_and_gone_through_by_keys(found: dict[str, object]) -> None:
    assert found["buttons"]
    assert found["chosen"]
    assert found["plays"] is True
    assert found["pauses"] is True
    assert found["line"] is True
    assert found["loops"] == "true"


def test_everything_has_a_name_and_is_large_enough_on_a_phone(found: dict[str, object]) -> None:
    """44 CSS pixels: WCAG 2.2, success criterion 2.5.5 (enhanced target size)."""
    assert found["unnamed"] == 0
    assert found["narrow"] is True
    assert isinstance(found["smallest button"], float)
    assert found["smallest button"] >= 44


@pytest.mark.parametrize("when", ["axe at first", "axe when chosen"])
def test_an_independent_checker_finds_nothing(found: dict[str, object], when: str) -> None:
    """axe-core, with all its usual rules: WCAG A and AA, and its own best practice."""
    told = found[when]
    assert isinstance(told, dict)
    assert told["wrong"] == []
    assert told["met"] > 20


def test_a_lost_sound_is_said_and_no_script_fails(found: dict[str, object]) -> None:
    assert "can't be played" in str(found["trouble"])
    errors = [said for said in found["errors"] if "lost" not in said]  # type: ignore[attr-defined]
    assert [said for said in errors if "Uncaught" in said or "SyntaxError" in said] == []
