"""The command ``tapscore recordings``."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from tapscore.cli.app import main
from tests.exports.audio.voice.voices import tone, write


@pytest.fixture
def boat(tmp_path: Path, demo_path: Path) -> Path:
    copy = tmp_path / "boat.yaml"
    copy.write_bytes(demo_path.read_bytes())
    return copy


def test_lines_are_listed_with_what_is_missing(boat: Path) -> None:
    told = CliRunner().invoke(main, ["recordings", str(boat)])
    assert told.exit_code == 0
    assert "01          Out on the water" in told.output
    assert "row home 1  Row the lantern, row the lantern,  (not yet)" in told.output
    assert "11 of 11 lines are not recorded in “boat recordings”." in told.output


def test_a_file_is_brought_in_under_the_lines_name(boat: Path, tmp_path: Path) -> None:
    write(tmp_path / "phone.wav", tone(2.0), 48_000)
    words = ["recordings", str(boat), "--bring", "Row Home 1", str(tmp_path / "phone.wav")]
    told = CliRunner().invoke(main, words)
    assert told.exit_code == 0, told.output
    assert "phone.wav is boat recordings/row home 1.wav now." in told.output
    assert (tmp_path / "boat recordings" / "row home 1.wav").is_file()
    assert "10 of 11" in told.output


def test_a_wrong_name_or_file_is_said_and_the_rest_still_done(boat: Path, tmp_path: Path) -> None:
    write(tmp_path / "phone.wav", tone(2.0), 48_000)
    (tmp_path / "notes.mp3").write_bytes(b"nothing")
    words = ["recordings", str(boat), "--bring", "77", str(tmp_path / "phone.wav")]
    words += ["--bring", "2", str(tmp_path / "notes.mp3")]
    words += ["--bring", "3", str(tmp_path / "phone.wav")]
    told = CliRunner().invoke(main, words)
    assert told.exit_code == 1
    assert "There is no line called “77”." in told.output
    assert "notes.mp3" in told.output
    assert "(03.wav)" in told.output


def test_an_unreadable_story_ends_with_2(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("tapscore: [")
    assert CliRunner().invoke(main, ["recordings", str(tmp_path / "a.yaml")]).exit_code == 2
