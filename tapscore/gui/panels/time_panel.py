"""How long the story lasts, part by part, and how to make it fit a lesson."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QLabel,
    QPushButton,
    QScrollArea,
    QSpinBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.document import Document
from tapscore.gui.flow import FlowColumn
from tapscore.gui.forms.entries import from_the_edge
from tapscore.model.wordings import clock, clock_range
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import (
    ASSUMPTION,
    Share,
    length_words,
    running_time,
)
from tapscore.wording.catalogue import say
from tapscore.workflow.fit_time import FitPlan, plan_to_fill, plan_to_fit

COLUMNS = ("", say("At least"), say("Likely"), say("Tapping"), say("Waits"), say("Turns"))


class TimePanel(QScrollArea):
    """A table of times; refreshed when it is looked at and after each check."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._plan: FitPlan | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setAccessibleName(say("Time"))
        content = QWidget()
        column = QVBoxLayout(content)
        self.total = QLabel()
        self.total.setWordWrap(True)
        self.table = QTableWidget(0, len(COLUMNS))
        self.table.setHorizontalHeaderLabels(list(COLUMNS))
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setAccessibleName(say("Times of the sections"))
        self.table.verticalHeader().hide()
        self.table.setMinimumHeight(150)
        self.minutes = QSpinBox()
        from_the_edge(self.minutes)
        self.minutes.setRange(1, 120)
        self.minutes.setValue(20)
        self.minutes.setSuffix(say(" minutes"))
        self.minutes.setAccessibleName(say("The story should fit into"))
        self.how = QPushButton(say("How?"))
        self.how.setAccessibleName(say("How to make it fit"))
        self.do_it = QPushButton(say("Do it"))
        self.do_it.setAccessibleName(say("Change the story so that it fits"))
        self.do_it.setEnabled(False)
        self.steps = QLabel()
        self.steps.setWordWrap(True)
        note = QLabel(ASSUMPTION)
        note.setWordWrap(True)
        fit = FlowColumn()
        for each in (QLabel(say("Make it fit into")), self.minutes, self.how, self.do_it):
            fit.addWidget(each)
        for part in (self.total, self.table):
            column.addWidget(part)
        column.addLayout(fit)
        column.addWidget(self.steps)
        column.addWidget(note)
        column.addStretch(1)
        self.setWidget(content)
        self.how.clicked.connect(self._show_plan)
        self.do_it.clicked.connect(self._take_plan)
        self.refresh()

    def refresh(self) -> None:
        """Show the times of the story as it is now."""
        story = self._document.story
        performance = perform(story)
        time = running_time(performance)
        telling, in_all = length_words(story, performance)
        self.total.setText(f"<b>{telling}</b>, {in_all}.")
        shares = (*time.sections, time.total)
        self.table.setRowCount(len(shares))
        for number, share in enumerate(shares):
            title = share.title or say("Whole story")
            for at, text in enumerate((title, *_cells(share))):
                item = QTableWidgetItem(text)
                if at:
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                self.table.setItem(number, at, item)
        self.table.resizeColumnsToContents()
        self._plan = None
        self.do_it.setEnabled(False)
        self.steps.clear()

    def _show_plan(self) -> None:
        story, wanted_sec = self._document.story, self.minutes.value() * 60.0
        plan = plan_to_fit(story, wanted_sec)
        lines = [f"{n}. {step.what}" for n, step in enumerate(plan.steps, 1)]
        if not plan.steps and plan.fits:
            plan = plan_to_fill(story, wanted_sec)
            lines = [say("It fits as it is.")]
            if plan.steps:
                lines.append(say("To fill the time, if the pupils want it:"))
                lines += [f"{n}. {step.what}" for n, step in enumerate(plan.steps, 1)]
        elif not plan.steps:
            lines = [say("There is nothing left to shorten.")]
        elif not plan.fits:
            lines.append(
                say("That is still up to {likely_sec}.", likely_sec=clock(plan.after.likely_sec[1]))
            )
        self._plan = plan
        self.steps.setText("\n".join(lines))
        self.do_it.setEnabled(bool(plan.steps))

    def _take_plan(self) -> None:
        if self._plan is not None:
            self._document.edit(say("Make it fit"), self._plan.story)
            self.refresh()


def _cells(share: Share) -> tuple[str, ...]:
    return (
        clock(share.least_sec),
        clock_range(share.likely_sec),
        clock(share.fixed_sec),
        clock(share.waits_sec),
        clock(share.turns_sec),
    )
