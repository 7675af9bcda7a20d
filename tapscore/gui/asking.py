"""Questions to the user, in one place so that tests can answer them."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QInputDialog,
    QLabel,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.question import Question
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter


def kinds(name: str, *endings: str) -> str:
    """Kinds of files as a file dialog wants them: a name, and endings such as ``*.txt``."""
    return f"{name} ({' '.join(endings)})"


STORY_KINDS = ("*.tapscore", "*.yaml", "*.yml")
STORIES = kinds(say("Stories"), *STORY_KINDS)
THROW_AWAY, GO_ON = say("Throw it away"), say("Go on with it")
MOST_LINES = 14
"""So many lines a question has room for."""
WORD_KINDS = ("*.txt", "*.md", "*.docx")
WORDS = kinds(say("Words"), *WORD_KINDS)


def usual_folder() -> Path:
    """Where stories lie unless somebody chooses otherwise: the user's documents, or home.

    The current folder is anywhere for a program that was started by a click: it comes last, and
    so does the top of all folders, which Qt gives where there is no home.
    """
    kinds = (
        QStandardPaths.StandardLocation.DocumentsLocation,
        QStandardPaths.StandardLocation.HomeLocation,
    )
    places = [Path(place) for kind in kinds for place in QStandardPaths.standardLocations(kind)]
    return next((place for place in places if place.is_dir() and place.name), Path.cwd())


class Asking:
    """Asks with the platform's own dialogs.

    ``dress`` gives the program its looks: windows do so when they are made, questions that are
    asked before any is there need it.
    """

    def __init__(self, dress: Callable[[], None] = lambda: None) -> None:
        self._dress = dress

    def open_file(self, parent: QWidget | None, title: str, kinds: str) -> Path | None:
        """Which file to open; None if none."""
        name, _ = QFileDialog.getOpenFileName(parent, title, str(usual_folder()), kinds)
        return Path(name) if name else None

    def save_file(
        self, parent: QWidget | None, title: str, near: Path, kinds: str = STORIES
    ) -> Path | None:
        """Where to save; None if nowhere."""
        name, _ = QFileDialog.getSaveFileName(parent, title, str(usual_folder() / near), kinds)
        return Path(name) if name else None

    def folder(self, parent: QWidget | None, title: str) -> Path | None:
        """Which folder; None if none."""
        name = QFileDialog.getExistingDirectory(parent, title)
        return Path(name) if name else None

    def choose(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> str:
        """One of ``answers``; the last one if the question is closed.

        ``loses``: the first answer loses something, so that Enter alone gives the last.
        """
        question = self._question(parent, text, more, answers, loses=loses)
        question.exec()
        question.deleteLater()
        return question.answer

    def may_throw_away(self, parent: QWidget | None, what: str) -> bool:
        """Whether work that was not kept may be lost; closing the question keeps it."""
        return self.choose(parent, what, "", (THROW_AWAY, GO_ON), loses=True) == THROW_AWAY

    def words(self, parent: QWidget | None, title: str, question: str) -> str | None:
        """A few words; None if the question is closed or left empty."""
        dialog = QInputDialog(parent)
        dialog.setWindowTitle(title)
        dialog.setLabelText(question)
        dialog.setOkButtonText(say("OK"))
        dialog.setCancelButtonText(say("Cancel"))
        _as_it_stands(dialog)
        kept = dialog.exec()
        return " ".join(dialog.textValue().split()) or None if kept else None

    def tell(self, parent: QWidget | None, text: str, more: str = "") -> None:
        """Say something that must be read."""
        self.choose(parent, text, more, (say("OK"),))

    def show(self, parent: QWidget | None, title: str, text: str) -> None:
        """Let a longer text be read, and copied."""
        dialog = QDialog(parent)
        dialog.setWindowTitle(title)
        dialog.resize(760, 520)
        field = QPlainTextEdit(text)
        field.setAccessibleName(title)
        field.setReadOnly(True)
        buttons = close_button()
        buttons.rejected.connect(dialog.reject)
        column = QVBoxLayout(dialog)
        column.addWidget(field)
        column.addWidget(buttons)
        dialog.exec()

    def printer(self, parent: QWidget | None, printer: "QPrinter", pages: int) -> bool:
        """The system's printer dialog, which sets ``printer``; False if it was closed."""
        from PySide6.QtPrintSupport import QAbstractPrintDialog, QPrintDialog

        dialog = QPrintDialog(printer, parent)
        option = QAbstractPrintDialog.PrintDialogOption
        for each in (option.PrintPageRange, option.PrintCurrentPage, option.PrintCollateCopies):
            dialog.setOption(each)
        dialog.setMinMax(1, pages)
        dialog.setFromTo(1, pages)
        dialog.setPrintRange(QAbstractPrintDialog.PrintRange.AllPages)
        return bool(dialog.exec())

    def _question(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> Question:
        if parent is None:
            self._dress()
        lines = more.splitlines()
        if len(lines) > MOST_LINES:
            lines = [
                *lines[:MOST_LINES],
                say("... and {count} more", count=len(lines) - MOST_LINES),
            ]
        return Question(parent, text, "\n".join(lines), answers, loses=loses)


def close_button() -> QDialogButtonBox:
    """A box with one button that closes."""
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    close = buttons.button(QDialogButtonBox.StandardButton.Close)
    close.setText(say("Close"))
    close.setIcon(QIcon())  # some desktops give one, and no other button of ours has any
    return buttons


def _as_it_stands(dialog: QDialog) -> None:
    """Show signs as they are: a title may hold what looks like marks."""
    for label in dialog.findChildren(QLabel):
        label.setTextFormat(Qt.TextFormat.PlainText)
