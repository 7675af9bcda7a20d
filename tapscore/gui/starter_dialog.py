"""A story of ours with gaps: which one, and a class's own words for each gap."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.enter import CalmDialog
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.model.story import Line
from tapscore.model.walk import written_items
from tapscore.model.words import printed
from tapscore.storyfile.read import read_text
from tapscore.wording.catalogue import say
from tapscore.workflow.starters import Starter, UnusableFillError, starter_text, starters

ASKED = say(
    "Any gap may be left empty: the words shown in grey stand there until you have better ones."
)


class StarterDialog(CalmDialog):
    """Choose a starter and fill its gaps; the words of the story stand below as they become."""

    made = Signal(str)
    """The text of the new story."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("A story with gaps"))
        self._starters = starters()
        self.which = QComboBox()
        self.which.setAccessibleName(say("Which story"))
        for each in self._starters:
            self.which.addItem(each.title)
        self.fields: dict[str, QLineEdit] = {}
        self._form = QFormLayout()
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        self.words = QPlainTextEdit()
        self.words.setReadOnly(True)
        self.words.setTabChangesFocus(True)
        self.words.setAccessibleName(say("The words of the story"))
        self.words.setMinimumHeight(6 * self.fontMetrics().height())
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What was said"))
        self.make = QPushButton(say("&Make this story"))
        self._build()
        self.which.currentIndexChanged.connect(self._chosen)
        self.make.clicked.connect(self._make)
        self._chosen()
        open_roomy(self, 620, 640)

    def _build(self) -> None:
        inside = QVBoxLayout()
        which = QLabel(say("&Which story"))
        which.setBuddy(self.which)
        asked = QLabel(ASKED)
        asked.setWordWrap(True)
        for widget in (which, self.which, asked):
            inside.addWidget(widget)
        inside.addLayout(self._form)
        inside.addSpacing(8)
        so_far = QLabel(say("The &words of your story"))
        so_far.setBuddy(self.words)
        inside.addWidget(so_far)
        inside.addWidget(self.words, 1)
        inside.addWidget(self.said)
        inside.addWidget(self.make)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 8, 8, 8)
        whole.addWidget(scrolled(inside, say("A story with gaps")))

    @property
    def starter(self) -> Starter:
        """The one that is chosen."""
        return self._starters[self.which.currentIndex()]

    @property
    def fills(self) -> dict[str, str]:
        """What was typed, by gap; without those left empty."""
        return {name: field.text() for name, field in self.fields.items() if field.text().strip()}

    def _chosen(self) -> None:
        while self._form.rowCount():
            self._form.removeRow(0)
        self.fields = {}
        before: QWidget = self.which
        for gap in self.starter.gaps:
            field = QLineEdit()
            field.setPlaceholderText(gap.usual.replace("-", ""))
            field.setAccessibleName(gap.asks)
            field.textChanged.connect(self._show)
            asks = QLabel(gap.asks)
            asks.setWordWrap(True)
            asks.setBuddy(field)
            self._form.addRow(asks, field)
            self.fields[gap.name] = field
            self.setTabOrder(before, field)
            before = field
        self.setTabOrder(before, self.words)
        self._show()

    def _show(self) -> None:
        try:
            text = starter_text(self.starter, self.fills)
        except UnusableFillError as error:
            self.said.setText(str(error))
            self.make.setEnabled(False)
            return
        self.said.setText("")
        self.make.setEnabled(True)
        story = read_text(text).story
        assert story is not None
        lines = [printed(item.words) for _, item in written_items(story) if isinstance(item, Line)]
        self.words.setPlainText("\n".join(lines))

    def _make(self) -> None:
        text = starter_text(self.starter, self.fills)
        self.accept()
        self.made.emit(text)
