"""What could lose work: closing, saving, keeping and bringing back, each case by hand.

A window stands in that only has a document and a line at its foot.
"""

import errno
import json
import os
import re
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui import recovering, window_place
from tapscore.gui.background import Background, Errands, Task
from tapscore.gui.disc_watch import DiscWatch
from tapscore.gui.document import Document
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.files import FileWork
from tapscore.gui.names_in_use import _place, rename_everywhere, take_away
from tapscore.gui.recovering import Recovering
from tapscore.gui.recovery import AWAY, MOST_PUT_AWAY, RecoveryFolder
from tapscore.gui.saving import CopiedFrom, Saving, why_not_saved
from tapscore.gui.settings import MOST_WORDS, RECENT, Settings
from tapscore.model.story import Line, Story
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.keeping.save_story import Seen, look
from tests.gui.answers import Answers

pytestmark = pytest.mark.usefixtures("qapp")

TEXT = """\
tapscore: 2
title: Boat
roles: {leader: {}, helper: {}}
props: {cup: {what: cup, by: helper}, bell: {what: bell}}
story:
  - section: One
    lines:
      - {words: row the boat, lane: "| X . x . | X . . . |", prop in: cup, by: helper}
      - {offer: cup}
      - {words: row it home, lane: "| X . x . | X . . . |", prop out: cup}
"""


class Foot:
    """The line at a window's foot."""

    def __init__(self) -> None:
        self.said: list[tuple[str, int]] = []

    def showMessage(self, text: str, for_ms: int = 0) -> None:  # noqa: N802 - Qt's name
        self.said.append((text, for_ms))

    def clearMessage(self) -> None:  # noqa: N802 - Qt's name
        pass


class Window:
    """A window that is none."""

    def __init__(self, path: Path | None, text: str = TEXT, answers: Answers | None = None) -> None:
        self.document = Document(read_text(text), path)
        self.rows = StoryRows(self.document)
        self.files = SimpleNamespace(asking=answers)
        self.foot = Foot()
        self.said: list[str] = []
        self.marked = False

    def statusBar(self) -> Foot:  # noqa: N802 - Qt's name
        return self.foot

    def say(self, text: str) -> None:
        self.said.append(text)

    def isWindowModified(self) -> bool:  # noqa: N802 - Qt's name
        return self.marked

    def setWindowModified(self, marked: bool) -> None:  # noqa: N802 - Qt's name
        self.marked = marked

    def retitle(self, title: str) -> None:
        self.document.edit("Title", evolve(self.document.story, title=title))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    (tmp_path / "boat.tapscore").write_text(TEXT, "utf-8")
    return tmp_path / "boat.tapscore"


@pytest.fixture
def window(path: Path, answers: Answers) -> Any:
    return Window(path, answers=answers)


@pytest.fixture
def saving(window: Any, path: Path, answers: Answers, tmp_path: Path) -> Saving:
    made = Saving(Settings(tmp_path / "s.json"), answers)
    made.begin(window, look(path))
    return made


# --- saving


def test_saved_is_said_and_the_window_is_clean(saving: Saving, window: Any, path: Path) -> None:
    window.retitle("Ship")
    assert saving.save(window)
    assert read_file(path).story == window.document.story
    assert window.foot.said == [("Saved boat.tapscore.", 4000)]
    assert not window.document.modified
    assert saving.seen(window) == look(path)
    window.retitle("Raft")
    assert saving.save(window), "its own last state is nobody else's"


