"""One sitting with a class record: opened once, saved by itself, locked after a while.

While it is locked nothing of it is in memory as words: it is on disc, or, where it could not
be saved, sealed under its passphrase.
"""

from collections.abc import Callable
from pathlib import Path

from attrs import evolve
from PySide6.QtCore import QObject, QTimer, Signal

from tapscore.disc.reasons import reason
from tapscore.gui.records.lock_watch import LockWatch
from tapscore.records import sealed
from tapscore.records.data import from_json
from tapscore.records.model import ClassRecord
from tapscore.records.record_file import (
    ReadOnlyError,
    RecordChangedError,
    RecordFile,
    create_record,
    open_record,
)
from tapscore.records.sealed import SealError
from tapscore.wording.catalogue import say

SAVE_AFTER_MS = 1500
CHANGED_ELSEWHERE = say(
    "Another computer has changed this file since it was opened. Nothing was saved over it: save"
    " yours as a copy under Keeping, then open the file again."
)


class Sitting(QObject):
    """The record that is open, if one is."""

    opened = Signal()
    leaving = Signal()
    """Before it is locked or closed: what is being typed is to be put into the record."""
    locked = Signal()
    changed = Signal()
    said = Signal(str)
    """Something to read: it was saved, or why it was not."""

    def __init__(self, parent: QObject | None = None, watch: LockWatch | None = None) -> None:
        super().__init__(parent)
        self.file: RecordFile | None = None
        self.path: Path | None = None
        """Of the record that is open or locked."""
        self._kept: tuple[RecordFile, bytes] | None = None
        if watch is None:
            watch = LockWatch(self)
            watch.listen()
        self.watch = watch
        self.watch.due.connect(self.lock)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SAVE_AFTER_MS)
        self._timer.timeout.connect(self.save)

    @property
    def is_open(self) -> bool:
        """Whether words can be read."""
        return self.file is not None

    @property
    def record(self) -> ClassRecord:
        """The record; only while it is open."""
        assert self.file is not None
        return self.file.record

    @property
    def read_only(self) -> str:
        """Why nothing can be changed; empty where it can."""
        return self.file.read_only if self.file is not None else ""

    def begin(self, path: Path, passphrase: str, record: ClassRecord) -> None:
        """Make a record and open it; raises as ``create_record`` does."""
        if self._kept is not None:
            raise OSError(
                say(
                    "Open {path} first: notes in it are not saved yet", path=self._kept[0].path.name
                )
            )
        self._show(create_record(path, passphrase, record))

    def open(self, path: Path, passphrase: str) -> None:
        """Open a record, or the one that is locked; raises SealError or OSError."""
        if self._kept is not None:
            file, data = self._kept
            if path != file.path:
                raise SealError(
                    say(
                        "Open {path} first: notes in it could not be saved yet.",
                        path=file.path.name,
                    )
                )
            key = sealed.key_for(data, passphrase)
            file.record = from_json(sealed.unseal(data, key))
            file.key = key
            self._kept = None
            self._show(file)
            return
        self._show(open_record(path, passphrase))

    def change(self, change: Callable[[ClassRecord], ClassRecord]) -> None:
        """Change the record; it is saved a moment later."""
        if self.file is None or self.file.read_only:
            return
        before = self.file.record
        self.file.record = change(before)
        if self.file.record is not before:
            self._timer.start()
            self.changed.emit()

    def save(self) -> bool:
        """Save now; says so where it can't be."""
        self._timer.stop()
        if self.file is None or self.file.read_only or not self.file.unsaved:
            return True
        why = _why_not(self.file.save)
        self.said.emit(why or say("Saved."))
        return not why

    def forget_pupil(self, pupil_id: str) -> str:
        """Delete all of a pupil; gives what came of it, for the user."""
        file = self.file
        assert file is not None
        said: list[str] = []
        why = _why_not(lambda: said.extend(file.forget_pupil(pupil_id)))
        self.changed.emit()
        return why or " ".join((say("Deleted."), *said))

    def change_passphrase(self, passphrase: str) -> str:
        """Another passphrase for all versions; gives what came of it, for the user."""
        file = self.file
        assert file is not None
        said: list[str] = []
        why = _why_not(lambda: said.extend(file.change_passphrase(passphrase)))
        return why or " ".join((say("The passphrase is changed."), *said))

    def lock(self) -> None:
        """Put everything away; the passphrase is asked for again."""
        if self.file is None:
            return
        self.leaving.emit()
        file = self.file
        if self.save():
            file.close()
        else:
            data = file.locked_away()
            file.record = ClassRecord("")
            file.key = evolve(file.key, secret=b"")
            self._kept = (file, data)
        self._gone()

    def close(self) -> bool:
        """Save and close; False where it could not be saved, and stays open."""
        if self.file is None:
            return self._kept is None
        self.leaving.emit()
        if not self.save():
            return False
        self.file.close()
        self.path = None
        self._gone()
        return True

    def throw_away(self) -> None:
        """Close without saving."""
        for file in (self.file, self._kept[0] if self._kept else None):
            if file is not None:
                file.close()
        self.path, self._kept = None, None
        self._gone()

    def _show(self, file: RecordFile) -> None:
        self.file, self.path = file, file.path
        self.watch.start()
        self.opened.emit()

    def _gone(self) -> None:
        self.file = None
        self._timer.stop()
        self.watch.stop()
        self.locked.emit()


def _why_not(do: Callable[[], object]) -> str:
    """Do something with a file; why it could not be done, for the user."""
    try:
        do()
    except RecordChangedError:
        return CHANGED_ELSEWHERE
    except ReadOnlyError as error:
        return str(error)
    except OSError as error:
        return say(
            "Not saved: {reason}. What you typed is still here. Put the drive back, "
            "then press Save; or save a copy elsewhere, under Keeping.",
            reason=reason(error),
        )
    return ""
