"""The felt map as a picture (PNG), and what each place gets as a table (CSV).

Relative, a model, not a measurement; both say so themselves.
"""

import csv
from collections.abc import Sequence
from fractions import Fraction
from io import StringIO
from typing import TYPE_CHECKING

from attrs import evolve

from tapscore.board.default_board import DEFAULT_BOARD, DEFAULT_BOARD_SENTENCE
from tapscore.board.facade import (
    BoardFacts,
    BoardTap,
    FeltMap,
    board_facts,
    felt_levels,
    felt_map,
    places_on,
)
from tapscore.board.words import MODEL_SENTENCE, WORDS, level_word, step_db
from tapscore.exports.board.drawing import BoardDrawing, target
from tapscore.exports.board.layout import Look
from tapscore.exports.board.view import View
from tapscore.exports.paper.drawing import Element, Panel, TextRun, extent
from tapscore.exports.paper.inks import AMBER, INK, LINE, MUTED, PAPER, TEAL, WHITE
from tapscore.exports.paper.text_width import paper_width, width_pt
from tapscore.model.board import Board, Named, Point
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.strokes import Stroke
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

if TYPE_CHECKING:
    from tapscore.exports.felt_canvas import Canvas

NO_CLAIM_SENTENCE = say("It says nothing of what a child will feel.")
_WIDTH, _HEIGHT = 1600, 1150
_MARGIN = 60
_LEFT, _TOP, _WIDEST, _TALLEST = 140, 236, 940, 690
_KEY_LEFT = 1182
_RANGES = (
    say("15 dB or more below"),
    say("3 to 12 dB below"),
    say("about the same"),
    say("3 to 6 dB above"),
    say("9 dB or more above"),
)
_TAB = 34
_SIGN = 34.0
USUAL_LEVEL = Fraction(2)
_LEADING = 30
_WARNING_PX = 22
_FOOT = 1070


def felt_map_png(
    board: Board | None, stroke: Stroke, level: Fraction, place: str, *, title: str = ""
) -> bytes | None:
    """Picture of what a place gets from a stroke tapped anywhere; None if it is not on the board.

    ``level`` is the loudness from 0 to 4.  Relative, a model, not a measurement.
    """
    from tapscore.exports.felt_canvas import Canvas, wrapped

    found = felt_map(board, stroke, level, place)
    if found is None:
        return None
    room = _WIDTH - 2 * _MARGIN
    warnings = [
        line
        for warning in map_warnings(board_facts(board))
        for line in wrapped(warning, _WARNING_PX, room)
    ]
    canvas = Canvas(_WIDTH, _HEIGHT + _LEADING * len(warnings), PAPER)
    _heading(canvas, title, stroke, level, found)
    sheet = _Sheet(canvas, board or DEFAULT_BOARD, place)
    sheet.scale()
    sheet.bands(found)
    _key(canvas)
    _foot(canvas, warnings)
    return canvas.png()


def felt_table(
    board: Board | None, kinds: Sequence[tuple[Stroke, Fraction]], spots: Sequence[Named] = ()
) -> str:
    """CSV of what every place gets from each stroke and loudness at each spot.

    The board's own spots are used where none are given, and its middle where it has none.
    Levels are steps of 3 dB against a medium tap with the fingertips in the middle.
    """
    whole = board or DEFAULT_BOARD
    middle = Named(say("the middle"), Point(whole.width_mm / 2, whole.depth_mm / 2))
    named = tuple(spots) or whole.spots or (middle,)
    taps = [BoardTap(spot.at, stroke, level) for stroke, level in kinds for spot in named]
    felt = felt_levels(board, taps)
    out = StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow([f"{MODEL_SENTENCE} {NO_CLAIM_SENTENCE}"])
    table.writerow(
        [
            say("stroke"),
            say("loudness"),
            say("tapped at"),
            "x cm",
            "y cm",
            say("place"),
            say("dB, steps of 3"),
            say("in words"),
        ]
    )
    names = [spot.name for _ in kinds for spot in named]
    for tap, name, levels in zip(taps, names, felt.level_db, strict=True):
        x_cm, y_cm = (f"{float(v) / 10:g}" for v in (tap.at.x_mm, tap.at.y_mm))
        for place, level_db in zip(felt.places, levels, strict=True):
            table.writerow(
                [
                    tap.stroke.shown,
                    loudness_word(tap.level),
                    _plain_cell(name),
                    x_cm,
                    y_cm,
                    place,
                    step_db(level_db),
                    level_word(level_db),
                ]
            )
    return out.getvalue()


