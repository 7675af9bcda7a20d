import json
import shutil
from pathlib import Path

import pytest
from attrs import evolve
from click.testing import CliRunner
from PIL import Image
from pypdf import PdfReader

from tapscore.cli.app import main
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Translation
from tapscore.model.walk import change_lines
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.storyfile.write import write_story


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    made = tmp_path / "Stories"
    made.mkdir()
    for path in demo_stories():
        shutil.copy(path, made)
    return made


def run(*args: object) -> tuple[int, str]:
    result = CliRunner().invoke(main, [str(each) for each in args])
    return result.exit_code, result.output


def test_stories_are_listed_found_and_put_away(folder: Path) -> None:
    code, said = run("stories", folder)
    assert code == 0
    assert "The Lantern Boat  (the-lantern-boat.yaml)" in said
    code, said = run("stories", folder, "--find", "spoons bread", "--format", "json")
    assert [each["title"] for each in json.loads(said)] == ["The Bread Van"]
    assert "no story with “zebra”" in run("stories", folder, "--find", "zebra")[1]
    code, said = run("stories", "--archive", folder / "the-bread-van.yaml")
    assert code == 0
    assert (folder / "Archive" / "the-bread-van.yaml").is_file()
    assert "Bread" not in run("stories", folder)[1]
    assert run("stories", "--archive", folder / "none.yaml")[0] == 2
    assert run("stories", folder / "none")[0] == 2


def test_papers_older_than_a_change_are_told_of(folder: Path) -> None:
    boat = folder / "the-lantern-boat.yaml"
    assert run("export", boat, "--only", "pocket-key", "--out", folder / "out")[0] == 0
    assert "Papers of" not in run("stories", folder)[1]
    boat.write_text(boat.read_text().replace("tempo: 54 ", "tempo: 56 "))
    assert "are older than the last change" in run("stories", folder)[1]


def test_a_copy_for_next_year_asks_before_it_is_made(folder: Path, tmp_path: Path) -> None:
    boat, out = folder / "the-lantern-boat.yaml", tmp_path / "next.yaml"
    text = boat.read_text().replace("title: The Lantern Boat", "title: The Boat of AB", 1)
    boat.write_text(text.replace("hold the lantern low", "with CD hold the lantern low"))
    code, said = run("next-year", boat, out)
    assert code == 1
    assert "Own note: " in said
    assert "1. title: “The Boat of AB”: AB (it can only be kept" in said
    assert not out.exists()
    assert run("next-year", boat, out, "--leave-out", "1,2")[0] == 1
    assert not out.exists()
    assert run("next-year", boat, out, "--leave-out", "9")[0] == 2
    code, said = run("next-year", boat, out, "--leave-out", "2", "--keep", "1")
    assert code == 0, said
    assert "CD" not in out.read_text()
    assert run("check", out)[0] == 0
    assert run("next-year", boat, out, "--keep", "all")[0] == 1, "it is already there"


def test_pictures_come_along_with_a_copy_and_recordings_if_wished(
    folder: Path, tmp_path: Path
) -> None:
    boat, out = folder / "the-lantern-boat.yaml", tmp_path / "next" / "boat.yaml"
    out.parent.mkdir()
    boat.write_text(boat.read_text().replace("\nmetre:", "\npicture: sea.png\nmetre:", 1))
    Image.new("RGB", (4, 3)).save(folder / "sea.png")
    (folder / "the-lantern-boat recordings").mkdir()
    (folder / "the-lantern-boat recordings" / "01.wav").write_bytes(b"a voice")
    code, said = run("next-year", boat, out)
    assert code == 0, said
    assert "--recordings takes them along" in said
    assert "Copied the picture sea.png." in said
    assert (out.parent / "sea.png").read_bytes() == (folder / "sea.png").read_bytes()
    assert not (out.parent / "boat recordings").exists()
    out.unlink()
    (out.parent / "sea.png").write_bytes(b"of another story")
    code, said = run("next-year", boat, out, "--recordings")
    assert code == 0, said
    assert "Another picture sea.png is there already" in said
    assert (out.parent / "sea.png").read_bytes() == b"of another story"
    assert (out.parent / "boat recordings" / "01.wav").read_bytes() == b"a voice"


def test_a_pack_is_made_shown_and_opened(folder: Path, tmp_path: Path) -> None:
    boat, pack = folder / "the-lantern-boat.yaml", tmp_path / "boat.zip"
    boat.write_text(boat.read_text().replace("section: Evening", "section: AB's evening"))
    assert run("pack", boat, pack)[0] == 1
    assert not pack.exists()
    code, said = run("pack", boat, pack, "--keep", "1")
    assert code == 0, said
    code, said = run("open-pack", pack)
    assert code == 0
    assert "papers/the-lantern-boat-cue-sheet.pdf" in said
    assert "Nothing was written" in said
    code, said = run("open-pack", pack, "--out", tmp_path / "theirs")
    assert code == 0, said
    assert (tmp_path / "theirs" / "the-lantern-boat" / "the-lantern-boat.yaml").is_file()
    pack.write_bytes(b"no")
    assert run("open-pack", pack)[0] == 2


def test_languages_are_chosen_for_part_sheets_and_home(folder: Path, tmp_path: Path) -> None:
    boat, out = folder / "the-lantern-boat.yaml", tmp_path / "out"
    # Of every line of the refrain, so that each who speaks or taps in it has it.
    read = read_file(boat).story
    assert read is not None

    def told(path: StoryPath, line: Line) -> Line:
        both = (Translation("pl", "Domek"), Translation("cy", "Adref"))
        return evolve(line, translations=both) if path[0] == "refrains" else line

    boat.write_text(write_story(change_lines(read, told)), encoding="utf-8")
    asked = ("export", boat, "--only", "part-sheets,home-version", "--out", out)
    code, said = run(*asked, "--home-language", "ur")
    assert code == 2
    assert "No line has words in “ur”. There are: pl, cy." in said
    code, said = run(*asked, "--home-language", "cy", "--part-language", "pl")
    assert code == 0, said
    words = {
        path.name: "".join(page.extract_text() for page in PdfReader(path).pages)
        for path in out.glob("*.pdf")
    }
    home = words.pop("the-lantern-boat-at-home.pdf")
    assert ("Adref" in home, "Domek" in home) == (True, False)
    parts = "".join(words.values())
    assert ("Adref" in parts, "Domek" in parts) == (False, True)
