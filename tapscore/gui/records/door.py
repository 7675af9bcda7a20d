"""Where a record is opened, or begun: the page one sees while none is open."""

from datetime import date
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.disc.reasons import reason
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.flow import FlowColumn
from tapscore.gui.records.passphrase_fields import NewPassphrase, hidden_line
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.scrolled import scrolled
from tapscore.records.model import ClassRecord
from tapscore.records.note_cells import NotUnderstoodError, day
from tapscore.records.record_file import SUFFIX, look_at, records_in, usual_folder
from tapscore.records.sealed import SealError
from tapscore.wording.catalogue import say

RECORDS = kinds(say("Class records"), f"*{SUFFIX}")
ABOUT = say(
    "What was seen of pupils is kept here, encrypted, apart from every story. Use initials or any"
    " short mark, no names. Your school’s rules on records hold."
)


class RecordDoor(QWidget):
    """Records of the usual folder, a passphrase, and how to begin a new one."""

    def __init__(self, sitting: Sitting, asking: Asking, folder: Path | None = None) -> None:
        super().__init__()
        self._sitting, self._asking = sitting, asking
        self._folder = folder or usual_folder()
        self._paths: list[Path] = []
        self.list = QListWidget()
        self.elsewhere = QPushButton(say("From &elsewhere ..."))
        self.passphrase = hidden_line(say("Passphrase"))
        self.open = QPushButton(say("&Open"))
        self._entrance = QWidget()
        self.label, self.keep_until = QLineEdit(), QLineEdit()
        self.new_passphrase = NewPassphrase()
        self.begin_here = QPushButton(say("&Begin the record"))
        self.begin_elsewhere = QPushButton(say("Begin it else&where ..."))
        self.said = QLabel()
        self._build()
        self.elsewhere.clicked.connect(self._elsewhere)
        self.open.clicked.connect(self.enter)
        self.passphrase.returnPressed.connect(self.enter)
        self.list.itemActivated.connect(lambda _: self.passphrase.setFocus())
        self.begin_here.clicked.connect(lambda: self._begin(None))
        self.begin_elsewhere.clicked.connect(self._begin_elsewhere)

    def _build(self) -> None:
        about = QLabel(ABOUT)
        about.setWordWrap(True)
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What is the matter"))
        opening = QVBoxLayout()
        heading = QLabel(f"<b>{say('Open a record')}</b>")
        opening.addWidget(heading)
        self.list.setAccessibleName(say("Class records"))
        self.list.setMaximumHeight(self.list.fontMetrics().lineSpacing() * 12)
        opening.addWidget(self.list)
        opening.addWidget(self.elsewhere)
        form = QFormLayout(self._entrance)
        form.setContentsMargins(0, 0, 0, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(say("&Passphrase"), self.passphrase)
        form.addRow(self.open)
        opening.addWidget(self._entrance)
        opening.addStretch(1)
        beginning = QVBoxLayout()
        beginning.setContentsMargins(0, 0, 12, 0)
        beginning.addWidget(QLabel(f"<b>{say('Begin a new record')}</b>"))
        new = QFormLayout()
        new.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.label.setPlaceholderText(say("Willow, 2026-27"))
        self.keep_until.setPlaceholderText("31/08/2027")
        for text, line in (
            (say("&Class and year"), self.label),
            (say("&Keep until"), self.keep_until),
        ):
            line.setAccessibleName(text.replace("&", ""))
            new.addRow(text, line)
        beginning.addLayout(new)
        beginning.addWidget(self.new_passphrase)
        buttons = FlowColumn()
        for button in (self.begin_here, self.begin_elsewhere):
            buttons.addWidget(button)
        beginning.addLayout(buttons)
        beginning.addStretch(1)
        for column in (opening, beginning):
            column.setSpacing(8)  # else they take over the gap between them
        across = QHBoxLayout()
        across.setSpacing(32)
        across.addLayout(opening, 1)
        across.addWidget(scrolled(beginning, say("Begin a new record")), 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(24, 16, 24, 16)
        whole.addWidget(about)
        whole.addLayout(across, 1)
        whole.addWidget(self.said)

    def refresh(self, said: str = "") -> None:
        """List what is there, the record that was locked first."""
        locked = self._sitting.path
        found = [path for path in records_in(self._folder) if path != locked]
        self._paths = [*([locked] if locked else []), *found]
        self._list_paths()
        self.passphrase.clear()
        self.new_passphrase.clear()
        self.said.setText(said)
        if self._paths:
            self.passphrase.setFocus()
        else:
            self.said.setText(said or say("There is no record in the usual folder yet: begin one."))
            self.label.setFocus()

    def _list_paths(self) -> None:
        """Names of what can be opened, the first one chosen; where there is none, no list."""
        self.list.clear()
        self.list.addItems([path.stem for path in self._paths])
        self.list.setCurrentRow(0 if self._paths else -1)
        self.list.setVisible(bool(self._paths))
        self._entrance.setVisible(bool(self._paths))

    def enter(self) -> None:
        """Open the record chosen."""
        row = self.list.currentRow()
        if not 0 <= row < len(self._paths):
            self.said.setText(say("Choose a record first."))
            return
        path, typed = self._paths[row], self.passphrase.text()
        self.passphrase.clear()
        self.setCursor(Qt.CursorShape.WaitCursor)
        try:
            if path != self._sitting.path:
                look_at(path)
            self._sitting.open(path, typed)
        except SealError as error:
            self.said.setText(f"{path.name}: {error}")
        except OSError as error:
            self.said.setText(
                say(
                    "{path}: {reason}. Look whether its drive is there.",
                    path=path.name,
                    reason=reason(error),
                )
            )
        else:
            self.said.setText("")
        finally:
            self.unsetCursor()
        if not self._sitting.is_open:
            self.passphrase.setFocus()

    def _elsewhere(self) -> None:
        path = self._asking.open_file(self, say("Open a class record"), RECORDS)
        if path is None:
            return
        try:
            look_at(path)
        except SealError as error:
            self.said.setText(f"{path.name}: {error}")
        except OSError as error:
            self.said.setText(f"{path.name}: {reason(error)}.")
        else:
            self._paths.insert(0, path)
            self._list_paths()
            self.said.setText("")
            self.passphrase.setFocus()

    def _begin_elsewhere(self) -> None:
        near = self._folder / f"{_file_name(self.label.text())}{SUFFIX}"
        path = self._asking.save_file(self, say("Where to keep the record"), near, RECORDS)
        if path is not None:
            self._begin(path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX))

    def _begin(self, path: Path | None) -> None:
        label = self.label.text().strip()
        if not label:
            self.said.setText(say("Write class and year first, such as Willow, 2026-27."))
            self.label.setFocus()
            return
        until = self._until()
        if until is None and self.keep_until.text().strip():
            self.said.setText(say("Write the date until when to keep it as 31/08/2027."))
            self.keep_until.setFocus()
            return
        passphrase, trouble = self.new_passphrase.taken()
        if trouble:
            self.said.setText(trouble)
            self.new_passphrase.first.setFocus()
            return
        place = path or self._folder / f"{_file_name(label)}{SUFFIX}"
        try:
            self._sitting.begin(place, passphrase, ClassRecord(label, until))
        except FileExistsError:
            self.said.setText(
                say("{place} is there already. Choose another name.", place=place.name)
            )
        except OSError as error:
            self.said.setText(
                say(
                    "{place} was not made: {reason}.",
                    place=place.name,
                    reason=reason(error),
                )
            )
        else:
            self.new_passphrase.clear()
            self.said.setText("")

    def _until(self) -> date | None:
        try:
            return day(self.keep_until.text().strip())
        except NotUnderstoodError:
            return None


def _file_name(label: str) -> str:
    return "".join(c if c.isalnum() or c in " -" else "-" for c in label).strip(" -") or "class"
