"""Dialogs in which a key does what stands under the hand, and a second press nothing else.

Qt lets Enter in any field press the default button, and makes one of the buttons that if no other
is: a figure confirmed by Enter would print, or make a story of half the gaps.  From a button
that goes grey it goes to whatever comes next: pressed twice, another one would be pressed.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QPushButton, QWidget


class CalmDialog(QDialog):
    """A dialog whose fields keep Enter to themselves."""

    def setVisible(self, visible: bool) -> None:  # noqa: N802
        """Qt: it is shown; no button looks as if Enter pressed it unless that is meant."""
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(button.isDefault())
        super().setVisible(visible)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: what a field or a button has left of Enter."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
            return
        here = self.focusWidget()
        if isinstance(here, QPushButton):
            here.click()

    @staticmethod
    def leave_what_is_grey(pressed: QWidget | None, to: QWidget) -> None:
        """On to ``to`` from what had the focus, ``pressed``, where it can't be pressed any more."""
        if pressed is not None and not pressed.isEnabled():
            to.setFocus()