def test_earlier_versions_that_could_not_be_kept_are_told(
    saving: Saving, window: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tapscore.gui import saving as module

    def saves(path: Path, *_: object, **__: object) -> object:
        return SimpleNamespace(path=path, seen=Seen(b"1"), earlier_in=None)

    monkeypatch.setattr(module, "save_story", saves)
    assert saving.save(window)
    assert window.foot.said[0][0] == (
        "Saved boat.tapscore. Its earlier versions could not be kept."
    )


def test_a_name_not_given_saves_nothing(window: Any, saving: Saving, answers: Answers) -> None:
    window.document.path = None
    window.retitle("Ship")
    answers.files = [None]
    assert not saving.save(window)
    assert window.document.modified
    assert answers.asked == []


@pytest.mark.parametrize(
    ("choices", "saved", "now"),
    [
        (["Don't save"], False, "Hers"),
        (["Replace it with mine"], True, "Mine"),
        (["See what differs", "Replace it with mine"], True, "Mine"),
        (["Put both together", "Take mine there"], True, "Mine"),
        (["Put both together", "Take the file's there"], True, "Hers"),
        (["Put both together", "Don't save"], False, "Hers"),
    ],
)
def test_somebody_else_changed_it(
    choices: list[str],
    saved: bool,
    now: str,
    saving: Saving,
    window: Any,
    path: Path,
    answers: Answers,
) -> None:
    path.write_text(TEXT.replace("title: Boat", "title: Hers"), "utf-8")
    window.retitle("Mine")
    answers.choices = choices
    assert saving.save(window) is saved
    assert answers.choices == [], "each question was asked"
    story = read_file(path).story
    assert story is not None
    assert story.title == now
    assert window.document.modified is not saved


def test_with_a_file_that_is_no_story_nothing_is_put_together(
    saving: Saving,
    window: Any,
    path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path.write_text("no story", "utf-8")
    window.retitle("Mine")
    offered: list[tuple[str, ...]] = []

    def choose(
        _parent: object, _text: str, _more: str, given: tuple[str, ...], *, loses: bool = False
    ) -> str:
        offered.append(given)
        return given[-1]

    monkeypatch.setattr(answers, "choose", choose)
    assert not saving.save(window)
    assert offered == [
        ("See what differs", "Save under another name", "Replace it with mine", "Don't save")
    ]
    path.write_text(TEXT.replace("Boat", "Hers"), "utf-8")
    assert not saving.save(window)
    assert "Put both together" in offered[1]
    saving.end(window)
    assert saving.seen(window) == Seen(None), "a window that is gone is forgotten"
    saving._seen[window] = Seen(b"other")
    assert not saving.save(window)
    assert "Put both together" not in offered[2], "what was there before is not known"


def test_what_differs_is_told_in_words(
    saving: Saving, window: Any, path: Path, answers: Answers
) -> None:
    from tapscore.gui.saving import what_differs

    window.retitle("Mine")
    said = what_differs(window, read_text(TEXT))
    assert said == "From the file's to yours:\n\nthe story: title was “Boat”, is “Mine”"
    assert what_differs(window, read_text(window.document.text())) == "They say the same."
    assert what_differs(window, read_text("no: [")) == (
        "The file can't be read as a story:\n\nno: ["
    )


def test_news_from_the_disc_are_told_once_until_saved(
    saving: Saving, window: Any, path: Path
) -> None:
    other = Seen(b"something else")
    assert not saving.changed_on_disc(window, look(path)), "as it was read"
    assert not saving.changed_on_disc(window, Seen(None)), "gone for a while"
    assert saving.changed_on_disc(window, other)
    assert not saving.changed_on_disc(window, other)
    window.retitle("Ship")
    saving.save(window)
    assert saving.changed_on_disc(window, other)


@pytest.mark.parametrize(
    ("there", "to", "answer", "along"),
    [
        ("boat recordings", "other.tapscore", "Take them along", True),
        ("boat recordings", "other.tapscore", "Leave them there", False),
        (None, "other.tapscore", None, False),
    ],
)
def test_recordings_come_along_to_another_name_if_wished(
    there: str | None,
    to: str,
    answer: str | None,
    along: bool,
    saving: Saving,
    window: Any,
    answers: Answers,
    tmp_path: Path,
) -> None:
    if there:
        (tmp_path / there).mkdir()
        (tmp_path / there / "01.wav").write_bytes(b"voice")
    answers.files = [tmp_path / to]
    answers.choices = [answer] if answer else []
    assert saving.save_as(window)
    assert (tmp_path / "other recordings" / "01.wav").exists() is along
    assert bool(answers.told) is along


@pytest.mark.parametrize(
    ("answer", "along"), [("Take them along", True), ("Leave them there", False)]
)
def test_recordings_of_a_story_of_the_same_name_stay_its_own(
    answer: str, along: bool, saving: Saving, window: Any, answers: Answers, tmp_path: Path
) -> None:
    (tmp_path / "boat recordings").mkdir()
    (tmp_path / "boat recordings" / "01.wav").write_bytes(b"voice")
    answers.files = [tmp_path / "boat.yaml"]
    answers.choices = [answer]
    assert saving.save_as(window)
    assert (tmp_path / "boat.tapscore recordings" / "01.wav").exists()
    assert (tmp_path / "boat.yaml recordings" / "01.wav").exists() is along


def test_recordings_that_are_there_already_are_not_asked_about(
    saving: Saving, window: Any, answers: Answers, tmp_path: Path
) -> None:
    for name in ("boat recordings", "other recordings"):
        (tmp_path / name).mkdir()
    answers.files = [tmp_path / "other"]
    assert saving.save_as(window)
    assert answers.asked == []
    assert window.document.path == tmp_path / "other.tapscore"
    answers.files = [tmp_path / "other.tapscore"]
    assert saving.save_as(window), "its own name again: nothing to take along"
    assert answers.asked == []
    assert answers.told == []


def test_a_copy_brings_along_what_lay_beside_the_old_one_once(
    saving: Saving, window: Any, answers: Answers, tmp_path: Path
) -> None:
    (tmp_path / "boat recordings").mkdir()
    (tmp_path / "boat recordings" / "01.wav").write_bytes(b"voice")
    old = window.document.path
    window.document.path = None
    saving.bring_along(window, CopiedFrom(old, recordings=True))
    (tmp_path / "there").mkdir()
    answers.files = [tmp_path / "there" / "new"]
    assert saving.save(window)
    assert (tmp_path / "there" / "new recordings" / "01.wav").exists()
    assert answers.told[0].startswith("With the copy came along:")
    window.retitle("Again")
    assert saving.save(window)
    assert len(answers.told) == 1


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (FileNotFoundError(2, "x"), "The folder /d is not there. Is its drive connected?"),
        (OSError(errno.ENOSPC, "x"), "The disc is full. Make room, or save on another one."),
        (OSError(errno.ENAMETOOLONG, "x"), "The name is too long. Choose a shorter one."),
        (
            PermissionError(errno.EACCES, "is write-protected"),
            "The file is write-protected. Save under another name, or ask its owner.",
        ),
        (
            PermissionError(errno.EACCES, "denied"),
            "You may not write there, or another program holds the file open.",
        ),
        (OSError(5, "input/output error."), "Input/output error."),
        (OSError("broken"), "Broken."),
    ],
)
def test_why_it_was_not_saved(error: OSError, said: str) -> None:
    assert why_not_saved(Path("/d/a.tapscore"), error) == said


