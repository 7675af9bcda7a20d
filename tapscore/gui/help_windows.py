"""The list of keys, and what the program is."""

from importlib.metadata import version

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QHeaderView,
    QPlainTextEdit,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.asking import close_button
from tapscore.gui.enter import CalmDialog
from tapscore.gui.scrolled import open_roomy
from tapscore.wording.catalogue import say

MOVING = (
    (say("Up, Down"), say("Go from line to line")),
    (say("Left, Right"), say("Go from tap to tap within a line")),
    (say("Letters"), say("Begin to type at the end of the line's words")),
    (say("Enter"), say("Type the words; Enter again keeps them, Escape puts the old ones back")),
    (say("Shift+Up, Shift+Down"), say("Choose several rows; every command is for all of them")),
    (
        say("Escape"),
        say("Stop listening; from the tap back to the whole line; end the tapping mode"),
    ),
    (say("Double click"), say("On an empty step: a tap there; on the words: type them")),
    (say("Tab"), say("Go to the board, the findings and back")),
    (say("Plus, Minus"), say("On the board: go to the next spot, place or seat")),
    (say("Arrows"), say("On the board: move it by two centimetres")),
)
ABOUT = say("""\
tapscore helps to write stories that adults tap out on a resonance board: to fit words to
a rhythm, check them, print cards and rehearse.

Please mind
The program reminds; it never says that something is safe for a pupil. What a pupil may
feel, hear, touch or hold is for those who know and look after that pupil: the nurse,
physiotherapist, occupational and speech therapists, teachers of the deaf and of pupils
with vision impairment, and your school's own policies.

Startle: what comes unexpectedly matters more than what is loud. Warn first, build up.
Seizure: stop tapping and follow the pupil's own plan.
Hearing aids, cochlear implants, shunts, fragile bones, tube feeds: ask before play.
Props: small parts, cords, batteries, latex, scents and food need somebody's yes.
Everyone may come away from the board at any time.
Pupils' names and health facts stay out of story files, cards and file names.

Licences
tapscore is free software under the GNU General Public License, version 3 or later.
The letters are Atkinson Hyperlegible and IBM Plex Sans Arabic (SIL Open Font License).
Stress of English words is from the CMU Pronouncing Dictionary, their spelling from the
free British dictionary en_GB (LGPL). Further libraries are
named in DEVELOPERS.md.

tapscore asks nobody whether there is a newer version, and sends nothing anywhere.
""")


class KeysDialog(CalmDialog):
    """Every key in a table."""

    def __init__(self, parent: QWidget, keys: tuple[tuple[str, str], ...]) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Keys"))
        open_roomy(self, 620, 640)
        rows = [*MOVING, *keys]
        table = QTableWidget(len(rows), 2)
        table.setAccessibleName(say("Keys"))
        table.setHorizontalHeaderLabels([say("Key"), say("What it does")])
        table.verticalHeader().hide()
        table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        for number, (key, about) in enumerate(rows):
            table.setItem(number, 0, QTableWidgetItem(key))
            table.setItem(number, 1, QTableWidgetItem(about))
        # always there, so that no row is measured for more room than it has
        table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        wide = table.horizontalHeader()
        wide.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        wide.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        wide.sectionResized.connect(table.resizeRowsToContents)
        _finish(self, table)


class AboutDialog(CalmDialog):
    """What tapscore is, cautions and licences."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("About tapscore"))
        open_roomy(self, 680, 560)
        text = QPlainTextEdit(f"tapscore {version('tapscore')}\n\n{ABOUT}")
        text.setReadOnly(True)
        text.setAccessibleName(say("About tapscore"))
        text.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByKeyboard
            | Qt.TextInteractionFlag.TextSelectableByMouse
        )
        _finish(self, text)


def _finish(dialog: QDialog, content: QWidget) -> None:
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    buttons = close_button()
    buttons.rejected.connect(dialog.reject)
    layout = QVBoxLayout(dialog)
    layout.addWidget(content)
    layout.addWidget(buttons)
