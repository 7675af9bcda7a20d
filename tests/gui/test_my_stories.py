"""My stories on the page to begin on: listed, found, opened, copied for next year, put away."""

import os
import shutil
import threading
import zipfile
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve
from PIL import Image
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.my_stories import NO_ANSWER, PUT_AWAY, MyStories
from tapscore.gui.next_year_dialog import NextYearDialog
from tapscore.gui.start_page import StartPage
from tapscore.gui.swapping import LEAVE, OPEN, WITH, WITHOUT
from tapscore.resources import demo_stories
from tests.gui.answers import Answers


@pytest.fixture
def page(
    qtbot: QtBot, files: FileWork, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> StartPage:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "Stories"
    folder.mkdir()
    for path in demo_stories():
        shutil.copy(path, folder)
    files.settings.stories_folder = str(folder)
    files.new()
    made = files.start_page
    assert made is not None
    with qtbot.waitSignal(made.stories.looking.answered, timeout=20_000):
        made.tabs.setCurrentIndex(1)
    return made


def titles(stories: MyStories) -> set[str]:
    items = [stories.list.item(row) for row in range(stories.list.count())]
    return {item.text().splitlines()[0] for item in items if item is not None}


def test_stories_are_listed_and_found_by_any_words(page: StartPage) -> None:
    assert titles(page.stories) == {"The Bread Van", "The Lantern Boat", "The Rainy Walk"}
    page.stories.sought.setText("umbrella cow")
    assert titles(page.stories) == {"The Rainy Walk"}
    assert "minutes" in page.stories.list.item(0).text()
    page.stories.sought.setText("zebra")
    assert "Take some away" in page.stories.said.text()
    assert not page.stories.open.isEnabled()
    page.reject()


def test_another_folder_of_stories_is_chosen_or_not(
    page: StartPage, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    before, looks = files.settings.stories_folder, list[bool]()
    page.stories.look = lambda: looks.append(True)  # type: ignore[method-assign]
    answers.files[:] = [None, tmp_path]
    page.stories._choose()
    assert (files.settings.stories_folder, looks) == (before, [])
    page.stories._choose()
    assert (files.settings.stories_folder, looks) == (str(tmp_path), [True])
    page.reject()


def test_a_story_is_opened(page: StartPage, files: FileWork) -> None:
    page.stories.sought.setText("umbrella cow")
    page.stories.open.click()
    assert files.windows[-1].document.story.title == "The Rainy Walk"
    assert files.start_page is None


def test_a_story_is_put_away(qtbot: QtBot, page: StartPage, answers: Answers) -> None:
    page.stories.sought.setText("umbrella cow")
    answers.choices.append(PUT_AWAY)
    with qtbot.waitSignal(page.stories.looking.answered, timeout=20_000):
        page.stories.away.click()
    page.stories.sought.setText("")
    assert titles(page.stories) == {"The Bread Van", "The Lantern Boat"}
    page.reject()


def test_a_copy_for_next_year_opens_without_a_file(page: StartPage, files: FileWork) -> None:
    path = page.stories.place / "the-rainy-walk.yaml"
    text = path.read_text().replace("lay the boot in its bag", "AB lays the boot in its bag")
    path.write_text(text.replace("section: At the gate", "section: At the gate of K.L."))
    page.stories.sought.setText("umbrella cow")
    page.stories.copy.click()
    (dialog,) = page.findChildren(NextYearDialog)
    assert [(box.isChecked(), box.isEnabled()) for box in dialog.boxes] == [
        (True, False),
        (False, True),
    ]
    dialog.make.click()
    window = files.windows[-1]
    assert window.document.path is None
    assert "AB" not in window.document.text()
    assert "K.L." in window.document.text()


def test_pictures_and_recordings_come_along_when_the_copy_is_saved(
    page: StartPage, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    path = page.stories.place / "the-rainy-walk.yaml"
    path.write_text(path.read_text().replace("\nmetre:", "\npicture: rain.png\nmetre:", 1))
    Image.new("RGB", (4, 3)).save(path.parent / "rain.png")
    (path.parent / "the-rainy-walk recordings").mkdir()
    (path.parent / "the-rainy-walk recordings" / "01.wav").write_bytes(b"a voice")
    page.stories.sought.setText("umbrella cow")
    page.stories.copy.click()
    (dialog,) = page.findChildren(NextYearDialog)
    assert not dialog.recordings.isChecked()
    dialog.recordings.setChecked(True)
    dialog.make.click()
    there = tmp_path / "next"
    there.mkdir()
    answers.files = [there / "walk.yaml"]
    assert files.save(files.windows[-1])
    assert (there / "rain.png").read_bytes() == (path.parent / "rain.png").read_bytes()
    assert (there / "walk recordings" / "01.wav").read_bytes() == b"a voice"
    assert "Copied the picture rain.png." in answers.told[-1]


def test_recordings_stay_unless_somebody_takes_them_along(
    page: StartPage, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    folder = page.stories.place / "the-rainy-walk recordings"
    folder.mkdir()
    (folder / "01.wav").write_bytes(b"a voice")
    page.stories.sought.setText("umbrella cow")
    page.stories.copy.click()
    (dialog,) = page.findChildren(NextYearDialog)
    dialog.make.click()
    there = tmp_path / "next"
    there.mkdir()
    answers.files = [there / "walk.yaml"]
    assert files.save(files.windows[-1])
    assert [path.name for path in there.iterdir() if path.suffix != ".lock"] == ["walk.yaml"]


def test_a_folder_that_is_not_there_is_said(qtbot: QtBot, page: StartPage) -> None:
    page._files.settings.stories_folder = str(page.stories.place / "gone")
    with qtbot.waitSignal(page.stories.looking.answered, timeout=20_000):
        page.stories.look()
    assert "There is no folder" in page.stories.said.text()
    page.reject()


def test_a_drive_that_gives_no_answer_keeps_nothing_waiting(
    qtbot: QtBot, page: StartPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers_again = threading.Event()
    scandir, far = os.scandir, tmp_path / "far"
    far.mkdir()

    def slow(folder: str | Path) -> object:
        if Path(folder) == far:
            assert answers_again.wait(60)
        return scandir(folder)

    monkeypatch.setattr(os, "scandir", slow)
    page.stories._patience.setInterval(50)
    near = page.stories.place
    page._files.settings.stories_folder = str(far)
    page.stories.look()
    qtbot.waitUntil(lambda: page.stories.said.text() == NO_ANSWER, timeout=10_000)
    assert page.stories.list.count() == 0, "another folder's stories are not shown for it"
    page._files.settings.stories_folder = str(near)
    with qtbot.waitSignal(page.stories.looking.answered, timeout=20_000):
        page.stories.look()
    assert len(titles(page.stories)) == 3
    answers_again.set()
    qtbot.wait(100)
    assert len(titles(page.stories)) == 3, "what comes late is of no more interest"
    page.reject()


def test_the_chosen_story_stays_chosen_while_lengths_come_in(page: StartPage) -> None:
    stories = page.stories
    found = stories._stories
    assert found is not None
    stories.list.setCurrentRow(2)
    chosen = stories.chosen
    stories._show(evolve(found, stories=tuple(evolve(s, likely_sec=None) for s in found.stories)))
    assert stories.list.currentRow() == 2
    stories._show(found)
    assert stories.chosen == chosen
    page.reject()


def test_the_chosen_story_stays_chosen_while_words_are_looked_for(page: StartPage) -> None:
    """What is put away, packed or copied is what was chosen, however the list changes round it."""
    stories = page.stories
    row = next(n for n in range(3) if stories.list.item(n).text().startswith("The Rainy Walk"))
    stories.list.setCurrentRow(row)
    chosen = stories.chosen
    for words in ("umbrella cow", "the", "", "umbrella", ""):
        stories.sought.setText(words)
        assert stories.chosen == chosen, words
    assert stories.list.currentRow() == row
    stories.list.setCurrentRow((row + 1) % 3)
    chosen = stories.chosen
    stories.sought.setText("umbrella cow")
    assert stories.chosen != chosen, "the one that is left, where it is not among them"
    page.reject()


@pytest.mark.parametrize("along", [False, True])
def test_voices_go_into_a_pack_only_where_that_was_said(
    along: bool, qtbot: QtBot, page: StartPage, answers: Answers, tmp_path: Path
) -> None:
    folder = page.stories.place / "the-rainy-walk recordings"
    folder.mkdir()
    soundfile.write(folder / "01.wav", np.full(4800, 0.1), 48_000)
    page.stories.sought.setText("umbrella cow")
    pack = tmp_path / "walk.zip"
    answers.files.append(pack)
    answers.choices.append(WITH if along else WITHOUT)
    page.stories.pack.click()
    (dialog,) = page.findChildren(NextYearDialog)
    with qtbot.waitSignal(page.stories.swapping.making.answered, timeout=60_000):
        dialog.make.click()
    assert page.stories.said.text() == "Made walk.zip."
    assert answers.asked == ["Shall the recordings of “The Rainy Walk” be in it?"]
    with zipfile.ZipFile(pack) as made:
        assert any(name.endswith("01.wav") for name in made.namelist()) is along
    page.reject()


def test_a_pack_is_made_and_opened_after_it_was_shown(
    qtbot: QtBot, page: StartPage, answers: Answers, tmp_path: Path
) -> None:
    stories = page.stories
    stories.sought.setText("umbrella cow")
    pack = tmp_path / "walk.zip"
    answers.files.append(pack)
    stories.pack.click()
    (dialog,) = page.findChildren(NextYearDialog)
    with qtbot.waitSignal(stories.swapping.making.answered, timeout=60_000):
        dialog.make.click()
    assert stories.said.text() == "Made walk.zip."
    answers.files.append(pack)
    answers.choices.append(LEAVE)
    stories.unpack.click()
    assert not (stories.place / "the-rainy-walk").exists()
    answers.files.append(pack)
    answers.choices.append(OPEN)
    with qtbot.waitSignal(stories.looking.answered, timeout=20_000):
        stories.unpack.click()
    assert (stories.place / "the-rainy-walk" / "the-rainy-walk.yaml").is_file()
    assert answers.more[-1].splitlines()[0] == "the-rainy-walk.yaml", "the story before its papers"
    assert stories.said.text() == "Opened: the-rainy-walk.yaml in the-rainy-walk."
    twins = [stories.list.item(row).text() for row in range(stories.list.count())]
    assert any("(the-rainy-walk/the-rainy-walk.yaml)" in each for each in twins)
    stories.sought.setText("no such words")
    assert stories.said.text().startswith("No story has")
    stories.sought.setText("umbrella cow")
    pack.write_bytes(b"no")
    answers.files.append(pack)
    stories.unpack.click()
    assert "is no swap pack" in stories.said.text()
    page.reject()