# --- closing


@pytest.mark.parametrize(
    ("answer", "closes", "saved"),
    [("Save", True, True), ("Throw them away", True, False), ("Go on writing", False, False)],
)
def test_a_window_with_changes_asks_before_it_closes(
    answer: str,
    closes: bool,
    saved: bool,
    window: Any,
    files: FileWork,
    path: Path,
    answers: Answers,
) -> None:
    files._saving.begin(window, look(path))
    assert files.may_close(window), "nothing to lose, nothing asked"
    assert answers.asked == []
    window.retitle("Ship")
    answers.choices = [answer]
    assert files.may_close(window) is closes
    assert answers.asked == ["“Ship” has changes that are not saved."]
    assert ("title: Ship" in path.read_text("utf-8")) is saved


def test_a_save_that_fails_keeps_the_window_open(
    window: Any, files: FileWork, path: Path, answers: Answers
) -> None:
    files._saving.begin(window, Seen(b"other"))
    window.retitle("Ship")
    answers.choices = ["Save", "Don't save"]
    assert not files.may_close(window)
    assert window.document.modified


def test_saved_work_is_kept_no_more_and_unsaved_is(
    window: Any, files: FileWork, path: Path, tmp_path: Path
) -> None:
    files._saving.begin(window, look(path))
    files.windows.append(window)
    window.retitle("Ship")
    files.keep_all()
    folder = tmp_path / "recovery"
    files._recovering._errands.stop()
    (kept,) = folder.glob("*.json")
    record = json.loads(kept.read_text())
    assert record["path"] == str(path)
    assert "title: Ship" in record["text"]
    assert record["seen"] == (look(path).digest or b"").hex()
    assert files.save(window)
    files._recovering._errands.stop()
    assert not list(folder.glob("*.json"))
    window.retitle("Raft")
    files.keep_all()
    files.closed(window)
    files._recovering._errands.stop()
    assert files.windows == []
    assert not list(folder.glob("*.json")), "thrown away on purpose"


def test_every_fifteen_seconds(files: FileWork) -> None:
    assert files._timer.isActive()
    assert files._timer.interval() == 15_000
    files.end()
    assert not files._timer.isActive()


# --- bringing back


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kept").mkdir()
    return tmp_path / "kept"


def leave(folder: Path, name: str, **said: object) -> None:
    (folder / f"{name}.json").write_text(json.dumps({"text": TEXT, "path": None, **said}))


