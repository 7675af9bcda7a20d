"""Notes typed up by keyboard: the telling above, pupils and moments left, the slip right."""

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.asking import Asking
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.records.slip_form import SlipForm
from tapscore.gui.records.tellings import TellingFields, put
from tapscore.gui.scrolled import scrolled
from tapscore.gui.wrapped_items import wrap_items
from tapscore.model.story import Story
from tapscore.records.edits import clock_trouble, with_note, with_slip, without_telling
from tapscore.records.model import KeptTelling, Note, Pupil, Slip
from tapscore.rhythm.moments import Moment, moments
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date
from tapscore.wording.terms import term

KEYS = say(
    "Enter: next moment. Ctrl+Up and Ctrl+Down: moments. Ctrl+PgUp and Ctrl+PgDown: pupils."
    " Underlined letters tick."
)
DELETE, KEEP = say("Delete this telling"), say("Keep it")
WRITTEN = say("written")
WHOLE = say("the whole telling")
"""What notes are on where a story has no moment of its own."""


class NotesPage(QWidget):
    """Where slips are typed up."""

    def __init__(
        self,
        sitting: Sitting,
        asking: Asking,
        story: Callable[[], Story],
        today: Callable[[], date],
    ) -> None:
        super().__init__()
        self._sitting, self._asking = sitting, asking
        self._story_now, self._today = story, today
        self.telling = TellingFields()
        self.pupils, self.moments = QListWidget(), QListWidget()
        self.form = SlipForm()
        self.done = QPushButton(say("&Next pupil"))
        self.delete = QPushButton(say("&Delete this telling ..."))
        self.said = QLabel(KEYS)
        self._story = story()
        self._known: dict[str, Moment] = {}
        self._pupil = ""
        self._observer = ""
        """Who wrote the last slip, most likely this one too."""
        self._build()
        self.telling.chosen.connect(self._other_telling)
        self.telling.changed.connect(self._telling_typed)
        self.pupils.currentRowChanged.connect(self._other_pupil)
        self.moments.currentRowChanged.connect(self._other_moment)
        self.form.changed.connect(self._typed)
        self.form.next_wanted.connect(self.next_moment)
        self.done.clicked.connect(self.next_pupil)
        self.delete.clicked.connect(self._delete)
        for keys, do in (
            ("Ctrl+Down", lambda: self._step(self.moments, 1)),
            ("Ctrl+Up", lambda: self._step(self.moments, -1)),
            ("Ctrl+PgDown", lambda: self._go_to_pupil(1)),
            ("Ctrl+PgUp", lambda: self._go_to_pupil(-1)),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(do)

    def _build(self) -> None:
        left = QGridLayout()
        for row, (text, name, box) in enumerate(
            (
                (say("&Pupils"), say("Pupils"), self.pupils),
                (say("&Moments"), say("Moments of the story"), self.moments),
            )
        ):
            label = QLabel(text)
            label.setBuddy(box)
            box.setAccessibleName(name)
            wrap_items(box)
            box.setMinimumWidth(120)
            left.addWidget(label, row * 2, 0)
            left.addWidget(box, row * 2 + 1, 0)
        left.setRowStretch(1, 2)
        left.setRowStretch(3, 3)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 12, 0)
        right.addWidget(self.form)
        right.addStretch(1)
        across = QHBoxLayout()
        across.addLayout(left, 2)
        self.area = scrolled(right, say("The slip"))
        across.addWidget(self.area, 5)
        foot = QHBoxLayout()
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("Keys, and what comes next"))
        foot.addWidget(self.said, 1)
        foot.addWidget(self.delete)
        foot.addWidget(self.done)
        whole = QVBoxLayout(self)
        whole.addWidget(self.telling)
        whole.addLayout(across, 1)
        whole.addLayout(foot)

    def show_record(self) -> None:
        """Begin with today's telling of the story that is open."""
        record = self._sitting.record
        today = self._today()
        same = next(
            (t for t in reversed(record.tellings) if t.date == today and t.story == self._title),
            None,
        )
        self._fill_telling(same.id if same else None)
        self._fill_pupils()
        trouble = clock_trouble(record, today)
        if trouble:
            self.telling.say(trouble)
        self.form.set_read_only(bool(self._sitting.read_only) or not record.pupils)
        if not record.pupils:
            self.said.setText(say("Add the pupils first, under Pupils and ways in."))

    def begin(self) -> None:
        """Put the keyboard where typing begins."""
        self.telling.date.setFocus()
        self.telling.date.selectAll()

    def refresh_pupils(self) -> None:
        """The pupils of the record are others now."""
        self.put_away()
        self._pupil = ""
        self._fill_pupils()
        self.form.set_read_only(bool(self._sitting.read_only) or not self._sitting.record.pupils)
        self.said.setText(KEYS)

    @property
    def _title(self) -> str:
        return self._story.title

    def put_away(self) -> None:
        """Put what is being typed into the record."""
        if not self._sitting.is_open or self._sitting.read_only:
            return
        record = self._sitting.record
        if record.pupil(self._pupil) is None:
            return  # none is chosen, or the one on the screen was just deleted
        telling = self.telling.telling(record, self._title, tuple(self._known))
        slip = telling.slip(self._pupil) or Slip(self._pupil)
        note = self.form.note()
        filled = with_note(self.form.slip(self._pupil, slip.notes), note, telling.moments)
        blank = Slip(self._pupil, filled.observer, notes=filled.notes)
        nothing = note.is_blank and not slip.notes and filled == blank
        if nothing and self.telling.id is None:
            return
        self._sitting.change(lambda held: with_slip(put(held, telling), telling.id, filled))
        if filled.observer:
            self._observer = filled.observer
        if self.telling.id != telling.id:
            self.telling.show_tellings(self._sitting.record, telling.id)
        self._mark_written()

    def next_moment(self) -> None:
        """On to the next moment, and after the last one to the next pupil."""
        if self.moments.currentRow() + 1 < self.moments.count():
            self._step(self.moments, 1)
        else:
            self.next_pupil()

    def next_pupil(self) -> None:
        """On to the next pupil's slip."""
        if self.pupils.currentRow() + 1 < self.pupils.count():
            self._go_to_pupil(1)
        else:
            self.put_away()
            self.said.setText(say("That was the last pupil. Everything typed is kept."))

    def _go_to_pupil(self, by: int) -> None:
        """To another pupil's slip; who saw it is chosen, so that typing replaces it."""
        self._step(self.pupils, by)
        self.form.observer.setFocus(Qt.FocusReason.TabFocusReason)
        self.form.observer.selectAll()

    def _delete(self) -> None:
        telling = self._telling_now()
        if telling is None or self._sitting.read_only:
            self.said.setText(say("This telling is not kept yet: there is nothing to delete."))
            return
        answer = self._asking.choose(
            self,
            say(
                "Delete the telling of {date} with all its notes?",
                date=long_date(telling.date),
            ),
            say("The earlier versions of the record still have it."),
            (DELETE, KEEP),
            loses=True,
        )
        if answer == DELETE and self._sitting.is_open:
            self._pupil = ""
            self._sitting.change(lambda record: without_telling(record, telling.id))
            self.show_record()
            self.begin()

    def _step(self, which: QListWidget, by: int) -> None:
        row = which.currentRow() + by
        if 0 <= row < which.count():
            which.setCurrentRow(row)

    def _telling_typed(self) -> None:
        if not self._sitting.is_open:
            return  # the field lost the keyboard because the page goes
        self.telling.say("")
        telling = self.telling.telling(self._sitting.record, self._title, tuple(self._known))
        if not self.telling.trouble.text():
            self.telling.say(_ahead(telling.date, self._today()))
        if self.telling.id is not None:
            self._sitting.change(lambda held: put(held, telling))

    def _other_telling(self) -> None:
        self._pupil = ""
        self._fill_telling(self.telling.id)
        self._fill_pupils()

    def _fill_telling(self, telling_id: str | None) -> None:
        record = self._sitting.record
        self._story = self._story_now()
        self.telling.show_tellings(record, telling_id)
        self.telling.show_telling(record, self._title, self._today())
        now = {moment.name: moment for moment in moments(perform(self._story))}
        telling = record.telling(telling_id or "")
        names: tuple[str, ...] = tuple(now)
        if telling is not None:
            names = telling.moments
            if telling.story == self._title:
                names = tuple(dict.fromkeys((*now, *telling.moments)))
            written = (note.moment for slip in telling.slips for note in slip.notes)
            names = tuple(dict.fromkeys((*names, *written)))
        self._known = {name: now[name] for name in names if name in now}
        with QSignalBlocker(self.moments):
            self.moments.clear()
            self.moments.addItems(list(names or (WHOLE,)))

    def _fill_pupils(self) -> None:
        with QSignalBlocker(self.pupils):
            self.pupils.clear()
            for pupil in self._sitting.record.pupils:
                self.pupils.addItem(_named(pupil))
        self._pupil = ""
        if self.pupils.count():
            self.pupils.setCurrentRow(0)
        self._mark_written()

    def _other_pupil(self, row: int) -> None:
        self.put_away()
        pupils = self._sitting.record.pupils
        if not 0 <= row < len(pupils):
            return
        self._pupil = pupils[row].id
        slip = self._slip() or Slip(self._pupil, self._observer)
        self.form.show_slip(slip)
        with QSignalBlocker(self.moments):
            self.moments.setCurrentRow(0)
        self._show_moment()
        self._mark_written()

    def _other_moment(self, _: int) -> None:
        self.put_away()
        self._show_moment()
        if not self.moments.hasFocus():  # nobody goes through the list itself
            self.form.answer.focus()
        self.area.ensureWidgetVisible(self.form.words)
        self.area.ensureWidgetVisible(self.form.moment)

    def _show_moment(self) -> None:
        item = self.moments.currentItem()
        name = item.data(Qt.ItemDataRole.UserRole) or item.text() if item else ""
        moment = self._known.get(name)
        slip = self._slip()
        note = slip.note(name) if slip else Note(name)
        shown = name
        if moment and moment.number is not None:
            shown = say("{name} (line {number})", name=name, number=moment.number)
        self.form.show_note(note, shown, moment.look_for or "" if moment else "")

    def _typed(self) -> None:
        """Every letter goes into the record at once, so that locking loses nothing."""
        self.said.setText(KEYS)
        self.put_away()

    def _telling_now(self) -> KeptTelling | None:
        return self._sitting.record.telling(self.telling.id or "")

    def _slip(self) -> Slip | None:
        telling = self._telling_now()
        return telling.slip(self._pupil) if telling else None

    def _mark_written(self) -> None:
        """Say beside pupils and moments what is written already."""
        telling = self._telling_now()
        for row, pupil in enumerate(self._sitting.record.pupils):
            item = self.pupils.item(row)
            if item is not None:
                slip = telling.slip(pupil.id) if telling else None
                item.setText(f"{_named(pupil)}: {WRITTEN}" if slip else _named(pupil))
        slip = self._slip()
        for row in range(self.moments.count()):
            item = self.moments.item(row)
            name = item.data(Qt.ItemDataRole.UserRole) or item.text()
            item.setData(Qt.ItemDataRole.UserRole, name)
            note = slip.note(name) if slip else Note(name)
            what = term(note.answer.value) if note.answer else "" if note.is_blank else WRITTEN
            item.setText(f"{name}: {what}" if what else name)


def _named(pupil: Pupil) -> str:
    return (
        say("{mark} (place {place})", mark=pupil.mark, place=pupil.place)
        if pupil.place
        else pupil.mark
    )


def _ahead(when: date, today: date) -> str:
    return say("This date is still to come. Is it meant?") if when > today else ""
