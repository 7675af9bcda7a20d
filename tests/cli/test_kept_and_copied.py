"""``earlier``, ``next-year``, ``pack``, ``open-pack`` and ``recordings``, step by step."""

import os
import zipfile
from pathlib import Path

import pytest

from tapscore.storyfile.read import read_file
from tapscore.workflow.keeping.save_story import save_story
from tapscore.workflow.keeping.versions import Versions
from tests.cli.running import SOUND, Said, files, run, usage
from tests.exports.audio.voice.voices import tone, write

TRACES = """\
# written with AB
tapscore: 2
title: The Mill of CD
metre: 6/8
term: Autumn
roles: {leader: {}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        do: EF holds it
      - words: Turn it
        lane: "| X . . x . . |"
        do: with GH
"""
GONE = "Not in the copy:\n  Own note: written with AB\n  Term: Autumn\n"
LISTED = (
    "Look at these; they may hold initials or a date:\n"
    "  1. title: “The Mill of CD”: CD (it can only be kept, or written otherwise afterwards)\n"
    "  2. Part 1, place 1, do: “EF holds it”: EF\n"
    "  3. Part 1, place 2, do: “with GH”: GH\n"
)


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TAPSCORE_VERSIONS", str(tmp_path / ".versions"))
    path = Path("mill.yaml")
    path.write_text(SOUND, encoding="utf-8")
    return path


@pytest.fixture
def kept(file: Path) -> list[str]:
    """A story saved three times, and when its states were kept, the newest first."""
    file.unlink()
    for title in ("The Mill", "The Old Mill", "The Wind-mill"):
        save_story(file, SOUND.replace("The Mill", title))
    return [version.when_words for version in Versions().of(file)]


def test_states_are_listed_the_newest_first(file: Path, kept: list[str]) -> None:
    assert len(kept) == 3
    assert run("earlier", file) == Said(
        0,
        "".join(f"{at:2}  saved {when}\n" for at, when in enumerate(kept, 1))
        + f"3 kept in {Versions().place(file)}\n",
        "",
    )
    Path("other.yaml").write_text(SOUND, encoding="utf-8")
    assert run("earlier", "other.yaml") == Said(0, "None are kept.\n", "")
    Path("other.yaml").unlink()
    said = run("earlier", "other.yaml")
    assert (said.code, said.out) == (2, "")
    assert "There is no file other.yaml.\n" in said.err
    file.unlink()  # what was kept of one that is gone is told
    assert run("earlier", file).code == 0


def test_what_is_otherwise_in_a_state(file: Path, kept: list[str]) -> None:
    assert run("earlier", file, "--version", 1) == Said(0, "They say the same.\n", "")
    changes = (
        f"Otherwise than saved {kept[2]}:\n"
        " 1  the story: title was “The Mill”, is “The Wind-mill”\n"
    )
    assert run("earlier", file, "--version", 3) == Said(0, changes, "")
    assert run("earlier", file, "--version", 3, "--text") == Said(0, SOUND, "")


def test_a_change_is_taken_back(file: Path, kept: list[str]) -> None:
    said = run("earlier", file, "--version", 3, "--take", 1)
    told = "taken back: the story: title was “The Mill”, is “The Wind-mill”\n"
    assert said == Said(0, told, "")
    assert file.read_text() == SOUND
    assert len(Versions().of(file)) == 4
    assert run("earlier", file, "--version", 4) == Said(0, "They say the same.\n", "")


