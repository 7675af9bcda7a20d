"""Opens every window in the language of the process and says what is not in it, or cut off.

A process of its own: the language is fixed when it starts.  Arguments: a folder for its files,
the size of letters, and (if wished) a folder for pictures of the windows.  Prints JSON.
"""

import json
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from attrs import has
from PySide6.QtCore import QEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from tapscore.gui import dialogs
from tapscore.gui.collecting import Collecting
from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.files import FileWork
from tapscore.gui.fonts import font
from tapscore.gui.help_windows import AboutDialog, KeysDialog
from tapscore.gui.legend import LegendDialog
from tapscore.gui.listening_back.window import ListeningBack
from tapscore.gui.main_window import MainWindow
from tapscore.gui.next_year_dialog import NextYearDialog
from tapscore.gui.printing.print_dialog import PrintDialog
from tapscore.gui.recording.recording_dialog import RecordingDialog
from tapscore.gui.records.record_window import RecordWindow
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.gui.start_page import StartPage
from tapscore.gui.starter_dialog import StarterDialog
from tapscore.gui.tap_in import TapInDialog
from tapscore.model.words import printed
from tapscore.records import sealed
from tapscore.records.record_file import create_record
from tapscore.resources import demo_stories
from tapscore.rhythm.moments import moments
from tapscore.rhythm.perform import perform
from tapscore.screen.rows import RowKind, row_text, tap_text, tapped_words
from tapscore.storyfile.read import read_bytes, read_file, read_text
from tapscore.workflow.next_year import next_year
from tapscore.workflow.starters import starter_text, starters
from tests.gui import offscreen
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut
from tests.gui.recording.fake_microphone import FakeMicrophone
from tests.gui.tongue.shown import cut_off, left_over, texts_of
from tests.records.class_records import PASSPHRASE, QUICK, march, small_record

assert offscreen.SCREEN.is_file()

SAME_EVERYWHERE = (
    "tapscore",  # the program's name
    *("Letter", "Legal", "Tabloid"),  # papers by their names
    *("mp3", "m4a", "ogg", "flac", "wav", "PDF"),  # kinds of files
    # keys: Qt names them, in its own languages
    *("Ctrl", "Shift", "Alt", "Left", "Right", "Up", "Down", "Return", "Ins", "Del"),
    "story.yaml",  # a file's name
    "willow",  # another's
    "Headset",  # a microphone calls itself so
    "English",  # languages are listed by their own names
)


class Walk:
    """What was found, window by window."""

    def __init__(self, app: QApplication, pictures: Path | None) -> None:
        self.app, self.pictures = app, pictures
        self.known = re.compile("$^")
        self.found: dict[str, dict[str, list[str]]] = {}

    def know(self, phrases: set[str]) -> None:
        """These are the story's own words, or the same in every language."""
        each = sorted(phrases | set(SAME_EVERYWHERE), key=len, reverse=True)
        said = (re.sub(r"\\\s+", r"\\s+", re.escape(phrase)) for phrase in each if phrase)
        self.known = re.compile("|".join(rf"(?<!\w){phrase}(?!\w)" for phrase in said), re.I)

    def look(self, name: str, window: QWidget) -> None:
        """Look at a window as it is."""
        cut: set[str] = set()
        for _ in range(10):  # what wraps asks for more room, and gets it a moment later
            QTest.qWait(20)
            cut = {f"{shown.where}: {shown.text}" for shown in cut_off(window)}
            if not cut:
                break
        plain = {
            f"{shown.where}: {shown.text}"
            for shown in texts_of(window)
            if left_over(shown.text, self.known)
        }
        self.found[name] = {"plain": sorted(plain), "cut": sorted(cut)}
        if self.pictures is not None:
            window.grab().save(str(self.pictures / f"{name}.png"))

    def say(self, name: str, *texts: str) -> None:
        """Look at texts that no widget has."""
        plain = {text for text in texts if left_over(text, self.known)}
        self.found[name] = {"plain": sorted(plain), "cut": []}


def own_words(thing: object) -> Iterator[str]:
    """Every text that a story, a record or a starter holds, as it is written and as it is said."""
    match thing:
        case str():
            yield thing
            yield printed(thing)
            yield from thing.splitlines()
        case Mapping():
            for key, value in thing.items():
                yield from own_words(key)
                yield from own_words(value)
        case list() | tuple() | set() | frozenset():
            for each in thing:
                yield from own_words(each)
        case _ if has(type(thing)) and not isinstance(thing, type):
            for field in getattr(type(thing), "__attrs_attrs__"):  # noqa: B009  of any class
                if field.name not in ("origin", "source"):
                    yield from own_words(getattr(thing, field.name))


