"""What a window shows: every text that somebody sees or hears, and what has too little room."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction, QTextDocumentFragment
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QCheckBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QTabBar,
    QTableView,
    QToolButton,
    QWidget,
)

from tests.wording.pseudo import CLOSES, OPENS

MOST_ITEMS = 60
_ROLES = (
    Qt.ItemDataRole.DisplayRole,
    Qt.ItemDataRole.ToolTipRole,
    Qt.ItemDataRole.AccessibleTextRole,
    Qt.ItemDataRole.AccessibleDescriptionRole,
)


class Shown(NamedTuple):
    """A text, and where it stands."""

    where: str
    text: str


def texts_of(window: QWidget) -> Iterator[Shown]:
    """Every text of a window and its actions, as plain text."""
    for action in window.findChildren(QAction):
        if action.text() or action.toolTip():
            yield from _named("action", action.text(), action.toolTip(), action.statusTip())
    for widget in (window, *window.findChildren(QWidget)):
        if not isinstance(widget, QMenu) and not widget.isVisibleTo(window):
            continue
        name = type(widget).__name__
        yield from _named(
            name,
            widget.toolTip(),
            widget.accessibleName(),
            widget.accessibleDescription(),
            widget.windowTitle().replace("[*]", "") if widget.isWindow() else "",
            widget.statusTip(),
        )
        yield from _named(name, *_own_texts(widget))


def _own_texts(widget: QWidget) -> Iterator[str]:
    match widget:
        case QLabel() | QAbstractButton():
            yield widget.text()
        case QComboBox():
            yield from (widget.itemText(index) for index in range(widget.count()))
            if widget.isEditable():
                yield widget.currentText()
        case QAbstractSpinBox():
            yield widget.text()
        case QLineEdit():
            yield widget.placeholderText()
        case QPlainTextEdit():
            yield widget.placeholderText()
            if widget.isReadOnly():
                yield widget.toPlainText()
        case QTabBar():
            for index in range(widget.count()):
                yield widget.tabText(index)
                yield widget.tabToolTip(index)
        case QMenu():
            yield widget.title()
        case QHeaderView() if widget.model() is not None and not widget.isHidden():
            for section in range(widget.count()):
                yield str(widget.model().headerData(section, widget.orientation()) or "")
        case QAbstractItemView() if widget.model() is not None:
            yield from _items(widget.model())


def _items(model: QAbstractItemModel) -> Iterator[str]:
    top = QModelIndex()
    for row in range(min(model.rowCount(top), MOST_ITEMS)):
        columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(top)
        for column in range(columns):
            for role in _ROLES:
                said = model.index(row, column, top).data(role)
                if isinstance(said, str):
                    yield said


def _named(where: str, *texts: str) -> Iterator[Shown]:
    for text in texts:
        if text:
            bare = QTextDocumentFragment.fromHtml(text).toPlainText() if "</" in text else text
            yield Shown(where, bare.replace("&&", "\0").replace("&", "").replace("\0", "&"))


def left_over(text: str, known: "re.Pattern[str]") -> str:
    """What of a text did not go through the catalogue: no brackets, and no known words."""
    while True:
        inner = re.sub(f"{OPENS}[^{OPENS}{CLOSES}]*{CLOSES}", " ", text)
        if inner == text:
            break
        text = inner
    return text if re.search(rf"[^\W\d_]{{2}}|[{OPENS}{CLOSES}]", known.sub(" ", text)) else ""


def cut_off(window: QWidget) -> Iterator[Shown]:
    """What has less room than its words need."""
    for widget in window.findChildren(QWidget):
        if not widget.isVisible() or not widget.width():
            continue
        match widget:
            case QLabel() if widget.text() and widget.wordWrap():
                need = widget.heightForWidth(widget.width())
                if need > widget.height() + 1:
                    yield _short(widget, widget.text(), f"{need} high in {widget.height()}")
            case QLabel() if widget.text():
                yield from _too_small(widget, widget.text())
            case QPushButton() | QToolButton() | QCheckBox() if widget.text():
                yield from _too_small(widget, widget.text())
            case QTabBar():
                for index in range(widget.count()):
                    need, has = widget.tabSizeHint(index).width(), widget.tabRect(index).width()
                    if need > has + 1:
                        yield _short(widget, widget.tabText(index), f"{need} wide in {has}")
            case QHeaderView() if widget.orientation() is Qt.Orientation.Horizontal:
                for section in range(widget.count()):
                    need = widget.sectionSizeHint(section)
                    has = widget.sectionSize(section)
                    if need > has + 1:
                        text = str(widget.model().headerData(section, widget.orientation()))
                        yield _short(widget, text, f"{need} wide in {has}")
            case QScrollArea() if widget.horizontalScrollBar().maximum() > 0:
                over = widget.horizontalScrollBar().maximum()
                yield _short(widget, widget.accessibleName(), f"{over} to the side")
            case QTableView() if widget.horizontalScrollBar().maximum() > 0:
                over = widget.horizontalScrollBar().maximum()
                yield _short(widget, widget.accessibleName(), f"{over} columns to the side")


def _too_small(widget: QWidget, text: str) -> Iterator[Shown]:
    need, has = widget.minimumSizeHint(), widget.size()
    if isinstance(widget, QLabel):
        need = widget.sizeHint()
    if need.width() > has.width() + 1 or need.height() > has.height() + 1:
        yield _short(
            widget,
            text,
            f"{need.width()} x {need.height()} in {has.width()} x {has.height()}",
        )


def _short(widget: QWidget, text: str, how: str) -> Shown:
    return Shown(f"{type(widget).__name__}, {how}", text)
