"""What the print system alone would be told, taken over, so that it counts right."""

import sys
from typing import cast

import pytest
from PySide6.QtPrintSupport import QPrintEngine, QPrinter

from tapscore.gui.printing import cups_answer
from tapscore.gui.printing.cups_answer import (
    hand_over,
    is_cups,
    keep_real_size,
    refusal,
    take_pages,
    withdraw,
)
from tapscore.gui.printing.real_text import HandOver


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
        return self.format

    def printEngine(self) -> Engine:  # noqa: N802
        return self.engine

    gives_up = False
    format = QPrinter.OutputFormat.NativeFormat
    duplex_chosen = QPrinter.DuplexMode.DuplexNone

    def abort(self) -> bool:
        return self.gives_up

    def printerName(self) -> str:  # noqa: N802
        return "Office"

    def docName(self) -> str:  # noqa: N802
        return "The Mill"

    def copyCount(self) -> int:  # noqa: N802
        return 3

    def collateCopies(self) -> bool:  # noqa: N802
        return False

    def duplex(self) -> QPrinter.DuplexMode:
        return self.duplex_chosen


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


def test_a_job_that_can_be_given_up_is_left_as_it_is() -> None:
    queue = Queue()
    queue.gives_up = True
    withdraw(cast(QPrinter, queue))
    assert queue.engine.options == []


def test_a_file_has_no_options_and_all_its_pages() -> None:
    queue = Queue("page-ranges", "2")
    queue.format = QPrinter.OutputFormat.PdfFormat
    assert not is_cups(cast(QPrinter, queue))
    keep_real_size(cast(QPrinter, queue))
    assert take_pages(cast(QPrinter, queue), 3) == {1, 2, 3}
    assert queue.engine.options == ["page-ranges", "2"]


@pytest.mark.parametrize(
    ("duplex", "sides"),
    [
        (QPrinter.DuplexMode.DuplexNone, "one-sided"),
        (QPrinter.DuplexMode.DuplexAuto, "two-sided-long-edge"),
        (QPrinter.DuplexMode.DuplexLongSide, "two-sided-long-edge"),
        (QPrinter.DuplexMode.DuplexShortSide, "two-sided-short-edge"),
    ],
)
def test_all_that_was_chosen_is_handed_over(duplex: QPrinter.DuplexMode, sides: str) -> None:
    """Names of the sides: RFC 8011, 5.2.8."""
    queue = Queue("job-priority", "50")
    queue.duplex_chosen = duplex
    options = (("job-priority", "50"),)
    assert hand_over(cast(QPrinter, queue), (210.0, 148.0)) == HandOver(
        "Office", "The Mill", (210.0, 148.0), 3, False, sides, options
    )


@pytest.mark.parametrize(
    ("code", "said", "found"),
    [
        (0x0000, b"", None),
        (0x00FF, b"successful-but", None),
        (0x0100, b"client-error-bad-request", "client-error-bad-request"),
        (0x0507, "nicht möglich".encode(), "nicht möglich"),
        (0x0507, b"", "no reason was given"),
        (0x0507, None, "no reason was given"),
    ],
)
def test_why_a_job_was_not_taken(
    code: int, said: bytes | None, found: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 8011, appendix B: codes up to 0x00FF are success."""

    class Library:
        def cupsLastError(self) -> int:  # noqa: N802
            return code

        def cupsLastErrorString(self) -> bytes | None:  # noqa: N802
            return said

    monkeypatch.setattr(cups_answer, "_library", Library)
    assert refusal() == found
    monkeypatch.setattr(cups_answer, "_library", lambda: None)
    assert refusal() is None, "it can't be known"