def main() -> None:
    """Open everything."""
    folder, scale = Path(sys.argv[1]), float(sys.argv[2])
    pictures = Path(sys.argv[3]) if len(sys.argv) > 3 else None
    app = QApplication(sys.argv[:1])
    app.setStyle("Fusion")
    app.setFont(font(15))
    collecting = Collecting(app)
    setattr(sealed, "_tuned", lambda: QUICK)  # noqa: B010  mypy knows its type
    answers = Answers()
    settings = Settings(folder / "settings.json")
    settings.scale = scale
    files = FileWork(settings, answers, RecoveryFolder(folder / "recovery"))
    walk = Walk(app, pictures)
    demo = next(path for path in demo_stories() if path.name == "the-lantern-boat.yaml")
    path = folder / "story.yaml"
    path.write_bytes(demo.read_bytes())
    read = read_file(path)
    assert read.story is not None
    text = path.read_text(encoding="utf-8")
    moments_of = [moment.name for moment in moments(perform(read.story))]
    demo_titles = [_title(path) for path in demo_stories()]
    comments = [what.lstrip("- ") for _, what in next_year(read, read.story).gone]
    gaps = [read_text(starter_text(each, {})).story for each in starters()]
    own = (read.story, comments, moments_of, demo_titles, str(path), gaps, starters())
    walk.know(set(own_words((own, small_record()))))
    window = files.show_story(read, path)
    window.resize(1280, 800)
    main_window(walk, window)
    every_dialog(walk, window, files, answers, folder, text)
    print(json.dumps(walk.found, ensure_ascii=False, indent=1))
    sys.stdout.flush()
    collecting.end()
    import os

    os._exit(0)  # windows that nobody saved ask nothing


def _title(path: Path) -> str:
    story = read_file(path).story
    return story.title if story is not None else ""


def main_window(walk: Walk, window: MainWindow) -> None:
    """The window with each panel, strip and kind of row."""
    keys = window.keys()
    walk.say("keys", *(text for row in keys for text in row))
    walk.say("whys", *(command.when.otherwise for command in COMMANDS))
    rows = window.rows.rows
    walk.say(
        "rows",
        *(row_text(row) for row in rows),
        *(word for row in rows for word in tapped_words(row)),
        *(tap_text(row, 0) for row in rows if row.line is not None and row.line.lane is not None),
    )
    window.actions_by_id["details"].trigger()
    for panel in window.side.panels:
        window.side.show_panel(panel)
        walk.look(f"panel-{type(panel).__name__}", window)
    window.side.show_panel(window.details)
    for kind in (RowKind.LINE, RowKind.WAIT, RowKind.OFFER, RowKind.SECTION, RowKind.RETURN):
        row = next((each for each in rows if each.kind is kind), None)
        if row is not None:
            window.view.go_to(row.path)
            walk.look(f"details-{kind.name.lower()}", window)
    for strip in (window.hints, window.guesses, window.tap_strip, window.finding):
        strip.show()
        walk.look(f"strip-{type(strip).__name__}", window)
        strip.hide()
    window.spelling_strip.show()
    walk.look("strip-spelling", window)
    window.spelling_strip.hide()
    for id_, action in window.actions_by_id.items():
        assert action.text(), id_


def every_dialog(
    walk: Walk, window: MainWindow, files: FileWork, answers: Answers, folder: Path, text: str
) -> None:
    """Each dialog once, as it opens."""
    line = next(row for row in window.rows.rows if row.line is not None and row.line.syllables)
    assert line.line is not None
    tapped_in = line.line
    story = window.document.story
    read = read_bytes(text.encode())
    microphone, out = FakeMicrophone("Headset"), QuietOut(HandClock())
    made: dict[str, Callable[[], QWidget]] = {
        "begin": lambda: StartPage(files, window),
        "starter": lambda: StarterDialog(window),
        "next-year": lambda: NextYearDialog(
            window, story.title, next_year(read, story), recordings=True
        ),
        "print": lambda: PrintDialog(window, answers, window.settings.choices),
        "recording": lambda: RecordingDialog(
            window, story, folder / "recordings", answers, microphone, out
        ),
        "listening-back": lambda: ListeningBack(window, FakeMicrophone("Headset"), out),
        "keys-window": lambda: KeysDialog(window, window.keys()),
        "about": lambda: AboutDialog(window),
        "marks": lambda: LegendDialog(window, window.view.delegate.inks, window.settings.scale),
        "tap-in": lambda: TapInDialog(
            window, tapped_in, line.metre, lambda lane: None, asking=answers
        ),
    }
    for name, make in made.items():
        dialog = make()
        dialog.show()
        walk.look(name, dialog)
        if isinstance(dialog, StartPage):
            dialog.tabs.setCurrentIndex(1)
            walk.look("my-stories", dialog)
        close(walk, dialog)
    for name, opens in (
        ("export", dialogs.export),
        ("today", dialogs.share_today),
        ("earlier", dialogs.earlier_versions),
        ("measure", dialogs.measure),
    ):
        before = set(window.findChildren(QDialog))
        opens(window)
        dialog = next(each for each in window.findChildren(QDialog) if each not in before)
        walk.look(name, dialog)
        close(walk, dialog)
    record(walk, answers, folder)


def record(walk: Walk, answers: Answers, folder: Path) -> None:
    """The class record's window: its door, and each of its pages."""
    records = folder / "records"
    records.mkdir()
    path = records / "willow.classrecord"
    create_record(path, PASSPHRASE, small_record(), log2_n=QUICK).close()
    window = RecordWindow(answers, folder=records, today=lambda: march(24))
    window.resize(1280, 800)
    window.show()
    walk.look("record-door", window)
    window.sitting.open(path, PASSPHRASE)
    assert window.pages is not None
    for index in range(window.pages.tabs.count()):
        window.pages.tabs.setCurrentIndex(index)
        walk.look(f"record-{index}", window)


def close(walk: Walk, window: QWidget) -> None:
    """Put a window away for good."""
    window.hide()
    window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    walk.app.processEvents()


if __name__ == "__main__":
    main()
