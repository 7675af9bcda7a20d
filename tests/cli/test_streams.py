"""Where each command says what is wrong with a story, and the code it ends with."""

from pathlib import Path

import pytest

from tests.cli.running import FOUND, MISTAKEN, SOUND, UNREADABLE, files, run

WORDS = {
    "adapt": ("adapt", "FILE", "out.yaml", "--short"),
    "timing": ("timing", "FILE"),
    "export": ("export", "FILE", "--out", "out"),
    "felt": ("felt", "FILE", "--out", "out"),
    "heard": ("heard", "FILE", "sound.wav"),
    "day": ("day", "FILE", "day.yaml"),
    "pack": ("pack", "FILE", "out.zip"),
    "next-year": ("next-year", "FILE", "out.yaml"),
    "recordings": ("recordings", "FILE"),
    "fit": ("fit", "FILE"),
}
NEED_IT_MENDED = ("adapt", "timing", "export", "felt", "heard", "day", "pack", "next-year")
LAST = {
    **dict.fromkeys(("adapt", "export"), "Nothing was made: mend the story first.\n"),
    "day": "Nothing was shared out: mend the story first.\n",
    "pack": "No pack was made: mend the story first.\n",
    "next-year": "No copy was made: mend the story first.\n",
}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The only story in the folder that commands are run in."""
    monkeypatch.chdir(tmp_path)
    return Path("mill.yaml")


@pytest.mark.parametrize(("state", "code"), [("mistaken", 1), ("unreadable", 2), ("missing", 2)])
def test_check_says_all_of_it_on_the_plain_output(file: Path, state: str, code: int) -> None:
    _put(file, state)
    said = run("check", file)
    assert (said.code, said.out, said.err) == (code, FOUND[state], "")


@pytest.mark.parametrize("state", ["unreadable", "missing"])
@pytest.mark.parametrize("command", WORDS)
def test_a_story_that_can_t_be_read_ends_with_2(file: Path, command: str, state: str) -> None:
    _put(file, state)
    said = run(*(file if word == "FILE" else word for word in WORDS[command]))
    assert (said.code, said.out) == (2, "")
    assert said.err == FOUND[state] + LAST.get(command, "")
    assert files(Path()) <= {"mill.yaml"}


@pytest.mark.parametrize("command", NEED_IT_MENDED)
def test_a_story_to_mend_is_told_on_the_other_output_and_ends_with_1(
    file: Path, command: str
) -> None:
    _put(file, "mistaken")
    said = run(*(file if word == "FILE" else word for word in WORDS[command]))
    assert (said.code, said.out) == (1, "")
    assert said.err == FOUND["mistaken"] + LAST.get(command, "")
    assert files(Path()) == {"mill.yaml"}


@pytest.mark.parametrize("command", ["fit", "recordings"])
def test_what_can_be_told_of_a_story_to_mend_is_told(file: Path, command: str) -> None:
    _put(file, "mistaken")
    said = run(command, file)
    assert (said.code, said.err) == (0, "")
    assert "Home" in said.out


@pytest.mark.parametrize("command", ["check", "adapt", "timing", "recordings", "fit", "next-year"])
def test_a_sound_story_is_told_of_on_the_plain_output_alone(file: Path, command: str) -> None:
    file.write_text(SOUND, encoding="utf-8")
    words = WORDS.get(command, ("check", "FILE"))
    said = run(*(file if word == "FILE" else word for word in words))
    assert (said.code, said.err) == (0, "")
    assert said.out


@pytest.mark.parametrize(
    ("command", "missing"),
    [
        ("check", "'FILE'"),
        ("adapt", "'FILE'"),
        ("timing", "'FILE'"),
        ("day", "'FILE'"),
        ("earlier", "'FILE'"),
        ("heard", "'FILE'"),
        ("new", "'FILE'"),
        ("pack", "'FILE'"),
        ("open-pack", "'PACK'"),
        ("recordings", "'FILE'"),
        ("fit", "'FILE'"),
        ("next-year", "'FILE'"),
    ],
)
def test_a_command_without_its_file_is_used_wrongly(command: str, missing: str) -> None:
    said = run(command)
    assert (said.code, said.out) == (2, "")
    assert f"Error: Missing argument {missing}." in said.err


def _put(file: Path, state: str) -> None:
    if state != "missing":
        text = {"mistaken": MISTAKEN, "unreadable": UNREADABLE}[state]
        file.write_text(text, encoding="utf-8")
