"""Saving asks before it replaces; two people's changes are told and put together."""

import os
import threading
import time
from pathlib import Path

import pytest
from attrs import evolve
from PIL import Image
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui import background
from tapscore.gui.background import NoAnswerError, answered_at_once, patiently
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.saving import LEAVE, TAKE, with_ending
from tapscore.storyfile.read import read_file
from tapscore.workflow.keeping.versions import Versions
from tests.gui.answers import Answers

FIRST_LINE = ("story", 0, "lines", 0)


def _louder(window: MainWindow) -> None:
    window.view.go_to(FIRST_LINE)
    window.actions_by_id["louder"].trigger()
    assert window.document.modified


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ("plan", "plan.tapscore"),
        ("Story v1.2", "Story v1.2.tapscore"),
        ("boat.YAML", "boat.YAML"),
        ("boat.yml", "boat.yml"),
        ("boat.txt", "boat.txt.tapscore"),
        (".boat", ".boat.tapscore"),
    ],
)
def test_every_name_gets_an_ending(typed: str, named: str) -> None:
    assert with_ending(Path("folder", typed)) == Path("folder", named)


def test_save_as_asks_about_the_name_as_it_will_be(
    demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    (tmp_path / "plan.tapscore").write_text("somebody's plan")
    answers.files = [tmp_path / "plan"]
    answers.choices = ["Don't save"]
    demo.actions_by_id["save as"].trigger()
    assert "plan.tapscore already" in answers.asked[0]
    assert (tmp_path / "plan.tapscore").read_text() == "somebody's plan"
    answers.files = [tmp_path / "plan", tmp_path / "plan v1.2"]
    answers.choices = ["Save under another name"]
    demo.actions_by_id["save as"].trigger()
    assert read_file(tmp_path / "plan v1.2.tapscore").story == demo.document.story
    assert demo.document.path == tmp_path / "plan v1.2.tapscore"
    answers.files = [tmp_path / "plan"]
    answers.choices = ["Replace it with mine"]
    demo.actions_by_id["save as"].trigger()
    assert read_file(tmp_path / "plan.tapscore").story == demo.document.story
    assert Versions().of(tmp_path / "plan.tapscore")[1].data() == b"somebody's plan"


def test_another_program_changed_the_file(
    qtbot: QtBot, demo: MainWindow, answers: Answers, files: FileWork, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    _louder(demo)
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    files._watch._timer.start(50)  # a look that runs already is not asked again
    files.look_at_disc(demo)
    qtbot.waitUntil(lambda: "Somebody else has changed" in demo.statusBar().currentMessage())
    answers.choices = ["See what differs", "Don't save"]
    demo.actions_by_id["save"].trigger()
    assert "changed by somebody else" in answers.asked[0]
    assert "loudness" in answers.told[0]
    assert path.read_text(encoding="utf-8").endswith("# mine\n")
    assert demo.document.modified


def test_changes_of_two_people_are_put_together(
    demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    before = demo.document.story
    _louder(demo)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("title: The Lantern Boat", "title: Our Boat # hers"), "utf-8")
    answers.choices = ["Put both together"]
    demo.actions_by_id["save"].trigger()
    assert demo.document.story.title == "Our Boat"
    assert not demo.document.modified
    assert read_file(path).story == demo.document.story
    assert demo.document.story.sections != before.sections
    assert "title: Our Boat # hers" in path.read_text(encoding="utf-8")
    assert "is “Our Boat”" in answers.told[-1]
    demo.actions_by_id["undo"].trigger()
    assert demo.document.story.title == before.title
    assert demo.document.story.sections != before.sections


@pytest.mark.parametrize(
    ("answer", "title"), [("Take mine there", "Mine"), ("Take the file's there", "Hers")]
)
def test_the_same_place_is_asked_about(
    demo: MainWindow, answers: Answers, tmp_path: Path, answer: str, title: str
) -> None:
    from attrs import evolve

    path = tmp_path / "story.yaml"
    demo.document.edit("Title", evolve(demo.document.story, title="Mine"))
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("title: The Lantern Boat", "title: Hers"), "utf-8")
    answers.choices = ["Put both together", "Don't save"]
    demo.actions_by_id["save"].trigger()
    assert "yours says “Mine”, the file's says “Hers”" in answers.more[1]
    assert read_file(path).story != demo.document.story
    answers.choices = ["Put both together", answer]
    demo.actions_by_id["save"].trigger()
    assert demo.document.story.title == title
    assert read_file(path).story == demo.document.story


def test_a_file_that_is_no_story_any_more(
    demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    _louder(demo)
    path.write_bytes(b"\xff\xfe\xff")
    answers.choices = ["See what differs", "Replace it with mine"]
    demo.actions_by_id["save"].trigger()
    assert "can't be read as a story" in answers.told[0]
    assert read_file(path).story == demo.document.story


def test_a_save_that_fails_loses_nothing(
    demo: MainWindow, answers: Answers, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    before = path.read_bytes()
    _louder(demo)

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("tapscore.gui.saving.save_story", full)
        answers.choices = ["Don't save"]
        demo.actions_by_id["save"].trigger()
    assert "was not saved" in answers.asked[0]
    assert "disc is full" in answers.more[0]
    assert path.read_bytes() == before
    assert demo.document.modified
    path.chmod(0o444)
    answers.choices = ["Save under another name"]
    answers.files = [tmp_path / "mine"]
    demo.actions_by_id["save"].trigger()
    assert "write-protected" in answers.more[1]
    assert read_file(tmp_path / "mine.tapscore").story == demo.document.story
    assert path.read_bytes() == before


def test_a_drive_that_is_gone_and_comes_back(
    demo: MainWindow, answers: Answers, files: FileWork, tmp_path: Path
) -> None:
    drive = tmp_path / "drive"
    drive.mkdir()
    answers.files = [drive / "boat"]
    demo.actions_by_id["save as"].trigger()
    _louder(demo)
    drive.rename(tmp_path / "gone")
    answers.choices = ["Don't save"]
    demo.actions_by_id["save"].trigger()
    assert "Is its drive connected?" in answers.more[0]
    assert demo.document.modified
    files.look_at_disc(demo)
    (tmp_path / "gone").rename(drive)
    demo.actions_by_id["save"].trigger()
    assert read_file(drive / "boat.tapscore").story == demo.document.story


def test_what_could_not_be_opened_again_is_not_saved(
    demo: MainWindow, answers: Answers, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    before = path.read_bytes()
    _louder(demo)
    monkeypatch.setattr(demo.document, "text", lambda: "tapscore: 2\ntitle: [\n")
    demo.actions_by_id["save"].trigger()
    assert "could not be opened again" in answers.told[0]
    assert path.read_bytes() == before
    monkeypatch.setattr(demo.document, "text", before.decode)
    answers.choices = ["Don't save"]
    demo.actions_by_id["save"].trigger()
    assert "loudness" in answers.more[0]
    answers.choices = ["Save it so"]
    demo.actions_by_id["save"].trigger()
    assert path.read_bytes() == before


def test_a_slow_disc_is_waited_for_and_a_dead_one_given_up(
    qapp: object, demo: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(background, "AT_ONCE_SEC", 0.01)
    seen: list[tuple[Qt.CursorShape, str]] = []
    slow, dead = threading.Event(), threading.Event()

    def look() -> None:
        cursor = QApplication.overrideCursor()
        assert cursor is not None
        seen.append((cursor.shape(), demo.statusBar().currentMessage()))
        slow.set()

    QTimer.singleShot(50, look)
    assert patiently(slow.wait, demo, "Saving")
    assert seen == [(Qt.CursorShape.WaitCursor, "Saving ... the disc is slow.")]
    assert QApplication.overrideCursor() is None
    assert demo.statusBar().currentMessage() == ""
    with pytest.raises(ValueError, match="no"):
        patiently(_slow_no)
    monkeypatch.setattr(background, "GIVEN_UP_SEC", 0.1)
    try:
        with pytest.raises(NoAnswerError):
            patiently(dead.wait, demo, "Saving")
        assert answered_at_once(dead.wait, False) is False
    finally:
        dead.set()
    assert QApplication.overrideCursor() is None


def test_what_is_answered_at_once() -> None:
    assert answered_at_once(lambda: 1, 2) == 1
    assert answered_at_once(_slow_no, None) is None


def _slow_no() -> None:
    time.sleep(0.05)
    raise ValueError("no")


@pytest.mark.skipif(os.name != "posix", reason="named pipes as POSIX has them")
def test_a_named_pipe_is_not_waited_for(files: FileWork, answers: Answers, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    assert files.open_path(tmp_path / "pipe.yaml") is None
    assert "pipe.yaml can't be opened." in answers.told[0]


def test_pictures_and_recordings_go_along_to_another_folder(
    demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    before = demo.document.path
    assert before is not None
    sounds = before.with_name(f"{before.stem} recordings")
    sounds.mkdir()
    (sounds / "01.wav").write_bytes(b"a voice")
    Image.new("RGB", (4, 3)).save(before.with_name("moon.png"))
    demo.document.edit("Picture", evolve(demo.document.story, picture="moon.png"))
    there = tmp_path / "other"
    there.mkdir()
    answers.files = [there / "boat.tapscore"]
    answers.choices = [TAKE]
    demo.actions_by_id["save as"].trigger()
    assert "Take the recordings along" in answers.asked[-1]
    assert (there / "moon.png").read_bytes() == before.with_name("moon.png").read_bytes()
    assert (there / "boat recordings" / "01.wav").read_bytes() == b"a voice"
    assert "Copied the picture moon.png." in answers.told[-1]
    told = len(answers.told)
    answers.files = [there / "boat 2.tapscore"]
    answers.choices = [LEAVE]
    demo.actions_by_id["save as"].trigger()
    assert not (there / "boat 2 recordings").exists()
    assert len(answers.told) == told, "the pictures lie there already, as the folder is the same"
    answers.files = [there / "boat 2.tapscore"]
    demo.actions_by_id["save as"].trigger()
    assert answers.choices == [], "nothing to ask where nothing is left behind"
