"""The story as a table model: one row a line, wait, offering, return or heading."""

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from tapscore.gui.document import Document
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Line
from tapscore.model.words import printed, printed_words, split_words
from tapscore.screen.folds import OPEN, Folds
from tapscore.screen.rows import Row, RowKind, Written, kind_name, row_text, rows_of
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface
from tapscore.words.spelling import plain_word, words_in

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 1
FINDING_ROLE = ROW_ROLE + 1
NOTED_ROLE = ROW_ROLE + 2
UNKNOWN_ROLE = ROW_ROLE + 3
Index = QModelIndex | QPersistentModelIndex


class StoryRows(QAbstractTableModel):
    """Rows of a document; tells the view just which of them changed."""

    folded = Signal()
    """Something else is folded away than before."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.folds = OPEN
        """What is folded away; changed by ``fold``."""
        self._written = Written()
        self._rows = rows_of(document.story, self.folds, self._written.of(document.story))
        self._numbers = _numbers(self._rows)
        self._findings: dict[StoryPath, Severity] = {}
        self._said: dict[StoryPath, list[str]] = {}
        self._noted: frozenset[StoryPath] = frozenset()
        self._unknown: frozenset[str] = frozenset()
        document.changed.connect(self._story_changed)
        self._document = document

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every row, top to bottom."""
        return self._rows

    def row_at(self, index: Index) -> Row | None:
        """The row of an index."""
        return self._rows[index.row()] if 0 <= index.row() < len(self._rows) else None

    def row_of(self, path: StoryPath, near: int | None = None) -> int | None:
        """Number of the row that shows ``path``, or something it is inside of.

        A refrain's line is shown where it is written and at returns: the row nearest to
        ``near``, or else where it is written.
        """
        for length in range(len(path), 0, -1):
            found = self._numbers.get(path[:length])
            if found and near is not None:
                return min(found, key=lambda number: abs(number - near))
            if found:
                return next((n for n in found if self._rows[n].within is None), found[0])
        return None

    def fold(self, row: Row, *, shown: bool) -> bool:
        """Fold what is below a heading or a return, or show it; False where nothing changes."""
        if row.fold is None or (row.folded is None) is shown:
            return False
        if row.kind is RowKind.SECTION:
            self.fold_as(self.folds.with_section(row.fold, shown=shown))
        else:
            self.fold_as(self.folds.with_return(row.fold, shown=shown))
        return True

    def fold_as(self, folds: Folds) -> None:
        """Fold and show as said."""
        self.folds = folds
        self._story_changed()
        self.folded.emit()

    def set_findings(self, findings: tuple[Finding, ...]) -> None:
        """Mark the rows that findings point to."""
        old = self._findings
        found: dict[StoryPath, Severity] = {}
        for finding in findings:
            number = self.row_of(finding.path) if finding.path else None
            if number is not None and finding.severity is not Severity.ADVICE:
                path = self._rows[number].path
                if found.get(path) is not Severity.MUST_MEND:
                    found[path] = finding.severity
        self._findings = found
        self._said = {}
        for finding in findings:
            number = self.row_of(finding.path) if finding.path else None
            if number is not None and finding.severity is not Severity.ADVICE:
                said = self._said.setdefault(self._rows[number].path, [])
                said.append(finding.said(Surface.WINDOW).message)
        self._emit_where(lambda row: old.get(row.path) is not found.get(row.path))

    def found_in(self, row: Row) -> tuple[str, ...]:
        """What was found in a row, in sentences."""
        return tuple(self._said.get(row.path, ()))

    def set_noted(self, paths: frozenset[StoryPath]) -> None:
        """Mark the rows that notes of the class record are on, while that is open."""
        old, self._noted = self._noted, paths
        self._emit_where(lambda row: (row.path in old) is not (row.path in paths))

    def set_unknown(self, words: frozenset[str]) -> None:
        """Mark words that the dictionary lacks; they are plain words."""
        old, self._unknown = self._unknown, words
        if old != words:
            self._emit_where(lambda row: unknown_in(row.line, old) != unknown_in(row.line, words))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        """Qt: how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        """Qt: one column."""
        return 0 if parent.isValid() else 1

    def data(self, index: Index, role: int = int(Qt.ItemDataRole.DisplayRole)) -> Any:
        """Qt: the row itself, its words, or what was found in it."""
        row = self.row_at(index)
        if row is None:
            return None
        if role == ROW_ROLE:
            return row
        if role == FINDING_ROLE:
            severity = self._findings.get(row.path)
            return severity.value if severity else ""
        if role == UNKNOWN_ROLE:
            return unknown_in(row.line, self._unknown)
        if role == NOTED_ROLE:
            return row.path in self._noted
        if role == Qt.ItemDataRole.AccessibleTextRole:
            severity = self._findings.get(row.path)
            words = printed(row.line.words).split() if row.line else []
            odd = [words[n] for n in sorted(unknown_in(row.line, self._unknown)) if n < len(words)]
            return ". ".join(
                each
                for each in (
                    row_text(row),
                    severity.words if severity else "",
                    say("Notes in the class record") if row.path in self._noted else "",
                    say("Not in the dictionary: {words}", words=", ".join(odd)) if odd else "",
                )
                if each
            )
        if role == Qt.ItemDataRole.AccessibleDescriptionRole:
            return say("{kind}; press Enter to change it", kind=kind_name(row.kind))
        if role == Qt.ItemDataRole.EditRole:
            return row.line.words if row.line else row.title
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Qt: what can be done with a row."""
        row = self.row_at(index)
        typed = row is not None and row.kind in (RowKind.LINE, RowKind.SECTION)
        return _TYPED if typed else _CHOSEN

    def _story_changed(self) -> None:
        story = self._document.story
        rows = rows_of(story, self.folds, self._written.of(story))
        before = self._rows
        start = 0
        while start < min(len(before), len(rows)) and _same(before[start], rows[start]):
            start += 1
        end = 0
        most = min(len(before), len(rows)) - start
        while end < most and _same(before[-1 - end], rows[-1 - end]):
            end += 1
        gone, come = len(before) - start - end, len(rows) - start - end
        kept = min(gone, come)
        if gone > come:
            self.beginRemoveRows(QModelIndex(), start + kept, start + gone - 1)
            self._take(rows)
            self.endRemoveRows()
        elif come > gone:
            self.beginInsertRows(QModelIndex(), start + kept, start + come - 1)
            self._take(rows)
            self.endInsertRows()
        else:
            self._take(rows)
        if kept:
            self._emit_changed(start, start + kept - 1)

    def _take(self, rows: tuple[Row, ...]) -> None:
        self._rows = rows
        self._numbers = _numbers(rows)

    def _emit_where(self, changed: Callable[[Row], bool]) -> None:
        for number, row in enumerate(self._rows):
            if changed(row):
                self._emit_changed(number, number)

    def _emit_changed(self, first: int, last: int) -> None:
        self.dataChanged.emit(self.index(first, 0), self.index(last, 0))


_CHOSEN = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
_TYPED = _CHOSEN | Qt.ItemFlag.ItemIsEditable


def _same(old: Row, new: Row) -> bool:
    """Whether a row shows the same; what was not placed anew need not be compared."""
    if old.placed is new.placed and old.kind is new.kind and old.item is not None:
        return (old.fold, old.folded, old.title) == (new.fold, new.folded, new.title)
    return old == new


def unknown_in(line: Line | None, unknown: frozenset[str]) -> frozenset[int]:
    """Numbers of the words of a line that are among these plain words."""
    return _unknown_in(line.words, unknown) if line is not None and unknown else frozenset()


@lru_cache(maxsize=2048)
def _unknown_in(written: str, unknown: frozenset[str]) -> frozenset[int]:
    return frozenset(
        number
        for number, word in enumerate(printed_words(split_words(written)))
        if any(
            plain_word(each) in unknown
            for each in words_in("".join(syllable.text for syllable in word))
        )
    )


def _numbers(rows: tuple[Row, ...]) -> dict[StoryPath, list[int]]:
    found: dict[StoryPath, list[int]] = {}
    for number, row in enumerate(rows):
        found.setdefault(row.path, []).append(number)
    return found