class Chosen(Answers):
    """Notes what can be answered, too."""

    def __init__(self, offering: "Offering") -> None:
        super().__init__()
        self._offering = offering

    def choose(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> str:
        self._offering.asked.append((text, more, answers))
        return self._offering.choices.pop(0)


class Offering:
    """Offers what lies in a folder; notes every question with its answers."""

    def __init__(self, folder: Path) -> None:
        self.answers = Chosen(self)
        self.asked: list[tuple[str, str, tuple[str, ...]]] = []
        self.opened: list[tuple[Story | None, Path | None, Seen]] = []
        self.recovering = Recovering(RecoveryFolder(folder), self.answers)
        self.choices: list[str] = []

    def _open(self, source: Any, path: Path | None, seen: Seen) -> Any:
        self.opened.append((source.story, path, seen))
        return Window(path)

    def offer(self, *choices: str) -> None:
        self.choices = list(choices)
        self.recovering.offer(self._open)
        self.recovering._errands.stop()
        assert self.choices == []


NOTHING_LOST = (
    "Nothing is overwritten until you save, and nothing is deleted: "
    "what you put away stays in its folder."
)
LATER = "Ask again next time"


def test_what_is_asked_of_work_without_a_file(folder: Path) -> None:
    leave(folder, "a-1", when="2026-11-26T10:00:00")
    offering = Offering(folder)
    offering.offer(LATER)
    ((text, more, given),) = offering.asked
    assert text == "The program ended before “Boat” was saved, which has no file yet."
    assert given == ("Open it", "Read it", "Save a copy ...", "Put it away", LATER)
    assert more.startswith("Kept: ")
    assert more.endswith(NOTHING_LOST)
    assert len(more.splitlines()) == 2
    assert (folder / "a-1.json").exists()


@pytest.mark.parametrize(
    ("saved", "newer"), [("2026-11-26T11:00", True), ("2026-11-26T09:00", False)]
)
def test_whether_the_file_is_newer_is_told(
    saved: str, newer: bool, folder: Path, path: Path
) -> None:
    stamp = datetime.fromisoformat(saved).timestamp()
    os.utime(path, (stamp, stamp))
    leave(folder, "a-1", when="2026-11-26T10:00:00", path=str(path), seen="00ff")
    offering = Offering(folder)
    offering.offer(LATER)
    ((text, more, given),) = offering.asked
    assert text == "The program ended before boat.tapscore was saved."
    assert ("The file is newer than what was kept." in more) is newer
    assert "The file was saved: " in more
    assert given == (
        *("Open it", "See what differs", "Read it", "Read the file"),
        *("Save a copy ...", "Put it away", LATER),
    )


def test_what_is_damaged_can_still_be_read_copied_and_put_away(
    folder: Path, tmp_path: Path
) -> None:
    (folder / "a-1.json").write_text("{torn")
    offering = Offering(folder)
    offering.answers.files = [tmp_path / "copy"]
    offering.offer("Read it", "Save a copy ...", "Put it away")
    text, _, given = offering.asked[0]
    assert text.endswith("What was kept of it is damaged.")
    assert given == ("Read it", "Save a copy ...", "Put it away", LATER)
    assert offering.answers.told[0] == "Kept, and not saved {torn"
    assert (tmp_path / "copy.tapscore").read_text() == "{torn"
    assert (folder / AWAY / "a-1.json").read_text() == "{torn"
    assert "It is not deleted." in offering.answers.told[1]


def test_a_copy_replaces_nothing_and_says_what_stands_in_the_way(
    folder: Path, tmp_path: Path
) -> None:
    leave(folder, "a-1")
    (tmp_path / "mine.tapscore").write_text("another")
    offering = Offering(folder)
    offering.answers.files = [
        None,
        tmp_path / "mine",
        tmp_path / "nowhere" / "mine",
        tmp_path / "ours.tapscore",
    ]
    offering.offer(*["Save a copy ..."] * 4, LATER)
    assert (tmp_path / "mine.tapscore").read_text() == "another"
    assert offering.answers.told[0].startswith("There is a file mine.tapscore already.")
    assert offering.answers.told[1].startswith("mine.tapscore was not saved.")
    assert (tmp_path / "ours.tapscore").read_text() == TEXT


def test_differences_and_both_texts_can_be_read(folder: Path, path: Path) -> None:
    leave(folder, "a-1", path=str(path), text=TEXT.replace("Boat", "Raft"))
    offering = Offering(folder)
    offering.offer("See what differs", "Read it", "Read the file", LATER)
    differs, kept, saved = offering.answers.told
    assert differs.startswith("What differs From the file to what was kept:\n\n")
    assert "Raft" in differs
    assert kept.startswith("Kept, and not saved tapscore: 2\ntitle: Raft")
    assert saved.startswith("In the file tapscore: 2\ntitle: Boat")
    path.write_text("title: [")
    offering = Offering(folder)
    offering.offer("See what differs", LATER)
    assert "The file can't be read as a story:\n\ntitle: [" in offering.answers.told[0]
    leave(folder, "a-1", path=str(path))
    path.write_text(TEXT)
    offering = Offering(folder)
    offering.offer("See what differs", LATER)
    assert offering.answers.told == ["What differs They say the same."]


def test_what_is_opened_is_marked_as_unsaved_and_kept_by_this_run(folder: Path, path: Path) -> None:
    leave(folder, "a-1", path=str(path), seen="00ff")
    offering = Offering(folder)
    offering.offer("Open it")
    ((story, at, seen),) = offering.opened
    assert story is not None
    assert story == read_text(TEXT).story
    assert (at, seen) == (path, Seen(b"\x00\xff"))
    (now,) = folder.glob("*.json")
    assert now.name != "a-1.json"
    assert json.loads(now.read_text())["text"] == write_story(story)


def test_the_newest_is_asked_first_and_damaged_work_last(folder: Path) -> None:
    for name, when in (("a-1", "2026-01-01"), ("b-2", "2026-03-01"), ("c-3", "2026-02-01")):
        leave(folder, name, when=f"{when}T10:00:00", text=TEXT.replace("Boat", name))
    (folder / "d-4.json").write_text("[")
    found = RecoveryFolder(folder).left_behind()
    assert [left.kept_in.stem for left in found] == ["b-2", "c-3", "a-1", "d-4"]


@pytest.mark.parametrize("before_sec", [0, 4_000_000_000])
def test_put_away_are_the_last_fifty_and_what_cannot_be_read(folder: Path, before_sec: int) -> None:
    """The new one is the last, though the clock was put back since the others."""
    away = folder / AWAY
    away.mkdir()
    for number in range(MOST_PUT_AWAY + 1):
        (away / f"x-{number:02d}.tapscore").write_text(TEXT)
        os.utime(away / f"x-{number:02d}.tapscore", (before_sec + number,) * 2)
    (away / "damaged.json").write_text("[")
    os.utime(away / "damaged.json", (0, 0))
    leave(folder, "new-1")
    kept = RecoveryFolder(folder)
    (left,) = kept.left_behind()
    there = kept.put_away(left, "new")
    assert re.fullmatch(r"new \d{4}-\d\d-\d\d \d\d\.\d\d\.tapscore", there.name)
    assert (there.parent, there.read_text(), left.kept_in.exists()) == (away, TEXT, False)
    names = sorted(file.stem for file in away.iterdir())
    assert names == ["damaged", there.stem, *(f"x-{number:02d}" for number in range(2, 51))]


def test_work_put_away_twice_lies_there_twice_and_opens_like_a_story(folder: Path) -> None:
    for name in ("a-1", "b-2"):
        leave(folder, name, when="2026-01-01T10:05:00")
    offering = Offering(folder)
    offering.offer("Put it away", "Put it away")
    assert [told.split("/")[-1] for told in offering.answers.told] == [
        "boat 2026-01-01 10.05.tapscore. It opens there like any story.",
        "boat 2026-01-01 10.05 2.tapscore. It opens there like any story.",
    ]
    for file in (folder / AWAY).iterdir():
        assert read_text(file.read_text()).story == read_text(TEXT).story
    assert RecoveryFolder(folder).left_behind() == ()


def test_a_window_whose_work_cannot_be_kept_says_so_and_tries_again(
    folder: Path, window: Any, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    keeping = Recovering(RecoveryFolder(folder), Answers())
    assert keeping.keep(window, Seen(None)) is None, "nothing is unsaved"
    window.retitle("Ship")

    def full(_: Story) -> str:
        raise OSError(28, "the disc is full")

    with monkeypatch.context() as patch:
        patch.setattr(recovering, "write_story", full)
        first = keeping.keep(window, Seen(None))
        assert first is not None
        qtbot.waitUntil(lambda: bool(window.foot.said))
    assert window.foot.said == [
        ("Your work can't be kept safe just now: the disc is full. Save it, please.", 14_000)
    ]
    second = keeping.keep(window, Seen(None))
    assert second is not None
    assert second.ended(5.0)
    assert second.problem is None
    assert keeping.keep(window, Seen(None)) is None, "it is kept already"
    assert keeping.keep(window, Seen(b"1")) is not None, "the file is another one now"
    window.document.undo_stack.undo()
    keeping.keep(window, Seen(None))
    keeping.end()
    assert not list(folder.glob("*.json")), "undone: nothing to keep"


# --- what is remembered


def test_what_was_chosen_holds_at_the_next_start(tmp_path: Path) -> None:
    chosen: dict[str, Any] = {
        "inks": "dark",
        "scale": 1.25,
        "place": (5, -6, 700, 500),
        "reduced_motion": True,
        "languages": ("pl", "ur"),
        "my_board": "board: {}",
        "spelling": False,
        "own_words": ("Ahoy", "boaty"),
        "stories_folder": "/stories",
        "language": "pl",
        "hints_seen": True,
    }
    usual = {name: getattr(Settings(tmp_path / "s.json"), name) for name in chosen}
    assert usual == {
        "inks": "light",
        "scale": 1.0,
        "place": None,
        "reduced_motion": False,
        "languages": ("", ""),
        "my_board": "",
        "spelling": True,
        "own_words": (),
        "stories_folder": "",
        "language": "",
        "hints_seen": False,
    }
    for name, value in chosen.items():
        setattr(Settings(tmp_path / "s.json"), name, value)
    again = Settings(tmp_path / "s.json")
    assert {name: getattr(again, name) for name in chosen} == chosen


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ([0, 0, 200, 200], (0, 0, 200, 200)),
        ([0, 0, 199, 800], None),
        ([0, 0, 800, 199], None),
        ([1, 2, 300], None),
        ([1.6, 2.4, 300, 400], (2, 2, 300, 400)),
        ([-20_000, 20_000, 300, 400], (-20_000, 20_000, 300, 400)),
        ([-20_001, 0, 300, 400], (-20_000, 0, 300, 400)),
        ("here", None),
    ],
)
def test_a_window_s_place(said: object, place: object, tmp_path: Path) -> None:
    (tmp_path / "s.json").write_text(json.dumps({"place": said}))
    assert Settings(tmp_path / "s.json").place == place


