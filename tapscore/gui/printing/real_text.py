"""Pages printed as what they are, letters and lines: put together as a PDF, and given to CUPS.

Drawn through Qt a page would be a picture of 600 dots an inch: large, slow, and no text in it.
"""

import shutil
import subprocess
import sys
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import frozen

from tapscore.disc.programs import NO_CONSOLE, outside
from tapscore.screen.sheets import Size, same

if TYPE_CHECKING:
    from pypdf import PdfReader

_PT_PER_MM = 72 / 25.4
LONGEST_SEC = 60.0
"""A print system that has not taken a job by then is given up."""


class PagesTogether:
    """A PDF put together of pages of others, each in the middle of its sheet."""

    def __init__(self) -> None:
        from pypdf import PdfWriter

        self._writer: PdfWriter = PdfWriter()
        self._readers: dict[int, PdfReader] = {}

    def add(self, pdf: bytes, page: int, sheet_mm: Size) -> None:
        """Put a page of a PDF behind the others, at its real size."""
        from pypdf import PageObject, PdfReader, Transformation

        if id(pdf) not in self._readers:
            self._readers[id(pdf)] = PdfReader(BytesIO(pdf))
        taken = self._readers[id(pdf)].pages[page]
        wide, high = float(taken.mediabox.width), float(taken.mediabox.height)
        if same((wide / _PT_PER_MM, high / _PT_PER_MM), sheet_mm):
            self._writer.add_page(taken)
            return
        sheet = (sheet_mm[0] * _PT_PER_MM, sheet_mm[1] * _PT_PER_MM)
        made = PageObject.create_blank_page(width=sheet[0], height=sheet[1])
        to_middle = Transformation().translate((sheet[0] - wide) / 2, (sheet[1] - high) / 2)
        made.merge_transformed_page(taken, to_middle)
        self._writer.add_page(made)

    def pdf(self) -> bytes:
        """The whole file."""
        out = BytesIO()
        self._writer.write(out)
        return out.getvalue()


@frozen
class HandOver:
    """How the print system is given a file."""

    printer: str
    title: str
    sheet_mm: Size
    copies: int
    collated: bool
    both_sides: str
    """``one-sided``, ``two-sided-long-edge`` or ``two-sided-short-edge`` (RFC 8011)."""
    options: tuple[tuple[str, str], ...]
    """What else was chosen in the system's dialog."""

    def command(self, file: Path) -> list[str]:
        """The command line of ``lp`` (POSIX, with the options of CUPS)."""
        short, long = sorted(self.sheet_mm)
        chosen: Mapping[str, str] = {
            "media": f"Custom.{short:.0f}x{long:.0f}mm",
            **dict(self.options),
            "sides": self.both_sides,
            "collate": "true" if self.collated else "false",
            "print-scaling": "none",
        }
        words = ["lp", "-d", self.printer, "-n", str(self.copies), "-t", self.title]
        for name, value in chosen.items():
            words += ["-o", f"{name}={value}"]
        return [*words, "--", str(file)]


def can_hand_over() -> bool:
    """Whether this system takes PDF files for printing."""
    return sys.platform.startswith("linux") and shutil.which("lp") is not None


def begin_to_hand_over(how: HandOver, file: Path) -> "subprocess.Popen[str]":
    """Start giving a file to the print system.  Raises OSError."""
    return subprocess.Popen(
        how.command(file),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env=outside(),
        creationflags=NO_CONSOLE,
    )
