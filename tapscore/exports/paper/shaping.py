"""Letters that run from right to left, joined and with their points in place (HarfBuzz)."""

import unicodedata
from functools import cache, lru_cache
from itertools import groupby
from typing import Any

from attrs import frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.writing_direction import stretches

NOT_SEEN = "".join(fonts.JOINERS)


@frozen
class Glyphs:
    """Glyphs side by side, as characters of a font's PDF encoding."""

    font: str
    text: str
    x_em: float
    """Where they begin, from the left end of the stretch."""
    y_em: float


@frozen
class Cluster:
    """Glyphs that are drawn together, and the letters they are for.

    Without ``letter`` every glyph is for a letter of its own.
    """

    glyphs: tuple[Glyphs, ...]
    x_em: float
    """Where its room begins, from the left end of the stretch; points may stand out of it."""
    letter: str = ""
    """The first letter, if there are several or if it has points."""
    more: str = ""
    """The other letters and points."""
    points: tuple[Glyphs, ...] = ()
    """Points and other marks, which stand anywhere about the letter."""


@frozen
class Shaped:
    """A stretch of letters from right to left, in the order they stand in from the left."""

    clusters: tuple[Cluster, ...]
    width_em: float


@lru_cache(maxsize=4096)
def shaped(text: str, bold: bool) -> Shaped:
    """Shape one stretch that runs from right to left; what no font has is left out."""
    made: list[Cluster] = []
    pen = 0.0
    for font, part in reversed(_by_font(text, bold)):
        clusters, pen = _clusters(font, part, pen)
        for cluster in clusters:
            both = _side_by_side(made[-1], cluster) if made else None
            if both is not None:
                made[-1] = both
            else:
                made.append(cluster)
    return Shaped(tuple(made), pen)


def _side_by_side(left: Cluster, right: Cluster) -> Cluster | None:
    """Two clusters as one, if all their glyphs are for single letters in one run."""
    if left.letter or right.letter:
        return None
    one, two = left.glyphs[0], right.glyphs[0]
    end = one.x_em + fonts.plain_width_em(one.font, one.text)
    if one.font != two.font or one.y_em != two.y_em or abs(end - two.x_em) > 0.001:
        return None
    return Cluster((Glyphs(one.font, one.text + two.text, one.x_em, one.y_em),), left.x_em)


def run_width_em(text: str, bold: bool, *, from_right: bool) -> float:
    """Width of letters that run all one way."""
    if from_right:
        return shaped(text, bold).width_em
    return sum(run.width_em for run in fonts.runs(text, bold))


@lru_cache(maxsize=4096)
def width_em(text: str, bold: bool) -> float:
    """Width of a text on one line, whichever way its letters run."""
    return sum(
        run_width_em(text[way.start : way.end], bold, from_right=way.from_right)
        for way in stretches(text, from_right=False)
    )


def _by_font(text: str, bold: bool) -> list[tuple[str, str]]:
    """Parts of a text by the font that has them; joiners go with what is before them."""
    parts: list[tuple[str, str]] = []
    for character in unicodedata.normalize("NFC", text):
        joiner = character in fonts.JOINERS
        font = fonts.font_of(character, bold)
        if font is None and joiner:
            font = parts[-1][0] if parts else fonts.second(bold)
        if font is None:
            continue
        if parts and parts[-1][0] == font:
            parts[-1] = (font, parts[-1][1] + character)
        else:
            parts.append((font, character))
    return parts


def _clusters(font: str, text: str, pen: float) -> tuple[list[Cluster], float]:
    import uharfbuzz  # type: ignore[import-not-found,import-untyped,unused-ignore]

    hb_font, per_em = _hb_font(font)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.direction = "rtl"
    buffer.language = "und"
    buffer.guess_segment_properties()
    buffer.flags = uharfbuzz.BufferFlags.REMOVE_DEFAULT_IGNORABLES
    uharfbuzz.shape(hb_font, buffer)
    glyphs = list(zip(buffer.glyph_infos, buffer.glyph_positions, strict=True))
    starts = sorted({info.cluster for info, _ in glyphs})
    ends = dict(zip(starts, [*starts[1:], len(text)], strict=True))
    made: list[Cluster] = []
    for start, together in groupby(glyphs, key=lambda glyph: glyph[0].cluster):
        letters = text[start : ends[start]].lstrip(NOT_SEEN)
        drawn: list[Glyphs] = []
        points: list[Glyphs] = []
        begin = pen
        for info, position in together:
            character = _character(font, info.codepoint, letters[:1])
            x, y = pen + position.x_offset / per_em, position.y_offset / per_em
            kind = drawn if position.x_advance else points
            kind.append(Glyphs(font, character, x, y))
            pen += position.x_advance / per_em
        if not drawn:
            drawn, points = points, []
        simple = len(drawn) == len(letters) == 1 and not points
        said = ("", "") if simple else (letters[:1], letters[1:])
        made.append(Cluster(tuple(drawn), begin, *said, tuple(points)))
    return made, pen


def _character(font: str, glyph: int, letter: str) -> str:
    """What stands for a glyph in a font as it is written into PDF files, and means ``letter``."""
    if fonts.glyph_numbers(font).get(ord(letter)) == glyph:
        return letter
    hb_font, per_em = _hb_font(font)
    return fonts.add_glyph(font, glyph, hb_font.get_glyph_h_advance(glyph) / per_em, letter)


@cache
def _hb_font(name: str) -> tuple[Any, int]:
    import uharfbuzz

    face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(fonts.font_path(name))))
    return uharfbuzz.Font(face), face.upem