def test_eight_recent_files_the_newest_first_each_once(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "s.json")
    for number in range(10):
        (tmp_path / f"{number}.yaml").write_text("")
        settings.remember(tmp_path / f"{number}.yaml")
    settings.remember(tmp_path / "5.yaml")
    names = [path.stem for path in Settings(tmp_path / "s.json").recent]
    assert names == ["5", "9", "8", "7", "6", "4", "3", "2"]
    assert len(names) == RECENT


def test_the_last_words_of_one_s_own_each_once(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "s.json")
    settings.own_words = (*(str(number) for number in range(MOST_WORDS + 5)), "7")
    kept = Settings(tmp_path / "s.json").own_words
    assert len(kept) == MOST_WORDS
    assert (kept[0], kept[-1]) == ("5", str(MOST_WORDS + 4))


# --- where a window stands


def placed(room: QRect, last: tuple[int, int, int, int] | None, others: int = 0) -> QRect:
    found: list[QRect] = []
    screen = SimpleNamespace(availableGeometry=lambda: room)
    window: Any = SimpleNamespace(
        settings=SimpleNamespace(place=last), screen=lambda: screen, setGeometry=found.append
    )
    window_place.put(window, others=others)
    return found[0]


ROOM = QRect(100, 50, 1600, 1000)


