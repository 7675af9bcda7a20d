"""The page for a family's phone, read as a browser reads it, and in a browser engine.

References: Chromium, as it comes in Qt's WebEngine; axe-core (WCAG); HTML's attributes lang and
dir with tags of BCP 47.
"""

import base64
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from tapscore.exports.audio.home.home_sound import SOUND_FOLDER, home_sound
from tapscore.exports.audio.home.page import PAGE_NAME
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story, Translation
from tapscore.model.walk import change_lines
from tests.exports.audio.home.test_home_pieces import demo

ROOT = Path(__file__).parents[4]


def with_translations() -> Story:
    told = (
        Translation("pl", "Wiosłuj </script> z latarnią"),
        Translation("ur", "لالٹین کی کشتی چلاؤ"),
    )

    def translated(path: StoryPath, line: Line) -> Line:
        return evolve(line, translations=told) if path[0] == "refrains" else line

    return change_lines(demo(), translated)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("at home & more")
    home_sound(with_translations(), made, format="ogg")
    return made


@pytest.fixture(scope="module")
def found(folder: Path) -> dict[str, object]:
    run = subprocess.run(
        [sys.executable, "-m", "tests.exports.audio.home.chromium_home", str(folder / PAGE_NAME)],
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
        cwd=ROOT,
    )
    assert run.stdout, run.stderr[-2000:]
    answers: dict[str, object] = json.loads(run.stdout.strip().splitlines()[-1])
    return answers


def data(page: str) -> Any:
    told = re.search(r"^const told = (.*);$", page, re.M)
    assert told is not None
    return json.loads(told[1])


def test_the_page_is_whole_in_itself_and_each_sound_is_a_file_too(folder: Path) -> None:
    page = (folder / PAGE_NAME).read_text("utf-8")
    assert "http" not in page
    assert "autoplay" not in page
    assert page.count("</script>") == 1, "no words of a story end the script"
    files = sorted((folder / SOUND_FOLDER).iterdir())
    assert {file.suffix for file in files} == {".mp3"}, "not every phone plays Ogg"
    inside = [base64.b64decode(str(each["data"])) for each in data(page)["sounds"]]
    assert inside == [file.read_bytes() for file in files]


def test_languages_and_directions_are_marked(folder: Path) -> None:
    refrain = data((folder / PAGE_NAME).read_text("utf-8"))["choices"][0]
    (piece,) = refrain["pieces"]
    told = piece["lines"][0]["in"]
    assert [(each["lang"], each["dir"]) for each in told] == [("pl", "ltr"), ("ur", "rtl")]


def test_nothing_plays_before_somebody_presses(found: dict[str, object]) -> None:
    assert found["quiet"] is True
    assert found["requests"] == ["file"]


def test_the_sound_stops_at_the_wait_and_goes_on_at_a_press(found: dict[str, object]) -> None:
    assert found["plays"] is True
    assert found["stops"] is True
    assert found["still"] is True, "it stays so until somebody presses"
    assert "Wait, still and without words" in str(found["said"])
    assert found["button"] == "Go on"
    assert found["goes on"] is True
    assert found["warned before the press"] is True
    assert found["ended"] == "From the beginning"


def test_it_is_marked_on_the_page_as_well(found: dict[str, object]) -> None:
    assert found["marked"] == "pl ltr, ur rtl"


def test_the_button_is_large_and_nothing_is_wider_than_a_phone(found: dict[str, object]) -> None:
    assert found["narrow"] is True
    assert isinstance(found["smallest"], float)
    assert found["smallest"] >= 44, "WCAG 2.2, 2.5.5"
    assert isinstance(found["large"], float)
    assert found["large"] >= 90


def test_an_independent_checker_finds_nothing(found: dict[str, object]) -> None:
    for when in ("axe at first", "axe at a stop"):
        told = found[when]
        assert isinstance(told, dict)
        assert told["wrong"] == []
        assert told["met"] > 15
    assert found["errors"] == []
