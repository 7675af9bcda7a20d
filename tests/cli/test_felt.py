"""The command ``tapscore felt``."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tapscore.board.words import MODEL_SENTENCE
from tapscore.cli.felt import run_felt
from tapscore.exports import felt_map
from tapscore.model.strokes import Stroke

STORY = """tapscore: 2
title: A Boat
metre: 4/4
tempo: 60
board:
  size_cm: [100, 80]
  gap_mm: 40
  spots: {middle: [50, 40]}
  places: {A: {at: [30, 40]}}
story:
  - section: One
    lines:
      - words: row row row row
        lane: "| x x x x |"
        stroke: knuckles
"""


@pytest.fixture(autouse=True, scope="module")
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path_factory.mktemp("board-cache")))
        yield


@pytest.fixture
def story(tmp_path: Path) -> Path:
    path = tmp_path / "boat.yaml"
    path.write_text(STORY, encoding="utf-8")
    return path


def test_makes_a_picture_for_each_place_and_stroke(
    story: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    assert run_felt(story, folder) == 0
    made = {path.name for path in folder.iterdir() if not path.name.startswith(".")}
    assert made == {"a-boat-felt.csv", "a-boat-felt-A-knuckles.png"}
    assert (folder / "a-boat-felt-A-knuckles.png").read_bytes().startswith(b"\x89PNG")
    assert "knuckles" in (folder / "a-boat-felt.csv").read_text(encoding="utf-8-sig")
    out = capsys.readouterr().out
    assert MODEL_SENTENCE in out
    assert "grain is not known" in out
    assert run_felt(story, folder) == 0


def test_a_picture_shows_the_middle_loudness(
    story: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[tuple[object, ...]] = []
    monkeypatch.setattr(felt_map, "felt_map_png", lambda *of, **_: shown.append(of[1:]))
    taps = "x(very quiet) x(quiet) x(quiet) x(very loud)"
    story.write_text(STORY.replace("x x x x", taps), encoding="utf-8")
    assert run_felt(story, tmp_path / "out") == 0
    assert shown == [(Stroke.KNUCKLES, 1, "A")]


def test_somebody_elses_file_is_left_alone(
    story: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a-boat-felt.csv").write_text("mine")
    assert run_felt(story, tmp_path) == 1
    assert (tmp_path / "a-boat-felt.csv").read_text() == "mine"
    assert "was not made by tapscore" in capsys.readouterr().err


def test_says_what_is_missing(
    story: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    story.write_text(STORY.replace("  places: {A: {at: [30, 40]}}\n", ""))
    assert run_felt(story, tmp_path / "out") == 1
    assert "no pupil's place is on the board" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert run_felt(tmp_path / "nowhere.yaml", tmp_path / "out") == 2


def test_folder_that_is_a_file(
    story: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_felt(story, story) == 1
    assert "can't be used" in capsys.readouterr().err
