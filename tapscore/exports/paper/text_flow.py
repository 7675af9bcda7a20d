"""Paragraphs broken into lines that fit, never made smaller."""

import re
from functools import lru_cache
from unicodedata import combining, normalize

from attrs import frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import TextRun
from tapscore.exports.paper.inks import INK, Ink
from tapscore.exports.paper.text_width import width_pt
from tapscore.wording.catalogue import say
from tapscore.wording.text import Value

LEADING = 1.22
ASCENT = 0.80
"""From the top of a line of text to its base line, in sizes."""
_GLUE = "\u00a0\u2007\u202f\u2060"
"""Spaces where no line ends (UAX #14, classes GL and WJ)."""
_CLOSING, _OPENING = "!?,.:;/)]}»", "([{«¿¡"
"""No line begins with these and none ends with those, even beside a space (UAX #14, LB13 to LB15):
« Bonjour ! » is written so."""
_WORD = re.compile(rf"([^\S{_GLUE}]*)((?:\S|[{_GLUE}])*)")
ASCENT_FROM_RIGHT, LEADING_FROM_RIGHT = 1.0, 1.5
"""The same where letters run from right to left: their points stand above and below."""
_ASTERISKS = "\ue000\ue000"
"""Stands for two asterisks while marks are read; a private letter of Unicode."""
INSTEAD = "…"
"""Stands for a word that no font can print."""


@frozen
class Piece:
    """Part of a paragraph with one look."""

    text: str
    bold: bool = False
    ink: Ink = INK


def pieces_of(text: str, /, ink: Ink = INK, **values: Value) -> tuple[Piece, ...]:
    """A text of the catalogue in which ``**words**`` are bold, its holes filled.

    Words of the story in a hole are never bold for their own asterisks.
    """
    kept = {
        name: value.replace("**", _ASTERISKS) if isinstance(value, str) else value
        for name, value in values.items()
    }
    said = say(text, **kept).split("**")
    return tuple(
        Piece(part.replace(_ASTERISKS, "**"), bool(number % 2), ink)
        for number, part in enumerate(said)
        if part
    )


@frozen
class Flowed:
    """A paragraph laid out from (0, 0)."""

    texts: tuple[TextRun, ...]
    width_pt: float
    height_pt: float
    lines: int
    from_right: bool = False
    """Whether its lines end together at the right."""


@lru_cache(maxsize=1024)
def flow(
    pieces: tuple[Piece, ...], size_pt: float, width: float, *, as_begun: bool = False
) -> Flowed:
    """Break pieces into lines no wider than ``width`` points, at spaces alone.

    A word too long for a line by itself is divided with hyphens.  Letters that run from
    right to left do so; the paragraph as a whole runs from left to right, or, ``as_begun``,
    as its first letter does.
    """
    lines: list[list[_Bit]] = [[]]
    x = 0.0
    for word in _words(pieces):
        wide = sum(_wide(bit, size_pt) for bit in word)
        space = _Bit(word[0].piece, " ")
        gap = _wide(space, size_pt) if x else 0.0
        if x and x + gap + wide > width + 0.01:
            lines.append([])
            x = gap = 0.0
        if gap:
            lines[-1].append(space)
            x += gap
        if wide <= width + 0.01:
            lines[-1] += word
            x += wide
            continue
        for bit in word:
            for part in divide(bit.text, size_pt, width, bold=bit.piece.bold):
                small = _Bit(bit.piece, part)
                if x and x + _wide(small, size_pt) > width + 0.01:
                    lines.append([])
                    x = 0.0
                lines[-1].append(small)
                x += _wide(small, size_pt)
    made = [line for line in lines if line]
    if any(fonts.right_to_left(piece.text) for piece in pieces):
        return _placed_both_ways(made, size_pt, as_begun=as_begun)
    return _placed(made, size_pt)


@lru_cache(maxsize=8192)
def printable(text: str) -> str:
    """Give the text without what cannot be printed; a sign instead if nothing is left."""
    if fonts.right_to_left(text):
        joined = normalize("NFC", text)
        kept = "".join(
            c for c in joined if c in fonts.JOINERS | fonts.ISOLATES or fonts.font_of(c, True)
        )
    else:
        kept = "".join(run.text for run in fonts.runs(text, True))
    return kept if kept.strip() or not text.strip() else INSTEAD


