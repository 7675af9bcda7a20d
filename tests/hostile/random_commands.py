"""Random commands, keys, wheel and fields in real windows, by hand: no exception, all undone.

``python -m tests.hostile.random_commands --count 5000 --seed 1``: several windows at once; after
every few hundred steps each is undone to its beginning (the same text), redone, saved and
opened again.
"""

import argparse
import os
import sys
import tempfile
import time
import traceback
import warnings
from pathlib import Path
from random import Random
from types import TracebackType

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from attrs import define, field
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QDialog,
    QTabWidget,
    QWidget,
)

from tapscore.gui.collecting import Collecting
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.workflow.keeping.changes import story_changes
from tests.gui.answers import Answers

LEFT_OUT = (
    *("print", "class record", "close", "record", "day", "export", "new", "open"),
    *("listen", "loop", "practise", "count in", "go on", "slower", "less slow", "my part"),
)
"""Need a printer, a password or a sound device, or end the window; they have tests of their own."""
SLOW = ("light", "dark", "high contrast", "larger", "smaller", "gentler", "livelier", "short")
"""Dress every window anew, or open another: a second each, so they come seldom."""
_KEYS = (
    *(Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left),
    *(Qt.Key.Key_Right, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Space, Qt.Key.Key_Delete),
    *(Qt.Key.Key_Backspace, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageDown),
)
_TYPED = ("row", "a", "12", "54 to 42", "0", "nan", "é", "<b>", "a-b", "quiet", "[", "'", " ", "x")
_EACH = 200


class AtRandom(Answers):
    """Answers at random; what is saved goes into one folder."""

    random: Random
    saves_in: Path

    def choose(self, parent: QWidget | None, text: str, more: str, answers: tuple[str, ...]) -> str:
        return self.random.choice(answers)

    def words(self, parent: QWidget | None, title: str, question: str) -> str | None:
        return self.random.choice([*_TYPED, None])

    def save_file(
        self, parent: QWidget | None, title: str, near: Path, kinds: str = ""
    ) -> Path | None:
        return self.saves_in / self.random.choice(["one", "two.yaml", "three v1.2"])

    def open_file(self, parent: QWidget | None, title: str, kinds: str) -> Path | None:
        return None


@define
class Found:
    """What went wrong."""

    steps: int = 0
    undone: int = 0
    problems: list[str] = field(factory=list)


