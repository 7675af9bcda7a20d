"""The felt map as a picture (PNG), and what each place gets as a table (CSV).

Relative, a model, not a measurement; both say so themselves.
"""

import csv
from collections.abc import Sequence
from fractions import Fraction
from io import StringIO
from typing import TYPE_CHECKING

from tapscore.board.bodies import body_of
from tapscore.board.default_board import DEFAULT_BOARD, DEFAULT_BOARD_SENTENCE
from tapscore.board.facade import (
    BoardFacts,
    BoardTap,
    FeltMap,
    board_facts,
    felt_levels,
    felt_map,
)
from tapscore.board.words import MODEL_SENTENCE, WORDS, level_word, step_db
from tapscore.exports.paper.inks import AMBER, INK, LINE, MUTED, PAPER, TEAL, WHITE
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.board import Board, Named, Place, Point
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.strokes import Stroke

if TYPE_CHECKING:
    from tapscore.exports.felt_canvas import Canvas

NO_CLAIM_SENTENCE = "It says nothing of what a child will feel."
_WIDTH, _HEIGHT = 1600, 1150
_MARGIN = 60
_LEFT, _TOP, _WIDEST, _TALLEST = 140, 236, 940, 690
_KEY_LEFT = 1182
_RANGES = (
    "15 dB or more below",
    "3 to 12 dB below",
    "about the same",
    "3 to 6 dB above",
    "9 dB or more above",
)
_TAB = 34
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
    sheet = _Sheet(canvas, board or DEFAULT_BOARD)
    sheet.bands(found)
    sheet.scale()
    sheet.seats()
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
    middle = Named("the middle", Point(whole.width_mm / 2, whole.depth_mm / 2))
    named = tuple(spots) or whole.spots or (middle,)
    taps = [BoardTap(spot.at, stroke, level) for stroke, level in kinds for spot in named]
    felt = felt_levels(board, taps)
    out = StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow([f"{MODEL_SENTENCE} {NO_CLAIM_SENTENCE}"])
    table.writerow(
        ["stroke", "loudness", "tapped at", "x cm", "y cm", "place", "dB, steps of 3", "in words"]
    )
    names = [spot.name for _ in kinds for spot in named]
    for tap, name, levels in zip(taps, names, felt.level_db, strict=True):
        x_cm, y_cm = (f"{float(v) / 10:g}" for v in (tap.at.x_mm, tap.at.y_mm))
        for place, level_db in zip(felt.places, levels, strict=True):
            table.writerow(
                [
                    tap.stroke.word,
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
    return LOUDNESS_WORDS[min(max(round(level), 0), 4)]


def _plain_cell(text: str) -> str:
    """Text that no table program takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


class _Sheet:
    """The board on the canvas, north at the top."""

    def __init__(self, canvas: "Canvas", board: Board) -> None:
        self._canvas, self._board = canvas, board
        wide_mm, deep_mm = float(board.width_mm), float(board.depth_mm)
        self._px_per_mm = min(_WIDEST / wide_mm, _TALLEST / deep_mm)
        self._width = round(wide_mm * self._px_per_mm)
        self._height = round(deep_mm * self._px_per_mm)
        self._left = _LEFT + (_WIDEST - self._width) // 2

    def at(self, point: Point) -> tuple[float, float]:
        """Pixels of a point of the board."""
        return (
            self._left + float(point.x_mm) * self._px_per_mm,
            _TOP + self._height - float(point.y_mm) * self._px_per_mm,
        )

    def bands(self, found: FeltMap) -> None:
        """Draw the map with its words, then the things that lie on it."""
        import numpy as np

        from tapscore.board.contours import label_points, smooth_levels, word_index
        from tapscore.exports.felt_bands import band_pixels
        from tapscore.exports.felt_canvas import FINE

        levels = smooth_levels(found.level_db, self._width * FINE, self._height * FINE)
        self._canvas.raster(self._left, _TOP, band_pixels(levels, FINE))
        taken = np.zeros((self._height, self._width), bool)
        for x, y, wide, high in self._taken():
            top, left = max(round(y), 0), max(round(x), 0)
            taken[top : max(round(y + high), 0), left : max(round(x + wide), 0)] = True
        boxes = [(round(width_pt(word, 25, bold=True)) + 24, 44) for word in WORDS]
        coarse = word_index(levels[FINE // 2 :: FINE, FINE // 2 :: FINE])
        for word, x, y in label_points(coarse, taken, boxes):
            self._canvas.text(
                self._left + x, _TOP + y + 9, WORDS[word], 25, INK, bold=True, align=0.5, halo=WHITE
            )
        self._canvas.panel(self._left, _TOP, self._width, self._height, edge=INK, edge_width=4)
        for place in self._board.places:
            self._body(place, place.name == found.place)
        for spot in self._board.spots:
            self._spot(spot)

    def _taken(self) -> list[tuple[float, float, float, float]]:
        """Boxes on the map, in its own pixels, where no word may go."""
        boxes = []
        for place in self._board.places:
            x, y, wide, high = self._body_box(place)
            boxes.append((x - self._left, y - _TOP, wide, high))
        for spot in self._board.spots:
            x, y = self.at(spot.at)
            half = max(width_pt(spot.name, 21, bold=True) / 2, 20)
            boxes.append((x - self._left - half, y - _TOP - 20, 2 * half, 66))
        return boxes

    def _body_box(self, place: Place) -> tuple[float, float, float, float]:
        west, south, east, north = body_of(place, self._board).box
        x, y = self.at(place.at)
        wide, high = ((east - west) * self._px_per_mm, (north - south) * self._px_per_mm)
        left, top = max(x - wide / 2, self._left), max(y - high / 2, _TOP)
        right = min(x + wide / 2, self._left + self._width)
        return left, top, right - left, min(y + high / 2, _TOP + self._height) - top

    def _body(self, place: Place, mine: bool) -> None:
        if not self._board.contains(place.at):
            return
        x, y, wide, high = self._body_box(place)
        edge, thick = (TEAL, 5.0) if mine else (MUTED, 2.5)
        self._canvas.panel(
            x,
            y,
            wide,
            high,
            radius=min(wide, high) * 0.3,
            fill=PAPER,
            edge=edge,
            edge_width=thick,
        )
        letter = TEAL if mine else MUTED
        asked_x, asked_y = self.at(place.at)
        middle_x = min(max(asked_x, x + 28), x + wide - 28)
        middle_y = min(max(asked_y, y + 28), y + high - 28)
        self._canvas.disc(middle_x, middle_y, 25, letter)
        self._canvas.text(middle_x, middle_y + 11, place.name, 32, WHITE, bold=True, align=0.5)
        if place.lying and place.head:
            along, up = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}[
                place.head
            ]
            head_x = x + wide / 2 + along * (wide / 2 - 38)
            head_y = y + high / 2 - up * (high / 2 - 24) + 6
            self._canvas.text(head_x, head_y, "head", 19, MUTED, align=0.5)

    def _spot(self, spot: Named) -> None:
        from tapscore.exports.felt_canvas import shortened

        x, y = self.at(spot.at)
        for radius, ink in ((16, WHITE), (13, INK), (8.5, WHITE), (4.5, INK)):
            self._canvas.disc(x, y, radius, ink)
        name = shortened(spot.name, 21, self._width - 16)
        half = width_pt(name, 21, bold=True) / 2
        middle = min(max(x, self._left + half + 8), self._left + self._width - half - 8)
        below = y + 38 <= _TOP + self._height - 8
        line = y + 38 if below else y - 24
        self._canvas.text(middle, line, name, 21, INK, bold=True, align=0.5, halo=WHITE)

    def scale(self) -> None:
        """Draw centimetres along the south and the west side."""
        board, canvas = self._board, self._canvas
        bottom = _TOP + self._height
        for x_mm in range(0, int(board.width_mm) + 1, 100):
            x = self._left + x_mm * self._px_per_mm
            long = x_mm % 200 == 0
            canvas.line([(x, bottom + _TAB + 8), (x, bottom + _TAB + (18 if long else 13))], INK, 2)
            if long:
                canvas.text(x, bottom + _TAB + 42, str(x_mm // 10), 20, MUTED, align=0.5)
        end = self._left + self._width
        canvas.text(end, bottom + _TAB + 66, "centimetres", 20, MUTED, align=1)
        for y_mm in range(0, int(board.depth_mm) + 1, 100):
            y = bottom - y_mm * self._px_per_mm
            long = y_mm % 200 == 0
            left = self._left - _TAB - 8
            canvas.line([(left, y), (left - (10 if long else 5), y)], INK, 2)
            if long:
                canvas.text(left - 18, y + 7, str(y_mm // 10), 20, MUTED, align=1)

    def seats(self) -> None:
        """Draw where adults sit, as tabs outside the edge."""
        for seat in self._board.seats:
            x, y = self.at(seat.at)
            away = {
                "west": x - self._left,
                "east": self._left + self._width - x,
                "north": y - _TOP,
                "south": _TOP + self._height - y,
            }
            side = min(away, key=lambda name: away[name])
            wide = width_pt(seat.name, 20, bold=True) + 24
            if side in ("north", "south"):
                left = min(max(x - wide / 2, self._left), self._left + self._width - wide)
                top = _TOP - _TAB + 1 if side == "north" else _TOP + self._height + 3
                self._canvas.panel(left, top, wide, _TAB - 4, radius=6, fill=TEAL)
                self._canvas.text(
                    left + wide / 2, top + 22, seat.name, 20, WHITE, bold=True, align=0.5
                )
            else:
                edge = self._left - _TAB + 1 if side == "west" else self._left + self._width + 3
                upper = min(max(y - wide / 2, _TOP), _TOP + self._height - wide)
                self._canvas.panel(edge, upper, _TAB - 4, wide, radius=6, fill=TEAL)
                middle = edge + (_TAB - 4) / 2, upper + wide / 2
                self._canvas.text_upward(*middle, seat.name, 20, WHITE)


def _heading(canvas: "Canvas", title: str, stroke: Stroke, level: Fraction, found: FeltMap) -> None:
    from tapscore.exports.felt_canvas import shortened

    manner = f"{stroke.word}, {loudness_word(level)}"
    heading = f"What {found.place} gets: {manner}"
    canvas.text(_MARGIN, 84, heading, 46, INK, bold=True)
    room = _WIDTH - 2 * _MARGIN - width_pt(heading, 46, bold=True) - 50
    canvas.text(_WIDTH - _MARGIN, 84, shortened(title, 30, room), 30, TEAL, bold=True, align=1)
    canvas.text(
        _MARGIN, 132, "The reference here is the same tap in the middle of the board.", 27, INK
    )
    if stroke is Stroke.FINGERTIPS and level == USUAL_LEVEL:
        said = "Such a tap is also the reference for every other stroke and loudness."
    else:
        word = level_word(found.middle_db)
        said = f"Beside a medium tap with the fingertips, that tap itself is {word}."
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
    y = top + 20.0
    canvas.disc(_KEY_LEFT + 25, y, 20, TEAL)
    canvas.text(_KEY_LEFT + 25, y + 9, "A", 26, WHITE, bold=True, align=0.5)
    canvas.text(_KEY_LEFT + 62, y + 8, "a pupil's place", 23, INK)
    for radius, ink in ((13.0, INK), (8.5, PAPER), (4.5, INK)):
        canvas.disc(_KEY_LEFT + 25, y + 56, radius, ink)
    canvas.text(_KEY_LEFT + 62, y + 64, "a spot to tap", 23, INK)
    canvas.panel(_KEY_LEFT, y + 98, 50, 28, radius=6, fill=TEAL)
    canvas.text(_KEY_LEFT + 62, y + 120, "where an adult sits", 23, INK)


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
            "The grain is not known: the map may be wrong even in its order. "
            "Lay the sheet on two battens to find it."
        )
    if facts.sag.may_touch:
        said.append(
            f"The board may sink {facts.sag.deepest_mm:.0f} mm of its "
            f"{facts.sag.gap_mm:.0f} mm gap. If it touches the floor, this map is void: measure."
        )
    if facts.assumed:
        said.append("Assumed: " + "; ".join(facts.assumed) + ".")
    return tuple(said)
