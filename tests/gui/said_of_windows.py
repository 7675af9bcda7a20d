"""A window in words, as somebody finds it: what stands where, what it says, what can be pressed.

One line for each thing in sight, in the order in which they were put there, indented as they lie
in one another; then the way of the Tab key.  (It is gone, not asked for: PySide6 6.11 lets what
``nextInFocusChain`` gives go when what was asked goes.)
"""

import re
from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QProgressBar,
    QScrollArea,
    QStackedWidget,
    QTableWidget,
    QTabWidget,
    QWidget,
)

_MOST = 8
"""So many of a list's items are said."""
_LONGEST = 240
"""Letters of a line; a page that is shown says all that stands on it."""
_LEAVES = (
    *(QAbstractButton, QAbstractSpinBox, QComboBox, QLabel, QLineEdit, QListWidget),
    *(QPlainTextEdit, QProgressBar, QTableWidget),
)
_DAYS = "Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday"
_MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
_TIMES = (
    (re.compile(rf"\b({_DAYS})\b"), "DAY"),
    (re.compile(rf"\b\d{{1,2}} ({_MONTHS})( \d{{4}})?\b"), "DATE"),
    (re.compile(r"\b\d{2}/\d{2}/\d{4}\b"), "DATE"),
    (re.compile(r"\b\w{3} \d{1,2} \w{3} \d{4}, \d\d:\d\d(:\d\d)?"), "WHEN"),
    (re.compile(r"\btapscore \d+\.\d+\.\d+\S*"), "tapscore VERSION"),
    (re.compile(r"/.+/versions\d*/\S+"), "VERSIONS"),
    (re.compile(r"\b(yesterday|today) at|\b\d{1,2}[:.]\d{2}( [ap]m)?\b(?= *$)", re.M), "TIME"),
)


def in_words(window: QWidget, *, folder: str) -> list[str]:
    """All that is in sight of a window; a ``folder`` of the test, and dates, have no names."""
    lines = [_told_always(line.rstrip(), folder) for line in _of_widget(window, 0)]
    return [*(line[:_LONGEST] for line in lines), *_tab_keys(window)]


def _told_always(line: str, folder: str) -> str:
    line = line.replace(folder, "FOLDER")
    for found, name in _TIMES:
        line = found.sub(name, line)
    return line


def _of_widget(widget: QWidget, depth: int) -> Iterator[str]:
    if not widget.isVisible():
        return
    said = _said(widget)
    if said:
        yield f"{'  ' * depth}{said}"
        depth += 1
    if not isinstance(widget, _LEAVES):
        for each in _inside(widget):
            yield from _of_widget(each, depth)


def _inside(widget: QWidget) -> list[QWidget]:
    inner = widget.widget() if isinstance(widget, QScrollArea) else None
    shown = widget.currentWidget() if isinstance(widget, QTabWidget | QStackedWidget) else None
    if inner is not None or shown is not None:
        return [each for each in (inner, shown) if each is not None]
    children = (each for each in widget.children() if isinstance(each, QWidget))
    return [each for each in children if not each.isWindow()]


def _said(widget: QWidget) -> str:
    """One thing: kind, name, what it says, and how it is; nothing for what only holds others."""
    kind = _kind(widget)
    name, text, state = widget.accessibleName(), "", list[str]()
    match widget:
        case QAbstractButton():
            text = widget.text()
            state += ["ticked"] if widget.isChecked() else []
        case QLabel():
            text = widget.text()
            buddy = widget.buddy()
            state += ["wraps"] if widget.wordWrap() else []
            state += [f"for {buddy.accessibleName()}"] if isinstance(buddy, QWidget) else []
        case QLineEdit() | QPlainTextEdit():
            text = widget.text() if isinstance(widget, QLineEdit) else widget.toPlainText()
            hint = widget.placeholderText()
            state += [f"hint {hint!r}"] if hint else []
            state += ["read only"] if widget.isReadOnly() else []
        case QAbstractSpinBox():
            text = widget.text()
        case QComboBox():
            text = widget.currentText()
            items = [widget.itemText(n) for n in range(min(widget.count(), _MOST))]
            state.append(f"of {items}")
        case QListWidget():
            items = [_listed(widget, n) for n in range(min(widget.count(), _MOST))]
            state.append(f"{items}, at {widget.currentRow()}")
            state += ["wraps"] if widget.wordWrap() else []
        case QTableWidget():
            heads = [widget.horizontalHeaderItem(n) for n in range(widget.columnCount())]
            state.append(f"{[head.text() for head in heads if head]}, {widget.rowCount()} rows")
            state += ["wraps"] if widget.wordWrap() else []
        case QProgressBar():
            text = f"{widget.value()} of {widget.maximum()}"
        case QTabWidget():
            text = " | ".join(widget.tabText(n) for n in range(widget.count()))
        case _:
            pass
    described, tip = widget.accessibleDescription(), widget.toolTip()
    state += [f"is {described!r}"] if described else []
    state += [f"tip {tip!r}"] if tip and tip != described else []
    parent = widget.parentWidget()
    off = not widget.isEnabled() and (parent is None or parent.isEnabled())
    state += ["off"] if off else []
    if not (name or text or state):
        return ""
    shown = " / ".join(" ".join(text.split("\n")).split("<br>"))
    return " ".join(
        part for part in (kind, name and f"({name})", shown, *_in_brackets(state)) if part
    )


def _in_brackets(state: list[str]) -> list[str]:
    return [f"[{'; '.join(state)}]"] if state else []


def _listed(widget: QListWidget, row: int) -> str:
    item = widget.item(row)
    if item.data(Qt.ItemDataRole.CheckStateRole) is None:
        return item.text()
    return f"{'+' if item.checkState() is Qt.CheckState.Checked else '-'} {item.text()}"


def _kind(widget: QWidget) -> str:
    """The nearest class of Qt's own."""
    kinds = (each for each in type(widget).__mro__ if each.__module__.startswith("PySide6"))
    return next(kinds).__name__.removeprefix("Q")


def _tab_keys(window: QWidget) -> list[str]:
    """Where Tab goes from what has the focus; in a window of its own alone."""
    if not window.isWindow():
        return []
    order: list[QWidget] = []
    while (here := window.focusWidget()) is not None and here not in order:
        order.append(here)
        window.focusNextChild()
    names = (w.accessibleName() or str(w.property("text") or "") or _kind(w) for w in order)
    return [f"Tab: {' > '.join(' '.join(name.replace('&', '').split()) for name in names)}"]
