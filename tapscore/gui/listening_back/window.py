"""The window in which a team listens back to a rehearsal."""

from pathlib import Path

from attrs import evolve
from PySide6.QtCore import QModelIndex, QSignalBlocker, Slot
from PySide6.QtWidgets import QWidget

from tapscore.gui.aloud import say_aloud
from tapscore.gui.background import Background
from tapscore.gui.listening.sound_out import SoundOut
from tapscore.gui.listening_back.heard_so_far import HeardSoFar, Sentence, difference_in
from tapscore.gui.listening_back.keeping import RECORDINGS, Keeping
from tapscore.gui.listening_back.offers import Offers
from tapscore.gui.listening_back.place_sound import PlaceSound
from tapscore.gui.listening_back.take import RehearsalTake
from tapscore.gui.listening_back.view import BEGIN, END, ListeningView
from tapscore.gui.listening_back.work import HeardAnswer, HeardWish, listen
from tapscore.gui.recording.sound_in import SoundIn
from tapscore.gui.story_window import StoryWindow
from tapscore.model.wordings import seconds_of_clock
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface
from tapscore.workflow.listening_back import (
    NO_PUPILS,
    Heard,
    Trim,
    changed_since,
)
from tapscore.workflow.rehearsals import (
    NOTHING_DIFFERENT,
    LineHeard,
    Repeated,
    report,
)

FIRST = say("Record a rehearsal of adults alone here, or bring one in from a phone.")
LISTENING = say("Listening back. You can stop it.")
RECORDING = say("Recording. “End the recording” ends it.")
MADE = say("The story is as you tell it there now. Undo takes it back.")
BACK = say("Taken back: the story is as it was.")
NOT_SO = say("The story is so already, or the line is not there any more.")
CHANGED = say("The story has changed since; listen back again to compare it as it is now.")
QUIET = say("Stopped.")
LEFT = say("Left as it is.")
NO_TIME = say("Write the part as 1:30, minutes and seconds.")


