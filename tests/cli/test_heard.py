"""The command ``tapscore heard``."""

import json
import os
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from tapscore.cli.app import main
from tapscore.resources import demo_stories
from tapscore.workflow.own_board import tap_groups
from tests.rehearsal.rehearsals import rehearsed
from tests.rehearsal.simulated.recording import write
from tests.rehearsal.simulated.wood import board_of

WALK = next(path for path in demo_stories() if path.stem == "the-rainy-walk")


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("phone")
    return write(rehearsed("the-rainy-walk", "L0", 7).sound, folder / "ann and bob", "m4a")


def test_a_rehearsal_is_told_and_no_pupil_is_recorded_is_said_first(recording: Path) -> None:
    told = CliRunner().invoke(main, ["heard", str(WALK), str(recording)])
    assert told.exit_code == 0, told.output
    assert "no pupil is recorded" in told.stderr
    assert "Line by line:" in told.stdout
    assert "Line 1, “Boots on, coats on, out we go.”: at 0:0" in told.stdout


def test_as_data(recording: Path) -> None:
    told = CliRunner().invoke(main, ["heard", str(WALK), str(recording), "--format", "json"])
    data = json.loads(told.stdout)["recordings"][0]
    assert data["can_tell"]
    assert len(data["lines"]) == 11
    assert data["lines"][0]["how_sure"] in ("sure", "it sounded as if", "can't tell")
    assert {"code", "message", "remedy", "at"} <= set(data["differences"][0])


def test_a_text_without_names_is_written(recording: Path, tmp_path: Path) -> None:
    words = ["heard", str(WALK), str(recording), str(recording), "--out", str(tmp_path / "t.txt")]
    told = CliRunner().invoke(main, words)
    assert told.exit_code == 0
    text = (tmp_path / "t.txt").read_text(encoding="utf-8")
    assert "Rehearsal 2" in text
    assert "Twice now: " in text
    assert "ann" not in text
    assert "leader" not in text


def test_another_story_ends_with_1(recording: Path) -> None:
    other = next(path for path in demo_stories() if path.stem == "the-bread-van")
    told = CliRunner().invoke(main, ["heard", str(other), str(recording)])
    assert told.exit_code == 1
    assert "can't be told from this recording" in told.stdout


def test_what_is_no_recording_or_no_story_ends_with_2(recording: Path, tmp_path: Path) -> None:
    (tmp_path / "words.mp3").write_text("no sound")
    told = CliRunner().invoke(main, ["heard", str(WALK), str(tmp_path / "words.mp3")])
    assert told.exit_code == 2
    assert "words.mp3 is broken, or no sound file." in told.stderr
    assert CliRunner().invoke(main, ["heard", "gone.yaml", str(recording)]).exit_code == 2


@pytest.mark.parametrize(
    ("begin", "end", "said"),
    [("soon", None, "no time for --from"), ("1:00", "0:30", "--to lies after --from")],
)
def test_times_that_are_none(recording: Path, begin: str, end: str | None, said: str) -> None:
    words = ["heard", str(WALK), str(recording), "--from", begin]
    told = CliRunner().invoke(main, [*words, *(["--to", end] if end else [])])
    assert told.exit_code == 2
    assert said in told.stderr


def test_a_story_saved_after_the_recording_is_told(recording: Path, tmp_path: Path) -> None:
    later = tmp_path / "walk.yaml"
    later.write_bytes(WALK.read_bytes())
    made = recording.stat().st_mtime
    os.utime(later, (made + 3600, made + 3600))
    told = CliRunner().invoke(main, ["heard", str(later), str(recording)])
    assert "The story was changed after this recording was made." in told.stdout


def test_the_own_board_is_learned_first(
    recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "board.json"
    monkeypatch.setattr("tapscore.workflow.own_board._usual_file", lambda: kept)
    story = rehearsed("the-rainy-walk", "L0", 7).story
    strike, sound = board_of("deep", np.random.default_rng(1)), np.zeros(16_000 * 20)
    for number in range(3 * len(tap_groups(story))):
        made, at = strike("the middle", "fingertips"), 16_000 * (number + 1)
        sound[at : at + len(made)] += 0.3 * made
    taps = write(sound, tmp_path / "taps", "wav")
    words = ["heard", str(WALK), str(recording), "--board", str(taps)]
    told = CliRunner().invoke(main, words)
    assert told.exit_code in (0, 1), told.output
    assert "kept as a few numbers" in told.stderr
    assert kept.is_file()


def test_a_part_is_looked_at(recording: Path) -> None:
    told = CliRunner().invoke(main, ["heard", str(WALK), str(recording), "--from", "0:01"])
    assert told.exit_code == 0
