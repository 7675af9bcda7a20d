"""The floor plan: board, seats and places to scale, and room to draw the rest by hand."""

from collections.abc import Iterator
from functools import partial
from math import ceil
from typing import SupportsFloat

from attrs import evolve

from tapscore.exports import marks
from tapscore.exports.paper import bands
from tapscore.exports.paper.drawing import Block, Element, Page, Panel, Rule, shape
from tapscore.exports.paper.inks import INK, MUTED, TEAL, WHITE, ink
from tapscore.exports.paper.pages import PT_PER_MM, Paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import TEXT_PT, printed, sheet_of
from tapscore.exports.paper.text_flow import ASCENT, Flowed, Piece, flow
from tapscore.model.board import Board, Place, Point
from tapscore.model.story import Story

SCALES = (10, 15, 20, 25, 40, 50, 100)
"""One in so many; the largest that leaves room round the board is taken."""
ROOM_MM = 700
"""Least room on every side of the board for an adult on the floor: common practice, no
source."""
CHAIR_MM = 450
BODY_MM = (350, 1050)
"""A lying pupil of three to seven, wide and long, roughly: from memory."""
GRID_MM = 500
GRID = ink("#DAD8D2")
LEAST_SQUARE_PT = 5.0
LEGEND_PT = 30.0


def floor_plan(story: Story, *, paper: str = "A4", margin_mm: float | None = None) -> Printed:
    """Print the plan, lying.  Raises ValueError for a paper or margin there is no room on."""
    pages = floor_plan_pages(story, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what="floor plan", subject="Board, seats and places to scale")


