"""Keys, selection and pasting at 500 lines with many returns, in CPU of the window's thread.

By hand: ``python tests/benchmarks/window_speed.py``.  Each figure is the median of rounds on fresh
stories; beside it what the same rows take in Qt's plain text table, in the same run.
"""

import os
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median, quantiles

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from attrs import evolve
from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView

from tapscore.gui.asking import Asking
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.model.story import Item, Line, RefrainUse, Section, Story
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import write_story

LINES, PASTED, ROUNDS = 500, 200, 1


def main() -> None:
    """Print the measures."""
    app = QApplication.instance() or QApplication([])
    folder = Path(tempfile.mkdtemp())
    files = FileWork(Settings(folder / "s.json"), Asking(), RecoveryFolder(folder / "r"))
    text = write_story(_long_story())
    keys: list[float] = []
    figures: dict[str, list[float]] = {}
    for number in range(ROUNDS):
        window = files.show_story(read_text(text.replace("title:", f"title: {number}", 1)), None)
        window.resize(1280, 800)
        app.processEvents()
        QTest.qWait(300)
        keys += _typing(window, number)
        for name, taken in _selecting(window, number).items():
            figures.setdefault(name, []).append(taken)
    cut = quantiles(keys, n=20)
    print(f"{LINES} lines, {window.rows.rowCount()} rows, {len(keys)} keys")
    print(f"key to repainted row: median {cut[9]:.1f} ms, 95th percentile {cut[18]:.1f} ms")
    plain = _plain_selecting(window)
    for name, times in figures.items():
        print(f"{name}: {median(times):.0f} ms")
    print(f"choose all rows of a plain text table and repaint: {plain:.0f} ms")
    os._exit(0)


def _long_story() -> Story:
    story = read_file(next(p for p in demo_stories() if p.stem == "the-lantern-boat")).story
    assert story is not None
    lines = [item for s in story.sections for item in s.items if isinstance(item, Line)]
    back = next(i for s in story.sections for i in s.items if isinstance(i, RefrainUse))
    sections = []
    for start in range(0, LINES, 50):
        items: list[Item] = []
        for number in range(start, start + 50):
            items.append(lines[number % len(lines)])
            if number % 10 == 9:
                items.append(back)
        sections.append(Section(f"Part {start // 50 + 1}", tuple(items)))
    return evolve(story, sections=tuple(sections))


def _typing(window: MainWindow, number: int) -> list[float]:
    view = window.view
    view.go_to(("story", 2 + number, "lines", 13 + number), edit=True)
    field = view.findChild(QLineEdit)
    assert field is not None
    times: list[float] = []
    for words in ("The long boat turned to the water", "and home went the moon over the hill"):
        field.selectAll()
        for letter in words:
            times.append(_cpu(partial(_press, window, field, letter)))
            QApplication.processEvents()
    QTest.keyClick(field, Qt.Key.Key_Return)
    return times


def _press(window: MainWindow, field: QLineEdit, letter: str) -> None:
    QTest.keyClick(field, letter)  # type: ignore[call-overload]
    window.view.viewport().repaint()


def _selecting(window: MainWindow, number: int) -> dict[str, float]:
    view, act = window.view, window.actions_by_id
    taken: dict[str, float] = {}

    def repainted(do: Callable[[], object]) -> Callable[[], None]:
        def done() -> None:
            do()
            view.viewport().repaint()

        return done

    view.go_to(("story", 0))
    taken["choose all rows"] = _cpu(repainted(act["select all"].trigger))
    taken["louder, all rows"] = _cpu(repainted(act["louder"].trigger))
    taken["undo it"] = _cpu(repainted(act["undo"].trigger))
    words = (f"the {n} geese of {number} came over the water" for n in range(PASTED))
    QGuiApplication.clipboard().setText("\n".join(words))
    view.go_to(("story", 3, "lines", 5))
    taken[f"paste {PASTED} lines of words"] = _cpu(repainted(act["paste"].trigger))
    taken["undo the paste"] = _cpu(repainted(act["undo"].trigger))
    view.go_to(("story", 0))
    act["select all"].trigger()
    taken["copy all rows"] = _cpu(act["copy"].trigger)
    view.go_to(("story", 3, "lines", 5))
    taken["paste them"] = _cpu(repainted(act["paste"].trigger))
    taken["undo that"] = _cpu(repainted(act["undo"].trigger))
    taken["fold all sections"] = _cpu(repainted(act["fold all"].trigger))
    taken["unfold them"] = _cpu(repainted(act["fold all"].trigger))
    return taken


def _plain_selecting(window: MainWindow) -> float:
    table = QTableView()
    table.setModel(QStringListModel([row.title for row in window.rows.rows]))
    table.resize(window.view.size())
    table.show()
    QApplication.processEvents()

    def select() -> None:
        table.selectAll()
        table.viewport().repaint()

    return _cpu(select)


def _cpu(do: Callable[[], object]) -> float:
    """Milliseconds of CPU that the window's thread takes for it."""
    start = time.thread_time()
    do()
    return (time.thread_time() - start) * 1000


if __name__ == "__main__":
    main()
