"""A new passphrase, typed twice, with what to know beforehand."""

from PySide6.QtWidgets import QFormLayout, QLabel, QLineEdit, QWidget

from tapscore.records.sealed import passphrase_trouble
from tapscore.wording.catalogue import say

FORGOTTEN = say(
    "A forgotten passphrase is final. Nobody can open the record without it, nor can we. Write it"
    " down and keep it where your school keeps its keys. Three or four words that nobody would put"
    " together do well."
)


class NewPassphrase(QWidget):
    """Two fields and the caution above them."""

    def __init__(self) -> None:
        super().__init__()
        self.first, self.again = hidden_line(say("New passphrase")), hidden_line(say("Once more"))
        caution = QLabel(FORGOTTEN)
        caution.setWordWrap(True)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(caution)
        form.addRow(say("New passphrase"), self.first)
        form.addRow(say("Once more"), self.again)

    def taken(self) -> tuple[str, str]:
        """The passphrase, and why it is not taken (one of them is empty)."""
        typed = self.first.text()
        trouble = passphrase_trouble(typed)
        if not trouble and typed != self.again.text():
            trouble = say("The two are not the same. Type them again.")
        return ("", trouble) if trouble else (typed, "")

    def clear(self) -> None:
        """Keep nothing on the screen."""
        self.first.clear()
        self.again.clear()


def hidden_line(name: str) -> QLineEdit:
    """A field that shows dots."""
    line = QLineEdit()
    line.setEchoMode(QLineEdit.EchoMode.Password)
    line.setAccessibleName(name)
    return line
