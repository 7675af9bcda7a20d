"""The printed fonts: Atkinson Hyperlegible, and by glyph other open fonts where it lacks one.

The second font is DejaVu Sans, in ``resources/fonts``, as no package brings it alone; Arabic
letters have a font of their own, for DejaVu Sans lacks some of Urdu.  What none has is told,
never printed as an empty box.
"""

import re
import unicodedata
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from attrs import frozen

from tapscore.resources import resource_path
from tapscore.wording.catalogue import say

REGULAR, BOLD = "Tapscore-Regular", "Tapscore-Bold"
SECOND_REGULAR, SECOND_BOLD = "Tapscore-Second-Regular", "Tapscore-Second-Bold"
ARABIC_REGULAR, ARABIC_BOLD = "Tapscore-Arabic-Regular", "Tapscore-Arabic-Bold"
_FILES: dict[str, tuple[str | None, str]] = {
    REGULAR: ("fontpkg_atkinson_hyperlegible", "files/AtkinsonHyperlegible-Regular.ttf"),
    BOLD: ("fontpkg_atkinson_hyperlegible", "files/AtkinsonHyperlegible-Bold.ttf"),
    SECOND_REGULAR: (None, "fonts/DejaVuSans.ttf"),
    SECOND_BOLD: (None, "fonts/DejaVuSans-Bold.ttf"),
    ARABIC_REGULAR: ("fontpkg_ibm_plex_sans_arabic", "files/IBMPlexSansArabic-Regular.ttf"),
    ARABIC_BOLD: ("fontpkg_ibm_plex_sans_arabic", "files/IBMPlexSansArabic-Bold.ttf"),
}
_ARABIC = re.compile("[\u0600-\u06ff\u0750-\u077f\u08a0-\u08ff\ufb50-\ufdff\ufe70-\ufefc]")
_PRIVATE = {name: 0xF0000 + 0x4000 * number for number, name in enumerate(_FILES)}
"""Where glyphs that stand for no letter by themselves have their places."""
_meant: dict[int, str] = {}
_UNSEEN = frozenset({"Cf", "Cc", "Cs"})
_SELECTORS = frozenset((*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0)))
"""Variation selectors: they choose a look and are not seen themselves."""
JOINERS = frozenset("\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}")
"""They are not seen either, but part or join letters that run from right to left."""
ISOLATES = frozenset("\N{FIRST STRONG ISOLATE}\N{POP DIRECTIONAL ISOLATE}")
"""They keep a text apart from the direction of what is around it (UAX #9)."""
_MAY_RUN_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U0001efff]")


@frozen
class FontRun:
    """Text that one font prints."""

    font: str
    text: str
    width_em: float


def font_path(name: str) -> Path | None:
    """File of a font; None where its package is not installed.

    Raises FileNotFoundError where the installation lacks a font of our own.
    """
    package, inside = _FILES[name]
    if package is None:
        return resource_path(inside)
    spec = find_spec(package)
    for folder in (spec.submodule_search_locations if spec else None) or ():
        path = Path(folder) / inside
        if path.is_file():
            return path
    return None


@lru_cache(maxsize=8192)
def runs(text: str, bold: bool) -> tuple[FontRun, ...]:
    """Split a text where the font changes; what no font has is left out.

    Letters and their accents are joined (NFC) where there is one character for both.
    """
    pieces: list[tuple[str, str]] = []
    for character in unicodedata.normalize("NFC", text):
        font = font_of(character, bold)
        if font is None:
            continue
        if pieces and pieces[-1][0] == font:
            pieces[-1] = (font, pieces[-1][1] + character)
        else:
            pieces.append((font, character))
    return tuple(
        FontRun(font, piece, sum(_widths(font).get(ord(c), 0) for c in piece) / 1000)
        for font, piece in pieces
    )


def missing(text: str) -> str:
    """Characters that no font here can print, each once, in order of appearance."""
    joined = unicodedata.normalize("NFC", text)
    lost = dict.fromkeys(c for c in joined if font_of(c, True) is None)
    return "".join(c for c in lost if not _unseen(c))


def _unseen(character: str) -> bool:
    return unicodedata.category(character) in _UNSEEN or ord(character) in _SELECTORS


@lru_cache(maxsize=8192)
def right_to_left(text: str) -> bool:
    """Whether a text has letters that run from right to left."""
    return any(
        unicodedata.bidirectional(found[0]) in ("R", "AL") for found in _MAY_RUN_LEFT.finditer(text)
    )


def second(bold: bool) -> str:
    """The second font."""
    return SECOND_BOLD if bold else SECOND_REGULAR


def glyph_numbers(name: str) -> dict[int, int]:
    """A font's glyph numbers by character, as its file has them."""
    _widths(name)
    return _file_glyphs(name)


def add_glyph(name: str, glyph: int, width_em: float, letter: str) -> str:
    """Let a character of a private plane stand for a glyph; whoever reads it reads ``letter``."""
    glyph_numbers(name)
    code = _PRIVATE[name] + glyph
    face = _face(name)
    face.charToGlyph[code] = glyph
    face.charWidths[code] = width_em * 1000
    _meant.setdefault(code, letter)
    return chr(code)


def meant(code: int) -> str:
    """The letter that a character in a PDF file stands for."""
    return _meant.get(code, chr(code))


def plain_width_em(name: str, text: str) -> float:
    """Width of characters of one font side by side."""
    widths: dict[int, float] = _face(name).charWidths
    return sum(widths[ord(character)] for character in text) / 1000


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
                say(
                    "the font package {files} is missing: install tapscore again",
                    files=_FILES[name][0],
                )
            )
        return None
    font = TTFont(name, str(path))
    pdfmetrics.registerFont(font)
    return font.face


@cache
def _widths(name: str) -> dict[int, float]:
    face = _face(name)
    return {} if face is None else dict(face.charWidths)


@cache
def _file_glyphs(name: str) -> dict[int, int]:
    return dict(_face(name).charToGlyph)


@lru_cache(maxsize=4096)
def font_of(character: str, bold: bool) -> str | None:
    """The font that prints a character; None where it is not seen or no font has it."""
    if _unseen(character):
        return None
    code = ord(character)
    names: tuple[str, ...] = (BOLD, SECOND_BOLD) if bold else (REGULAR, SECOND_REGULAR)
    if _ARABIC.match(character):
        names = (ARABIC_BOLD if bold else ARABIC_REGULAR, *names)
    for name in names:
        if code in _widths(name):
            return name
    return None
