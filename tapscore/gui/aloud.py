"""What a screen reader is asked to speak at once, wherever its cursor is."""

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget


def say_aloud(widget: QWidget, words: str) -> None:
    """Have words spoken as said by a widget; nothing happens where nobody listens."""
    QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(widget, words))
