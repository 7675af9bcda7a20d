"""What a Unix print system answered: Qt itself does not tell whether a job was taken.

Qt's plug-in and this module load the same library, so its last answer is that to Qt's job.
"""

import ctypes
import sys
from typing import TYPE_CHECKING

from tapscore.gui.printing.real_text import HandOver
from tapscore.screen.sheets import Size
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrintEngine, QPrinter

_LAST_OK = 0x00FF
"""Status codes up to this are success (RFC 8011, appendix B)."""
_CUPS_OPTIONS = 0xFE00
"""The number of the engine's property that holds further options, in Qt's own headers."""


def refusal() -> str | None:
    """Why the last job was not taken; None if it was, or if that can't be known."""
    library = _library()
    if library is None or library.cupsLastError() <= _LAST_OK:
        return None
    said = library.cupsLastErrorString()
    return said.decode("utf-8", "replace") if said else say("no reason was given")


def keep_real_size(printer: "QPrinter") -> None:
    """Ask the print system not to fit pages to anything."""
    _add_option(printer, "print-scaling", "none")


def withdraw(printer: "QPrinter") -> None:
    """Make sure that a job which is being written is not taken.

    Qt can't give up a job it has begun here: it sends it when painting ends.  So the job is
    given pages that can't be, which the print system turns down as a whole.
    """
    if not printer.abort():
        _add_option(printer, "page-ranges", "2-1")


def take_pages(printer: "QPrinter", count: int) -> frozenset[int]:
    """Numbers, from 1, of the pages asked for in a way that only the print system would see.

    They are taken out of what it is told: it would count them in each job anew.
    """
    options = _options(printer)
    pages = set(range(1, count + 1))
    ranges = options.pop("page-ranges", "")
    if ranges:
        pages &= {number for each in ranges.split(",") for number in _range(each, count)}
    which = options.pop("page-set", "all")
    if which in ("odd", "even"):
        pages = {number for number in pages if (number % 2 == 1) == (which == "odd")}
    _set_options(printer, options)
    return frozenset(pages)


def hand_over(printer: "QPrinter", sheet_mm: Size) -> HandOver:
    """What was chosen in the system's dialog, for a PDF of sheets that size."""
    from PySide6.QtPrintSupport import QPrinter

    duplex = QPrinter.DuplexMode
    sides = {
        duplex.DuplexLongSide: "two-sided-long-edge",
        duplex.DuplexShortSide: "two-sided-short-edge",
        duplex.DuplexAuto: "two-sided-long-edge",
    }
    return HandOver(
        printer.printerName(),
        printer.docName(),
        sheet_mm,
        printer.copyCount(),
        printer.collateCopies(),
        sides.get(printer.duplex(), "one-sided"),
        tuple(_options(printer).items()),
    )


def _range(text: str, count: int) -> range:
    first, dash, last = text.partition("-")
    try:
        low = int(first or 1)
        return range(low, (int(last or count) if dash else low) + 1)
    except ValueError:
        return range(0)


def _add_option(printer: "QPrinter", name: str, value: str) -> None:
    _set_options(printer, {**_options(printer), name: value})


def _options(printer: "QPrinter") -> dict[str, str]:
    """Further options of the print system by name; none where there is no such system."""
    if not is_cups(printer):
        return {}
    listed = printer.printEngine().property(_options_key())
    words = [str(each) for each in listed] if isinstance(listed, list) else []
    return dict(zip(words[::2], words[1::2], strict=False))


def _set_options(printer: "QPrinter", options: dict[str, str]) -> None:
    if is_cups(printer):
        listed = [word for pair in options.items() for word in pair]
        printer.printEngine().setProperty(_options_key(), listed)


def is_cups(printer: "QPrinter") -> bool:
    """Whether a printer is one of the print system here, and no file."""
    from PySide6.QtPrintSupport import QPrinter

    native = printer.outputFormat() == QPrinter.OutputFormat.NativeFormat
    return native and sys.platform.startswith("linux")


def _options_key() -> "QPrintEngine.PrintEnginePropertyKey":
    from PySide6.QtPrintSupport import QPrintEngine

    return QPrintEngine.PrintEnginePropertyKey(_CUPS_OPTIONS)


def _library() -> ctypes.CDLL | None:
    if not sys.platform.startswith("linux"):
        return None
    try:
        library = ctypes.CDLL("libcups.so.2")
        library.cupsLastErrorString.restype = ctypes.c_char_p
        library.cupsLastError.restype = ctypes.c_int
    except (OSError, AttributeError):
        return None
    return library
