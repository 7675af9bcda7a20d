"""``tapscore check``: options, accepted findings, the day, and why nothing could be saved."""

import json
from pathlib import Path

import pytest

from tapscore.cli.show import is_saved
from tapscore.workflow.open_story import open_story
from tests.cli.running import MISTAKEN, SOUND, Said, run, usage

LOUD = """\
tapscore: 2
title: T
metre: 6/8
story:
  - section: One
    lines:
      - words: Crash went the wave
        lane: "| X x x X . . |"
        loudness: loud
accepted:
  - finding: warn-before-loud
    where: crash went the wave
    why: we all wait for it
"""
ACCEPTED = "accepted [warn-before-loud] because: we all wait for it\n"


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("mill.yaml")
    path.write_text(SOUND, encoding="utf-8")
    return path


def test_nothing_to_mend(file: Path) -> None:
    assert run("check", file) == Said(0, "mill.yaml: nothing to mend.\n", "")
    assert run("check", file, "--accepted").out == "mill.yaml: nothing to mend.\n"


def test_kinds_are_counted_in_order_and_what_is_accepted_after_them(file: Path) -> None:
    file.write_text(LOUD.replace("title: T", "title: T\npupils: 0"), encoding="utf-8")
    listed = run("check", file).out.splitlines()
    assert listed[-1] == "mill.yaml: 1 must mend. 1 accepted."
    file.write_text(LOUD, encoding="utf-8")
    assert run("check", file).out == "mill.yaml: nothing to mend. 1 accepted.\n"
    text = run("check", file, "--accepted").out
    first, then, message = text.splitlines()
    assert first == "mill.yaml: nothing to mend. 1 accepted."
    assert f"{then}\n" == ACCEPTED
    assert message.startswith("    Line 1 ")
    wait = SOUND + "      - wait: 5\n"
    file.write_text(wait.replace("x X . x |", "X x . x |"), encoding="utf-8")
    assert run("check", file).out.splitlines()[-1] == "mill.yaml: 1 look again, 2 advice."


def test_as_data_with_what_is_accepted_and_no_words_round_it(file: Path) -> None:
    file.write_text(LOUD, encoding="utf-8")
    said = run("check", file, "--accepted", "--format", "json")
    assert (said.code, said.err) == (0, "")
    data = json.loads(said.out)
    assert (data["file"], data["readable"], data["findings"]) == ("mill.yaml", True, [])
    (accepted,) = data["accepted"]
    assert (accepted["line"], accepted["column"]) == (7, 9)
    assert (accepted["code"], accepted["why"]) == ("warn-before-loud", "we all wait for it")
    assert accepted["message"] == run("check", file, "--accepted").out.splitlines()[-1].strip()
    file.write_text(SOUND, encoding="utf-8")
    assert json.loads(run("check", file, "--format", "json").out) == {
        **{"file": "mill.yaml", "readable": True, "findings": []},
    }


def test_as_data_letters_stay_as_they_are(file: Path) -> None:
    file.write_text(MISTAKEN.replace("the lan-tern", "thé lan-tern"), encoding="utf-8")
    said = run("check", file, "--format", "json")
    assert said.code == 1
    assert "“thé”" in said.out
    assert said.out.startswith('{\n  "file": "mill.yaml",\n')
    assert [(each["line"], each["column"]) for each in json.loads(said.out)["findings"]] == [
        *[(6, 9), (11, 9), (12, 9)]
    ]


@pytest.mark.parametrize(
    ("options", "looked"),
    [
        ((), (False, False)),
        (("--felt",), (True, False)),
        (("--full",), (True, True)),
        (("--felt", "--full"), (True, True)),
    ],
)
def test_what_is_looked_at(
    file: Path,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    looked: tuple[bool, bool],
) -> None:
    asked: list[tuple[bool, bool]] = []

    def noted(path: Path, *, felt: bool, full: bool) -> object:
        asked.append((felt, full))
        return open_story(path)

    monkeypatch.setattr("tapscore.cli.check.open_story", noted)
    assert run("check", file, *options).code == 0
    assert asked == [looked]


WITH_A_LEADER = SOUND.replace("tempo: 60", "tempo: 60\nby: leader")
DAYS = [
    ("here: [leader]\n", 0, "mill.yaml: nothing to mend.\n"),
    (
        "here: [AB]\n",
        1,
        "mill.yaml:6:9: must mend [role-has-somebody]\n"
        "    Nobody is leader today, who has 2 things to do.\n"
        "    Write under `roles:` in the day file who takes it; `tapscore day` suggests who"
        " could.\nmill.yaml: 1 must mend.\n",
    ),
    (
        None,
        1,
        "mill.yaml: must mend [can't-open]\n    "
        "day.yaml can't be read: there is no such file or folder."
        "\n    Look at the name and the folder.\nmill.yaml: 1 must mend.\n",
    ),
]


@pytest.mark.parametrize(("day", "code", "says"), DAYS)
def test_who_is_here_is_looked_at_if_asked(
    file: Path, day: str | None, code: int, says: str
) -> None:
    file.write_text(WITH_A_LEADER, encoding="utf-8")
    if day is not None:
        Path("day.yaml").write_text(day)
    assert run("check", file, "--day", "day.yaml") == Said(code, says, "")
    assert run("check", file) == Said(0, "mill.yaml: nothing to mend.\n", "")


def test_an_unreadable_story_is_not_looked_at_with_a_day(file: Path) -> None:
    file.write_text("", encoding="utf-8")
    said = run("check", file, "--day", "day.yaml")
    assert said.code == 2
    assert said.out.splitlines()[0] == "mill.yaml:1:1: must mend [empty]"
    assert "day.yaml" not in said.out


def test_a_form_there_is_none_of(file: Path) -> None:
    said = usage(run("check", file, "--format", "xml"))
    assert said == "Invalid value for '--format': 'xml' is not one of 'text', 'json'."


def test_why_a_story_can_t_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "none" / "mill.yaml"
    assert not is_saved(out, SOUND)
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == (
        f"{out} can't be written: there is no such file or folder. Choose another folder.\n"
    )
    assert is_saved(tmp_path / "mill.yaml", SOUND)
    assert capsys.readouterr() == ("", "")
    # Two at once: the second finds the first's, and leaves it.
    assert not is_saved(tmp_path / "mill.yaml", SOUND.replace("The Mill", "Another"))
    said = f"{tmp_path / 'mill.yaml'} is already there. Choose another name.\n"
    assert capsys.readouterr().err == said
    assert (tmp_path / "mill.yaml").read_text(encoding="utf-8") == SOUND
