"""A record's window with answers, a story and a day of its own."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from attrs import define, field
from pytestqt.qtbot import QtBot

from tapscore.gui.records.lock_watch import LockWatch
from tapscore.gui.records.record_window import OpenPages, RecordWindow
from tapscore.gui.records.sitting import Sitting
from tapscore.model.story import Story
from tapscore.records import sealed
from tapscore.records.model import ClassRecord
from tapscore.records.record_file import create_record
from tapscore.storyfile.read import read_file
from tests.gui.answers import Answers
from tests.records.class_records import PASSPHRASE, QUICK, march, small_record


@define
class StoryDesk:
    """Stands for the story's window."""

    story: Story
    gone_to: list[str] = field(factory=list)
    marks: list[str] = field(factory=list)

    def go_to(self, name: str) -> bool:
        self.gone_to.append(name)
        return name != "an old moment"

    def mark(self) -> None:
        self.marks.append("mark")

    def unmark(self) -> None:
        self.marks.append("unmark")


@define
class Clock:
    """Seconds that tests turn on."""

    running: float = 100.0
    wall: float = 1_000_000.0

    def pass_on(self, running: float, wall: float | None = None) -> None:
        self.running += running
        self.wall += running if wall is None else wall


@pytest.fixture(autouse=True)
def quick_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(demo_path: Path) -> StoryDesk:
    story = read_file(demo_path).story
    assert story is not None
    return StoryDesk(story)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "records"
    made.mkdir()
    return made


@pytest.fixture
def path(folder: Path) -> Path:
    """A small record on disc."""
    return put_record(folder, small_record())


def put_record(folder: Path, record: ClassRecord) -> Path:
    path = folder / "willow.classrecord"
    create_record(path, PASSPHRASE, record, log2_n=QUICK).close()
    return path


@pytest.fixture
def window(
    qtbot: QtBot, folder: Path, answers: Answers, desk: StoryDesk, clock: Clock
) -> Iterator[RecordWindow]:
    watch = LockWatch(running=lambda: clock.running, wall=lambda: clock.wall)
    made = RecordWindow(
        answers, folder=folder, today=lambda: march(24), sitting=Sitting(watch=watch)
    )
    made.show_for_story(desk)
    yield made
    made.sitting.throw_away()
    made.close()
    made.deleteLater()


def pages_of(window: RecordWindow) -> OpenPages:
    assert window.pages is not None
    return window.pages


@pytest.fixture
def pages(window: RecordWindow, path: Path) -> OpenPages:
    """The pages of the small record, open."""
    window.sitting.open(path, PASSPHRASE)
    return pages_of(window)


def day(number: int) -> date:
    return march(number)
