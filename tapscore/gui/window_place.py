"""Where a window stands and how large it is: remembered, and never beyond the screen."""

from PySide6.QtCore import QRect

from tapscore.gui.story_window import StoryWindow

USUAL = (1280, 800)
_APART_PX = 28
"""A second window stands so much lower and to the right, so that the first is seen."""


def put(window: StoryWindow, *, others: int = 0) -> None:
    """Give a window its last place, as far as the screen is still there and large enough."""
    last = window.settings.place
    room = window.screen().availableGeometry()
    wide, high = (last[2], last[3]) if last else USUAL
    rect = QRect(0, 0, min(wide, room.width()), min(high, room.height()))
    if last:
        rect.moveTopLeft(QRect(*last).topLeft())
    else:
        rect.moveCenter(room.center())
    rect.translate(others * _APART_PX, others * _APART_PX)
    rect.moveLeft(min(max(rect.left(), room.left()), room.right() + 1 - rect.width()))
    rect.moveTop(min(max(rect.top(), room.top()), room.bottom() + 1 - rect.height()))
    window.setGeometry(rect)


def remember(window: StoryWindow) -> None:
    """Keep the place for the next time, unless it fills the screen."""
    if not window.isMaximized() and not window.isFullScreen():
        rect = window.geometry()
        window.settings.place = (rect.left(), rect.top(), rect.width(), rect.height())


def keep_on_screen(window: StoryWindow) -> None:
    """Make a window smaller that has become larger than its screen."""
    room = window.screen().availableGeometry()
    if window.width() > room.width() or window.height() > room.height():
        window.resize(min(window.width(), room.width()), min(window.height(), room.height()))
