"""The menu of stories that were last open."""

from functools import partial

from PySide6.QtWidgets import QMenu

from tapscore.gui.story_window import StoryWindow
from tapscore.wording.catalogue import say


def add_recent_menu(file_menu: QMenu, window: StoryWindow) -> QMenu:
    """Add the menu; it is filled each time it is about to be seen."""
    menu = file_menu.addMenu(say("Recent stories"))
    menu.aboutToShow.connect(partial(_fill, menu, window))
    return menu


def _fill(menu: QMenu, window: StoryWindow) -> None:
    menu.clear()
    recent = window.settings.recent
    for number, path in enumerate(recent, 1):
        name = path.name.replace("&", "&&")  # or it would underline a letter
        action = menu.addAction(f"&{number}  {name}")
        action.setToolTip(str(path))
        action.triggered.connect(partial(window.files.open_path, path, window))
    if not recent:
        menu.addAction(say("None yet")).setEnabled(False)
