"""Answers to the window's questions, instead of dialogs."""

from collections.abc import Callable
from pathlib import Path

from attrs import define, field
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QWidget

from tapscore.gui.asking import STORIES, THROW_AWAY, Asking


@define
class Answers(Asking):
    """Answers questions from a script and remembers what was said."""

    files: list[Path | None] = field(factory=list)
    choices: list[str] = field(factory=list)
    told: list[str] = field(factory=list)
    asked: list[str] = field(factory=list)
    more: list[str] = field(factory=list)
    """What was said below each question."""
    set_printer: list[Callable[[QPrinter], bool]] = field(factory=list)
    """What the user does in the printer dialog: sets the printer, True to print."""

    def open_file(self, parent: QWidget | None, title: str, kinds: str) -> Path | None:
        return self.files.pop(0)

    def save_file(
        self, parent: QWidget | None, title: str, near: Path, kinds: str = STORIES
    ) -> Path | None:
        return self.files.pop(0)

    def folder(self, parent: QWidget | None, title: str) -> Path | None:
        return self.files.pop(0)

    def choose(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> str:
        self.asked.append(text)
        self.more.append(more)
        answer = self.choices.pop(0)
        assert answer in answers
        return answer

    def may_throw_away(self, parent: QWidget | None, what: str) -> bool:
        self.asked.append(what)
        return not self.choices or self.choices.pop(0) == THROW_AWAY

    def words(self, parent: QWidget | None, title: str, question: str) -> str | None:
        self.asked.append(question)
        return self.choices.pop(0) or None

    def tell(self, parent: QWidget | None, text: str, more: str = "") -> None:
        self.told.append(f"{text} {more}")

    def show(self, parent: QWidget | None, title: str, text: str) -> None:
        self.told.append(f"{title} {text}")

    def printer(self, parent: QWidget | None, printer: QPrinter, pages: int) -> bool:
        self.asked.append(f"print {pages} pages")
        return self.set_printer.pop(0)(printer)