@pytest.mark.parametrize(
    ("last", "others", "rect"),
    [
        (None, 0, (260, 150, 1280, 800)),
        (None, 1, (288, 178, 1280, 800)),
        ((200, 100, 900, 600), 0, (200, 100, 900, 600)),
        ((200, 100, 900, 600), 2, (256, 156, 900, 600)),
        ((-500, -500, 900, 600), 0, (100, 50, 900, 600)),
        ((5000, 5000, 900, 600), 0, (800, 450, 900, 600)),
        ((200, 100, 5000, 5000), 0, (100, 50, 1600, 1000)),
    ],
)
def test_a_window_is_never_beyond_its_screen(
    last: tuple[int, int, int, int] | None, others: int, rect: tuple[int, int, int, int]
) -> None:
    assert placed(ROOM, last, others).getRect() == rect


@pytest.mark.parametrize(("full", "large", "kept"), [(0, 0, True), (1, 0, False), (0, 1, False)])
def test_a_window_that_fills_the_screen_is_not_remembered(
    full: int, large: int, kept: bool
) -> None:
    settings = SimpleNamespace(place=None)
    window: Any = SimpleNamespace(
        settings=settings,
        isMaximized=lambda: bool(large),
        isFullScreen=lambda: bool(full),
        geometry=lambda: QRect(1, 2, 300, 400),
    )
    window_place.remember(window)
    assert settings.place == ((1, 2, 300, 400) if kept else None)


