"""Pages given to a printer at their real size: as PDF where that can be, else as pictures.

What Qt draws it draws in the window's thread, a page or a strip of a picture at a time, so that
Stop is heard; pages are put together and written elsewhere.
"""

import os
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from PySide6.QtCore import QMarginsF, QObject, QRect, QRectF, QSize, QSizeF, QTimer, Signal, Slot
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter

from tapscore.disc.reasons import reason
from tapscore.gui.background import Errands
from tapscore.gui.printing.cups_answer import (
    hand_over,
    is_cups,
    keep_real_size,
    refusal,
    withdraw,
)
from tapscore.gui.printing.pdf_pages import PdfPages
from tapscore.gui.printing.real_text import (
    LONGEST_SEC,
    PagesTogether,
    begin_to_hand_over,
    can_hand_over,
)
from tapscore.screen.sheets import PrintRun, Size, same
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

MOST_DPI = 600
"""Finer is not seen on paper, and a page of A4 takes 140 MB already."""
_TURN_SEC = 0.02
"""How long a turn of the window waits for what is done elsewhere."""
_STRIP_PX = 512
_OVERLAP_PX = 2
"""Strips lie over one another by this, so that no hairline is left between them."""


class _RefusedError(Exception):
    pass


def layout_for(sheet_mm: Size) -> QPageLayout:
    """A whole sheet without margins, lying or upright.

    It is counted from the paper's corner: else Qt would widen the margins to what the printer
    leaves blank, and the page would stand so much lower and to the right.
    """
    wide, high = sheet_mm
    short, long = sorted((wide, high))
    size = QPageSize(
        QSizeF(short, long), QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch
    )
    way = QPageLayout.Orientation.Landscape if wide > high else QPageLayout.Orientation.Portrait
    layout = QPageLayout(size, way, QMarginsF())
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout


