"""Menus, keys and greying, made from the table of commands."""

from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QMenu

from tapscore.gui.commands.command import Command
from tapscore.gui.commands.every import COMMANDS, MENUS
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


TAPPING_KEY = next(c.keys for c in COMMANDS if c.id == "tapping")


class Menus:
    """The actions of one window, by the ids of their commands."""

    def __init__(self, window: StoryWindow) -> None:
        self._window = window
        self.actions: dict[str, QAction] = {}
        for title, commands in MENUS.items():
            menu = window.menuBar().addMenu(title)
            menu.setToolTipsVisible(True)
            for command in commands:
                if command.first:
                    menu.addSeparator()
                menu.addAction(self._action(command))
                if command.id == "open":
                    self.recent = add_recent_menu(menu, window)

    def _action(self, command: Command) -> QAction:
        window = self._window
        action = QAction(command.name, window)
        if command.keys:
            action.setShortcuts([QKeySequence(key) for key in command.keys.split(", ")])
        if command.in_story or command.letter:
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            window.view.addAction(action)
        action.setAutoRepeat(command.id != "tap")
        action.setCheckable(command.on is not None)
        action.triggered.connect(partial(_do, command, window))
        self.actions[command.id] = action
        return action

    def refresh(self) -> None:
        """Grey what can't be done now, tick what is on, and let letters work where they do."""
        window = self._window
        for command in COMMANDS:
            action = self.actions[command.id]
            holds = command.when.holds(window)
            action.setEnabled(holds)
            about = command.about if holds else command.when.otherwise or command.about
            action.setToolTip(about)
            action.setStatusTip(about)
            if command.on is not None:
                action.setChecked(command.on(window))
            if command.letter:
                self._set_letter(action, command)

    def follow_undo(self) -> None:
        """Say what undo and redo are for, and grey them.

        When the story changes, the stack has not moved on to the new step yet.
        """
        stack = self._window.document.undo_stack
        undo, redo = stack.undoText(), stack.redoText()
        self.actions["undo"].setText(say("Undo: {undo}", undo=undo) if undo else say("Undo"))
        self.actions["redo"].setText(say("Redo: {redo}", redo=redo) if redo else say("Redo"))
        self.actions["undo"].setEnabled(stack.canUndo())
        self.actions["redo"].setEnabled(stack.canRedo())

    def on_row(self, at: QPoint) -> None:
        """Show a row's own menu."""
        menu = QMenu(self._window)
        menu.setToolTipsVisible(True)
        for commands in MENUS.values():
            menu.addSeparator()  # Qt shows none above all, nor two together
            for command in commands:
                if command.first:
                    menu.addSeparator()
                if command.on_row:
                    menu.addAction(self.actions[command.id])
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(at)

    def why_not(self, event: QKeyEvent) -> str:
        """Why a key does nothing: what to do first; empty if it is no command's key."""
        pressed = QKeySequence(event.keyCombination())
        for command in COMMANDS:
            action = self.actions[command.id]
            if not action.isEnabled() and pressed in action.shortcuts():
                return command.when.otherwise
        return ""

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Every key, and what it does."""
        rows = []
        for command in COMMANDS:
            about = f"{command.name.removesuffix(' ...')}: {command.about}"
            if command.keys:
                rows.append((say(" or ").join(map(_native, command.keys.split(", "))), about))
            if command.letter:
                rows.append((_after(command.letter), about))
        return tuple(rows)

    def _set_letter(self, action: QAction, command: Command) -> None:
        letters = [command.letter] if self._window.view.tapping else []
        keys = [*(command.keys.split(", ") if command.keys else []), *letters]
        wanted = [QKeySequence(key) for key in keys]
        if action.shortcuts() != wanted:
            action.setShortcuts(wanted)
        hint = "" if keys else f"\t{_after(command.letter)}"
        action.setText(f"{command.name}{hint}")


def _native(key: str) -> str:
    """A key as the menus call it: with Qt's own translation, if there is one."""
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)


def _after(letter: str) -> str:
    return say("{key}, then {letter}", key=TAPPING_KEY, letter=letter)


def _do(command: Command, window: StoryWindow, *_: object) -> None:
    command.do(window)