def loudness_word(level: Fraction) -> str:
    """The nearest of the five words."""
    return term(LOUDNESS_WORDS[min(max(round(level), 0), 4)])


def _plain_cell(text: str) -> str:
    """Text that no table program takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


class _Sheet:
    """The board on the canvas, north at the top."""

    def __init__(self, canvas: "Canvas", board: Board, place: str) -> None:
        board = evolve(board, places=places_on(board))
        self._canvas, self._board = canvas, board
        unit = View(board, 0, _TOP, 1)
        px_per_mm = min(_WIDEST / unit.width, _TALLEST / unit.height)
        left = _LEFT + (_WIDEST - round(unit.width * px_per_mm)) // 2
        self._view = evolve(unit, left=left, scale=px_per_mm)
        bounds = (20.0, _TOP - 46.0, _KEY_LEFT - 40.0, _TALLEST + 92.0)
        look = Look(21.0, _SIGN, paper_width, line=2.5)
        self._drawing = BoardDrawing(self._view, look, bounds=bounds, mine=place)

    def bands(self, found: FeltMap) -> None:
        """Draw the map with its words, then the things that lie on it."""
        import numpy as np

        from tapscore.board.contours import label_points, smooth_levels, word_index
        from tapscore.exports.felt_bands import band_pixels
        from tapscore.exports.felt_canvas import FINE

        drawing, left = self._drawing, round(self._view.left)
        wide, high = round(self._view.width), round(self._view.height)
        levels = smooth_levels(found.level_db, wide * FINE, high * FINE)
        self._canvas.raster(left, _TOP, band_pixels(levels, FINE))
        shapes = [*drawing.bodies(), *drawing.way_out(), *drawing.seats()]
        shapes += [*drawing.places(), *drawing.spots(), *drawing.labels(plates=True)]
        taken = np.zeros((high, wide), bool)
        for x0, y0, x1, y1 in map(extent, shapes):
            rows = slice(max(round(y0) - _TOP, 0), max(round(y1) - _TOP, 0))
            taken[rows, max(round(x0) - left, 0) : max(round(x1) - left, 0)] = True
        boxes = [(round(width_pt(word, 25, bold=True)) + 24, 44) for word in WORDS]
        coarse = word_index(levels[FINE // 2 :: FINE, FINE // 2 :: FINE])
        for word, x, y in label_points(coarse, taken, boxes):
            at = left + x, _TOP + y + 9
            self._canvas.text(*at, WORDS[word], 25, INK, bold=True, align=0.5, halo=WHITE)
        self._canvas.draw([*drawing.sheet(radius=0, edge=4, fill=None), *shapes])

    def scale(self) -> None:
        """Draw centimetres along the south and the west side."""
        canvas, view = self._canvas, self._view
        for x_mm in range(0, int(self._board.width_mm) + 1, 100):
            x, bottom = view.at_mm(x_mm, 0)
            long = x_mm % 200 == 0
            canvas.line([(x, bottom + _TAB + 8), (x, bottom + _TAB + (18 if long else 13))], INK, 2)
            if long:
                canvas.text(x, bottom + _TAB + 42, str(x_mm // 10), 20, MUTED, align=0.5)
        canvas.text(view.right, view.foot + _TAB + 66, say("centimetres"), 20, MUTED, align=1)
        for y_mm in range(0, int(self._board.depth_mm) + 1, 100):
            left, y = view.at_mm(0, y_mm)
            left -= _TAB + 8
            long = y_mm % 200 == 0
            canvas.line([(left, y), (left - (10 if long else 5), y)], INK, 2)
            if long:
                canvas.text(left - 18, y + 7, str(y_mm // 10), 20, MUTED, align=1)


def _heading(canvas: "Canvas", title: str, stroke: Stroke, level: Fraction, found: FeltMap) -> None:
    from tapscore.exports.felt_canvas import shortened

    manner = f"{stroke.shown}, {loudness_word(level)}"
    heading = say("What {place} gets: {manner}", place=found.place, manner=manner)
    canvas.text(_MARGIN, 84, heading, 46, INK, bold=True)
    room = _WIDTH - 2 * _MARGIN - width_pt(heading, 46, bold=True) - 50
    canvas.text(_WIDTH - _MARGIN, 84, shortened(title, 30, room), 30, TEAL, bold=True, align=1)
    canvas.text(
        _MARGIN, 132, say("The reference here is the same tap in the middle of the board."), 27, INK
    )
    if stroke is Stroke.FINGERTIPS and level == USUAL_LEVEL:
        said = say("Such a tap is also the reference for every other stroke and loudness.")
    else:
        word = level_word(found.middle_db)
        said = say("Beside a medium tap with the fingertips, that tap itself is {how}.", how=word)
    canvas.text(_MARGIN, 170, said, 23, MUTED)


def _key(canvas: "Canvas") -> None:
    from tapscore.exports.felt_bands import swatch
    from tapscore.exports.felt_canvas import FINE

    top = _TOP
    for word in reversed(range(len(WORDS))):
        canvas.raster(_KEY_LEFT, top, swatch(word, 84, 60, FINE))
        canvas.panel(_KEY_LEFT, top, 84, 60, edge=INK, edge_width=2)
        canvas.text(_KEY_LEFT + 104, top + 25, WORDS[word], 26, INK, bold=True)
        canvas.text(_KEY_LEFT + 104, top + 53, _RANGES[word], 21, MUTED)
        top += 82
    x, y, ring = _KEY_LEFT + 25, top + 20.0, _SIGN * 0.58
    wide = width_pt("A", _SIGN, bold=True)
    signs: list[Element] = [
        Panel(x - ring, y - ring, 2 * ring, 2 * ring, ring, WHITE, MUTED, _SIGN * 0.06),
        TextRun(x - wide / 2, y + _SIGN * 0.34, "A", _SIGN, INK, True, wide),
        *target(x, y + 56, _SIGN),
        Panel(x - _SIGN * 0.4, y + 98, _SIGN * 0.8, _SIGN * 0.8, _SIGN * 0.3, TEAL),
    ]
    canvas.draw(signs)
    places = (
        (8, say("a pupil's place")),
        (64, say("a spot to tap")),
        (120, say("where an adult sits")),
    )
    for down, said in places:
        canvas.text(_KEY_LEFT + 62, y + down, said, 23, INK)


def _foot(canvas: "Canvas", warnings: list[str]) -> None:
    y = float(_FOOT)
    for warning in warnings:
        canvas.text(_MARGIN, y, warning, _WARNING_PX, AMBER)
        y += _LEADING
    canvas.line([(_MARGIN, y), (_WIDTH - _MARGIN, y)], LINE, 2)
    canvas.text(_MARGIN, y + 42, MODEL_SENTENCE, 27, INK, bold=True)
    across = width_pt(MODEL_SENTENCE, 27, bold=True)
    canvas.text(_MARGIN + across + 14, y + 42, NO_CLAIM_SENTENCE, 27, INK)


def map_warnings(facts: BoardFacts) -> tuple[str, ...]:
    """Sentences that belong beside every map of this board; empty if there is nothing to say."""
    said = []
    if not facts.described:
        said.append(DEFAULT_BOARD_SENTENCE)
    if not facts.grain_known:
        said.append(
            say(
                "The grain is not known: the map may be wrong even in its order. "
                "Lay the sheet on two battens to find it."
            )
        )
    if facts.sag.may_touch:
        said.append(
            say(
                "The board may sink {deep:.0f} mm of its {gap:.0f} mm gap. If it touches the "
                "floor, this map is void: measure.",
                deep=facts.sag.deepest_mm,
                gap=facts.sag.gap_mm,
            )
        )
    if facts.assumed:
        said.append(say("Assumed: {facts}.", facts="; ".join(facts.assumed)))
    return tuple(said)
