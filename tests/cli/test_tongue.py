"""What the commands print is in the program's language: their help, and what they say."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tapscore.cli.first_page import COMMANDS
from tests.gui.tongue.process import speaking
from tests.gui.tongue.shown import left_over
from tests.wording.pseudo import OPENS, pseudo

RUN = """
import json, sys
from click.testing import CliRunner
from tapscore.cli.app import main
run = CliRunner()
said = [run.invoke(main, args, prog_name="tapscore").output for args in json.loads(sys.argv[1])]
print(json.dumps(said))
"""
SAME = re.compile(
    r"--?[a-z][\w-]*"  # options
    r"|\b[A-Z]{2,}\b(?:\.\.\.|\.csv|\.pdf)?|\[[\w|.=<> -]*\]"  # what stands for a value
    r"|^  [\w-]+(?=  )|tapscore(?: class-record)?(?: [a-z-]+)?|begin|bring|hand-over"  # commands
    r"|\bevery\b"  # a choice of --tapped
    r"|\b(?:FLOAT|INTEGER|TEXT|RANGE)\b|x?[<>]=?[\w.]+"  # kinds of numbers
    r"|/[^\s⟧]+|[\w-]+\.(?:yaml|pdf|mp3)\b|\[[a-z-]+\]",  # files, and what rules are called
    re.MULTILINE,
)
NOTHING = re.compile("$^")


@pytest.fixture(scope="module")
def languages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("languages")


def _said(languages: Path, *calls: list[str]) -> list[str]:
    """What commands print, each of them, in a fresh process that speaks the language."""
    done = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(calls)],
        env=speaking(languages),
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    said: list[str] = json.loads(done.stdout)
    return said


def _plain(text: str, *own: str) -> str:
    """What of it is English, but for names that are the same in every language."""
    for each in own:
        text = text.replace(each, "")
    return left_over(SAME.sub("", text), NOTHING)


def test_help_of_every_command(languages: Path) -> None:
    pages = [["--help"], *([name, "--help"] for name in COMMANDS)]
    pages += [["class-record", name, "--help"] for name in ("begin", "bring", "paper", "hand-over")]
    said = dict(zip(map(str, pages), _said(languages, *pages), strict=True))
    assert all(pseudo("Options") in each for each in said.values())
    assert {page: _plain(text) for page, text in said.items() if _plain(text)} == {}


def test_what_commands_say(languages: Path, tmp_path: Path, demo_path: Path) -> None:
    story = tmp_path / "story.yaml"
    story.write_bytes(demo_path.read_bytes())
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text(story.read_text("utf-8").replace("stage: beside the board", "stage: flying"))
    calls = (
        ["check", str(story)],
        ["check", str(wrong)],
        ["timing", str(story)],
        ["export", str(story), "--out", str(tmp_path / "out"), "--only", "cue-sheet"],
        ["check"],
        ["export", str(story)],
        ["no-such-command"],
    )
    own = ("The Lantern Boat", "Evening", "The waves", "Treasure", "Home", "no-such-command")
    said = dict(zip(map(str, calls), _said(languages, *calls), strict=True))
    assert all(OPENS in each for each in said.values()), said
    assert {call: _plain(text, *own) for call, text in said.items() if _plain(text, *own)} == {}
