"""Every command of the window, once: its name, keys, what it says of itself, what it does, when.

Menus, the row of main actions, a row's own menu, the list of keys, and what is greyed follow.
Letters alone begin words; so keys that change the story have Ctrl or Alt, or are letters of
the tapping mode.
"""

from tapscore.gui.commands.change_menu import ADD, CHANGE
from tapscore.gui.commands.command import Command
from tapscore.gui.commands.file_menu import FILE
from tapscore.gui.commands.listen_menu import LISTEN
from tapscore.gui.commands.rhythm_menu import RHYTHM
from tapscore.gui.commands.view_menu import HELP, VIEW
from tapscore.wording.catalogue import say

MENUS: dict[str, tuple[Command, ...]] = {
    say("&File"): FILE,
    say("&Change"): CHANGE,
    say("&Add"): ADD,
    say("&Rhythm"): RHYTHM,
    say("&Listen"): LISTEN,
    say("&View"): VIEW,
    say("&Help"): HELP,
}
COMMANDS = tuple(command for menu in MENUS.values() for command in menu)
