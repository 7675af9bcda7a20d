"""What a crash left is offered once, can be read, and is never deleted unread."""

import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tapscore.disc.whole import part_name
from tapscore.gui import recovering
from tapscore.gui.files import AUTOSAVE_MS, FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recovery import AWAY, RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.model.story import Story
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.keeping.save_story import Seen, look
from tests.gui.answers import Answers

FIRST_LINE = ("story", 0, "lines", 0)
TEXT = "tapscore: 2\ntitle: Boat\nstory:\n  - section: One\n    lines:\n      - words: Row\n"
KEEPER = """
import sys, time
from pathlib import Path
from tapscore.gui.recovery import RecoveryFolder
from tapscore.workflow.keeping.save_story import Seen
folder = RecoveryFolder(Path(sys.argv[1]))
folder.keep("a", Path(sys.argv[2]), sys.argv[3], Seen(b"12"))
print("kept", flush=True)
time.sleep(60)
"""


def _louder(window: MainWindow) -> None:
    window.view.go_to(FIRST_LINE)
    window.actions_by_id["louder"].trigger()


def _next_run(folder: Path, answers: Answers) -> FileWork:
    return FileWork(Settings(folder / "s.json"), answers, RecoveryFolder(folder / "recovery"))


def _end(work: FileWork, answers: Answers) -> None:
    for window in list(work.windows):
        answers.choices[:] = ["Throw them away"]
        window.close()
    work.end()


