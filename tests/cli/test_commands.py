"""The commands as typed: what they print, their exit codes, and what they leave behind."""

import json
import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from tapscore.checks.all_rules import ALL_RULES
from tapscore.cli.app import main
from tapscore.cli.first_page import COMMANDS
from tapscore.resources import resource_path

CLEAN = (
    "tapscore: 2\ntitle: The Mill\nmetre: 6/8\ntempo: 60\nroles: {leader: {}}\nstory:\n"
    "  - section: One\n    lines:\n      - words: Row the lan-tern\n"
    '        lane: "| X . x X . x |"\n'
)
ADVICE = CLEAN.replace("| X . x X . x |", "| x X . x . x |")
BROKEN = CLEAN.replace("metre: 6/8", "metre: 3/5")
UNREADABLE = "tapscore: 2\n\ttitle: T\n"


def _run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def _file(folder: Path, text: str, name: str = "mill.yaml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        (CLEAN, 0, "mill.yaml: "),
        (ADVICE, 0, "mill.yaml:10:9: advice [accent-on-beat]"),
        (BROKEN, 1, "mill.yaml:3:8: must mend [wrong-value]"),
        (UNREADABLE, 2, "mill.yaml:2:1: must mend [yaml]"),
        ("", 2, "The file is empty."),
    ],
)
def test_check(tmp_path: Path, text: str, code: int, says: str) -> None:
    result = _run("check", _file(tmp_path, text))
    assert result.exit_code == code, result.output
    assert says in result.output
    assert ("must mend" in result.output) == (code != 0)


def test_check_counts_at_the_end(tmp_path: Path) -> None:
    result = _run("check", _file(tmp_path, ADVICE.replace("tempo: 60", "pupils: 0")))
    last = result.output.splitlines()[-1]
    assert re.fullmatch(r"mill.yaml: 1 must mend,( \d+ look again,)? [1-9]\d* advice\.", last)


def test_check_as_json(tmp_path: Path) -> None:
    path = _file(tmp_path, BROKEN)
    result = _run("check", path, "--format", "json")
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert (data["file"], data["readable"]) == (str(path), True)
    (finding,) = data["findings"]
    assert set(finding) == {
        *("code", "severity", "line", "column", "path", "message", "remedy", "about")
    }
    assert (finding["line"], finding["column"], finding["path"]) == (3, 8, ["metre"])
    assert json.loads(_run("check", _file(tmp_path, ""), "--format", "json").stdout) == {
        **{"file": str(path), "readable": False},
        "findings": [
            {
                **{"code": "empty", "severity": "must mend", "line": 1, "column": 1, "path": []},
                "message": "The file is empty.",
                "remedy": "Start with `tapscore: 2` and `title: ...`, or make a file with "
                "`tapscore new`.",
                "about": {},
            }
        ],
    }


def test_json_tells_what_a_finding_is_about(tmp_path: Path) -> None:
    result = _run("check", _file(tmp_path, ADVICE), "--format", "json")
    (finding,) = [f for f in json.loads(result.stdout)["findings"] if f["code"] == "accent-on-beat"]
    assert finding["about"] == {"line": {"number": 1}, "bar": 1, "syllable": "the"}


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    for command in (["check"], ["timing"], ["export", "--out", str(tmp_path / "out")]):
        result = _run(command[0], tmp_path / "none.yaml", *command[1:])
        assert result.exit_code == 2
        assert "There is no file" in result.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("text", "code"), [(BROKEN, 1), (UNREADABLE, 2)])
def test_nothing_is_exported_from_a_story_to_mend(tmp_path: Path, text: str, code: int) -> None:
    result = _run("export", _file(tmp_path, text), "--out", tmp_path / "out")
    assert result.exit_code == code
    assert "Nothing was made: mend the story first." in result.output
    assert not (tmp_path / "out").exists()


def test_export_and_export_again(tmp_path: Path) -> None:
    story, out = _file(tmp_path, CLEAN), tmp_path / "out"
    first = _run("export", story, "--out", out, "--only", "score, click-guide")
    assert first.exit_code == 0, first.output
    assert sorted(p.name for p in out.iterdir()) == [
        *[".tapscore-made.json", "the-mill-click-guide.mid", "the-mill-score.musicxml"]
    ]
    assert first.output.count("made ") == 2
    again = _run("export", story, "--out", out, "--only", "score,click-guide")
    assert again.exit_code == 0

    (out / "the-mill-score.musicxml").write_text("my own", encoding="utf-8")
    refused = _run("export", story, "--out", out, "--only", "score,click-guide")
    assert refused.exit_code == 1
    assert "Nothing was written" in refused.output
    assert (out / "the-mill-score.musicxml").read_text(encoding="utf-8") == "my own"

    forced = _run("export", story, "--out", out, "--only", "score", "--replace")
    assert forced.exit_code == 0
    assert (out / "the-mill-score.musicxml").read_bytes().startswith(b"<?xml")


def test_export_into_a_file(tmp_path: Path) -> None:
    result = _run("export", _file(tmp_path, CLEAN), "--out", _file(tmp_path, "", "out"))
    assert result.exit_code == 1
    assert "is a file, not a folder" in result.output


def test_an_unknown_export_is_named(tmp_path: Path) -> None:
    result = _run("export", _file(tmp_path, CLEAN), "--out", tmp_path, "--only", "cue-card")
    assert result.exit_code == 2
    assert "There is no export “cue-card”. Did you mean `cue-cards`?" in result.output


