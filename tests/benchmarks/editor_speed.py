"""How fast the editor answers: run by hand, ``python tests/benchmarks/editor_speed.py``.

The same rows in Qt's plain text table, in the same run, are the measure.
"""

import os
import resource
import tempfile
import time
from pathlib import Path
from statistics import quantiles

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from attrs import evolve
from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView

from tapscore.gui.asking import Asking
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.model.story import Line, Story
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import write_story

LINES = 200


def main() -> None:
    """Print the measures."""
    app = QApplication.instance() or QApplication([])
    story = _long_story()
    folder = Path(tempfile.mkdtemp())
    files = FileWork(Settings(folder / "s.json"), Asking(), RecoveryFolder(folder / "r"))
    start = time.perf_counter()
    window = files.show_story(read_text(write_story(story)), None)
    app.processEvents()
    print(f"window with {LINES} lines painted after {_ms(start):.0f} ms")
    _typing(window)
    own, plain = _scrolling(window), _plain_table(window)
    print(f"scroll by a row: {own:.2f} ms, plain text table {plain:.2f} ms, {own / plain:.1f} x")
    _findings(window)
    _memory(window)
    window.checking.stop()
    os._exit(0)


def _long_story() -> Story:
    story = read_file(next(p for p in demo_stories() if "lantern" in p.name)).story
    assert story is not None
    lines = [item for s in story.sections for item in s.items if isinstance(item, Line)]
    items = tuple(lines[i % len(lines)] for i in range(LINES))
    return evolve(story, sections=(evolve(story.sections[0], items=items),))


def _typing(window: MainWindow) -> None:
    window.view.selectRow(100)
    window.view.edit(window.view.currentIndex())
    field = window.view.findChild(QLineEdit)
    assert field is not None
    field.end(False)
    times = []
    for words in ("The long boat turned to the water", "and home went the moon over the hill") * 4:
        field.selectAll()
        for letter in words:
            start = time.perf_counter()
            QTest.keyClick(field, letter)  # type: ignore[call-overload]
            window.view.viewport().repaint()
            times.append(_ms(start))
    cut = quantiles(times, n=20)
    print(f"key to repainted row: median {cut[9]:.1f} ms, 95th percentile {cut[18]:.1f} ms")
    QTest.keyClick(field, Qt.Key.Key_Return)


def _scrolling(window: QTableView | MainWindow) -> float:
    view = window.view if isinstance(window, MainWindow) else window
    bar = view.verticalScrollBar()
    times = []
    for _ in range(100):
        start = time.perf_counter()
        bar.setValue((bar.value() + 40) % max(bar.maximum(), 1))
        view.viewport().repaint()
        times.append(_ms(start))
    return sum(times) / len(times)


def _plain_table(window: MainWindow) -> float:
    table = QTableView()
    words = [row.line.words if row.line else row.title for row in window.rows.rows]
    table.setModel(QStringListModel(words))
    table.resize(window.view.size())
    for number in range(len(words)):
        table.setRowHeight(number, window.view.rowHeight(number))
    table.show()
    QApplication.processEvents()
    return _scrolling(table)


def _findings(window: MainWindow) -> None:
    for _ in range(30):
        QTest.qWait(20)
    done: list[float] = []
    window.checking.found.connect(lambda _: done.append(time.perf_counter()))
    start = time.perf_counter()
    window.document.edit("Title", evolve(window.document.story, title="Another"))
    longest = 0.0
    while not done:
        before = time.perf_counter()
        QApplication.processEvents()
        longest = max(longest, _ms(before))
    print(f"findings after {(done[0] - start) * 1000:.0f} ms; window held up {longest:.0f} ms")


def _memory(window: MainWindow) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for number in range(2000):
        window.document.edit("Title", evolve(window.document.story, title=f"T {number}"))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"2,000 edits: {(after - before) / 1024:.1f} MB more")


def _ms(start: float) -> float:
    return (time.perf_counter() - start) * 1000


if __name__ == "__main__":
    main()
