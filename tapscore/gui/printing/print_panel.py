"""Pages to look through, and a key that gives them to a printer."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.asking import Asking
from tapscore.gui.background import Background, Task
from tapscore.gui.printing.page_view import PageView
from tapscore.gui.printing.pdf_pages import PdfPages
from tapscore.gui.printing.print_job import PrintJob
from tapscore.gui.printing.printer_choice import (
    chosen_sheet,
    left_as_usual,
    new_printer,
    pages_wanted,
    plan,
    stopped,
    there_is_a_printer,
)
from tapscore.screen.sheets import counted, fits_on, runs
from tapscore.wording.catalogue import say
from tapscore.workflow.papers import ToPrint


def _work(wanted: tuple[ToPrint, ...], task: Task) -> None:
    for paper in wanted:
        if task.cancelled():
            return
        try:
            task.report((paper.name, paper.make(), ""))
        except (ValueError, OSError) as error:
            task.report((paper.name, b"", str(error)))


class MakingPages(QObject):
    """Fills ``pages`` with papers; ``grew`` after each, ``finished`` when all are there."""

    grew = Signal()
    finished = Signal()

    def __init__(self, pages: PdfPages, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pages = pages
        self._background = Background(_work, self)
        self._background.progressed.connect(self._made)
        self._background.answered.connect(self.finished)
        self.stop = self._background.stop
        self.problems: list[str] = []
        """Why some of them could not be made."""

    @property
    def busy(self) -> bool:
        """Whether something is still to be made."""
        return self._background.busy

    def make(self, wanted: tuple[ToPrint, ...]) -> None:
        """Begin anew with these papers."""
        self._pages.clear()
        self.problems = []
        self._background.ask(wanted)

    @Slot(object)
    def _made(self, news: tuple[str, bytes, str]) -> None:
        name, pdf, problem = news
        if not problem:
            self._pages.add(name, pdf)
        elif problem not in "\n".join(self.problems):
            self.problems.append(f"{name}: {problem}")
        self.grew.emit()


PRINT, DONT_PRINT, TO_FILE, OWN_PAPER = (
    say("Print all the same"),
    say("Don't print"),
    say("Print into a PDF file"),
    say("Print on paper of the pages' own size"),
)


class PrintPanel(QWidget):
    """Shows papers as they will be printed and prints them."""

    begun = Signal()
    idle = Signal()
    """Nothing is being printed any more."""
    all_printed = Signal()
    """Every page of what is shown went to the printer."""

    def __init__(self, title: str, asking: Asking, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = title
        self._asking = asking
        self.pages = PdfPages(self)
        self.making = MakingPages(self.pages, self)
        self.what = QLabel()
        self.view = PageView(self.pages, first=self.what)
        self.view.turned.connect(self._turned)
        self._wanted = 0
        """The page that was looked at: it stays while papers are made anew."""
        self._both_sides = False
        self._job: PrintJob | None = None
        self._to = ""
        self._all = False
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What there is to print"))
        self.bar = QProgressBar()
        self.bar.setAccessibleName(say("How far it is"))
        self.bar.hide()
        self.print = QPushButton(say("Print ..."))
        self.print.setDefault(True)
        self.stop = QPushButton(say("Stop"))
        self.stop.hide()
        self.buttons = QHBoxLayout()
        self.buttons.addStretch(1)
        self.buttons.addWidget(self.stop)
        self.buttons.addWidget(self.print)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view, 1)
        column.addWidget(self.said)
        column.addWidget(self.bar)
        column.addLayout(self.buttons)
        self.making.grew.connect(self._grew)
        self.making.finished.connect(self._made)
        self.print.clicked.connect(self.start)
        self.stop.clicked.connect(self.stop_printing)

    @property
    def printing(self) -> bool:
        """Whether a printer is being given pages."""
        return self._job is not None

    def show_papers(self, wanted: tuple[ToPrint, ...], *, both_sides: bool = False) -> None:
        """Make papers and show them."""
        self._both_sides = both_sides
        self.print.setEnabled(False)
        self.said.setText(say("Making the pages."))
        self.making.make(wanted)

    @Slot()
    def _grew(self) -> None:
        wanted = self._wanted
        self.view.turn_to(wanted)  # or the last there is so far
        self._wanted = wanted

    @Slot()
    def _made(self) -> None:
        count = self.pages.count
        self.view.turn_to(self._wanted)
        said = [counted([self.pages.size_mm(page) for page in range(count)])]
        self.said.setText("\n".join((*said, *self.making.problems)))
        self.print.setEnabled(count > 0)

    @Slot(int)
    def _turned(self, page: int) -> None:
        self._wanted = page
        name = self.pages.name(page)
        self.what.setText(name[:1].upper() + name[1:])

    @Slot()
    def start(self) -> None:
        """Ask for a printer and print, unless it does not suit and she would rather not."""
        count = self.pages.count
        if self.making.busy or self.printing or not count:
            return
        if not there_is_a_printer() and not self._without_printer():
            return
        sizes = tuple(self.pages.size_mm(page) for page in range(count))
        printer = new_printer(self._title, sizes[0], both_sides=self._both_sides)
        if not self._asking.printer(self.window(), printer, count):
            self.said.setText(say("Nothing was printed."))
            return
        wanted = pages_wanted(printer, count, self.view.page)
        blank = tuple(self.pages.blank_mm(page) for page in range(count))
        on = partial(plan, printer, sizes, blank, wanted, both_sides=self._both_sides)
        sheet = chosen_sheet(printer, sizes[0])
        to_print = tuple(sizes[page] for page in wanted)
        as_usual = sheet is not None and left_as_usual(printer, sheet, to_print)
        if sheet is not None and as_usual and not all(fits_on(size, sheet) for size in to_print):
            sheet, as_usual = None, False
        planned = on(sheet)
        if planned.impossible is not None:
            self._say_in_full(say("Nothing was printed."), planned.impossible)
            return
        doubts = list(planned.doubts)
        if stopped(printer):
            name = printer.printerName()
            doubts.append(
                say("{name} is stopped: the pages would wait until somebody starts it.", name=name)
            )
        answer = self._go_on(doubts, as_usual=as_usual) if doubts else PRINT
        if answer == OWN_PAPER:
            planned = on(None)
            answer = self._go_on(planned.doubts) if planned.doubts else PRINT
        if answer == DONT_PRINT:
            self.said.setText(say("Nothing was printed."))
            return
        self._all = len(set(wanted)) == count
        self._to = printer.outputFileName() or printer.printerName()
        one_sided = printer.duplex() == printer.DuplexMode.DuplexNone
        papers = () if one_sided else tuple(self.pages.name(page) for page in planned.pages)
        jobs = runs(planned.pages, planned.sheets_mm, papers)
        self._job = PrintJob(printer, self.pages, jobs, self)
        self._job.progressed.connect(self._progressed)
        self._job.done.connect(self._done)
        self._show_busy(busy=True)
        self.begun.emit()
        self._job.start()

    @Slot()
    def stop_printing(self) -> None:
        """Stop as soon as can be."""
        if self._job is not None:
            self._job.stop()
            self.said.setText(say("Stopping."))

    def _without_printer(self) -> bool:
        answer = self._asking.choose(
            self.window(),
            say("No printer was found on this computer."),
            say(
                "Look whether one is switched on and set up. The pages can go into a PDF file now."
            ),
            (TO_FILE, DONT_PRINT),
        )
        return answer == TO_FILE

    def _go_on(self, doubts: Sequence[str], *, as_usual: bool = False) -> str:
        answers = (OWN_PAPER, PRINT, DONT_PRINT) if as_usual else (PRINT, DONT_PRINT)
        text = "\n\n".join(doubts)
        return self._asking.choose(self.window(), say("Please look first."), text, answers)

    def _say_in_full(self, short: str, more: str) -> None:
        self.said.setText(f"{short} {more}")
        self._asking.tell(self.window(), short, more)

    def _show_busy(self, *, busy: bool) -> None:
        self.stop.setVisible(busy)
        self.bar.setVisible(busy)
        self.print.setEnabled(not busy)
        if busy and self._job is not None:
            self.bar.setRange(0, self._job.total)
            self.bar.setValue(0)
            self.said.setText(say("Giving the pages to {to}.", to=self._to))
            self.stop.setFocus()
        else:
            self.print.setFocus()

    @Slot(int)
    def _progressed(self, drawn: int) -> None:
        self.bar.setValue(drawn)

    @Slot(object)
    def _done(self, problem: str | None) -> None:
        assert self._job is not None
        total = self._job.total
        job: QObject = self._job
        self._job = None
        job.deleteLater()
        self._show_busy(busy=False)
        if problem is None:
            self.said.setText(say("{total:1 page|# pages} went to {to}.", total=total, to=self._to))
            if self._all and not self.making.problems:
                self.all_printed.emit()
        else:
            self.said.setText(problem)
        self.idle.emit()
