"""What is remembered between runs."""

import json
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings

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
    assert Settings(tmp_path / "s.ini").choices == Choices()
    for choices in (OTHERS, Choices()):
        Settings(tmp_path / "s.ini").choices = choices
        assert Settings(tmp_path / "s.ini").choices == choices


@pytest.mark.parametrize(
    "kept",
    [
        "no JSON",
        "[]",
        json.dumps({"card_paper": "postcard"}),
        json.dumps({"distance_m": 50}),
        json.dumps({"distance_m": "far"}),
        json.dumps({"per_sheet": 3}),
        json.dumps({"sound": "song"}),
        json.dumps({"loudest_heard": 77}),
    ],
)
def test_what_cannot_be_read_is_as_usual(kept: str, tmp_path: Path) -> None:
    store = QSettings(str(tmp_path / "s.ini"), QSettings.Format.IniFormat)
    store.setValue("making/choices", kept)
    store.sync()
    assert Settings(tmp_path / "s.ini").choices == Choices()
