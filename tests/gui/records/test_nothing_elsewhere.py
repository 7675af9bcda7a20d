"""Whatever is planted in a record is in no other file that the program writes."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

# no shorter mark: three letters stand in sealed bytes by chance now and then
PLANTED = (
    "Qx7 marmalad",
    "turned-before-the-wave-zebra",
    "likes the marmalade owl",
    "four wet pebbles",
)
SESSION = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from tapscore.gui import app as program
from tapscore.gui import files
from tapscore.gui.records import sitting, story_link
from tapscore.records import sealed

sealed._tuned = lambda: 14
files.AUTOSAVE_MS = sitting.SAVE_AFTER_MS = 300
PASSPHRASE = "four wet pebbles sing"
how = sys.argv[2]

def go():
    there = [w for w in QApplication.topLevelWidgets() if hasattr(w, "actions_by_id")]
    if not there:
        QTimer.singleShot(50, go)
        return
    (window,) = there
    window.document.edit("Change", window.document.story.__class__(
        **{**{a.name: getattr(window.document.story, a.name)
              for a in window.document.story.__attrs_attrs__}, "title": "Changed title"}))
    window.actions_by_id["class record"].trigger()
    records = story_link.open_class_record(window)
    door = records.door
    door.label.setText("Willow")
    door.new_passphrase.first.setText(PASSPHRASE)
    door.new_passphrase.again.setText(PASSPHRASE)
    door.begin_here.click()
    pages = records.pages
    pages.pupils.new_mark.setText("Qx7 marmalad")
    pages.pupils.add.click()
    pages.pupils.fields["likes"].setText("likes the marmalade owl")
    pages.pupils.put_away()
    pages.tabs.setCurrentWidget(pages.notes)
    pages.notes.form.words.setPlainText("turned-before-the-wave-zebra")
    pages.notes.form.answer.boxes[0].click()
    assert records.sitting.save()
    assert any("zebra" in n.words for t in records.sitting.record.tellings
               for s in t.slips for n in s.notes)
    records.sitting.lock()
    door.passphrase.setText(PASSPHRASE)
    door.open.click()
    assert records.sitting.is_open
    records.grab()
    pages = records.pages
    pages.notes.form.words.setPlainText("turned-before-the-wave-zebra again")
    if how == "error":
        # as a mistake of ours would: the traceback goes to stderr
        def fail():
            record = records.sitting.record
            raise RuntimeError(f"{record} {record.pupils} {record.tellings}")
        QTimer.singleShot(0, fail)
    if how == "wait":
        QTimer.singleShot(1000, lambda: print("ready", flush=True))
    else:
        QTimer.singleShot(1000, finish)

def finish():
    for each in list(QApplication.topLevelWidgets()):
        if each.__class__.__name__ == "RecordWindow":
            each.close()
    for window in [w for w in QApplication.topLevelWidgets() if hasattr(w, "actions_by_id")]:
        window.files.save(window)
        window.close()

application = QApplication(sys.argv[:1])
QTimer.singleShot(50, go)
code = program.run_editor(Path(sys.argv[1]))
"""


def environment(home: Path) -> dict[str, str]:
    places = {
        "HOME": "home",
        "TMPDIR": "tmp",
        "XDG_CONFIG_HOME": "config",
        "XDG_DATA_HOME": "data",
        "XDG_STATE_HOME": "state",
        "XDG_CACHE_HOME": "cache",
        "XDG_RUNTIME_DIR": "runtime",
    }
    for name in places.values():
        (home / name).mkdir(mode=0o700)
    return {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONFAULTHANDLER": "1",
        **{key: str(home / name) for key, name in places.items()},
    }


def found_in(home: Path) -> list[str]:
    """Files, by name, that hold something planted, in any of the usual codings."""
    holds: list[str] = []
    for path in home.rglob("*"):
        if any(words.casefold() in path.name.casefold() for words in PLANTED):
            holds.append(path.name)
        if path.is_file():
            data = path.read_bytes()
            for words in PLANTED:
                if any(words.encode(code) in data for code in ("utf-8", "utf-16-le", "utf-16-be")):
                    holds.append(f"{path.name}: {words}")
    return holds


def begun(home: Path, demo_path: Path, how: str) -> subprocess.Popen[str]:
    story = home / "story.yaml"
    story.write_bytes(demo_path.read_bytes())
    return subprocess.Popen(
        [sys.executable, "-c", SESSION, str(story), how],
        env=environment(home),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.parametrize("how", ["usual", "error"])
def test_a_whole_sitting_leaves_it_in_the_record_alone(
    how: str, tmp_path: Path, demo_path: Path
) -> None:
    process = begun(tmp_path, demo_path, how)
    said, errors = process.communicate(timeout=100)
    if how == "error":
        assert "RuntimeError" in errors, "the mistake was to be told of"
    else:
        assert "Error" not in errors, errors
    for words in PLANTED:
        assert words not in said + errors
    records = list(tmp_path.rglob("*.classrecord"))
    assert [path.name for path in records if "earlier" not in path.name] == ["Willow.classrecord"]
    assert found_in(tmp_path) == []


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX matter")
def test_a_program_killed_while_the_record_is_open_leaves_nothing(
    tmp_path: Path, demo_path: Path
) -> None:
    process = begun(tmp_path, demo_path, "wait")
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    process.send_signal(signal.SIGKILL)
    process.communicate(timeout=30)
    kept = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert any("recovery" in path.parts for path in kept), "the story's unsaved work is kept"
    assert found_in(tmp_path) == []


def test_the_search_itself_finds(tmp_path: Path) -> None:
    (tmp_path / "x").write_text(f"a {PLANTED[0]} b", encoding="utf-16")
    assert found_in(tmp_path) == [f"x: {PLANTED[0]}"]
