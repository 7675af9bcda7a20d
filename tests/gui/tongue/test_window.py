"""Every text of every window is in the program's language, and none is cut off.

In the language of ``tests/wording/pseudo.py``, a third longer than English and in brackets: what
shows no bracket was not translated, and what has too little room is found.
"""

import json
import subprocess
import sys
from typing import Any

import pytest

from tapscore.gui.commands.every import MENUS
from tests.gui.tongue.process import ROOT, speaking
from tests.wording.pseudo import pseudo

SIDEWAYS = {
    # both scroll to the side, in English too: the column lets what stands beside it have room,
    # and a table of times has as many columns as it has
    pseudo("What to make"),
    pseudo("Times of the sections"),
}


@pytest.fixture(scope="module", params=[1.5])
def found(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, dict[str, list[str]]]:
    """What is wrong, window by window, at a size of letters; from a process of its own."""
    languages, files = tmp_path_factory.mktemp("languages"), tmp_path_factory.mktemp("files")
    walked = subprocess.run(
        [sys.executable, "-m", "tests.gui.tongue.walk", str(files), str(request.param)],
        env=speaking(languages),
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=250,
        check=False,
    )
    assert walked.returncode == 0, walked.stderr[-2000:]
    said: dict[str, dict[str, list[str]]] = json.loads(walked.stdout)
    return said


def test_every_text_goes_through_the_catalogue(found: dict[str, Any]) -> None:
    assert len(found) > 40
    assert {name: window["plain"] for name, window in found.items() if window["plain"]} == {}


def test_nothing_is_cut_off(found: dict[str, Any]) -> None:
    cut = {
        name: [each for each in window["cut"] if each.rpartition(": ")[2] not in SIDEWAYS]
        for name, window in found.items()
    }
    assert {name: each for name, each in cut.items() if each} == {}


def test_no_two_menus_have_the_same_letter() -> None:
    letters = [title.partition("&")[2][:1].casefold() for title in MENUS]
    assert all(letters)
    assert len(letters) == len(set(letters))
    for commands in MENUS.values():
        marked = [each.name.partition("&")[2][:1].casefold() for each in commands]
        own = [letter for letter in marked if letter]
        assert len(own) == len(set(own))
