"""Random commands, keys, wheel and fields in real windows, by hand: no exception, all undone.

``python -m tests.hostile.random_commands --count 5000 --seed 1``: several windows at once, most
of them on small stories, so that a step costs some hundredths of a second; after every hundred
steps each is undone to its beginning (the same text), redone or left there, saved and opened
again.  Each thousand steps begin with new windows.
"""

import argparse
import os
import sys
import tempfile
import time
import traceback
import warnings
from collections import deque
from difflib import unified_diff
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
from tests.hostile.kinds import DATA

LEFT_OUT = (
    *("print", "class record", "close", "record", "day", "export", "new", "open"),
    *("listen", "loop", "practise", "count in", "go on", "slower", "less slow", "my part"),
)
"""Need a printer, a password or a sound device, or end the window; they have tests of their own."""
SLOW = (
    *("light", "dark", "high contrast", "larger", "smaller"),
    *("gentler", "livelier", "short"),
)
"""Dress every window anew, or open another: a second each, so they come seldom."""
_KEYS = (
    *(Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left),
    *(Qt.Key.Key_Right, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Space, Qt.Key.Key_Delete),
    *(Qt.Key.Key_Backspace, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageDown),
)
_TYPED = ("row", "a", "12", "54 to 42", "0", "nan", "é", "<b>", "a-b", "quiet", "[", "'", " ", "x")
_EACH, _NEW_WINDOWS = 100, 1000
_SMALL = """\
tapscore: 2
title: Small  # a comment
metre: 6/8
tempo: 54
by: leader
board:
  size_cm: [120, 90]   # as it lies
  spots: {middle: [60, 45], edge: [60, 12]}
  seats: {north: [60, 90], south: [60, 0]}
  places: {A: {at: [58, 72], lying: true}}
roles:
  leader: {seat: north}
  second: {seat: south}
props:
  beads: {what: wooden beads, cautions: [cord]}
refrains:
  home:
    # the refrain
    - words: Row the lan-tern home.
      lane: "| X . x X . x | X _ _ . . . |"
story:
  - section: One
    lines:
      - words: Out on the wa-ter
        lane: "| X x x X x . |"
        tempo: 54 to 42
        prop in: {beads: middle}
      # between
      - refrain: home
      - wait: 12.5
        look for: a look
      - words: not set yet
      - offer: beads
  - section: Two
    lines:
      - words: Splash!
        lane: "| X(loud, flat hand) . . t . . |"
        warn first: hands up
        my key: kept   # unknown
"""
_BARE = "tapscore: 2\ntitle: Bare\nstory:\n  - section: One\n    lines:\n      - words: One\n"


class AtRandom(Answers):
    """Answers at random; what is saved goes into one folder."""

    random: Random
    saves_in: Path

    def choose(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> str:
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
        self.did: deque[str] = deque(maxlen=30)
        self.begun: dict[MainWindow, str] = {}
        sys.excepthook = self._raised

    def open_windows(self) -> None:
        """Two windows on small stories, one on a larger one, and their texts now."""
        larger = self.random.choice([*demo_stories(), DATA / "messy.yaml"])
        texts = (_SMALL, self.random.choice([_SMALL, _BARE]), larger.read_text(encoding="utf-8"))
        for number, text in enumerate(texts):
            copy = self.folder / f"story-{number}.yaml"
            copy.write_text(text, encoding="utf-8")
            self.files.show_story(read_file(copy), copy)
        self._meet()

    def run(self, count: int) -> Found:
        """So many steps."""
        self.open_windows()
        while self.found.steps < count:
            window = self.random.choices(
                self.files.windows[:4], [5, 3, 1, 1][: len(self.files.windows)]
            )[0]
            self._step(window)
            self.found.steps += 1
            self._meet()
            if self.found.steps % _EACH == 0:
                for each in list(self.files.windows):
                    self._undo_all(each)
                    self._save_and_open(each)
            if self.found.steps % _NEW_WINDOWS == 0 or len(self.files.windows) > 5:
                self._close_all()
                self.open_windows()
        self._close_all()
        self.files.end()
        return self.found

    def _meet(self) -> None:
        """Note the text each new window begins with: all undone, it has to come back."""
        for window in self.files.windows:
            if window not in self.begun:
                self.begun[window] = window.document.text()

    def _close_all(self) -> None:
        for window in list(self.files.windows):
            self._close(window)
            self.begun.pop(window, None)

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
        self.did.append(
            f"{self.files.windows.index(window)} {self.doing}"
            if window in self.files.windows
            else self.doing
        )
        QApplication.processEvents()
        self._close_dialogs()

    def _command(self, window: MainWindow) -> None:
        usable = [
            name
            for name, action in window.actions_by_id.items()
            if action.isEnabled() and not name.startswith(LEFT_OUT) and name not in LEFT_OUT
        ]
        name = self.random.choice(usable)
        if name in SLOW and self.random.random() < 0.99:
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

    def _undo_all(self, window: MainWindow) -> None:
        self.doing = "undoing all"
        window.view.end_typing()
        stack = window.document.undo_stack
        now = window.document.text()
        count = stack.index()
        while stack.canUndo():
            stack.undo()
        if window.document.text() != self.begun[window]:
            self._note("undone, but the text is not the one of the beginning")
            self._show_difference(self.begun[window], window.document.text())
        QApplication.processEvents()
        self.found.undone += 1
        if self.random.random() < 0.5:
            return
        for _ in range(count):
            stack.redo()
        if window.document.text() != now:
            self._note("redone, but the text is another")
            self._show_difference(now, window.document.text())
        QApplication.processEvents()

    def _show_difference(self, wanted: str, found: str) -> None:
        lines = unified_diff(wanted.splitlines(), found.splitlines(), lineterm="", n=0)
        self.found.problems.extend(lines)

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
        print(f"step {self.found.steps}: {said}; before: {' | '.join(self.did)}", flush=True)


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
