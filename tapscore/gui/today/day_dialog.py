"""Today's staff in a minute: who is here, who does what, and the cards that change."""

from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
)

from tapscore.disc.reasons import reason
from tapscore.gui.asking import Asking
from tapscore.gui.background import TYPING_PAUSE_MS, Background, patiently
from tapscore.gui.enter import CalmDialog
from tapscore.gui.printing.language_fields import LanguageFields
from tapscore.gui.printing.paper_fields import PaperFields
from tapscore.gui.printing.print_dialog import ReadyPagesDialog
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.gui.story_window import StoryWindow
from tapscore.gui.today.outcome_view import OutcomeView
from tapscore.model.day import Day, Telling
from tapscore.wording.catalogue import say
from tapscore.workflow.papers import ToPrint
from tapscore.workflow.product import Choices
from tapscore.workflow.today.card_files import put_cards, take_away_earlier
from tapscore.workflow.today.day_beside import (
    DayBeside,
    DayChangedError,
    day_path,
    load_day,
    save_day,
)
from tapscore.workflow.today.outcome import DayWish, Outcome, work_out
from tapscore.workflow.today.typed import pupils_text, trouble_with, typed_adults, typed_pupils

ANYBODY = say("suggest")
HOW_MUCH = (
    (Telling.WHOLE, say("the whole story")),
    (Telling.LIGHTER, say("lighter: fewer taps, props and deeds")),
    (Telling.SHORT, say("short: greeting, refrain, one prop, finish")),
    (Telling.REFRAIN, say("the refrain only")),
)
MAKE, CLEAR = say("&Make new sheets ..."), say("&Take away earlier sheets ...")
NONE_THERE = say("No sheets of an earlier day lie there.")
SAVE_SO, DONT_SAVE = say("Save it without that"), say("Don't save")
READ_AGAIN, KEEP_MINE = say("Read it again"), say("Put mine in its place")