def test_the_whole_is_taken_back(file: Path, kept: list[str]) -> None:
    said = run("earlier", file, "--version", 2, "--whole")
    told = f"mill.yaml is as it was saved {kept[1]}. What it was until now is kept.\n"
    assert said == Said(0, told, "")
    assert file.read_text() == SOUND.replace("The Mill", "The Old Mill")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--version", 0), "There are versions 1 to 3.\n"),
        (("--version", 4), "There are versions 1 to 3.\n"),
        (("--version", 3, "--take", 0), "There are changes 1 to 1.\n"),
        (("--version", 3, "--take", 2), "There are changes 1 to 1.\n"),
        (("--version", 1, "--take", 1), "They say the same.\n"),
    ],
)
def test_what_there_is_none_of_is_refused(
    file: Path, kept: list[str], words: tuple[object, ...], says: str
) -> None:
    before = file.read_bytes()
    assert run("earlier", file, *words) == Said(1, "", says)
    assert file.read_bytes() == before
    Path("other.yaml").write_text(SOUND, encoding="utf-8")
    assert run("earlier", "other.yaml", *words) == Said(1, "", "None are kept.\n")


@pytest.mark.parametrize("words", [("--take", 1), ("--whole",), ("--text",)])
def test_of_which_version_must_be_said(file: Path, words: tuple[object, ...]) -> None:
    assert usage(run("earlier", file, *words)) == "Say of which version, with --version N."


def test_states_that_can_t_be_used(file: Path, kept: list[str]) -> None:
    newest, middle, oldest = Versions().of(file)
    oldest.kept_in.write_text("tapscore: 2\n\ttitle: T\n")
    said = run("earlier", file, "--version", 3)
    told = "That version can't be read as a story; see it with --text.\n"
    assert said == Said(1, "", told)
    middle.kept_in.unlink()
    middle.kept_in.mkdir()
    said = run("earlier", file, "--version", 2, "--text")
    assert (said.code, said.out) == (1, "")
    assert said.err.startswith("It can't be read: ")
    file.write_text("tapscore: 2\n\ttitle: T\n")
    said = run("earlier", file, "--version", 1)
    assert (said.code, said.out) == (2, "")
    assert said.err.splitlines()[0] == "mill.yaml:2:1: must mend [yaml]"
    assert said.err.splitlines()[-1] == "Take the whole of an earlier version with --whole."
    assert newest.kept_in.is_file()


