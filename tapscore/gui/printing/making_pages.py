"""Papers made one at a time, between the window's turns."""

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.gui.printing.papers import ToPrint
from tapscore.gui.printing.pdf_pages import PdfPages


class MakingPages(QObject):
    """Fills ``pages`` with papers; ``grew`` after each, ``finished`` when all are there."""

    grew = Signal()
    finished = Signal()

    def __init__(self, pages: PdfPages, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pages = pages
        self._left: list[ToPrint] = []
        self.problems: list[str] = []
        """Why some of them could not be made."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._make_one)

    @property
    def busy(self) -> bool:
        """Whether something is still to be made."""
        return bool(self._left)

    def make(self, wanted: tuple[ToPrint, ...]) -> None:
        """Begin anew with these papers."""
        self._pages.clear()
        self._left = list(wanted)
        self.problems = []
        self._timer.start(0)

    @Slot()
    def _make_one(self) -> None:
        if self._left:
            paper = self._left.pop(0)
            try:
                self._pages.add(paper.name, paper.make())
            except (ValueError, OSError) as error:
                why = f"{paper.name}: {error}"
                if str(error) not in "\n".join(self.problems):
                    self.problems.append(why)
            self.grew.emit()
        if self._left:
            self._timer.start(0)
        else:
            self.finished.emit()