class DayDialog(CalmDialog):
    """Who is here, and what comes of it."""

    def __init__(self, window: StoryWindow, asking: Asking, choices: Choices) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("Today's staff"))
        open_roomy(self, 1180, 720)
        self._settings = window.settings
        self._asking = asking
        self._story = window.document.story
        assert window.document.path is not None
        path = day_path(window.document.path)
        self._beside: DayBeside = load_day(path, self._story)
        self.outcome: Outcome | None = None
        self.working = Background(lambda wish, _: work_out(wish), self, pause_ms=TYPING_PAUSE_MS)
        self.names = QPlainTextEdit()
        self.roles: dict[str, QComboBox] = {}
        self.pupils = QLineEdit()
        self.tell = QComboBox()
        self.fields = PaperFields(choices, backs=False, others=False)
        self.languages = LanguageFields(self._story, window.settings, home=False)
        self.view = OutcomeView()
        self.said = QLabel()
        self.suggest = QPushButton(say("&Suggest who does what"))
        self.print = QPushButton(say("&Print new sheets ..."))
        self.make = QPushButton(MAKE)
        self.save = QPushButton(say("Sa&ve the day"))
        self._build()
        self._show_day(self._beside.day or Day())
        self.names.textChanged.connect(self._names_changed)
        self.fields.changed.connect(self._changed)
        self.languages.changed.connect(self._changed)
        self.working.answered.connect(self._answered)
        self.finished.connect(self.working.stop)
        self._mend_first = window.checking.mend_first
        self.said.setText("\n".join(self._beside.troubles))
        if self._mend_first:
            self.view.say(self._mend_first)
            self.suggest.setEnabled(False)
        self._as_saved = self.day
        self._allow()
        self.names.setFocus()
        self.names.selectAll()

    def _build(self) -> None:
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 12, 0)
        here = QLabel(say("&Who is here, one adult on each line"))
        here.setWordWrap(True)
        here.setBuddy(self.names)
        column.addWidget(here)
        self.names.setAccessibleName(say("Who is here, one adult on each line"))
        self.names.setAccessibleDescription(say("Initials are enough. Adults alone, never pupils."))
        self.names.setTabChangesFocus(True)
        self.names.setPlaceholderText(say("AB\nCD\nEF"))
        self.names.setFixedHeight(7 * self.names.fontMetrics().lineSpacing() + 16)
        column.addWidget(self.names)
        column.addWidget(QLabel(say("Who takes which role")))
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for role in self._story.role_names:
            box = QComboBox()
            box.setAccessibleName(say("Who takes {role}", role=role))
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(12)
            box.addItem(ANYBODY)
            box.currentIndexChanged.connect(self._changed)
            self.roles[role] = box
            form.addRow(role, box)
        column.addLayout(form)
        column.addSpacing(8)
        column.addLayout(self._how_much())
        column.addWidget(self.suggest)
        column.addSpacing(12)
        column.addWidget(self.fields)
        column.addWidget(self.languages)
        column.addStretch(1)
        across = QHBoxLayout()
        across.setSpacing(20)
        across.addWidget(scrolled(column, say("Who is here, and the sheets")))
        across.addWidget(self.view, 1)
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What was done"))
        whole = QVBoxLayout(self)
        whole.addLayout(across, 1)
        whole.addWidget(self.said)
        whole.addLayout(self._buttons())

    def _how_much(self) -> QFormLayout:
        """Which pupils are here, and how much is told."""
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.pupils.setPlaceholderText(say("A, C or how many"))
        self.pupils.setAccessibleName(say("Pupils here: their places, or how many; empty for all"))
        self.pupils.textChanged.connect(self._changed)
        form.addRow(say("P&upils here"), self.pupils)
        self.tell.setAccessibleName(say("How much is told"))
        self.tell.addItem(say("as much as suits who is here"), None)
        for telling, words in HOW_MUCH:
            self.tell.addItem(words, telling)
        self.tell.currentIndexChanged.connect(self._changed)
        form.addRow(say("&Tell"), self.tell)
        return form

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        close = QPushButton(say("&Close"))
        close.clicked.connect(self.reject)
        self.suggest.setDefault(True)
        self.suggest.clicked.connect(self.start)
        self.print.clicked.connect(self._print)
        self.make.clicked.connect(self._make)
        self.save.clicked.connect(self._save)
        for button in (self.print, self.make, self.save, close):
            row.addWidget(button)
        return row

    def reject(self) -> None:
        """Qt: Escape asks before a day is lost that was typed and not saved."""
        same = self.day == self._as_saved
        if same or self._asking.may_throw_away(self, say("What you wrote of today is not saved.")):
            super().reject()

    @property
    def day(self) -> Day:
        """The day as it is in the form."""
        places, count = typed_pupils(self.pupils.text())
        names = typed_adults(self.names.toPlainText())
        return Day(names, tuple(self._fixed().items()), places, count, self.tell.currentData())

    def _fixed(self) -> dict[str, str]:
        return {
            role: box.currentText() for role, box in self.roles.items() if box.currentIndex() > 0
        }

    def _show_day(self, day: Day) -> None:
        with QSignalBlocker(self.names):
            self.names.setPlainText("\n".join(day.here))
        with QSignalBlocker(self.pupils):
            self.pupils.setText(pupils_text(day))
        with QSignalBlocker(self.tell):
            self.tell.setCurrentIndex(max(self.tell.findData(day.tell), 0))
        takes = dict(day.takes)
        self._fill_roles(takes)

    def _fill_roles(self, takes: dict[str, str]) -> None:
        adults = tuple(dict.fromkeys(typed_adults(self.names.toPlainText())))
        suggested = dict(self.outcome.suggested) if self.outcome else {}
        for role, box in self.roles.items():
            with QSignalBlocker(box):
                box.clear()
                who = suggested.get(role)
                box.addItem(f"{ANYBODY} ({who})" if who else ANYBODY)
                box.addItems(list(adults))
                chosen = takes.get(role)
                box.setCurrentIndex(adults.index(chosen) + 1 if chosen in adults else 0)

    @Slot()
    def _names_changed(self) -> None:
        takes = self._fixed()
        self.outcome = None
        self._fill_roles(takes)
        self._changed()

    @Slot()
    def _changed(self) -> None:
        self._settings.choices = self.fields.choices
        self.working.give_up()
        if self.outcome is not None:
            self.outcome = None
            self._fill_roles(self._fixed())
        if not self._mend_first:
            self.view.say(
                say("Something changed: press “Suggest who does what” to see what comes of it.")
            )
        self._allow()

    @Slot()
    def start(self) -> None:
        """Share the day out, keeping what was fixed."""
        day = self.day
        trouble = trouble_with(self._story, day)
        if trouble is not None:
            self.view.say(trouble)
            self.names.setFocus()
            return
        self.view.say(say("Working it out."))
        self.said.setText("")
        choices = self.languages.into(self.fields.choices)
        self.working.ask(DayWish(self._story, day, choices))

    @Slot(object)
    def _answered(self, outcome: Outcome) -> None:
        self.outcome = outcome
        self._fill_roles(self._fixed())
        self.view.show_outcome(outcome)
        if not outcome.new_cards and outcome.problem is None:
            self.said.setText(say("No sheet changes."))
        self._allow()

    def _allow(self) -> None:
        new = bool(self.outcome and self.outcome.new_cards)
        nothing = bool(self.outcome and self.outcome.not_today)
        self.print.setEnabled(new)
        self.make.setEnabled(new or nothing)
        self.make.setText(CLEAR if nothing else MAKE)

    def _print(self) -> None:
        if self.outcome is None:
            return
        papers = tuple(
            ToPrint(say("new sheets of {role}", role=card.role), partial(bytes, card.pdf))
            for card in self.outcome.new_cards
        )
        title = say("{title} today", title=self._story.title)
        ReadyPagesDialog(self, title, self._asking, papers).open()

    def _make(self) -> None:
        if self.outcome is None:
            return
        folder = self._asking.folder(self, say("Folder for today's sheets"))
        if folder is None:
            return
        if self.outcome.not_today:
            cleared = patiently(partial(take_away_earlier, folder, self._story))
            self.said.setText("\n".join(cleared.said_of_earlier) or NONE_THERE)
        else:
            put = patiently(partial(put_cards, self.outcome.new_cards, folder, self._story))
            names = ", ".join(path.name for path in put.made)
            made = say("Made {names} in {folder}.", names=names, folder=folder) if put.made else ""
            said = " ".join((put.problem, made, *put.said_of_earlier))
            self.said.setText(said.strip())

    def _save(self) -> None:
        day = self.day
        trouble = trouble_with(self._story, day)
        if trouble is not None:
            self.said.setText(say("Not saved. {trouble}", trouble=trouble))
            return
        if not self._may_save():
            return
        name = self._beside.path.name
        try:
            self._beside = save_day(self._beside, day, self._story)
        except DayChangedError:
            self._changed_on_disc()
        except OSError as error:
            self.said.setText(
                say("{name} was not saved: {reason}.", name=name, reason=reason(error))
            )
        else:
            self._as_saved = day
            self.said.setText(say("Saved {name} beside the story.", name=name))

    def _may_save(self) -> bool:
        """Whether what is in the file now may be replaced: never what can't be read."""
        beside = self._beside
        if not beside.troubles:
            return True
        troubles = "\n".join(beside.troubles)
        if beside.day is None:
            self.said.setText(
                say(
                    "Not saved, and the file is as it was: mend or delete it first.\n{troubles}",
                    troubles=troubles,
                )
            )
            return False
        answer = self._asking.choose(
            self,
            say("Some of {path} could not be used.", path=beside.lies.name),
            troubles,
            (SAVE_SO, DONT_SAVE),
        )
        return answer == SAVE_SO

    def _changed_on_disc(self) -> None:
        answer = self._asking.choose(
            self,
            say(
                "{path} was changed by another program since it was read.",
                path=self._beside.lies.name,
            ),
            "",
            (READ_AGAIN, KEEP_MINE, DONT_SAVE),
        )
        if answer == DONT_SAVE:
            return
        self._beside = load_day(self._beside.path, self._story)
        if answer == KEEP_MINE:
            self._save()
            return
        self.outcome = None
        self._show_day(self._beside.day or Day())
        self._as_saved = self.day
        self._changed()
        self.said.setText("\n".join(self._beside.troubles))