def own(text: str) -> str:
    """Somebody's own words in a sentence of ours: they don't turn round what is beside them."""
    if not fonts.right_to_left(text):
        return text
    return f"\N{FIRST STRONG ISOLATE}{text}\N{POP DIRECTIONAL ISOLATE}"


def disowned(text: str) -> str:
    """The same without the signs that keep it apart: for what is no text on paper."""
    return "".join(character for character in text if character not in fonts.ISOLATES)


def divide(text: str, size_pt: float, width: float, *, bold: bool) -> list[str]:
    """Cut a word that is wider than ``width`` into parts that fit, with hyphens."""
    if width_pt(text, size_pt, bold=bold) <= width:
        return [text]
    hyphen = width_pt("-", size_pt, bold=bold)
    bits, bit = [], ""
    for character in text:
        if (
            bit
            and not combining(character)
            and width_pt(bit + character, size_pt, bold=bold) + hyphen > width
        ):
            bits.append(bit + "-")
            bit = ""
        bit += character
    return [*bits, bit] if bit else bits


@frozen
class _Bit:
    piece: Piece
    text: str


def _stays(before: str, after: str) -> bool:
    """Whether no line ends between two words, though a space stands there."""
    dashes = before[-1:] == after[:1] == "\u2014"  # LB17
    return dashes or after[:1] in _CLOSING or before[-1:] in _OPENING


def _wide(bit: _Bit, size_pt: float) -> float:
    return width_pt(bit.text, size_pt, bold=bit.piece.bold)


def _words(pieces: tuple[Piece, ...]) -> list[list[_Bit]]:
    """Words of a paragraph, each in as many bits as it has looks."""
    words: list[list[_Bit]] = []
    open_word = False
    for piece in pieces:
        for space, text in _WORD.findall(piece.text):
            if space:
                open_word = False
            if not text:
                continue
            bit = _Bit(piece, printable(text))
            if space and words and _stays(words[-1][-1].text, bit.text):
                words[-1] += [_Bit(piece, " "), bit]
            elif open_word:
                words[-1].append(bit)
            else:
                words.append([bit])
            open_word = True
    return words


def _placed(lines: list[list[_Bit]], size_pt: float) -> Flowed:
    texts: list[TextRun] = []
    widest = 0.0
    for number, line in enumerate(lines):
        x = 0.0
        y = size_pt * (ASCENT + LEADING * number)
        for bit in _joined(line):
            wide = _wide(bit, size_pt)
            texts.append(TextRun(x, y, bit.text, size_pt, bit.piece.ink, bit.piece.bold, wide))
            x += wide
        widest = max(widest, x)
    return Flowed(tuple(texts), widest, size_pt * LEADING * len(lines), len(lines))


def _placed_both_ways(lines: list[list[_Bit]], size_pt: float, *, as_begun: bool) -> Flowed:
    from tapscore.exports.paper.both_ways import both_ways
    from tapscore.exports.paper.writing_direction import begins_from_right

    whole = "".join(bit.text for line in lines for bit in line)
    from_right = as_begun and begins_from_right(whole)
    ascent = ASCENT_FROM_RIGHT if as_begun else ASCENT
    leading = LEADING_FROM_RIGHT if as_begun else LEADING
    texts, width = both_ways(
        [[(bit.text, bit.piece.bold, bit.piece.ink) for bit in _joined(line)] for line in lines],
        size_pt,
        from_right=from_right,
        base_lines=[size_pt * (ascent + leading * number) for number in range(len(lines))],
    )
    return Flowed(texts, width, size_pt * leading * len(lines), len(lines), from_right)


def _joined(line: list[_Bit]) -> list[_Bit]:
    """Neighbours of one look as one."""
    joined: list[_Bit] = []
    for bit in line:
        last = joined[-1] if joined else None
        if last and (last.piece.bold, last.piece.ink) == (bit.piece.bold, bit.piece.ink):
            joined[-1] = _Bit(last.piece, last.text + bit.text)
        else:
            joined.append(bit)
    return joined
