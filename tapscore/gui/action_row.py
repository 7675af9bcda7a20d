"""The main actions, each with a word, and the story's name beside them."""

from functools import partial

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLabel, QToolButton

from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.flow import FlowBar
from tapscore.gui.menus import Menus
from tapscore.wording.catalogue import say

LEAST_HEAD_PX = 260


class ActionRow(FlowBar):
    """Buttons that follow their commands: grey where they can't be done, pressed where on."""

    def __init__(self, menus: Menus) -> None:
        super().__init__(say("Main actions"), gap_px=4, last_px=LEAST_HEAD_PX)
        for command in COMMANDS:
            if command.short:
                self._add(menus.actions[command.id], command.short)
        self.head = QLabel()
        self.head.setWordWrap(True)
        self.head.setAccessibleDescription(say("Story details"))
        self.head.setIndent(16)
        self.add(self.head)

    def _add(self, action: QAction, text: str) -> None:
        button = QToolButton()
        button.setText(text)
        button.setCheckable(action.isCheckable())
        button.clicked.connect(lambda *_: action.trigger())
        action.changed.connect(partial(_follow, button, action))
        _follow(button, action)
        self.add(button)


def _follow(button: QToolButton, action: QAction) -> None:
    key = action.shortcut().toString()
    button.setEnabled(action.isEnabled())
    button.setChecked(action.isChecked())
    button.setToolTip(f"{action.toolTip()} ({key})" if key else action.toolTip())
    button.setAccessibleName(f"{button.text()}: {action.toolTip()}")