@pytest.mark.parametrize(
    ("size", "then"),
    [
        ((1600, 1000), None),
        ((1601, 900), (1600, 900)),
        ((800, 1001), (800, 1000)),
        ((9000, 9000), (1600, 1000)),
    ],
)
def test_a_window_grown_beyond_its_screen_shrinks(
    size: tuple[int, int], then: tuple[int, int] | None
) -> None:
    sizes: list[tuple[int, int]] = []
    window: Any = SimpleNamespace(
        screen=lambda: SimpleNamespace(availableGeometry=lambda: ROOM),
        width=lambda: size[0],
        height=lambda: size[1],
        resize=lambda *wanted: sizes.append(wanted),
    )
    window_place.keep_on_screen(window)
    assert sizes == ([then] if then else [])


# --- taking away and renaming what the story uses


def moved(window: Any) -> list[tuple[object, object]]:
    lines = [item for item in window.document.story.sections[0].items if isinstance(item, Line)]
    return [(tuple(each.prop for each in line.props_in), line.props_out) for line in lines]


def test_a_prop_that_is_not_used_goes_unasked(window: Any, answers: Answers) -> None:
    take_away(window, "prop", ("cup", "bell"), "bell")
    assert answers.asked == []
    assert [prop.name for prop in window.document.story.props] == ["cup"]
    assert window.document.undo_stack.undoText() == "Take bell away"


@pytest.mark.parametrize(
    ("answer", "left", "lines"),
    [
        ("Leave it", ["cup", "bell"], [(("cup",), ()), ((), ("cup",))]),
        ("Take it out there", ["bell"], [((), ()), ((), ())]),
        ("Put bell in its place", ["bell"], [(("bell",), ()), ((), ("bell",))]),
    ],
)
def test_a_prop_in_use_is_asked_about_with_its_places(
    answer: str, left: list[str], lines: object, window: Any, answers: Answers
) -> None:
    answers.choices = [answer]
    take_away(window, "prop", ("cup", "bell"), "cup")
    assert answers.asked == ["The prop “cup” is used in the story."]
    assert answers.more == ["Line 1: row the boat\nOffering\nLine 2: row it home"]
    assert [prop.name for prop in window.document.story.props] == left
    assert moved(window) == lines


def test_where_something_is_used_outside_lines_is_said_by_what_it_does_there(window: Any) -> None:
    said = [
        _place(window, path)
        for path in ((), ("props", "cup"), ("roles", "helper"), ("board", "places", "A"))
    ]
    assert said == ["In the whole story", "Who brings cup", "Where helper sits", "Who is with A"]


