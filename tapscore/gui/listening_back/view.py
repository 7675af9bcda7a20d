"""What stands in the window for listening back, and where."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.enter import CalmDialog
from tapscore.gui.flow import FlowColumn
from tapscore.gui.listening_back.strip import RehearsalStrip
from tapscore.gui.recording.level_meter import LevelMeter
from tapscore.gui.recording.microphone_choice import MicrophoneChoice
from tapscore.gui.recording.sound_in import SoundIn
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.gui.wrapped_items import wrap_items
from tapscore.wording.catalogue import say
from tapscore.workflow.listening_back import NO_PUPILS

BEGIN, END = say("Record here"), say("End the recording")
_LEAST_LINES = 4


class ListeningView(CalmDialog):
    """Fields and buttons alone; what they do is the window's."""

    def __init__(self, parent: QWidget, sound_in: SoundIn) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("Listen back"))
        self.bring = QPushButton(say("Bring in a recording ..."))
        self.record = QPushButton(BEGIN)
        self.microphone = MicrophoneChoice(sound_in)
        self.microphone.setMinimumContentsLength(24)
        self.meter = LevelMeter()
        self.begin, self.end = _time(say("From"), "0:00"), _time(say("To"), say("the end"))
        self.again = QPushButton(say("Look at this part"))
        self.progress = QProgressBar()
        self.progress.setAccessibleName(say("How far it is"))
        self.stop = QPushButton(say("Stop"))
        self.status = _sentence(say("What came of it"))
        self.strip = RehearsalStrip()
        self.sentences = QListWidget()
        self.sentences.setAccessibleName(say("What was otherwise, and every line"))
        wrap_items(self.sentences)
        self.helps = _sentence(say("What helps"))
        self.hear = QPushButton(say("Hear it"))
        self.loop = QPushButton(say("Practise this line as a loop"))
        self.as_told = QPushButton(say("Make the story as you tell it"))
        self.undo = QPushButton(say("Undo"))
        self.leave = QPushButton(say("Leave it"))
        self.keep = QPushButton(say("Keep the recording ..."))
        self.text = QPushButton(say("Save as text ..."))
        self.shut = QPushButton(say("Close"))
        self.shut.clicked.connect(self.close)
        self._lay_out()
        open_roomy(self, 1000, 700)

    def _lay_out(self) -> None:
        before = _sentence(say("Before"))
        before.setText(NO_PUPILS)
        part = _row(QLabel(say("From")), self.begin, QLabel(say("to")), self.end, self.again)
        part.addStretch(1)
        part.addWidget(self.progress, 2)
        part.addWidget(self.stop)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(before)
        column.addLayout(_flow(self.bring, self.record, self.microphone, self.meter))
        column.addLayout(part)
        column.addWidget(self.status)
        column.addWidget(self._strip_area())
        # with large letters on a small screen the column scrolls rather than that it has no lines
        self.sentences.ensurePolished()
        self.sentences.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.sentences.setMinimumHeight(_LEAST_LINES * self.sentences.fontMetrics().lineSpacing())
        column.addWidget(self.sentences, 1)
        column.addWidget(self.helps)
        column.addLayout(_flow(self.hear, self.loop, self.as_told, self.undo, self.leave))
        last = _row(self.keep, self.text)
        last.addStretch(1)
        last.addWidget(self.shut)
        whole = QVBoxLayout(self)
        whole.addWidget(scrolled(column, say("Rehearsal")), 1)
        whole.addLayout(last)

    def _strip_area(self) -> QScrollArea:
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setWidget(self.strip)
        area.setAccessibleName(say("Strip"))
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setFixedHeight(self.strip.sizeHint().height() + 24)
        return area


def _time(name: str, hint: str) -> QLineEdit:
    field = QLineEdit()
    field.setAccessibleName(say("{name}, minutes and seconds", name=name))
    field.setPlaceholderText(hint)
    field.ensurePolished()
    field.setMaximumWidth(field.fontMetrics().horizontalAdvance(f"00:00:00 {hint}") + 24)
    return field


def _sentence(name: str) -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setAccessibleDescription(name)
    return label


def _flow(*widgets: QWidget) -> FlowColumn:
    flow = FlowColumn()
    for widget in widgets:
        flow.addWidget(widget)
    return flow


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    for widget in widgets:
        row.addWidget(widget)
    return row