def test_what_can_t_be_taken_back_alone(
    file: Path, kept: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tapscore.cli.earlier.taken_back", lambda *_: None)
    said = run("earlier", file, "--version", 3, "--take", 1)
    assert said == Said(1, "", "That can't be taken back alone; --whole takes the whole.\n")
    assert "Wind-mill" in file.read_text()


@pytest.mark.parametrize("words", [("--take", 1), ("--whole",)])
def test_a_story_that_can_t_be_written_is_told(
    file: Path, kept: list[str], monkeypatch: pytest.MonkeyPatch, words: tuple[object, ...]
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tapscore.cli.earlier.save_story", full)
    said = run("earlier", file, "--version", 3, *words)
    assert said == Said(1, "", "mill.yaml can't be written: the disc is full.\n")


def test_a_copy_for_next_year_is_told_before_it_is_made(file: Path) -> None:
    file.write_text(TRACES, encoding="utf-8")
    for words, left in (
        ((), "1, 2, 3"),
        (("--leave-out", "all"), "1"),
        (("--leave-out", "3"), "1, 2"),
        (("--keep", "1"), "2, 3"),
        (("--keep", "1", "--leave-out", "3"), "2"),
    ):
        said = run("next-year", file, "out.yaml", *words)
        asks = f"Nothing was made yet: say of {left} what to do, with --leave-out {left} or --keep"
        assert said == Said(1, GONE + LISTED, f"{asks} {left}.\n")
    assert files(Path()) == {"mill.yaml"}


@pytest.mark.parametrize(
    ("words", "stays"),
    [
        (("--leave-out", "all", "--keep", "1"), ()),
        (("--leave-out", "2 3", "--keep", "1"), ()),
        (("--leave-out", "2", "--keep", "1,3"), ("GH",)),
        (("--leave-out", "all", "--keep", "1,2"), ("EF",)),
        (("--keep", "all"), ("EF", "GH")),
        (("--leave-out", "1,2", "--keep", "1,2,3"), ("EF", "GH")),
        (("--leave-out", " all ", "--keep", " all "), ("EF", "GH")),
    ],
)
def test_which_texts_stay_in_a_copy(
    file: Path, words: tuple[str, ...], stays: tuple[str, ...]
) -> None:
    file.write_text(TRACES, encoding="utf-8")
    assert run("next-year", file, "out.yaml", *words) == Said(
        0, f"{GONE}{LISTED}made out.yaml\n", ""
    )
    text = Path("out.yaml").read_text(encoding="utf-8")
    assert [name for name in ("AB", "EF", "GH", "Autumn") if name in text] == list(stays)
    assert "CD" in text
    assert file.read_text(encoding="utf-8") == TRACES


def test_numbers_that_name_nothing(file: Path) -> None:
    file.write_text(TRACES, encoding="utf-8")
    for typed in ("0", "4", "2,x", "-1"):
        for option in ("--leave-out", "--keep"):
            said = run("next-year", file, "out.yaml", option, typed)
            assert said.code == 2
            assert said.out == GONE + LISTED
            assert said.err.splitlines()[-1] == (
                f"Error: “{typed}” names nothing in the list: write its numbers, or all."
            )
    assert files(Path()) == {"mill.yaml"}


def test_why_no_copy_was_made(file: Path) -> None:
    file.write_text(TRACES, encoding="utf-8")
    said = run("next-year", file, "out.yaml", "--leave-out", "1,2,3")
    why = "title can't be left out: write it otherwise."
    assert said == Said(1, GONE + LISTED, f"Nothing was made: {why}\n")
    said = run("next-year", file, "none/out.yaml", "--keep", "all")
    assert (said.code, said.out) == (1, GONE + LISTED)
    assert said.err == (
        "none/out.yaml can't be written: there is no such file or folder. Choose another folder.\n"
    )
    Path("out.yaml").write_text("mine")
    said = run("next-year", file, "out.yaml", "--keep", "all")
    assert said == Said(1, "", "out.yaml is already there. Choose another name.\n")
    assert Path("out.yaml").read_text() == "mine"


def test_day_and_recordings_of_the_old_story(file: Path) -> None:
    Path("mill today.yaml").write_text("here: [leader]\n")
    Path("mill recordings").mkdir()
    Path("mill recordings/01.wav").write_bytes(b"a voice")
    day = "  Who is here: mill today.yaml stays with the old story\n"
    said = run("next-year", file, "a.yaml")
    offer = "  Recordings: mill recordings; --recordings takes them along\n"
    assert said == Said(0, f"{day}{offer}made a.yaml\n", "")
    assert not Path("a recordings").exists()
    said = run("next-year", file, "b.yaml", "--recordings")
    assert said == Said(0, f"{day}made b.yaml\nCopied b recordings.\n", "")
    assert Path("b recordings/01.wav").read_bytes() == b"a voice"


def test_nothing_is_asked_of_a_story_that_holds_no_names(file: Path) -> None:
    assert run("next-year", file, "out.yaml") == Said(0, "made out.yaml\n", "")
    copy, old = read_file(Path("out.yaml")).story, read_file(file).story
    assert copy is not None
    assert copy == old


@pytest.fixture
def papers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Packs with a single paper, which takes less time."""
    monkeypatch.setattr("tapscore.workflow.swap_pack.PAPERS", ("pocket-key",))


@pytest.mark.usefixtures("papers")
def test_a_pack_leaves_out_what_is_not_kept(file: Path) -> None:
    file.write_text(TRACES, encoding="utf-8")
    said = run("pack", file, "out.zip")
    asks = "Nothing was made yet: look at 1; write them otherwise, or give --keep 1.\n"
    assert said == Said(1, GONE + LISTED, asks)
    assert files(Path()) == {"mill.yaml"}
    made = "made out.zip: what was listed with a number and not kept is left out of it\n"
    for keep, stays in (("1", []), ("1 3", ["GH"]), ("all", ["EF", "GH"])):
        assert run("pack", file, "out.zip", "--keep", keep) == Said(0, GONE + LISTED + made, "")
        with zipfile.ZipFile("out.zip") as pack:
            text = pack.read("the-mill-of-cd.yaml").decode()
        assert [name for name in ("AB", "EF", "GH") if name in text] == stays
        Path("out.zip").unlink()
    assert run("pack", file, "out.zip", "--keep", "4").code == 2


@pytest.mark.usefixtures("papers")
def test_why_no_pack_was_made(file: Path) -> None:
    said = run("pack", file, "none/out.zip")
    assert said == Said(
        1,
        "",
        "none/out.zip was not made: there is no such file or folder. Choose another folder.\n",
    )
    Path("out.zip").write_text("mine")
    said = run("pack", file, "out.zip")
    assert said == Said(1, "", "out.zip is already there. Choose another name.\n")
    assert Path("out.zip").read_text() == "mine"
    Path("mill recordings").mkdir()
    Path("mill recordings/01.wav").write_bytes(b"no sound")
    said = run("pack", file, "other.zip", "--recordings")
    assert (said.code, Path("other.zip").exists()) == (1, False)
    assert said.err.startswith("The pack was not made: ")


@pytest.mark.usefixtures("papers")
def test_a_pack_is_looked_into_and_opened(file: Path) -> None:
    Path("mill recordings").mkdir()
    write(Path("mill recordings/01.wav"), tone(0.5), 48_000)
    assert run("pack", file, "plain.zip").code == 0
    plain = run("open-pack", "plain.zip")
    with zipfile.ZipFile("plain.zip") as pack:
        sizes = {info.filename: info.file_size for info in pack.infolist()}
    del sizes["pack.json"]
    assert sizes["the-mill.yaml"] < 1000
    assert not any("recordings" in name for name in sizes)
    rows = [f"  {name}  ({max(size // 1000, 1):,} kB)" for name, size in sizes.items()]
    assert plain == Said(
        0,
        "\n".join([f"“The Mill”, {len(sizes)} files:", *rows])
        + "\nNothing was written: give --out DIR to open it there.\n",
        "",
    )
    assert "  the-mill.yaml  (1 kB)" in rows
    assert run("pack", file, "voices.zip", "--recordings").code == 0
    told = run("open-pack", "voices.zip", "--out", "new")
    assert (told.code, told.err) == (0, "")
    assert told.out.splitlines()[-1] == "opened: new/the-mill/the-mill.yaml"
    assert "Nothing was written" not in told.out
    assert "  the-mill recordings/01." in told.out
    assert files(Path("new/the-mill")) == {"the-mill.yaml", "papers", "the-mill recordings"}
    again = run("open-pack", "voices.zip", "--out", "new")
    assert again.code == 2
    assert again.err == ("new/the-mill is already there: move it away, or choose another folder.\n")


def test_what_is_no_pack(file: Path) -> None:
    said = run("open-pack", "none.zip")
    assert (said.code, said.out) == (2, "")
    assert said.err == (
        "none.zip was not opened: there is no such file or folder. "
        "Look at the name, the folder, the drive.\n"
    )
    said = run("open-pack", file)
    assert (said.code, said.out) == (2, "")
    assert said.err == "mill.yaml is no swap pack, or is damaged: ask for it again.\n"
    os.mkfifo("pipe.zip")  # nobody writes to it: it is not waited for
    assert run("open-pack", "pipe.zip") == Said(2, "", "pipe.zip is no file. Choose a swap pack.\n")


TWO = SOUND + "      - words: Home to the har-bour\n"


def test_lines_and_their_recordings_are_listed(file: Path) -> None:
    file.write_text(TWO, encoding="utf-8")
    first = "01  Row the lantern  (not yet)\n"
    second = "02  Home to the harbour  (not yet)\n"
    end = "2 of 2 lines are not recorded in “mill recordings”.\n"
    assert run("recordings", file) == Said(0, first + second + end, "")
    write(Path("phone.wav"), tone(2.0), 48_000)
    said = run("recordings", file, "--bring", "2", "phone.wav")
    assert (said.code, said.err) == (0, "")
    told = said.out.splitlines()
    assert told[0].startswith("phone.wav is mill recordings/02.wav now.")
    assert told[1:] == [
        "01  Row the lantern  (not yet)",
        "02  Home to the harbour  (02.wav)",
        "1 of 2 lines are not recorded in “mill recordings”.",
    ]
    refrain = "refrains: {turn it: [{words: Turn it}]}\nstory:\n"
    whole = TWO.replace("story:\n", refrain) + "      - refrain: turn it\n"
    file.write_text(whole, encoding="utf-8")
    assert run("recordings", file).out.splitlines()[:3] == [
        "01         Row the lantern  (not yet)",
        "02         Home to the harbour  (02.wav)",
        "turn it 1  Turn it  (not yet)",
    ]
    file.write_text(TWO.replace("Home to", "Back to"), encoding="utf-8")
    said = run("recordings", file)
    assert said.out.splitlines()[1] == (
        "02  Back to the harbour  (recorded for other words: Home to the harbour)"
    )


def test_what_can_t_be_brought_in(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(Path("phone.wav"), tone(2.0), 48_000)
    said = run("recordings", file, "--bring", "7", "phone.wav")
    wrong = "There is no line called “7”. The names are in the list.\n"
    assert (said.code, said.err) == (1, wrong)
    assert said.out.splitlines()[0] == "01  Row the lantern  (not yet)"
    said = run("recordings", file, "--bring", "7", "phone.wav", "--bring", "1", "phone.wav")
    assert (said.code, said.err) == (1, wrong), "one of two failed"
    assert "(01.wav)" in said.out
    assert run("recordings", file, "--bring", "01", "phone.wav").code == 0
    said = run("recordings", file, "--bring", "1", "none.wav")
    assert (said.code, said.err) == (
        1,
        "none.wav can't be read: there is no such file or folder.\n",
    )
    Path("noise.wav").write_bytes(b"no sound")
    said = run("recordings", file, "--bring", "1", "noise.wav")
    assert said.code == 1
    assert said.err.startswith("noise.wav is broken, or no sound file.")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tapscore.cli.recordings.bring_in", full)
    said = run("recordings", file, "--bring", "1", "phone.wav")
    assert said.code == 1
    assert said.err == (
        "phone.wav can't be brought in: the disc is full. Make room, or look at the folder.\n"
    )


def test_lines_read_out(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from tapscore.workflow.neural_voice import ReadOut

    asked: list[tuple[object, ...]] = []
    answers = [ReadOut(1, ""), ReadOut(0, "There is no voice.")]

    def read_out(folder: Path, lines: tuple[object, ...], voice: Path) -> ReadOut:
        asked.append((folder, len(lines), voice))
        return answers.pop(0)

    monkeypatch.setattr("tapscore.cli.recordings.read_out", read_out)
    said = run("recordings", file, "--read-out", "v.onnx")
    assert (said.code, said.err) == (0, "")
    assert said.out.splitlines()[0] == "1 line was read out."
    said = run("recordings", file, "--read-out", "v.onnx")
    assert (said.code, said.err) == (1, "There is no voice.\n")
    assert asked == [(Path("mill recordings"), 1, Path("v.onnx"))] * 2


def test_a_story_in_utf_16_is_changed_kept_and_listed(file: Path) -> None:
    """As a text editor of an older Windows saves it."""
    file.write_text(SOUND, encoding="utf-16")
    assert run("stories").out.startswith("The Mill  (mill.yaml)\n")
    before = file.read_bytes()
    said = run("fit", file, "--tapped", "strong")
    assert (said.code, said.err) == (0, "")
    assert b"tapscore: 2" in file.read_bytes()
    Versions().keep(file, before)
    assert run("earlier", file, "--version", 1, "--text").out == SOUND
    assert run("earlier", file, "--version", 1, "--whole").code == 0
    assert file.read_text(encoding="utf-8") == SOUND