def test_many_places_are_counted_and_few_others_offered(
    window: Any, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    story = window.document.story
    (section,) = story.sections
    offers = section.items[1:2] * 12
    window.document.edit("x", evolve(story, sections=(evolve(section, items=offers),)))
    offered: list[tuple[str, tuple[str, ...]]] = []

    def choose(
        _parent: object, _text: str, more: str, given: tuple[str, ...], *, loses: bool = False
    ) -> str:
        offered.append((more, given))
        return given[-1]

    monkeypatch.setattr(answers, "choose", choose)
    take_away(window, "prop", ("a", "cup", "b", "c", "d", "e"), "cup")
    ((more, given),) = offered
    assert more.splitlines() == [*["Offering"] * 8, "and 4 more places"]
    assert given == (
        "Take it out there",
        *(f"Put {name} in its place" for name in "abcd"),
        "Leave it",
    )


@pytest.mark.parametrize(
    ("kind", "names", "old", "typed", "said"),
    [
        ("prop", ("cup", "bell"), "cup", "bell", "There is a prop of that name already."),
        ("role", ("leader", "helper"), "helper", "leader", "There is a role of that name already."),
        ("place", ("A", "B"), "A", "Anna", "A pupil's place is one capital letter, never a name."),
        ("place", ("A", "B"), "A", "a", "A pupil's place is one capital letter, never a name."),
        ("place", ("A", "B"), "A", "1", "A pupil's place is one capital letter, never a name."),
        ("prop", ("cup",), "cup", "cup", None),
        ("prop", ("cup",), "cup", "", None),
    ],
)
def test_names_that_are_not_taken(
    kind: str,
    names: tuple[str, ...],
    old: str,
    typed: str,
    said: str | None,
    window: Any,
    answers: Answers,
) -> None:
    before = window.document.story
    answers.choices = [typed]
    rename_everywhere(window, kind, names, old)
    assert answers.asked == [f"Another name for “{old}”:"]
    assert window.said == ([said] if said else [])
    assert window.document.story is before


def test_a_new_name_stands_wherever_the_old_one_did(window: Any, answers: Answers) -> None:
    answers.choices = ["mug"]
    rename_everywhere(window, "prop", ("cup", "bell"), "cup")
    assert window.document.undo_stack.undoText() == "Rename cup"
    assert [prop.name for prop in window.document.story.props] == ["mug", "bell"]
    assert moved(window) == [(("mug",), ()), ((), ("mug",))]
    assert "cup" not in window.document.text().replace("what: cup", "")


# --- work in another thread


def test_errands_are_done_in_order_and_their_faults_are_told() -> None:
    done: list[int] = []
    errands = Errands()
    assert not errands.running
    first = errands.do(lambda: done.append(1))
    bad = errands.do(lambda: 1 // 0)
    last = errands.do(lambda: "answer")
    errands.stop()
    assert not errands.running
    assert done == [1]
    assert first.ended()
    assert first.problem is None
    with pytest.raises(ZeroDivisionError):
        _ = bad.answer
    assert last.answer == "answer"
    errands.do(lambda: done.append(2))
    errands.stop()
    assert done == [1, 2], "it begins anew after an end"


def test_the_newest_wish_is_answered_and_only_that(qtbot: QtBot) -> None:
    def work(wish: object, task: Task) -> object:
        task.report(f"at {wish}")
        return wish

    answered: list[object] = []
    reported: list[object] = []
    background = Background(work)
    background.answered.connect(answered.append)
    background.progressed.connect(reported.append)
    background.ask(1)
    assert background.busy
    background.ask(2)
    qtbot.waitUntil(lambda: not background.busy)
    assert answered == [2]
    assert reported == ["at 2"]
    background.ask(3)
    background.give_up()
    assert not background.busy
    background.stop()
    QApplication.processEvents()
    assert answered == [2]
    assert not background.running


def test_work_learns_that_nobody_waits_or_that_it_shall_end(qtbot: QtBot) -> None:
    background = Background(lambda _, task: task.cancelled())
    answers: list[object] = []
    background.answered.connect(answers.append)
    background.ask("x")
    qtbot.waitUntil(lambda: bool(answers))
    assert answers == [False]

    def until_cancelled(_: object, task: Task) -> object:
        while not task.cancelled():
            pass
        return "ended"

    waiting = Background(until_cancelled)
    waiting.answered.connect(answers.append)
    waiting.ask("x")
    waiting.cancel()
    qtbot.waitUntil(lambda: not waiting.busy)
    assert answers == [False, "ended"], "cancelled, and still answered"
    background.stop()
    waiting.stop()


def test_what_changed_on_the_disc_is_told_once(qtbot: QtBot, window: Any, path: Path) -> None:
    told: list[tuple[object, Seen]] = []
    watched = {window: path}
    watch = DiscWatch(lambda: watched)
    watch.changed.connect(lambda each, seen: told.append((each, seen)))
    assert watch._timer.interval() == 4000

    def looked() -> None:
        watch.look()
        qtbot.waitUntil(lambda: not watch._background.busy)

    looked()
    looked()
    assert told == [(window, look(path))]
    path.write_text(TEXT + "\n")
    looked()
    assert told[1:] == [(window, look(path))]
    path.unlink()
    looked()
    assert len(told) == 2, "gone for a while"
    watched.clear()
    looked()
    assert watch._stamps == {}
    watch.stop()
    assert not watch._timer.isActive()


def test_a_story_without_a_file_is_asked_about_from_the_first_moment(
    files: FileWork, answers: Answers
) -> None:
    made = files.show_new(TEXT)
    assert made.document.modified
    assert made.isWindowModified()
    answers.choices = ["Go on writing"]
    assert not files.may_close(made)
    assert answers.asked == ["“Boat” has changes that are not saved."]


def test_a_board_is_kept_and_put_into_another_story(
    files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    """By the panel of what is on the board; who is with whom stays where it is."""
    board = "board:\n  size_cm: [120, 90]\n  places: {A: {at: [40, 50], with: helper}}\n"
    first = files.show_new(TEXT + board)
    first.furnishing.keep_wanted.emit()
    assert "helper" not in files.settings.my_board
    second = files.show_new(TEXT)
    assert second.document.story.board is None
    second.furnishing.kept_wanted.emit()
    placed = second.document.story.board
    assert placed is not None
    assert [place.name for place in placed.places] == ["A"]
    assert second.document.undo_stack.undoText() == "Put my board here"
    answers.choices = ["Throw them away"] * 2
