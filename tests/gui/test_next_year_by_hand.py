"""What the window asks before a copy for next year is made, word by word."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui import next_year_dialog
from tapscore.gui.files import FileWork
from tapscore.gui.next_year_dialog import NextYearDialog
from tapscore.gui.start_page import StartPage
from tapscore.workflow.next_year import NextYear, Trace

WAVE = Trace(("a",), "Line 3, do", "AB waves", ("AB",), True)
TITLE = Trace(("b",), "Title", "Boat 12/3/26", ("12/3/26",), False)
COPY = NextYear(
    (("Own note", "- ask AB"), ("Term", "Spring 2026"), ("Own note", "later")), (WAVE, TITLE), {}
)


@pytest.fixture
def parent(qtbot: QtBot) -> QWidget:
    made = QWidget()
    qtbot.addWidget(made)
    return made


def dialog(parent: QWidget, *, recordings: bool = False, copy: NextYear = COPY) -> NextYearDialog:
    return NextYearDialog(parent, "Boat", copy, recordings=recordings)


def words(made: NextYearDialog) -> list[str]:
    return [label.text() for label in made.findChildren(QLabel)]


def test_what_stays_what_may_stay_and_what_goes(parent: QWidget) -> None:
    made = dialog(parent)
    assert words(made) == [
        "“Boat”: words, rhythm, board and props stay. Nothing is changed in the old story. "
        "The copy opens in a window of its own; save it there.",
        "These may hold initials or a date. What is ticked stays; the rest is left out:",
        "“AB waves”: AB",
        "“Boat 12/3/26”: 12/3/26. Write it otherwise in the copy.",
        "Left out: own notes in the file",
        "\N{BULLET} ask AB",
        "\N{BULLET} later",
        "Left out: the term",
        "\N{BULLET} Spring 2026",
    ]
    assert [(box.isChecked(), box.isEnabled()) for box in made.boxes] == [
        (False, True),
        (True, False),
    ]
    assert made.boxes[0].accessibleName() == "keep Line 3, do, “AB waves”: AB"
    assert made.recordings.isHidden()
    assert made.windowTitle() == "Copy for next year"


def test_voices_are_asked_about_where_there_are_some(parent: QWidget) -> None:
    made = dialog(parent, recordings=True)
    assert "They are adults' own voices: ask those who speak." in words(made)
    assert not made.recordings.isHidden()
    assert not made.recordings.isChecked(), "they stay unless somebody takes them along"
    plain = dialog(parent, copy=NextYear((), (), {}))
    assert len(words(plain)) == 1


@pytest.mark.parametrize(("kept", "left_out"), [(False, [WAVE]), (True, [])])
def test_only_what_is_not_ticked_is_left_out(
    kept: bool, left_out: list[Trace], parent: QWidget, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[list[Trace]] = []

    def text(_: NextYear, left: list[Trace]) -> str:
        asked.append(list(left))
        return "the copy"

    monkeypatch.setattr(next_year_dialog, "copy_text", text)
    made = dialog(parent)
    texts: list[str] = []
    made.made.connect(texts.append)
    made.boxes[0].setChecked(kept)
    made.make.click()
    assert asked == [left_out]
    assert texts == ["the copy"]
    assert made.result() == NextYearDialog.DialogCode.Accepted


@pytest.mark.parametrize("text", ["tapscore: 2\ntitle: Boat\nbanana: 3\n", "no: ["])
def test_a_story_to_be_mended_is_not_copied(
    text: str, qtbot: QtBot, files: FileWork, tmp_path: Path
) -> None:
    (tmp_path / "boat.yaml").write_text(text)
    page = StartPage(files)
    qtbot.addWidget(page)
    page._next_year(tmp_path / "boat.yaml")
    assert page.stories.said.text() == "boat.yaml has something to mend first: open it."
    assert page.findChildren(NextYearDialog) == []
