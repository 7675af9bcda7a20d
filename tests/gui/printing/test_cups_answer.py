"""What the print system alone would be told, taken over, so that it counts right."""

import sys
from typing import cast

import pytest
from PySide6.QtPrintSupport import QPrintEngine, QPrinter

from tapscore.gui.printing.cups_answer import keep_real_size, take_pages, withdraw


class Engine:
    """Keeps options as Qt's engine for CUPS does: names and values in one list."""

    def __init__(self, *options: str) -> None:
        self.options: list[str] = list(options)

    def property(self, key: QPrintEngine.PrintEnginePropertyKey) -> list[str]:
        assert key.value == 0xFE00
        return self.options

    def setProperty(  # noqa: N802
        self, key: QPrintEngine.PrintEnginePropertyKey, value: list[str]
    ) -> None:
        assert key.value == 0xFE00
        self.options = value


class Queue:
    """A printer of CUPS, as far as options go."""

    def __init__(self, *options: str) -> None:
        self.engine = Engine(*options)

    def outputFormat(self) -> QPrinter.OutputFormat:  # noqa: N802
        return QPrinter.OutputFormat.NativeFormat

    def printEngine(self) -> Engine:  # noqa: N802
        return self.engine

    def abort(self) -> bool:
        return False


pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="CUPS is asked on Linux alone")


@pytest.mark.parametrize(
    ("options", "pages", "left"),
    [
        ((), {1, 2, 3, 4, 5, 6}, []),
        (("job-priority", "50", "page-ranges", "2,4-5"), {2, 4, 5}, ["job-priority", "50"]),
        (("page-ranges", "5-"), {5, 6}, []),
        (("page-ranges", "nonsense"), set(), []),
        (("page-set", "odd", "page-ranges", "2-5"), {3, 5}, []),
        (("page-set", "even"), {2, 4, 6}, []),
        (("page-ranges", "-2"), {1, 2}, []),
        (("page-set", "all"), {1, 2, 3, 4, 5, 6}, []),
    ],
)
def test_pages_are_taken_over(options: tuple[str, ...], pages: set[int], left: list[str]) -> None:
    queue = Queue(*options)
    assert take_pages(cast(QPrinter, queue), 6) == pages
    assert queue.engine.options == left


def test_pages_are_not_fitted_and_a_job_can_be_withdrawn() -> None:
    """CUPS 2.4 turns a job down whose page range runs backwards."""
    queue = Queue("number-up", "1")
    keep_real_size(cast(QPrinter, queue))
    keep_real_size(cast(QPrinter, queue))
    assert queue.engine.options == ["number-up", "1", "print-scaling", "none"]
    withdraw(cast(QPrinter, queue))
    assert queue.engine.options[-2:] == ["page-ranges", "2-1"]