class PrintJob(QObject):
    """Prints runs of pages; ``done`` gives None, or a sentence on what went wrong."""

    progressed = Signal(int)
    """How many pages are drawn."""
    done = Signal(object)

    def __init__(
        self, printer: "QPrinter", pages: PdfPages, runs: tuple[PrintRun, ...], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._printer = printer
        self._pages = pages
        self._runs = runs
        self._painter = QPainter()
        self._stopping = False
        self._drawn = 0
        self._file = Path(printer.outputFileName()) if printer.outputFileName() else None
        self._unfinished: Path | None = None
        copies = 1 if printer.supportsMultipleCopies() else printer.copyCount()
        self._copies = copies
        self.total = copies * sum(len(run.pages) for run in runs)
        self._steps = self._all_steps()
        self._errands = Errands()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._step)

    def start(self) -> None:
        """Begin; nothing is drawn before the window's next turn."""
        self._timer.start(0)

    def stop(self) -> None:
        """Give up at the next strip; a job that is not whole is not printed."""
        self._stopping = True

    @Slot()
    def _step(self) -> None:
        try:
            next(self._steps)
        except StopIteration:
            self._end(None)
        except _RefusedError as error:
            self._end(str(error))
        except OSError as error:
            self._end(say("The file was not made: {reason}.", reason=reason(error)))

    def _end(self, problem: str | None) -> None:
        self._timer.stop()
        self._errands.no_more()
        if self._painter.isActive():
            self._painter.end()
        if self._unfinished is not None:
            self._unfinished.unlink(missing_ok=True)
        self.done.emit(problem)

    def _all_steps(self) -> Iterator[None]:
        if self._file is not None:
            yield from self._to_file(self._file)
            return
        hand = can_hand_over() and is_cups(self._printer)
        for run in self._runs:
            if hand:
                yield from self._hand_over(run)
                continue
            self._begin(run)
            yield from self._run(run)
            self._painter.end()
            self._look_whether_taken()

    def _to_file(self, file: Path) -> Iterator[None]:
        whole = PagesTogether()
        for page, run in self._in_order(self._runs):
            yield from self._put(whole, page, run)
        handle, name = tempfile.mkstemp(prefix=".printing-", suffix=".pdf", dir=file.parent)
        self._unfinished = Path(name)
        yield from self._until_done(partial(_write, handle, self._as_it_is(), whole))
        self._unfinished.replace(file)

    def _as_it_is(self) -> bytes | None:
        """The one PDF that is printed whole, with its tags; None where pages are chosen."""
        pages = tuple(page for page, _ in self._in_order(self._runs))
        fit = all(
            same(self._pages.size_mm(page), run.sheet_mm)
            for run in self._runs
            for page in run.pages
        )
        return self._pages.whole(pages) if fit else None

    def _put(self, whole: PagesTogether, page: int, run: PrintRun) -> Iterator[None]:
        self._heed_stop()
        yield from self._until_done(partial(whole.add, *self._pages.source(page), run.sheet_mm))
        self._drawn += 1
        self.progressed.emit(self._drawn)

    def _until_done(self, work: Callable[[], object]) -> Iterator[None]:
        """Let the window go on while something that is not Qt's is done elsewhere."""
        errand = self._errands.do(work)
        while not errand.ended(_TURN_SEC):
            yield
        self._heed_stop()
        _ = errand.answer
        yield

    def _hand_over(self, run: PrintRun) -> Iterator[None]:
        """Give the pages to the print system as they are."""
        whole = PagesTogether()
        for page in run.pages:
            yield from self._put(whole, page, run)
        handle, name = tempfile.mkstemp(prefix="tapscore-", suffix=".pdf")
        self._unfinished = Path(name)
        yield from self._until_done(partial(_write, handle, None, whole))
        taking = begin_to_hand_over(hand_over(self._printer, run.sheet_mm), self._unfinished)
        until = monotonic() + LONGEST_SEC
        while taking.poll() is None:
            if self._stopping or monotonic() > until:
                taking.kill()
                taking.communicate()
                self._heed_stop()
                raise _RefusedError(
                    say("{printer} did not answer.", printer=self._printer.printerName())
                )
            yield
        _, said = taking.communicate()
        self._unfinished.unlink(missing_ok=True)
        self._unfinished = None
        if taking.returncode:
            why = said.strip() or say("no reason was given")
            raise _RefusedError(
                say(
                    "{printer} did not take the pages: {why}",
                    printer=self._printer.printerName(),
                    why=why,
                )
            )

    def _begin(self, run: PrintRun) -> None:
        printer = self._printer
        printer.setPageLayout(layout_for(run.sheet_mm))
        keep_real_size(printer)
        if not self._painter.begin(printer):
            name = printer.printerName() or say("The printer")
            raise _RefusedError(
                say("{name} did not take the pages. Is it there and switched on?", name=name)
            )
        self._painter.setRenderHint(QPainter.RenderHint.LosslessImageRendering)

    def _look_whether_taken(self) -> None:
        why = refusal()
        if why is not None:
            raise _RefusedError(
                say(
                    "{printer} did not take the pages: {why}",
                    printer=self._printer.printerName(),
                    why=why,
                )
            )

    def _run(self, run: PrintRun) -> Iterator[None]:
        new = False
        for page, _ in self._in_order((run,)):
            if new and not self._printer.newPage():
                raise _RefusedError(say("The printer stopped taking pages. Look at the printer."))
            new = True
            yield from self._draw(page, run.sheet_mm)
            self._drawn += 1
            self.progressed.emit(self._drawn)

    def _in_order(self, runs: tuple[PrintRun, ...]) -> Iterator[tuple[int, PrintRun]]:
        """Every page as often as there are copies: set after set, or each page many times."""
        sets, times = (self._copies, 1) if self._printer.collateCopies() else (1, self._copies)
        for _ in range(sets):
            for run in runs:
                for page in run.pages:
                    yield from [(page, run)] * times

    def _draw(self, page: int, sheet_mm: Size) -> Iterator[None]:
        """Draw a page at its real size in the middle of the sheet."""
        per_mm = self._printer.resolution() / 25.4
        wide_mm, high_mm = self._pages.size_mm(page)
        left = (sheet_mm[0] - wide_mm) / 2 * per_mm
        top = (sheet_mm[1] - high_mm) / 2 * per_mm
        shrink = max(1.0, self._printer.resolution() / MOST_DPI)
        size = QSize(round(wide_mm * per_mm / shrink), round(high_mm * per_mm / shrink))
        image = self._pages.image(page, size)
        for first in range(0, size.height(), _STRIP_PX):
            count = min(_STRIP_PX + _OVERLAP_PX, size.height() - first)
            strip = _on_white(image, QRect(0, first, size.width(), count))
            if strip is not None:
                at = QRectF(left, top + first * shrink, size.width() * shrink, count * shrink)
                self._painter.drawImage(at, strip)
            self._heed_stop()
            yield

    def _heed_stop(self) -> None:
        if self._stopping:
            if self._painter.isActive():
                withdraw(self._printer)
                self._painter.end()
            drawn = say("Stopped. Pages that the printer has already may still come out.")
            raise _RefusedError(drawn if self._file is None else say("Stopped. No file was made."))


def _write(handle: int, as_it_is: bytes | None, whole: PagesTogether) -> None:
    """Fill a file; in a worker."""
    with os.fdopen(handle, "wb") as made:
        made.write(as_it_is or whole.pdf())


def _on_white(image: QImage, strip: QRect) -> QImage | None:
    """A strip of a page with its clear ground made white; None where nothing is on it."""
    part = image.copy(strip)
    blank = QImage(part.size(), part.format())
    blank.fill(0)
    if part == blank:
        return None
    ground = QImage(part.size(), QImage.Format.Format_RGB32)
    ground.fill(0xFFFFFFFF)
    painter = QPainter(ground)
    painter.drawImage(0, 0, part)
    painter.end()
    return ground
