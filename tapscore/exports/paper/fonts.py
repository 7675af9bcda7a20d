"""The printed fonts: Atkinson Hyperlegible, and by glyph another open font where it lacks one.

The second font is DejaVu Sans, which comes with matplotlib (which music21 brings).  What
neither has is told, never printed as an empty box.
"""

import unicodedata
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from attrs import frozen

REGULAR, BOLD = "Tapscore-Regular", "Tapscore-Bold"
SECOND_REGULAR, SECOND_BOLD = "Tapscore-Second-Regular", "Tapscore-Second-Bold"
_FILES = {
    REGULAR: ("fontpkg_atkinson_hyperlegible", "files/AtkinsonHyperlegible-Regular.ttf"),
    BOLD: ("fontpkg_atkinson_hyperlegible", "files/AtkinsonHyperlegible-Bold.ttf"),
    SECOND_REGULAR: ("matplotlib", "mpl-data/fonts/ttf/DejaVuSans.ttf"),
    SECOND_BOLD: ("matplotlib", "mpl-data/fonts/ttf/DejaVuSans-Bold.ttf"),
}
_UNSEEN = frozenset({"Cf", "Cc", "Cs"})
_SELECTORS = frozenset((*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0)))
"""Variation selectors: they choose a look and are not seen themselves."""


@frozen
class Run:
    """Text that one font prints."""

    font: str
    text: str
    width_em: float


def font_path(name: str) -> Path | None:
    """File of a font; None where its package is not installed.

    The package itself is not imported (matplotlib is slow to start).
    """
    package, inside = _FILES[name]
    spec = find_spec(package)
    for folder in (spec.submodule_search_locations if spec else None) or ():
        path = Path(folder) / inside
        if path.is_file():
            return path
    return None


@lru_cache(maxsize=8192)
def runs(text: str, bold: bool) -> tuple[Run, ...]:
    """Split a text where the font changes; what no font has is left out.

    Letters and their accents are joined (NFC) where there is one character for both.
    """
    pieces: list[tuple[str, str]] = []
    for character in unicodedata.normalize("NFC", text):
        font = _font_of(character, bold)
        if font is None:
            continue
        if pieces and pieces[-1][0] == font:
            pieces[-1] = (font, pieces[-1][1] + character)
        else:
            pieces.append((font, character))
    return tuple(
        Run(font, piece, sum(_widths(font).get(ord(c), 0) for c in piece) / 1000)
        for font, piece in pieces
    )


def width_pt(text: str, size_pt: float, *, bold: bool) -> float:
    """Width of a text on one line."""
    return size_pt * sum(run.width_em for run in runs(text, bold))


def missing(text: str) -> str:
    """Characters that no font here can print, each once, in order of appearance."""
    joined = unicodedata.normalize("NFC", text)
    lost = dict.fromkeys(c for c in joined if _font_of(c, True) is None)
    return "".join(c for c in lost if not _unseen(c))


def _unseen(character: str) -> bool:
    return unicodedata.category(character) in _UNSEEN or ord(character) in _SELECTORS


def right_to_left(text: str) -> bool:
    """Whether a text has letters that run from right to left (not joined up here yet)."""
    return any(unicodedata.bidirectional(character) in ("R", "AL") for character in text)


def register() -> None:
    """Make the fonts known to reportlab, once.

    Raises FileNotFoundError if the package with the font is not installed.
    """
    for name in (REGULAR, BOLD):
        _face(name)


@cache
def _face(name: str) -> Any:
    from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
    from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

    path = font_path(name)
    if path is None:
        if name in (REGULAR, BOLD):
            raise FileNotFoundError(
                f"the font package {_FILES[name][0]} is missing: install tapscore again"
            )
        return None
    font = TTFont(name, str(path))
    pdfmetrics.registerFont(font)
    return font.face


@cache
def _widths(name: str) -> dict[int, float]:
    face = _face(name)
    return {} if face is None else dict(face.charWidths)


@lru_cache(maxsize=4096)
def _font_of(character: str, bold: bool) -> str | None:
    if _unseen(character):
        return None
    code = ord(character)
    for name in (BOLD, SECOND_BOLD) if bold else (REGULAR, SECOND_REGULAR):
        if code in _widths(name):
            return name
    return None
