"""The wheel scrolls; it changes a field only where somebody is working in it."""

import atexit
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QScrollBar,
    QTabBar,
    QWidget,
)

_FIELDS = (QComboBox, QAbstractSpinBox, QAbstractSlider, QTabBar)
_BY_WHEEL = Qt.FocusPolicy.WheelFocus & ~Qt.FocusPolicy.StrongFocus


class CalmWheel(QObject):
    """One filter for all windows and dialogs; the wheel goes on to what scrolls behind."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: every event of the program passes here."""
        kind = event.type()
        if kind == QEvent.Type.Wheel:
            return self._wheel(watched, event)
        if kind == QEvent.Type.Polish and isinstance(watched, QComboBox | QAbstractSpinBox):
            _no_focus_by_wheel(watched)
        return False

    def _wheel(self, watched: QObject, event: QEvent) -> bool:
        field: QObject | None = watched
        while field is not None and not isinstance(field, _FIELDS):
            parent = field.parent()
            field = parent if isinstance(parent, _FIELDS) else None
        if field is None or isinstance(field, QScrollBar) or field.hasFocus():
            return False
        behind = field.parent()
        while behind is not None and not isinstance(behind, QAbstractScrollArea):
            behind = behind.parent()
        if behind is not None:
            # Qt hands on to no parent what a filter has taken.
            QCoreApplication.sendEvent(behind.viewport(), event.clone())
        return True


def _no_focus_by_wheel(field: QWidget) -> None:
    """Otherwise the wheel gives the focus first, and changes the field then."""
    field.setFocusPolicy(Qt.FocusPolicy(field.focusPolicy() & ~_BY_WHEEL))


@atexit.register
def _end() -> None:
    """Qt's last events come when Python has nothing left to look at them with."""
    app = QCoreApplication.instance()
    if app is not None:
        for each in app.findChildren(CalmWheel):
            app.removeEventFilter(each)


@contextmanager
def looking_away() -> Iterator[None]:
    """Look at no event meanwhile: sixty go to every control that is dressed or put in its place."""
    app = QCoreApplication.instance()
    assert app is not None
    filters = app.findChildren(CalmWheel)
    for each in filters:
        app.removeEventFilter(each)
    try:
        yield
    finally:
        for each in filters:
            app.installEventFilter(each)


def calm_the_wheel(window: QWidget) -> None:
    """Begin, if it has not begun; the fields of ``window`` were made while nobody looked."""
    for field in (*window.findChildren(QComboBox), *window.findChildren(QAbstractSpinBox)):
        _no_focus_by_wheel(field)
    app = QCoreApplication.instance()
    if app is not None and app.findChild(CalmWheel) is None:
        app.installEventFilter(CalmWheel(app))