def test_export_on_paper_of_ones_own_tells_a_narrow_margin_once(tmp_path: Path) -> None:
    out = tmp_path / "out"
    only = ("--only", "cue-cards,briefing", "--out", out)
    result = _run(
        *("export", _file(tmp_path, CLEAN), *only, "--paper", "180x120"),
        *("--other-paper", "letter", "--margin", "3", "--distance", "0.5"),
    )
    assert result.exit_code == 0, result.output
    assert result.output.count("A margin of 3 mm is narrower") == 1
    sides = {tuple(page.mediabox[2:]) for f in out.glob("*.pdf") for page in PdfReader(f).pages}
    assert {(round(w / 72 * 25.4), round(h / 72 * 25.4)) for w, h in sides} == {
        (180, 120),
        (216, 279),
    }


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--paper", "A9"), "such as 120x180"),
        (("--other-paper", "20x30"), "too small"),
        (("--paper", "500x900"), "too large"),
        (("--margin", "-1"), "--margin"),
    ],
)
def test_paper_there_is_none_of_is_refused_at_once(
    tmp_path: Path, options: tuple[str, str], says: str
) -> None:
    out = tmp_path / "out"
    result = _run("export", _file(tmp_path, CLEAN), "--out", out, *options)
    assert result.exit_code == 2
    assert says in result.output
    assert not out.exists()


def test_a_margin_without_room_leaves_the_other_files(tmp_path: Path) -> None:
    only = ("--only", "cue-cards,briefing", "--out", tmp_path / "out")
    result = _run("export", _file(tmp_path, CLEAN), *only, "--margin", "45")
    assert result.exit_code == 1
    assert "smaller margin" in result.output
    assert [path.name for path in (tmp_path / "out").glob("*.pdf")] == ["the-mill-briefing.pdf"]


def test_timing(tmp_path: Path) -> None:
    result = _run("timing", _file(tmp_path, CLEAN))
    assert result.exit_code == 0
    assert "The Mill: 0:02 at least" in result.output
    assert _run("timing", _file(tmp_path, BROKEN)).exit_code == 1
    assert _run("timing", _file(tmp_path, UNREADABLE)).exit_code == 2


def test_new_then_check(tmp_path: Path) -> None:
    words = _file(
        tmp_path,
        "The Mill\n\nDown by the water the old mill stood\nround and round it goes\n\n"
        "The miller came out with flour\nround and round it goes\n",
        "words.txt",
    )
    made = _run("new", tmp_path / "mill.yaml", "--from", words)
    assert made.exit_code == 0, made.output
    assert "tapscore check" in made.output
    checked = _run("check", tmp_path / "mill.yaml")
    assert checked.exit_code == 0, checked.output
    assert "The Mill" in (tmp_path / "mill.yaml").read_text(encoding="utf-8")


def test_new_never_writes_over_a_file(tmp_path: Path) -> None:
    path = _file(tmp_path, "mine")
    result = _run("new", path, "--from", _file(tmp_path, "a line", "words.txt"))
    assert result.exit_code == 1
    assert "already there" in result.output
    assert path.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("data", [b"", b" \n", b"\x00\x01\x02", None])
def test_new_from_nothing_usable(tmp_path: Path, data: bytes | None) -> None:
    source = tmp_path / "words.txt"
    if data is not None:
        source.write_bytes(data)
    result = _run("new", tmp_path / "mill.yaml", "--from", source)
    assert result.exit_code == 2
    assert "words.txt" in result.output
    assert not (tmp_path / "mill.yaml").exists()


def test_new_in_a_folder_that_is_not_there(tmp_path: Path) -> None:
    source = _file(tmp_path, "a line of words", "words.txt")
    result = _run("new", tmp_path / "none" / "mill.yaml", "--from", source)
    assert result.exit_code == 1
    assert "can't be written" in result.output


def test_rules_are_listed_and_explained() -> None:
    listed = _run("rules")
    assert listed.exit_code == 0
    assert [line.split()[0] for line in listed.output.splitlines()] == [r.id for r in ALL_RULES]
    one = _run("rules", ALL_RULES[0].id)
    assert one.exit_code == 0
    assert ALL_RULES[0].why in one.output
    unknown = _run("rules", "bars-ful")
    assert unknown.exit_code == 2
    assert "Did you mean `bars-full`?" in unknown.output


@pytest.mark.parametrize("topic", ["lane", "story", "board"])
def test_help_prints_the_pages(topic: str) -> None:
    result = _run("help", topic)
    assert result.exit_code == 0
    assert result.output == resource_path(f"{topic}.txt").read_text(encoding="utf-8")
    assert all(len(line) <= 100 for line in result.output.splitlines())


def test_help_of_commands_and_of_nothing() -> None:
    assert "tapscore help lane | story" in _run("help").output
    assert "Usage:" in _run("help", "check").output
    unknown = _run("help", "lan")
    assert unknown.exit_code == 2
    assert "Did you mean `lane`?" in unknown.output


def test_a_command_that_is_none(tmp_path: Path) -> None:
    result = _run("chek")
    assert result.exit_code == 2
    assert "Did you mean `check`?" in result.output


def test_version() -> None:
    result = _run("--version")
    assert result.exit_code == 0
    assert result.output.startswith("tapscore ")


def test_each_command_is_listed_with_its_own_first_sentence() -> None:
    group = main
    context = click.Context(group)
    for name, sentence in COMMANDS.items():
        command = group.get_command(context, name)
        assert command is not None
        assert command.name == name
        assert command.help is not None
        assert " ".join(command.help.split("\n\n")[0].split()) == sentence
    assert list(COMMANDS) == sorted(COMMANDS)
