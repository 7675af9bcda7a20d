"""What is remembered between runs."""

import json
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.gui.settings import Settings
from tapscore.model.loudness import Loudness
from tapscore.workflow.product import Choices

OTHERS = Choices(
    "120 x 180 mm",
    0.75,
    "flac",
    2,
    True,
    other_paper="Letter",
    margin_mm=8.0,
    mono=True,
    loudest_heard=Loudness.MEDIUM,
)


def test_choices_are_remembered_and_recordings_are_not(tmp_path: Path) -> None:
    assert Settings(tmp_path / "s.json").choices == Choices()
    for choices in (OTHERS, Choices()):
        Settings(tmp_path / "s.json").choices = choices
        assert Settings(tmp_path / "s.json").choices == choices


@pytest.mark.parametrize(
    "kept",
    [
        "no JSON",
        [],
        {"card_paper": "postcard"},
        {"card_paper": ["A4"]},
        {"distance_m": 50},
        {"distance_m": "far"},
        {"distance_m": float("nan")},
        {"distance_m": 10**400},
        {"margin_mm": -3},
        {"margin_mm": "wide"},
        {"per_sheet": 3},
        {"per_sheet": []},
        {"sound": "song"},
        {"mono": "yes"},
        {"loudest_heard": 77},
    ],
)
def test_choices_that_cannot_be_read_are_as_usual(kept: object, tmp_path: Path) -> None:
    (tmp_path / "s.json").write_text(json.dumps({"choices": kept}))
    assert Settings(tmp_path / "s.json").choices == Choices()


@pytest.mark.parametrize("value", ["nan", "yes", None, [], {}, 1e999, -3, float("nan"), "\ud800"])
def test_any_value_of_any_setting(value: object, tmp_path: Path) -> None:
    names = ("inks", "scale", "reduced motion", "recent", "choices", "hints seen")
    (tmp_path / "s.json").write_text(json.dumps(dict.fromkeys(names, value)))
    settings = Settings(tmp_path / "s.json")
    assert isinstance(settings.inks, str)
    assert 1 <= settings.scale <= 2
    assert not settings.reduced_motion
    assert settings.recent == ()
    assert settings.choices == Choices()
    assert not settings.hints_seen
    settings.scale = 1.5
    assert Settings(tmp_path / "s.json").scale == 1.5


def test_a_damaged_file_and_one_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "s.json").write_bytes(b"[" * 200_000)
    settings = Settings(tmp_path / "s.json")
    assert settings.scale == 1
    settings.scale = 1.25
    assert Settings(tmp_path / "s.json").scale == 1.25
    (tmp_path / "folder.json").mkdir()
    settings = Settings(tmp_path / "folder.json")
    settings.scale = 1.5
    assert settings.scale == 1.5


def test_recent_files_that_are_there(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "s.json")
    for name in ("a.yaml", "b-\udcff.yaml", "gone.yaml"):
        (tmp_path / name).write_bytes(b"")
        settings.remember(tmp_path / name)
    (tmp_path / "gone.yaml").unlink()
    settings.remember(tmp_path / "a.yaml")
    settings.remember(tmp_path / "b-\udcff.yaml")
    again = Settings(tmp_path / "s.json")
    assert again.recent == (tmp_path / "b-\udcff.yaml", tmp_path / "a.yaml")


def test_two_windows_remember_beside_each_other(tmp_path: Path) -> None:
    one, other = Settings(tmp_path / "s.json"), Settings(tmp_path / "s.json")
    one.scale = 1.75
    other.inks = "dark"
    again = Settings(tmp_path / "s.json")
    assert (again.scale, again.inks) == (1.75, "dark")


@pytest.mark.parametrize(
    ("kept", "ears"),
    [
        ({}, (False, None)),
        ([], (False, None)),
        ({"mono": True, "loudest_heard": 1}, (True, Loudness.QUIET)),
        ({"mono": "yes", "loudest_heard": 77}, (False, None)),
        ({"mono": 1, "loudest_heard": True}, (False, None)),
        ({"loudest_heard": []}, (False, None)),
    ],
)
def test_what_is_kind_to_the_ears_is_read_by_itself(
    kept: object, ears: tuple[bool, Loudness | None], tmp_path: Path
) -> None:
    (tmp_path / "s.json").write_text(json.dumps({"choices": kept}))
    assert Settings(tmp_path / "s.json").ears == ears


def test_ears_are_among_the_choices_that_sounds_are_made_with(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "s.json")
    settings.choices = OTHERS
    settings.ears = (False, Loudness.QUIET)
    again = Settings(tmp_path / "s.json")
    assert again.choices == evolve(OTHERS, mono=False, loudest_heard=Loudness.QUIET)
    assert again.ears == (False, Loudness.QUIET)