def test_work_is_kept_as_soon_as_the_hands_rest(
    demo: MainWindow, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    """Not only every quarter of a minute: a power cut waits for no round figure."""
    assert not files._rested.isActive()
    _louder(demo)
    assert files._rested.isActive()
    assert files._rested.isSingleShot()
    assert files._rested.interval() < AUTOSAVE_MS / 5
    files._rested.timeout.emit()
    files._recovering.end()
    work = _next_run(tmp_path, answers)
    answers.choices = ["Open it"]
    work.offer_recovered()
    assert work.windows[0].document.story == demo.document.story
    _end(work, answers)


def test_after_a_crash(
    demo: MainWindow, files: FileWork, answers: Answers, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "story.yaml"
    saved = path.read_bytes()
    _louder(demo)
    files.keep_all()
    files._recovering.end()  # as the system does when a program is no more
    work = _next_run(tmp_path, answers)
    answers.choices = ["See what differs", "Read it", "Read the file", "Open it"]
    work.offer_recovered()
    assert "before story.yaml was saved" in answers.asked[0]
    assert "Kept: " in answers.more[0]
    assert "The file was saved: " in answers.more[0]
    assert "loudness" in answers.told[0]
    assert answers.told[1].endswith(demo.document.text())
    assert answers.told[2].endswith(saved.decode())
    opened = work.windows[0]
    assert opened.document.story == demo.document.story
    assert opened.isWindowModified()
    assert path.read_bytes() == saved
    opened.actions_by_id["save"].trigger()
    assert read_file(path).story == demo.document.story
    again = RecoveryFolder(tmp_path / "recovery")
    qtbot.waitUntil(lambda: again.left_behind() == ())
    _end(work, answers)


def test_old_work_does_not_replace_newer_saved_work_unasked(
    demo: MainWindow, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "story.yaml"
    _louder(demo)
    files.keep_all()
    files._recovering.end()
    newer = path.read_text("utf-8").replace("title: The Lantern Boat", "title: Newer")
    path.write_text(newer, "utf-8")
    os.utime(path, (2e9, 2e9))
    work = _next_run(tmp_path, answers)
    answers.choices = ["Open it"]
    work.offer_recovered()
    assert "newer than what was kept" in answers.more[0]
    answers.choices = ["Don't save"]
    work.windows[0].actions_by_id["save"].trigger()
    assert "changed by somebody else" in answers.asked[1]
    assert path.read_text("utf-8") == newer
    _end(work, answers)


def test_what_cannot_be_opened_is_kept_and_can_be_read(
    answers: Answers, tmp_path: Path, qapp: object
) -> None:
    folder = tmp_path / "recovery"
    run = RecoveryFolder(folder)
    run.keep("a", tmp_path / "a.yaml", "tapscore: 99\ntitle: From the future\n", Seen(None))
    run.let_go()
    (folder / "0000-damaged.json").write_bytes(b"{torn")
    work = _next_run(tmp_path, answers)
    answers.choices = ["Read it", "Save a copy ...", "Ask again next time"] * 2
    answers.files = [tmp_path / "copy", tmp_path / "damaged"]
    work.offer_recovered()
    assert "From the future" in answers.told[0]
    assert "{torn" in answers.told[1]
    assert (tmp_path / "copy.tapscore").read_text().startswith("tapscore: 99")
    assert (tmp_path / "damaged.tapscore").read_bytes() == b"{torn"
    assert len(list(folder.glob("*.json"))) == 2
    assert not work.windows
    answers.choices = ["Put it away"] * 2
    work.offer_recovered()
    assert "not deleted" in answers.told[-1]
    assert len(list((folder / AWAY).iterdir())) == 2
    assert RecoveryFolder(folder).left_behind() == ()
    _end(work, answers)


def test_another_window_s_work_is_not_offered_while_it_runs(tmp_path: Path) -> None:
    command = [sys.executable, "-c", KEEPER, str(tmp_path / "r"), "boat.yaml", TEXT]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "kept\n"
    folder = RecoveryFolder(tmp_path / "r")
    assert folder.left_behind() == ()
    process.kill()
    process.wait()
    process.stdout.close()
    (left,) = folder.left_behind()
    assert left.text == TEXT
    assert left.path == Path("boat.yaml").absolute()
    assert left.seen == Seen(b"12")
    assert left.when is not None
    folder.take_over(left)
    assert folder.left_behind() == ()


@pytest.mark.skipif(os.name != "posix", reason="names that are no Unicode")
def test_a_name_that_is_no_unicode_is_kept(
    files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "boat-\udcff.yaml"
    path.write_text(TEXT)
    window = files.open_path(path)
    assert window is not None
    _louder(window)
    files.keep_all()
    files._recovering.end()
    (left,) = RecoveryFolder(tmp_path / "recovery").left_behind()
    assert left.path == path
    assert left.seen == look(path)
    window.actions_by_id["save"].trigger()
    assert read_file(path).story == window.document.story


def test_whatever_goes_wrong_in_one_window_is_said_there(
    demo: MainWindow,
    files: FileWork,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    other = files.show_story(read_text(demo.document.text()), None)
    _louder(demo)
    _louder(other)

    def broken(story: Story) -> str:
        if story is demo.document.story:
            raise KeyError("a fault of ours")
        return write_story(story)

    monkeypatch.setattr(recovering, "write_story", broken)
    files.keep_all()
    qtbot.waitUntil(lambda: "can't be kept safe just now" in demo.statusBar().currentMessage())
    assert not other.statusBar().currentMessage()
    monkeypatch.undo()
    files.keep_all()
    files._recovering.end()
    assert len(list((tmp_path / "recovery").glob("*.json"))) == 2, "it was tried again"


def test_what_is_the_same_is_kept_once_and_typing_waits_for_no_disc(
    demo: MainWindow, files: FileWork, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[tuple[str, str]] = []
    go_on = threading.Event()

    def slow(key: str, path: Path | None, text: str, seen: Seen) -> None:
        kept.append((threading.current_thread().name, text))
        assert go_on.wait(20)

    monkeypatch.setattr(files._recovering._folder, "keep", slow)
    _louder(demo)
    files.keep_all()
    files.keep_all()
    _louder(demo)
    files.keep_all()
    go_on.set()
    files._recovering.end()
    assert [text for _, text in kept][1:] == [demo.document.text()]
    assert len(kept) == 2
    assert all(name != "MainThread" for name, _ in kept)


def test_what_an_earlier_run_left_stays_where_it_cannot_be_kept_anew(
    answers: Answers, tmp_path: Path, qapp: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "recovery"
    run = RecoveryFolder(folder)
    run.keep("a", tmp_path / "a.yaml", TEXT, Seen(None))
    run.let_go()
    work = _next_run(tmp_path, answers)

    def full(*_: object) -> None:
        raise OSError(28, "the disc is full")

    monkeypatch.setattr(work._recovering._folder, "keep", full)
    answers.choices = ["Open it"]
    work.offer_recovered()
    work._recovering._errands.stop()
    assert [left.text for left in RecoveryFolder(folder).left_behind()] == [TEXT]
    _end(work, answers)


@pytest.mark.parametrize(
    "said",
    [
        {"text": 3},
        {"text": TEXT, "path": 3, "when": 5, "seen": 9},
        {"text": TEXT, "path": "a\0b", "when": "yesterday", "seen": "xyz"},
        {"text": TEXT, "path": None, "when": "2026-11-26T10:00:00+00:00", "seen": None},
        {"text": TEXT, "path": "/nowhere/at all.yaml", "when": "9999-99-99"},
    ],
)
def test_any_record(said: object, tmp_path: Path, answers: Answers, qapp: object) -> None:
    (tmp_path / "recovery").mkdir()
    (tmp_path / "recovery" / "1-2.json").write_text(json.dumps(said))
    work = _next_run(tmp_path, answers)
    answers.choices = ["Ask again next time"]
    work.offer_recovered()
    assert answers.asked
    assert (tmp_path / "recovery" / "1-2.json").exists()
    _end(work, answers)


def test_a_story_s_file_is_found_again_from_another_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The program may have been begun with a name alone, beside the story."""
    monkeypatch.chdir(tmp_path)
    folder = RecoveryFolder(tmp_path / "recovery")
    folder.keep("a", Path("boat.tapscore"), TEXT, Seen(b"12"))
    folder.let_go()
    monkeypatch.chdir(tmp_path.parent)
    (left,) = RecoveryFolder(tmp_path / "recovery").left_behind()
    assert left.path == tmp_path / "boat.tapscore"


def test_an_unfinished_file_of_a_killed_program_is_no_kept_work(tmp_path: Path) -> None:
    folder = RecoveryFolder(tmp_path)
    folder.keep("a", None, TEXT, Seen(None))
    (tmp_path / part_name("1-2.json")).write_text("{torn")
    folder.let_go()
    assert [left.text for left in RecoveryFolder(tmp_path).left_behind()] == [TEXT]
