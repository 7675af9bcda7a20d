"""Earlier versions from the command line."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tapscore.cli.app import main
from tapscore.workflow.keeping.save_story import save_story

TEXT = """\
# my head
tapscore: 2
title: Boat
story:
  - section: One
    lines:
      - words: Row, row
      - words: Home # at last
"""


def _run(*args: object) -> Result:
    return CliRunner().invoke(main, ["earlier", *map(str, args)])


@pytest.fixture
def story(tmp_path: Path) -> Path:
    path = tmp_path / "boat.yaml"
    save_story(path, TEXT)
    save_story(path, TEXT.replace("Row, row", "Row a-way").replace("title: Boat", "title: Ship"))
    return path


def test_none_are_kept(tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text(TEXT)
    result = _run(tmp_path / "other.yaml")
    assert (result.exit_code, result.output) == (0, "None are kept.\n")
    assert _run(tmp_path / "other.yaml", "--version", 1).exit_code == 1
    assert _run(tmp_path / "other.yaml", "--whole").exit_code == 2
    (tmp_path / "other.yaml").unlink()
    assert _run(tmp_path / "other.yaml").exit_code == 2


def test_they_are_listed_and_compared(story: Path) -> None:
    listed = _run(story)
    assert listed.output.count("saved ") == 2
    assert "2 kept in " in listed.output
    compared = _run(story, "--version", 2).output
    assert " 1  the story: title was “Boat”, is “Ship”" in compared
    assert " 2  One, line 1: words was “Row, row”, is “Row a-way”" in compared
    assert _run(story, "--version", 1).output == "They say the same.\n"
    assert _run(story, "--version", 2, "--text").output == TEXT
    assert _run(story, "--version", 3).exit_code == 1


def test_one_change_is_taken_back_and_the_rest_stays(story: Path) -> None:
    assert _run(story, "--version", 2, "--take", 9).exit_code == 1
    result = _run(story, "--version", 2, "--take", 2)
    assert result.exit_code == 0
    expected = TEXT.replace("title: Boat", "title: Ship")
    assert story.read_text() == expected.replace("Row, row", '"Row, row"')
    assert _run(story).output.count("saved ") == 3


def test_the_whole_is_taken_back_even_over_a_broken_file(story: Path) -> None:
    story.write_text("tapscore: 2\ntitle: [\n")
    assert _run(story, "--version", 2).exit_code == 2
    assert _run(story, "--version", 2, "--whole").exit_code == 0
    assert story.read_text() == TEXT
    assert _run(story, "--version", 2, "--text").output == "tapscore: 2\ntitle: [\n"
