"""Papers made one after the other in the background."""

from PySide6.QtCore import QObject, Signal, Slot

from tapscore.gui.background import Background, Task
from tapscore.gui.printing.pdf_pages import PdfPages
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
