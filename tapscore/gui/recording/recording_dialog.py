"""The window in which a teacher speaks her story, line by line."""

from html import escape
from pathlib import Path

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.aloud import say_aloud
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.background import Background
from tapscore.gui.enter import CalmDialog
from tapscore.gui.listening.sound_out import SoundOut
from tapscore.gui.recording.hearing import Hearing
from tapscore.gui.recording.level_meter import LevelMeter
from tapscore.gui.recording.line_recordings import LineRecordings
from tapscore.gui.recording.lines_table import LinesTable
from tapscore.gui.recording.microphone_choice import MicrophoneChoice
from tapscore.gui.recording.recorder import WENT_AWAY, Recorder, RecorderState
from tapscore.gui.recording.sound_in import Samples, SoundIn
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.recording_lines import LineToRecord

_ENDINGS = ["*.wav", "*.mp3", "*.m4a", "*.ogg", "*.flac", "*.opus", "*.aac", "*.mp4", "*.mov"]


def kinds_of_recordings(*more: str) -> str:
    """Kinds of files for a dialog that brings a recording in; ``more`` endings."""
    return f"{kinds(say('Recordings'), *_ENDINGS, *more)};;{kinds(say('All files'), '*')}"


KINDS = kinds_of_recordings()
WAKING = say("One moment: the microphone wakes up.")
VOICES = kinds(say("Voices"), "*.onnx")
SPEAK = say("Speak now. Space ends it.")
FIRST = say("Space begins, Space ends. Up and Down go to another line.")
CLOSE, BACK = say("Close all the same"), say("Back")


