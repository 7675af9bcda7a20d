"""How fast a class record is: run by hand, nothing is asserted.

    python -m tests.benchmarks.records_speed

A year: ten pupils, 60 tellings, 6,000 notes.  Each round is a fresh process with other words.
The alternative for opening is sqlite3, unencrypted, with the same notes in one table; for the
term sheet it is a plain pass over the same notes that builds one string.
"""

import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tapscore.records.model import ClassRecord

ROUNDS = 7
Timed = Callable[[str, Callable[[], Any]], Any]


def one_round(number: int) -> dict[str, float]:
    """Seconds of each step, in this process."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from attrs import evolve

    from tapscore.records import sealed
    from tapscore.records.data import from_json, to_json
    from tapscore.records.record_file import create_record, open_record
    from tests.records.class_records import PASSPHRASE, large_record

    record = evolve(large_record(), label=f"A year, round {number}")
    found: dict[str, float] = {}

    def timed(name: str, do: Callable[[], Any]) -> Any:
        cpu, wall = time.process_time(), time.perf_counter()
        made = do()
        found[name] = time.perf_counter() - wall
        found[f"{name} (CPU)"] = time.process_time() - cpu
        return made

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "x.classrecord")
        create_record(path, PASSPHRASE, record).close()
        data = path.read_bytes()
        key = timed("make the key", lambda: sealed.key_for(data, PASSPHRASE))
        assert isinstance(key, sealed.Key)
        opened = timed("open beyond the key", lambda: from_json(sealed.unseal(data, key)))
        assert opened == record
        _sqlite(folder, record, timed)
        file = open_record(path, PASSPHRASE)
        file.record = evolve(record, label="changed")
        file._moved = True
        timed("save", file.save)
        file.close()
        assert len(to_json(record)) > 100_000
        _papers(record, timed)
        _window(path, timed)
    return found


def _sqlite(folder: str, record: ClassRecord, timed: Timed) -> None:
    place = Path(folder, "x.sqlite")
    base = sqlite3.connect(place)
    base.execute("create table note (telling, pupil, moment, answer, words, support, time)")
    base.executemany(
        "insert into note values (?, ?, ?, ?, ?, ?, ?)",
        [
            (t.id, s.pupil, n.moment, n.answer and n.answer.value, n.words, "", n.time)
            for t in record.tellings
            for s in t.slips
            for n in s.notes
        ],
    )
    base.commit()
    base.close()
    timed(
        "sqlite3, unencrypted, all rows",
        lambda: sqlite3.connect(place).execute("select * from note").fetchall(),
    )


def _papers(record: ClassRecord, timed: Timed) -> None:
    from tapscore.exports.written.docx_document import docx_document
    from tapscore.exports.written.pdf_document import pdf_document
    from tapscore.workflow.records.made import span, term_sheet_of

    pupil = record.pupils[0]
    begins, _ = span(record, "The Lantern Boat", None, None)
    term = begins, begins.replace(year=begins.year + (begins.month > 8), month=1)
    made = timed(
        "term sheet, data (a term, 25 tellings)", lambda: term_sheet_of(record, pupil, None, *term)
    )
    timed("term sheet, PDF (a term, 25 tellings)", lambda: pdf_document(made))
    timed("term sheet, DOCX (a term, 25 tellings)", lambda: docx_document(made))
    year = term_sheet_of(record, pupil)
    timed("a whole year on one sheet, PDF", lambda: pdf_document(year))


def _window(path: Path, timed: Timed) -> None:
    from PySide6.QtWidgets import QApplication

    from tapscore.gui.records.record_window import RecordWindow
    from tapscore.model.story import Story
    from tapscore.resources import demo_stories
    from tapscore.storyfile.read import read_file
    from tests.gui.answers import Answers
    from tests.records.class_records import PASSPHRASE

    app = QApplication([])
    story = read_file(demo_stories()[0]).story
    assert story is not None

    told: Story = story

    class Desk:
        story = told

        def go_to(self, name: str) -> bool:
            return bool(name)

        def mark(self) -> None:
            pass

        unmark = mark

    window = RecordWindow(Answers(), folder=path.parent)
    window.show_for_story(Desk())
    timed("open in the window, key and all", lambda: window.sitting.open(path, PASSPHRASE))
    app.processEvents()
    pages = window.pages
    assert pages is not None
    notes = pages.notes

    def enter() -> None:
        notes.form.answer.boxes[0].click()
        notes.form.words.setPlainText("turned to the sound")
        notes.next_moment()
        app.processEvents()

    enter()
    timed("enter a note, shown", enter)

    def letter() -> None:
        notes.form.words.insertPlainText("x")
        app.processEvents()

    timed("one letter of a note", letter)
    timed("save in the window", window.sitting.save)
    timed("term page shown", lambda: pages.tabs.setCurrentWidget(pages.term))
    window.sitting.throw_away()


def main() -> None:
    """Run the rounds and print their medians."""
    if len(sys.argv) > 1:
        print(json.dumps(one_round(int(sys.argv[1]))))
        return
    rounds = []
    for number in range(ROUNDS):
        done = subprocess.run(
            [sys.executable, "-m", "tests.benchmarks.records_speed", str(number)],
            capture_output=True,
            text=True,
            check=True,
        )
        rounds.append(json.loads(done.stdout.splitlines()[-1]))
    for name in rounds[0]:
        if not name.endswith("(CPU)"):
            wall = statistics.median(each[name] for each in rounds)
            cpu = statistics.median(each[f"{name} (CPU)"] for each in rounds)
            print(f"{name:40} {wall * 1000:8.1f} ms, CPU {cpu * 1000:8.1f} ms")


if __name__ == "__main__":
    main()
