"""The fonts of the screen: Atkinson Hyperlegible, which comes as a package."""

from contextlib import suppress
from functools import cache

from PySide6.QtGui import QFont, QFontDatabase

FAMILY = "Atkinson Hyperlegible"


@cache
def load_fonts() -> str:
    """Make the font known to Qt; the family's name, or Qt's own if it is missing."""
    from importlib.resources import files

    with suppress(ImportError, OSError):
        for file in files("fontpkg_atkinson_hyperlegible").joinpath("files").iterdir():
            if file.name.endswith((".ttf", ".otf")):
                QFontDatabase.addApplicationFontFromData(file.read_bytes())
    return FAMILY if FAMILY in QFontDatabase.families() else QFont().family()


def font(size_px: float, *, bold: bool = False) -> QFont:
    """The story's font at a size."""
    made = QFont(load_fonts())
    made.setPixelSize(max(round(size_px), 8))
    made.setBold(bold)
    return made