class RecordingDialog(CalmDialog):
    """A table of lines, the words of one, and what to do with its recording."""

    def __init__(
        self,
        parent: QWidget,
        story: Story,
        folder: Path,
        asking: Asking,
        sound_in: SoundIn,
        sound_out: SoundOut,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("Record the lines"))
        open_roomy(self, 1060, 620)
        self._asking = asking
        self.recordings = LineRecordings(story, folder)
        self.hearing = Hearing(story, sound_out, self)
        self.hearing.said.connect(self.say)
        self.recorder = Recorder(sound_in, self)
        self._of_take: LineToRecord | None = None
        """The line that is being said."""
        self.lines = LinesTable(FIRST)
        self.words = QLabel()
        self.about = QLabel()
        self.meter = LevelMeter()
        self.status = QLabel(FIRST)
        self.record = QPushButton(say("Record"))
        self.keep = QPushButton(say("Try to keep it again"))
        self.hear = QPushButton(say("Hear it"))
        self.rhythm = QPushButton(say("Hear the rhythm"))
        self.bring = QPushButton(say("Bring in a file ..."))
        self.away = QPushButton(say("Take it away"))
        self.read_out = QPushButton(say("Have the rest read out ..."))
        self.read_out.setToolTip(say("By a neural voice, a file that you have"))
        recordings = self.recordings
        self.reading = Background(
            lambda voice, task: recordings.read_out(voice, task.cancelled), self
        )
        self.reading.answered.connect(self._was_read_out)
        self.microphone = MicrophoneChoice(sound_in)
        self.count = QLabel()
        self._build()
        self.recorder.levelled.connect(self.meter.show_level)
        self.recorder.changed.connect(self._show_state)
        self.recorder.taken.connect(self._taken)
        self._fill()
        self.lines.selectRow(0)
        self.lines.setFocus()
        problem = sound_in.problem()
        if problem:
            self.say(problem)

    def _build(self) -> None:
        across = QHBoxLayout(self)
        across.setSpacing(20)
        across.setContentsMargins(16, 16, 16, 16)
        left, right = QVBoxLayout(), QVBoxLayout()
        across.addLayout(left, 1)
        self.lines.space_pressed.connect(self.record_or_stop)
        self.lines.return_pressed.connect(self._hear)
        self.lines.currentCellChanged.connect(self._line_chosen)
        left.addWidget(self.lines, 1)
        self.count.setWordWrap(True)
        left.addWidget(self.count)
        for label in (self.words, self.about, self.status):
            label.setWordWrap(True)
        self.status.setAccessibleDescription(say("What happens"))
        right.addWidget(self.words)
        right.addWidget(self.about)
        right.addSpacing(12)
        right.addWidget(self.meter)
        right.addSpacing(6)
        right.addWidget(self.status)
        right.addStretch(1)
        right.addLayout(self._buttons())
        row = QHBoxLayout()
        label = QLabel(say("&Microphone"))
        label.setBuddy(self.microphone)
        self.microphone.went.connect(self._microphone_went)
        self.microphone.came.connect(lambda: self.say(FIRST))
        row.addWidget(label)
        row.addWidget(self.microphone, 1)
        right.addSpacing(12)
        right.addLayout(row)
        close = QPushButton(say("Close"))
        close.clicked.connect(self.accept)
        right.addSpacing(12)
        right.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        across.addWidget(scrolled(right, say("The line")), 1)

    @Slot(str)
    def _microphone_went(self, news: str) -> None:
        if self._busy:
            self.recorder.went_away()
        elif not (self.status.text().startswith(WENT_AWAY) and self._of_take_is_chosen):
            self.say(news)

    def _buttons(self) -> QGridLayout:
        self.record.clicked.connect(self.record_or_stop)
        self.keep.clicked.connect(self._keep)
        self.hear.clicked.connect(self._hear)
        self.rhythm.clicked.connect(lambda: self._begin_hearing(rhythm=True))
        self.bring.clicked.connect(self._bring_in)
        self.read_out.clicked.connect(self._read_out)
        self.away.clicked.connect(self._take_away)
        self.keep.setVisible(False)
        grid = QGridLayout()
        grid.setSpacing(8)
        for place, button in enumerate(
            (self.record, self.hear, self.rhythm, self.bring, self.away, self.keep)
        ):
            grid.addWidget(button, place // 2, place % 2)
        grid.addWidget(self.read_out, 3, 0, 1, 2)
        return grid

    @property
    def line(self) -> LineToRecord | None:
        """The line chosen."""
        row = self.lines.currentRow()
        return self.recordings.lines[row] if 0 <= row < len(self.recordings.lines) else None

    @property
    def _of_take_is_chosen(self) -> bool:
        names = {each.name for each in (self._of_take, self.line) if each is not None}
        return self._of_take is not None and len(names) == 1

    @property
    def _busy(self) -> bool:
        return self.recorder.state is not RecorderState.STILL

    def say(self, sentence: str) -> None:
        """Put a sentence where it is read, and have it spoken by a screen reader."""
        self.status.setText(sentence)
        say_aloud(self.status, sentence)

    def record_or_stop(self) -> None:
        """Begin a take of the line chosen, or end it and keep it."""
        if self._busy:
            self.recorder.stop()
            return
        if self.line is None:
            return
        self.hearing.stop()
        self._of_take = self.line
        problem = self.recorder.start(self.microphone.currentText())
        if problem:
            self.say(problem)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: Escape ends a take before it closes the window."""
        if event.key() == Qt.Key.Key_Escape and self._busy:
            self.recorder.stop()
            return
        super().keyPressEvent(event)

    def done(self, result: int) -> None:
        """Qt: nothing that was said is lost, and nothing runs on."""
        self.recorder.stop_now()
        if (
            self.recordings.unkept is not None
            and self._asking.choose(
                self,
                say("The last recording could not be kept."),
                self.recordings.why_unkept,
                (CLOSE, BACK),
                loses=True,
            )
            == BACK
        ):
            return
        self.reading.stop()
        self.hearing.shut()
        super().done(result)

    def _taken(self, sound: Samples, rate_hz: int, why: str) -> None:
        if self._of_take is None:
            return
        said = self.recordings.take(self._of_take, sound, rate_hz, whole=not why)
        self._after(f"{why} {said}".strip())

    def _keep(self) -> None:
        self._after(self.recordings.keep_again())

    def _after(self, sentence: str) -> None:
        self.keep.setVisible(self.recordings.unkept is not None)
        self.say(sentence)
        self._fill()

    def _bring_in(self) -> None:
        line = self.line
        if line is None:
            return
        source = self._asking.open_file(
            self, say("A recording of {title}", title=line.title.lower()), KINDS
        )
        if source is not None:
            self._after(self.recordings.bring_in(line, source))

    def _take_away(self) -> None:
        if self.line is not None and self.line.file is not None:
            self._after(self.recordings.take_away(self.line))

    def _read_out(self) -> None:
        voice = self._asking.open_file(self, say("A neural voice"), VOICES)
        if voice is not None:
            self.say(say("The voice reads; this takes a moment."))
            pressed = self.focusWidget()
            self.read_out.setEnabled(False)
            self.leave_what_is_grey(pressed, self.lines)
            self.reading.ask(voice)

    def _was_read_out(self, sentence: str) -> None:
        self.recordings.look()
        self._after(sentence)

    def _hear(self) -> None:
        self._begin_hearing(rhythm=False)

    def _begin_hearing(self, *, rhythm: bool) -> None:
        line = self.line
        if line is None or self._busy:
            return
        if rhythm:
            self.say(self.hearing.rhythm(line))
        else:
            self.hearing.recording(line)

    def _line_chosen(self) -> None:
        self.recorder.stop_now()
        self.hearing.stop()
        line = self.line
        if line is None:
            return
        self.words.setText(f"<b style='font-size:x-large'>{escape(line.words)}</b>")
        self.about.setText(
            say(
                "{title}, about {length:1 second|# seconds} in the story.",
                title=line.title,
                length=max(round(line.length_sec), 1),
            )
        )
        self._show_state()

    def _show_state(self) -> None:
        pressed = self.focusWidget()
        state, recording = self.recorder.state, self._busy
        if state in (RecorderState.WAKING, RecorderState.RECORDING):
            sentence = SPEAK if state is RecorderState.RECORDING else WAKING
            if self.status.text() != sentence:
                self.say(sentence)
        self.record.setText(say("Stop") if recording else say("Record"))
        has_file = self.line is not None and self.line.file is not None
        self.hear.setEnabled(has_file and not recording)
        self.away.setEnabled(has_file and not recording)
        for button in (self.rhythm, self.bring):
            button.setEnabled(not recording)
        some_left = any(line.file is None for line in self.recordings.lines)
        self.read_out.setEnabled(some_left and not recording)
        self.leave_what_is_grey(pressed, self.lines)

    def _fill(self) -> None:
        lines = self.recordings.lines
        self.lines.show_lines(lines)
        missing = sum(line.file is None for line in lines)
        where = say(
            "Recordings lie in the folder “{folder}”, beside the story.",
            folder=self.recordings.folder.name,
        )
        left = (
            say(
                "{missing} of {count} lines are not recorded yet.",
                missing=missing,
                count=len(lines),
            )
            if missing
            else say("Every line is recorded.")
        )
        self.count.setText(f"{left} {where}")
        self._show_state()