def floor_plan_pages(
    story: Story, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the plan as data; a story without a board has a page that says so."""
    size = sheet_of(paper, margin_mm, landscape=True)
    if story.board is None:
        strips = [
            bands.paragraph(
                (Piece(f"{story.title}: floor plan", True),), 22.0, size.inner_width_pt
            ),
            bands.paragraph(
                (Piece("The story says nothing about the board. Describe it there first."),),
                14.0,
                size.inner_width_pt,
            ),
        ]
        return (Page(size, bands.stack(strips, 8.0).at(size.margin_pt, size.margin_pt)),)
    return (_Plan(story, story.board, size).page(),)


class _Plan:
    def __init__(self, story: Story, board: Board, paper: Paper) -> None:
        self._story = story
        self._board = board
        self._paper = paper
        self._wide = paper.inner_width_pt
        self._heading = bands.stack(
            [
                bands.paragraph(
                    (Piece(f"{story.title}: floor plan", True),), 20.0, self._wide, tag="H1"
                ),
                bands.paragraph(
                    (
                        Piece("Draw in: ", True),
                        Piece(
                            "the door and the way out, kept clear; wheelchairs, standing frames"
                            " and chairs; hoist; windows and lights; where the props wait."
                        ),
                    ),
                    TEXT_PT,
                    self._wide,
                ),
            ],
            2.0,
        )
        self._top = paper.margin_pt + self._heading.height + 8
        self._bottom = paper.height_pt - paper.margin_pt
        for self.scale in _scales(board):
            self._pt_per_mm = PT_PER_MM / self.scale
            self._bar, self._words = self._measured()
            self._foot = self._bottom - max(self._words.height_pt + 11, LEGEND_PT)
            if self._fits():
                break
        else:
            raise ValueError(
                f"{paper.name} with a margin of {paper.margin_mm:g} mm is too small for the"
                " floor plan: choose larger paper or a smaller margin"
            )
        wide, deep = self._at_scale(board.width_mm), self._at_scale(board.depth_mm)
        self._left = paper.margin_pt + (self._wide - wide) / 2
        self._board_top = self._top + (self._foot - self._top - deep) / 2

    def page(self) -> Page:
        paper = self._paper
        drawn = [*self._room(), *self._sheet()]
        drawn += [e for place in self._board.places for e in self._place(place)]
        drawn += [e for spot in self._board.spots for e in self._spot(spot.name, spot.at)]
        drawn += [e for seat in self._board.seats for e in self._seat(seat.name, seat.at)]
        blocks = (
            *self._heading.at(paper.margin_pt, paper.margin_pt),
            Block("Figure", tuple(drawn), self._said()),
            *self._legend(),
        )
        return Page(paper, blocks)

    def _fits(self) -> bool:
        """Whether board, and room round it for people, fit at this scale."""
        room = 2 * max(self._at_scale(ROOM_MM), self._at_scale(CHAIR_MM) + 7)
        across = self._at_scale(self._board.width_mm) + room
        down = self._at_scale(self._board.depth_mm) + room
        return across <= self._wide and down <= self._foot - self._top

    def _at_scale(self, length_mm: SupportsFloat) -> float:
        return float(length_mm) * self._pt_per_mm

    def _xy(self, point: Point) -> tuple[float, float]:
        return (
            self._left + self._at_scale(point.x_mm),
            self._board_top + self._at_scale(self._board.depth_mm - point.y_mm),
        )

    def _room(self) -> list[Element]:
        """The paper as floor, with a grid to measure by."""
        left, top = self._paper.margin_pt, self._top
        step = max(self._at_scale(GRID_MM), LEAST_SQUARE_PT)
        made: list[Element] = []
        gridded = step > LEAST_SQUARE_PT
        across = ceil(self._wide / step) * gridded
        down = ceil((self._foot - top) / step) * gridded
        for i in range(1, across):
            made.append(Rule(left + i * step, top, left + i * step, self._foot, GRID, 0.5))
        for i in range(1, down):
            y = top + i * step
            made.append(Rule(left, y, left + self._wide, y, GRID, 0.5))
        frame = Panel(
            left + 0.5, top + 0.5, self._wide - 1, self._foot - top - 1, 4.0, None, MUTED, 1.0
        )
        return [*made, frame]

    def _sheet(self) -> list[Element]:
        board = self._board
        wide, deep = self._at_scale(board.width_mm), self._at_scale(board.depth_mm)
        return [Panel(self._left, self._board_top, wide, deep, 3.0, WHITE, INK, 2.0)]

    def _place(self, place: Place) -> list[Element]:
        x, y = self._xy(place.at)
        made: list[Element] = []
        if place.lying:
            wide, long = (self._at_scale(side) for side in BODY_MM)
            if place.head in ("east", "west"):
                wide, long = long, wide
            body = Panel(x - wide / 2, y - long / 2, wide, long, 14.0, None, MUTED, 1.4, 4.0)
            made.append(body)
            if place.head:
                dx, dy = {"west": (-1, 0), "east": (1, 0), "north": (0, -1), "south": (0, 1)}[
                    place.head
                ]
                radius = self._at_scale(85)
                hx, hy = x + dx * (wide / 2 - radius), y + dy * (long / 2 - radius)
                left, top, both = hx - radius, hy - radius, 2 * radius
                made.append(Panel(left, top, both, both, radius, None, MUTED, 1.4))
        made.append(Panel(x - 11, y - 11, 22, 22, 11, WHITE, INK, 1.4))
        return [*made, *self._label(place.name, x, y + 5, size_pt=15.0)]

    def _spot(self, name: str, at: Point) -> list[Element]:
        x, y = self._xy(at)
        dots: list[Element] = [
            shape(colour, partial(marks.ellipse, x=x, y=y, rx=r, ry=r))
            for colour, r in ((WHITE, 8.0), (INK, 6.6), (WHITE, 4.4), (INK, 2.2))
        ]
        return [*dots, *self._label(name, x, y + 19, bold=False)]

    def _seat(self, name: str, at: Point) -> list[Element]:
        """An adult's chair or cushion just outside the edge, with who sits there."""
        side = self._at_scale(CHAIR_MM)
        x, y = self._xy(at)
        dx, dy = self._outward(at)
        cx, cy = x + dx * (side / 2 + 5), y + dy * (side / 2 + 5)
        made: list[Element] = [
            Panel(cx - side / 2, cy - side / 2, side, side, 8.0, WHITE, TEAL, 1.6)
        ]
        who = [role.name for role in self._story.roles if role.seat == name]
        words = flow(
            (Piece(", ".join(who) or name, bool(who), TEAL),), TEXT_PT, max(side - 6, 84.0)
        )
        return [*made, *self._centred(words, cx, cy - words.height_pt / 2)]

    def _label(
        self, name: str, x: float, y: float, *, bold: bool = True, size_pt: float = TEXT_PT
    ) -> list[Element]:
        """A name with the middle of its first base line at (x, y)."""
        words = flow((Piece(name, bold),), size_pt, self._wide - 8)
        return self._centred(words, x, y - size_pt * ASCENT)

    def _centred(self, words: Flowed, x: float, top: float) -> list[Element]:
        """Lines of words round an upright at ``x``, moved so far that they stay on the floor."""
        least, most = self._paper.margin_pt + 3, self._paper.margin_pt + self._wide - 3
        top = max(min(top, self._foot - 3 - words.height_pt), self._top + 1)
        made: list[Element] = []
        for text in words.texts:
            wide = max(t.x + t.width_pt for t in words.texts if t.y == text.y)
            left = max(min(x - wide / 2, most - wide), least)
            made.append(evolve(text, x=left + text.x, y=top + text.y))
        return made

    def _outward(self, at: Point) -> tuple[int, int]:
        x, y = float(at.x_mm / self._board.width_mm), float(at.y_mm / self._board.depth_mm)
        away = {(0, 1): y, (0, -1): 1 - y, (-1, 0): x, (1, 0): 1 - x}
        return min(away, key=lambda direction: away[direction])

    def _measured(self) -> tuple[float, Flowed]:
        """The length of a metre, and what is said about the scale."""
        metre = self._at_scale(1000)
        gridded = self._at_scale(GRID_MM) > LEAST_SQUARE_PT
        squares = f"; a square is {GRID_MM // 10} cm" if gridded else ""
        said = (
            f"1 metre. Board {float(self._board.width_mm) / 10:g} by"
            f" {float(self._board.depth_mm) / 10:g} cm. Scale 1 : {self.scale},"
            f" printed at full size{squares}."
            " Dashed: a pupil lying, roughly."
        )
        words = flow((Piece(said, False, MUTED),), TEXT_PT, self._wide - metre - 10)
        return metre, words

    def _legend(self) -> tuple[Block, ...]:
        y = self._foot + 20
        metre, words = self._bar, self._words
        left = self._paper.margin_pt
        bar: tuple[Element, ...] = (
            Rule(left, y, left + metre, y, INK, 2.0),
            Rule(left + 0.7, y - 5, left + 0.7, y + 5, INK, 1.4),
            Rule(left + metre, y - 5, left + metre, y + 5, INK, 1.4),
        )
        texts = bands.Band((Block("P", words.texts),), 0).at(left + metre + 10, y - 9)
        return (Block("Artifact", bar), *texts)

    def _said(self) -> str:
        board = self._board
        said = [
            f"The board from above, {float(board.width_mm) / 10:g} by"
            f" {float(board.depth_mm) / 10:g} centimetres, north at the top."
        ]
        for seat in board.seats:
            who = [role.name for role in self._story.roles if role.seat == seat.name]
            said.append(f"{', '.join(who) or 'Nobody'} sits {seat.name}.")
        for place in board.places:
            head = f", lying, head {place.head}" if place.lying and place.head else ""
            said.append(f"Place {place.name}{head}.")
        return " ".join(said)


def _scales(board: Board) -> Iterator[int]:
    """Scales to try, the largest first; the last one shows any board as a few points."""
    yield from SCALES
    scale = SCALES[-1]
    while scale < max(float(board.width_mm), float(board.depth_mm), 1000.0):
        scale = ceil(scale * 1.5 / 50) * 50
        yield scale