class ListeningBack(ListeningView):
    """A recording, the strip, a list of sentences, and what helps with each."""

    def __init__(self, window: StoryWindow, sound_in: SoundIn, sound_out: SoundOut) -> None:
        super().__init__(window, sound_in)
        self._window = window
        self._document = window.document
        self._asking = window.files.asking
        self._in = sound_in
        self._path: Path | None = None
        """The recording brought in or made last, whatever came of looking at it."""
        self._looked_at = self._story = self._document.story
        """The story that is compared, and the one that what is said is about."""
        self._told_in: Path | None = None
        """The recording that what is said is about."""
        self._once_more = False
        """Whether the rehearsal told last is looked at anew, so that it gives way."""
        self._heard = HeardSoFar()
        self._offers = Offers(self._document, self._heard)
        self._keeping = Keeping(self, self._asking, self._folder, self.say)
        self.take = RehearsalTake(sound_in, self)
        self.sound = PlaceSound(sound_out, self)
        self.working = Background(listen, self)
        self.working.progressed.connect(self._progressed)
        self.working.answered.connect(self._answered)
        self.take.ended.connect(self._taken)
        self.microphone.went.connect(self._microphone_went)
        self.microphone.currentTextChanged.connect(self._show_what_can_be_done)
        self.sound.said.connect(self.say)
        self.sound.changed.connect(self._allow_stop)
        self._document.changed.connect(self._story_changed)
        self.finished.connect(self._shut)
        self._connect()
        self.take.levelled.connect(self.meter.show_level)
        self._show_what_can_be_done()
        self.say(f"{sound_in.problem()} {FIRST}".strip())

    def _connect(self) -> None:
        for button, what in (
            (self.bring, self._bring),
            (self.record, self._record),
            (self.again, self._look_again),
            (self.stop, self._stop),
            (self.hear, self._hear),
            (self.loop, self._loop),
            (self.as_told, self._as_told),
            (self.undo, self._undo),
            (self.leave, self._leave),
            (self.keep, self._keep),
            (self.text, self._save_text),
        ):
            button.clicked.connect(what)
        self.sentences.currentRowChanged.connect(self._row_chosen)
        self.sentences.activated.connect(self._activated)
        self.strip.chosen.connect(self._line_chosen)
        self.strip.heard.connect(self._line_heard)

    @property
    def differences(self) -> tuple[Repeated, ...]:
        """What is said at the top of the list, without what was left."""
        return tuple(self._heard.said)

    @property
    def lines(self) -> tuple[LineHeard, ...]:
        """Every line of the last rehearsal."""
        return self._heard.lines

    @property
    def rehearsals(self) -> tuple[Heard, ...]:
        """What was heard so far."""
        return tuple(self._heard.rehearsals)

    def say(self, text: str) -> None:
        """Say something short, aloud too."""
        self.status.setText(text)
        say_aloud(self.status, text)

    def listen_to(self, path: Path, trim: Trim = Trim()) -> None:  # noqa: B008 - never changes
        """Look at a recording."""
        self.sound.stop()
        self._once_more = path == self._told_in
        self._path = path
        self._looked_at = self._document.story
        self.progress.setValue(0)
        self.working.ask(HeardWish(self._looked_at, path, trim))
        self.say(LISTENING)
        self._show_what_can_be_done()

    @Slot()
    def _bring(self) -> None:
        path = self._asking.open_file(self, say("Bring in a recording"), RECORDINGS)
        if path is not None:
            self.take.forget()
            self.begin.clear()
            self.end.clear()
            self.listen_to(path)

    @Slot()
    def _record(self) -> None:
        if self.take.running:
            self.take.stop()
            return
        self.sound.stop()
        problem = self.take.start(self.microphone.currentText())
        self._forget_what_is_gone()
        if not problem:
            self.begin.clear()
            self.end.clear()
        self.record.setText(BEGIN if problem else END)
        self.say(problem or f"{RECORDING} {NO_PUPILS.partition(':')[0]}.")
        self._show_what_can_be_done()

    @Slot(str)
    def _microphone_went(self, news: str) -> None:
        if self.take.running:
            self.take.went_away()
        else:
            self.say(news)

    def _forget_what_is_gone(self) -> None:
        """A recording made here goes when another one begins."""
        if self._path is not None and not self._path.exists():
            self._path = None
        if self._told_in is not None and not self._told_in.exists():
            self._told_in = None

    @Slot(object, str)
    def _taken(self, path: Path | None, why: str) -> None:
        self.record.setText(BEGIN)
        if path is None:
            self.say(why or FIRST)
            self._show_what_can_be_done()
            return
        self.listen_to(path)
        if why:
            self.say(f"{why} {LISTENING}")

    @Slot()
    def _look_again(self) -> None:
        begin, end = (seconds_of_clock(field.text()) for field in (self.begin, self.end))
        wrong = (self.begin.text().strip() and begin is None) or (
            self.end.text().strip() and end is None
        )
        if wrong or (end is not None and end - (begin or 0.0) < 2):
            self.say(NO_TIME)
            return
        if self._path is not None:
            self.listen_to(self._path, Trim(begin or 0.0, end))

    @Slot()
    def _stop(self) -> None:
        if self.working.busy:
            self.working.cancel()
        else:
            self.sound.stop()
            self.say(QUIET)

    @Slot(object)
    def _progressed(self, share: float) -> None:
        self.progress.setValue(round(100 * share))

    @Slot(object)
    def _answered(self, answer: HeardAnswer) -> None:
        self.progress.setValue(0 if answer.heard is None else 100)
        if answer.heard is None:
            self.say(answer.problem)
        else:
            heard = answer.heard
            changed = changed_since(self._document.path, self._path) if self._path else None
            if changed is not None:
                heard = evolve(heard, remarks=(*heard.remarks, changed))
            if self._once_more:
                self._heard.without_last()
            self._heard.add(heard)
            self._told_in, self._story = self._path, self._looked_at
            self._offers.forget()
            self._show(heard)
        self._show_what_can_be_done()

    def _show(self, heard: Heard) -> None:
        self.strip.show_lines(self._heard.lines_told)
        remarks = [f"{each.said(Surface.WINDOW).message}" for each in heard.remarks]
        advice = [each.said(Surface.WINDOW).remedy for each in heard.remarks[:1]]
        if heard.can_tell and not self._heard.said:
            remarks.insert(0, NOTHING_DIFFERENT)
        elif heard.can_tell:
            remarks.insert(0, say("This was otherwise than written:"))
        self._fill()
        self.say(" ".join([*remarks, *advice]))

    def _fill(self, row: int = 0) -> None:
        with QSignalBlocker(self.sentences):  # a list that is empty meanwhile greys no button
            self.sentences.clear()
            for each in self._heard.said:
                self.sentences.addItem(self._heard.difference_with_time(each))
                item = self.sentences.item(self.sentences.count() - 1)
                font = item.font()
                font.setBold(True)
                item.setFont(font)
            for line in self._heard.lines_told:
                self.sentences.addItem(line.sentence)
        self.sentences.setCurrentRow(row)  # the lines follow what was otherwise: there is one
        self._show_what_can_be_done()

    def _current(self) -> Sentence | None:
        return self._heard.sentence_at(self.sentences.currentRow())

    def _show_what_can_be_done(self) -> None:
        pressed = self.focusWidget()
        busy, recording = self.working.busy, self.take.running
        current = self._current()
        self.bring.setEnabled(not busy and not recording)
        self.record.setEnabled(not busy and bool(self._in.names()))
        self.microphone.setEnabled(not recording and bool(self._in.names()))
        self.again.setEnabled(not busy and not recording and self._path is not None)
        self.progress.setVisible(busy)
        there = self._told_in is not None
        self.hear.setEnabled(there and self._heard.place_sec(current) is not None)
        self.loop.setEnabled(current is not None)
        difference = difference_in(current)
        self.as_told.setEnabled(difference is not None and difference.as_told)
        self.leave.setEnabled(difference is not None)
        self.undo.setEnabled(self._document.undo_stack.canUndo())
        self.keep.setEnabled(not busy and not recording and self._path is not None)
        self.text.setEnabled(bool(self.rehearsals))
        self.helps.setText(current.remedy if isinstance(current, Repeated) else "")
        self._allow_stop()
        self.leave_what_is_grey(pressed, self._next)

    @Slot()
    def _allow_stop(self) -> None:
        pressed = self.focusWidget()
        self.stop.setEnabled(self.working.busy or self.sound.going)
        self.leave_what_is_grey(pressed, self._next)

    @property
    def _next(self) -> QWidget:
        """Where one goes on when what was pressed can't be any more."""
        told = self.sentences if self.sentences.count() else self.bring
        return self.stop if self.working.busy else told

    @Slot()
    def _hear(self) -> None:
        current = self._current()
        place = self._heard.place_sec(current)
        if current is None or place is None or self._told_in is None:
            return
        self.sound.told(self._told_in, *place, (self._story, self._heard.segment_of(current)))

    @Slot()
    def _loop(self) -> None:
        current = self._current()
        if current is not None:
            self.sound.loop(self._story, self._heard.segment_of(current))

    @Slot()
    def _as_told(self) -> None:
        current = self._current()
        if not isinstance(current, Repeated):
            return
        row = self.sentences.currentRow()
        if not self._offers.make_as_told(current):
            self.say(NOT_SO)
            return
        self._fill(row)
        self.say(MADE)

    @Slot()
    def _undo(self) -> None:
        row = self._offers.undo()
        if row is not None:
            self._fill(row)
            self.say(BACK)
        self._show_what_can_be_done()

    @Slot()
    def _leave(self) -> None:
        current = self._current()
        if isinstance(current, Repeated):
            row = self.sentences.currentRow()
            self._offers.leave(current)
            self._fill(row)
            self.say(LEFT)

    @Slot()
    def _keep(self) -> None:
        if self._path is not None:
            self._keeping.recording(self._path)

    @Slot()
    def _save_text(self) -> None:
        self._keeping.text(report(self._story, self.rehearsals))

    def _folder(self) -> Path:
        """Where the story lies."""
        return self._document.path.parent if self._document.path else Path()

    @Slot(int)
    def _row_chosen(self, row: int) -> None:
        if row >= 0:
            current = self._current()
            line = None if current is None else self._heard.line_of(current)
            if line is not None:
                self.strip.go_to(line)
        self._show_what_can_be_done()

    @Slot(int)
    def _line_chosen(self, line: int) -> None:
        self.sentences.setCurrentRow(self._heard.row_of_line(line))

    @Slot(int)
    def _line_heard(self, line: int) -> None:
        self._line_chosen(line)
        self._hear()

    @Slot(QModelIndex)
    def _activated(self, _: QModelIndex) -> None:
        self._hear()

    @Slot()
    def _story_changed(self) -> None:
        if self.rehearsals and not self._offers.editing:
            self.say(CHANGED)
        self._show_what_can_be_done()

    @Slot()
    def _shut(self) -> None:
        self._document.changed.disconnect(self._story_changed)
        self.sound.shut()
        self.working.stop()
        self.take.forget()
