"""The window in which papers and sound are made, with the making itself stood in for."""

from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from tapscore.gui import export_dialog
from tapscore.gui.export_dialog import ExportDialog
from tapscore.gui.main_window import MainWindow
from tapscore.workflow.export_story import Exported
from tests.gui.answers import Answers


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    """What would be made, and how."""
    calls: list[tuple[tuple[str, ...], dict[str, Any]]] = []

    def makes(_story: object, folder: Path, **how: Any) -> Exported:
        calls.append((how["only"], {**how, "folder": folder}))
        how["report"](how["only"][0], 0.5)
        how["report"](how["only"][0], 1.0)
        if how["replace"]:
            raise KeyError("a fault of ours")
        return Exported((), ("cards were not made: no board",))

    monkeypatch.setattr(export_dialog, "export_story", makes)
    monkeypatch.setattr(export_dialog, "note_printed", lambda *_: None)
    return calls


def test_what_is_ticked_is_made_in_the_folder_and_told(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path, asked: list[Any]
) -> None:
    dialog = ExportDialog(demo, answers)
    assert Path(dialog.folder.text()).parent == tmp_path, "beside the story"
    assert dialog.bar.isHidden()
    assert dialog.report.isHidden()
    usual = dialog.folder.text()
    answers.files = [None, tmp_path / "there"]
    dialog._choose_folder()
    assert dialog.folder.text() == usual
    dialog._choose_folder()
    assert dialog.folder.text() == str(tmp_path / "there")
    for box in dialog.boxes.values():
        box.setChecked(False)
    dialog.start()
    assert dialog.said.text() == "Choose what to make."
    assert asked == []
    dialog.boxes["pocket-key"].setChecked(True)
    dialog.bar.setValue(1)  # as an earlier one left it
    dialog.start()
    assert (dialog.bar.minimum(), dialog.bar.value(), dialog.bar.maximum()) == (0, 0, 100)
    assert not dialog.make.isEnabled(), "one at a time"
    qtbot.waitUntil(dialog.make.isEnabled, timeout=20_000)
    ((only, how),) = asked
    assert only == ("pocket-key",)
    assert how["folder"] == tmp_path / "there"
    assert how["replace"] is False
    assert dialog.said.text().splitlines() == [
        f"Made 0 files in {tmp_path / 'there'}.",
        "cards were not made: no board",
    ]
    assert dialog.open_folder.isHidden(), "there is nothing to see in it"
    assert dialog.bar.value() == dialog.bar.maximum() == 100
    dialog.replace.setChecked(True)
    dialog.start()
    qtbot.waitUntil(dialog.make.isEnabled, timeout=20_000)
    assert "A fault of the program stopped it: KeyError('a fault of ours')" in dialog.said.text()
    dialog.close()


def test_a_story_to_be_mended_is_not_made(
    demo: MainWindow, answers: Answers, asked: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        type(demo.checking), "mend_first", property(lambda _: "Mend the story first: line 2")
    )
    dialog = ExportDialog(demo, answers)
    dialog.start()
    assert dialog.said.text() == "Mend the story first: line 2"
    assert asked == []
    dialog.close()


def test_one_press_ticks_all_or_none(demo: MainWindow, answers: Answers) -> None:
    dialog = ExportDialog(demo, answers)
    assert all(box.isChecked() for box in dialog.boxes.values())
    dialog.none.click()
    assert not any(box.isChecked() for box in dialog.boxes.values())
    dialog.start()
    assert dialog.said.text() == "Choose what to make."
    dialog.all.click()
    assert all(box.isChecked() for box in dialog.boxes.values())
    assert Path(dialog.folder.text()).is_absolute(), "whatever way the story was opened"
    dialog.close()