class Restless:
    """Somebody who tries everything."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.random = Random(seed)
        self.found = Found()
        self.folder = folder
        self.answers = AtRandom()
        self.answers.random, self.answers.saves_in = self.random, folder
        self.files = FileWork(
            Settings(folder / "s.json"), self.answers, RecoveryFolder(folder / "kept")
        )
        self.doing = ""
        sys.excepthook = self._raised

    def open_windows(self) -> None:
        """A window on each demo story, and their texts now."""
        for path in demo_stories():
            copy = self.folder / path.name
            copy.write_bytes(path.read_bytes())
            self.files.show_story(read_file(copy), copy)

    def run(self, count: int) -> Found:
        """So many steps."""
        self.open_windows()
        begun = {window: window.document.text() for window in self.files.windows}
        """The text each window began with: undone to the first step, it has to come back."""
        for number in range(count):
            while len(self.files.windows) > 4:  # copies were opened
                self._close(self.files.windows[-1])
            window = self.random.choice(self.files.windows)
            begun.setdefault(window, window.document.text())
            self._step(window)
            self.found.steps += 1
            if number % _EACH == _EACH - 1:
                for each in list(self.files.windows):
                    self._undo_all(each, begun.get(each))
                    self._save_and_open(each)
        for window in list(self.files.windows):
            self._close(window)
        self.files.end()
        return self.found

    def _step(self, window: MainWindow) -> None:
        way = self.random.random()
        try:
            if way < 0.55:
                self._command(window)
            elif way < 0.85:
                self._key(window)
            elif way < 0.95:
                self._wheel(window)
            else:
                self._choose_row(window)
        except Exception as error:
            self._note(f"{self.doing}: {error!r} {_place(error)}")
        QApplication.processEvents()
        self._close_dialogs()

    def _command(self, window: MainWindow) -> None:
        usable = [
            name
            for name, action in window.actions_by_id.items()
            if action.isEnabled() and not name.startswith(LEFT_OUT) and name not in LEFT_OUT
        ]
        name = self.random.choice(usable)
        if name in SLOW and self.random.random() < 0.97:
            return
        self.doing = f"command {name}"
        if name == "paste":
            QGuiApplication.clipboard().setText(self.random.choice(["row the boat\nhome", "", "x"]))
        window.actions_by_id[name].trigger()

    def _key(self, window: MainWindow) -> None:
        window.activateWindow()
        target = QApplication.focusWidget() or window.view
        self.doing = f"key in {type(target).__name__}"
        if self.random.random() < 0.4:
            for letter in self.random.choice(_TYPED):
                self._press(target, Qt.Key.Key_A, letter)
        else:
            self._press(target, self.random.choice(_KEYS), "")

    def _press(self, target: QWidget, key: Qt.Key, text: str) -> None:
        none = Qt.KeyboardModifier.NoModifier
        for kind in (QKeyEvent.Type.KeyPress, QKeyEvent.Type.KeyRelease):
            QApplication.sendEvent(target, QKeyEvent(kind, key, none, text))

    def _wheel(self, window: MainWindow) -> None:
        fields = [
            *window.findChildren(QAbstractSpinBox),
            *window.findChildren(QComboBox),
            window.view.viewport(),
        ]
        target = self.random.choice(fields)
        self.doing = f"wheel on {type(target).__name__}"
        middle = QPointF(target.rect().center())
        turn = QPoint(0, self.random.choice([-120, 120]))
        event = QWheelEvent(
            middle,
            QPointF(target.mapToGlobal(middle.toPoint())),
            QPoint(),
            turn,
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(target, event)

    def _choose_row(self, window: MainWindow) -> None:
        self.doing = "choosing a row or a tab"
        if self.random.random() < 0.5:
            window.view.selectRow(self.random.randrange(max(len(window.rows.rows), 1)))
        else:
            tabs = self.random.choice(window.findChildren(QTabWidget) or [None])
            if tabs is not None:
                tabs.setCurrentIndex(self.random.randrange(tabs.count()))

    def _undo_all(self, window: MainWindow, begun: str | None) -> None:
        self.doing = "undoing all"
        stack = window.document.undo_stack
        now = window.document.text()
        count = stack.index()
        while stack.canUndo():
            stack.undo()
        QApplication.processEvents()
        if begun is not None and window.document.text() != begun:
            self._note("undone, but the text is not the one of the beginning")
        for _ in range(count):
            stack.redo()
        if window.document.text() != now:
            self._note("redone, but the text is another")
        self.found.undone += 1
        QApplication.processEvents()

    def _save_and_open(self, window: MainWindow) -> None:
        self.doing = "saving"
        path = self.folder / f"saved-{self.random.randrange(10**9)}.yaml"
        path.write_text(window.document.text(), encoding="utf-8")
        again = read_file(path)
        if again.story != window.document.story:
            known = again.story or window.document.story
            changes = story_changes(known, window.document.story)
            said = [change.sentence for change in changes[:3]] or [str(again.findings[:2])]
            self._note(f"what would be saved reads otherwise: {said}")
        path.unlink()
        window.actions_by_id["save"].trigger()

    def _close(self, window: MainWindow) -> None:
        self.doing = "closing"
        for _ in range(20):
            window.close()
            QApplication.processEvents()
            if window not in self.files.windows:
                return

    def _close_dialogs(self) -> None:
        popup = QApplication.activePopupWidget()
        if popup is not None:
            popup.close()
        for widget in QApplication.topLevelWidgets():
            if isinstance(widget, QDialog) and widget.isVisible():
                widget.close()

    def _raised(
        self, kind: type[BaseException], error: BaseException, _: TracebackType | None
    ) -> None:
        self._note(f"{self.doing}: {kind.__name__}: {error} {_place(error)}")

    def _note(self, said: str) -> None:
        self.found.problems.append(f"step {self.found.steps}: {said}")


def _place(error: BaseException) -> str:
    frames = traceback.extract_tb(error.__traceback__)[-3:]
    return " < ".join(f"{Path(each.filename).name}:{each.lineno}" for each in reversed(frames))


def main() -> None:
    """By hand."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--count", type=int, default=1000)
    arguments.add_argument("--seed", type=int, default=1)
    said = arguments.parse_args()
    warnings.simplefilter("error")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    collecting = Collecting(app)
    begin = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["TAPSCORE_VERSIONS"] = f"{folder}/versions"
        found = Restless(Path(folder), said.seed).run(said.count)
    print(
        f"{found.steps} commands in {time.monotonic() - begin:.0f} s, {found.undone} times all "
        f"undone and redone: {len(found.problems)} problems"
    )
    print("\n".join(found.problems[:20]))
    collecting.end()
    sys.stdout.flush()
    os._exit(bool(found.problems))


if __name__ == "__main__":
    main()
