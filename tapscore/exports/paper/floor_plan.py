"""The floor plan: board, seats and places to scale, and room to draw the rest by hand."""

from collections.abc import Iterator
from math import ceil

from attrs import evolve

from tapscore.board.bodies import CHAIR_MM, bodies_on, build_of, outward
from tapscore.exports.board.drawing import BoardDrawing
from tapscore.exports.board.labels import LabelMark
from tapscore.exports.board.layout import Look
from tapscore.exports.board.view import View
from tapscore.exports.own_pictures import NO_PICTURES, PAGE_SIDE_PX, OwnPicture, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Element, Page, Panel, StraightLine, TaggedBlock, TextRun
from tapscore.exports.paper.inks import INK, MUTED, ink
from tapscore.exports.paper.pages import PT_PER_MM, Paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_band
from tapscore.exports.paper.running_pages import TEXT_PT, printed, sheet_of
from tapscore.exports.paper.text_flow import Flowed, Piece, flow, pieces_of, printable
from tapscore.exports.paper.text_width import paper_width
from tapscore.model.board import HEADINGS, Board, Sides
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

_UNDER_PT = 8.0
"""Under a heading."""
SCALES = (10, 15, 20, 25, 40, 50, 100)
"""One in so many; the largest that leaves room round the board is taken."""
ROOM_MM = 700
"""Least room on every side of the board for an adult on the floor: common practice, no
source."""
GRID_MM = 500
GRID = ink("#DAD8D2")
LEAST_SQUARE_PT = 5.0
LEGEND_PT = 30.0


def floor_plan(
    story: Story,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Print the plan, lying; the story describes a board.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = floor_plan_pages(story, paper=paper, margin_mm=margin_mm, pictures=pictures)
    made = printed(
        story, pages, what=say("floor plan"), subject=say("Board, seats and places to scale")
    )
    return evolve(made, findings=(*made.findings, *pictures.findings(story)))


def floor_plan_pages(
    story: Story,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> tuple[Page, ...]:
    """Lay out the plan as data; no page without a board.

    The teacher's own picture of the room has a page to itself.
    """
    if story.board is None:
        return ()
    size = sheet_of(paper, margin_mm, landscape=True)
    room = pictures.of(story.board.picture, PAGE_SIDE_PX)
    own = (_room_page(story, room, size),) if room else ()
    return (_Plan(story, story.board, size).page(), *own)


def _room_page(story: Story, room: OwnPicture, size: Paper) -> Page:
    wide = size.inner_width_pt
    title = (Piece(say("{title}: how it is set up", title=story.title), True),)
    heading = bands.paragraph(title, 20.0, wide, tag="H1")
    high = size.inner_height_pt - heading.height - _UNDER_PT
    photo, across = photo_band(room, say("The story’s own picture of the room"), (wide, high))
    middle = Band(photo.at((wide - across) / 2, 0), photo.height)
    both = bands.stack([heading, middle], _UNDER_PT)
    return Page(size, both.at(size.margin_pt, size.margin_pt))


class _Plan:
    def __init__(self, story: Story, board: Board, paper: Paper) -> None:
        self._story = story
        self._board = board
        self._paper = paper
        self._wide = paper.inner_width_pt
        self._heading = bands.stack(
            [
                bands.paragraph(
                    (Piece(say("{title}: floor plan", title=story.title), True),),
                    20.0,
                    self._wide,
                    tag="H1",
                ),
                bands.paragraph(
                    pieces_of(
                        "**Draw in: **{out:yes=|no=the door and the way out, kept clear; }"
                        "wheelchairs, standing frames and chairs; hoist; windows and lights; "
                        "where the props wait.",
                        out="yes" if board.way_out else "no",
                    ),
                    TEXT_PT,
                    self._wide,
                ),
            ],
            2.0,
        )
        self._top = paper.margin_pt + self._heading.height + _UNDER_PT
        self._bottom = paper.height_pt - paper.margin_pt
        for self.scale in _scales(board):
            self._pt_per_mm = PT_PER_MM / self.scale
            self._bar, self._words = self._measured()
            self._foot = self._bottom - max(self._words.height_pt + 11, LEGEND_PT)
            if self._fits():
                break
        else:
            raise ValueError(
                say(
                    "{paper} with a margin of {margin} mm is too small for the floor plan: "
                    "choose larger paper or a smaller margin",
                    paper=paper.name,
                    margin=paper.margin_mm,
                )
            )
        unit = View(board, 0, 0, self._pt_per_mm)
        left = paper.margin_pt + (self._wide - unit.width) / 2
        view = evolve(unit, left=left, top=self._top + (self._foot - self._top - unit.height) / 2)
        floor = (paper.margin_pt + 3, self._top + 3, self._wide - 6, self._foot - self._top - 6)
        self._drawing = BoardDrawing(
            view,
            Look(TEXT_PT, 19.0, paper_width, printable, chairs=True),
            bounds=floor,
            sitting=story.sitting,
        )

    def page(self) -> Page:
        paper, drawing = self._paper, self._drawing
        sides, taken = self._side_words()
        drawn = [
            *self._room(),
            *drawing.sheet(radius=3.0, edge=2.0),
            *drawing.strips(),
            *drawing.bodies(),
            *drawing.seats(),
            *drawing.way_out(),
            *drawing.places(),
            *drawing.spots(),
            *drawing.labels(extra=taken),
            *sides,
        ]
        blocks = (
            *self._heading.at(paper.margin_pt, paper.margin_pt),
            TaggedBlock("Figure", tuple(drawn), self._said()),
            *self._legend(),
        )
        return Page(paper, blocks)

    def _fits(self) -> bool:
        """Whether board, and room round it for people, fit at this scale."""
        room = 2 * max(self._at_scale(ROOM_MM), self._at_scale(CHAIR_MM) + 7)
        across = self._at_scale(float(self._board.width_mm)) + room
        down = self._at_scale(float(self._board.depth_mm)) + room
        return across <= self._wide and down <= self._foot - self._top

    def _at_scale(self, length_mm: float) -> float:
        return length_mm * self._pt_per_mm

    def _room(self) -> list[Element]:
        """The paper as floor, with a grid to measure by."""
        left, top = self._paper.margin_pt, self._top
        step = max(self._at_scale(GRID_MM), LEAST_SQUARE_PT)
        made: list[Element] = []
        gridded = step > LEAST_SQUARE_PT
        across = ceil((self._wide - 1) / step) * gridded
        down = ceil((self._foot - top - 1) / step) * gridded
        for i in range(1, across):
            made.append(StraightLine(left + i * step, top, left + i * step, self._foot, GRID, 0.5))
        for i in range(1, down):
            y = top + i * step
            made.append(StraightLine(left, y, left + self._wide, y, GRID, 0.5))
        frame = Panel(
            left + 0.5, top + 0.5, self._wide - 1, self._foot - top - 1, 4.0, None, MUTED, 1.0
        )
        return [*made, frame]

    def _side_words(self) -> tuple[list[Element], tuple[LabelMark, ...]]:
        """What the room calls each side, or the compass does, at the edge of the floor."""
        left, top, wide, high = self._drawing.bounds
        middle_x, middle_y = left + wide / 2, top + high / 2
        made: list[Element] = []
        taken: list[LabelMark] = []
        for side in HEADINGS:
            word = self._side(side)
            (text, *_) = flow((Piece(word, False, MUTED),), TEXT_PT, wide / 4).texts or (None,)
            if text is None:
                continue
            across = text.width_pt
            x = {"west": left + 2, "east": left + wide - across - 2}.get(
                side, middle_x - across / 2
            )
            y = {"north": top + 9, "south": top + high - 5}.get(side, middle_y + 4)
            made.append(TextRun(x, y, text.text, TEXT_PT, MUTED, False, across))
            box = (x, y - TEXT_PT * 0.8, across, TEXT_PT)
            taken.append(LabelMark(box, self._drawing.bounds))
        return made, tuple(taken)

    def _side(self, side: str) -> str:
        word = (self._board.sides or Sides()).word(side)
        return f"{word} ({term(side)})" if word else term(side)

    def _measured(self) -> tuple[float, Flowed]:
        """The length of a metre, and what is said about the scale."""
        board = self._board
        metre = self._at_scale(1000)
        gridded = self._at_scale(GRID_MM) > LEAST_SQUARE_PT
        said = say(
            "1 metre. Board {wide} by {deep} cm. Scale 1 : {scale}, printed at full "
            "size{square:0=|*=; a square is {square} cm}.",
            wide=float(board.width_mm) / 10,
            deep=float(board.depth_mm) / 10,
            scale=self.scale,
            square=GRID_MM // 10 if gridded else 0,
        )
        if board.places:
            tall_cm = build_of(board).stature_mm / 10
            said += say(" Outlines: pupils {tall_cm:.0f} cm tall, roughly.", tall_cm=tall_cm)
        said += "".join(f" {sentence}" for sentence in _past_the_edge(board))
        words = flow((Piece(said, False, MUTED),), TEXT_PT, self._wide - metre - 10)
        return metre, words

    def _legend(self) -> tuple[TaggedBlock, ...]:
        y = self._foot + 20
        metre, words = self._bar, self._words
        left = self._paper.margin_pt
        bar: tuple[Element, ...] = (
            StraightLine(left, y, left + metre, y, INK, 2.0),
            StraightLine(left + 0.7, y - 5, left + 0.7, y + 5, INK, 1.4),
            StraightLine(left + metre, y - 5, left + metre, y + 5, INK, 1.4),
        )
        texts = bands.Band((TaggedBlock("P", words.texts),), 0).at(left + metre + 10, y - 9)
        return (TaggedBlock("Artifact", bar), *texts)

    def _said(self) -> str:
        board = self._board
        said = [
            say(
                "The board from above, {wide} by {deep} centimetres, {side} at the top.",
                wide=float(board.width_mm) / 10,
                deep=float(board.depth_mm) / 10,
                side=self._side("north"),
            )
        ]
        for seat in board.seats:
            who = self._story.sitting.get(seat.name) or say("Nobody")
            said.append(say("{role} sits {seat}.", role=who, seat=seat.name))
        for place in board.places:
            head = self._side(place.head) if place.lying and place.head else None
            said.append(
                say("Place {place}{head:=|*=, lying, head to {head}}.", place=place.name, head=head)
            )
        if board.way_out:
            said.append(say("The way out: {side}.", side=self._side(outward(board, board.way_out))))
        return " ".join(said)


def _past_the_edge(board: Board) -> Iterator[str]:
    """What of whom is past the edge of the sheet, so that nobody takes it for the plan's."""
    for body in bodies_on(board):
        past = body.past_edge_mm(board)
        if past:
            part = max(past, key=lambda part: past[part])
            yield say(
                "{place}: {part} {past:.0f} cm past the edge.",
                place=body.place.name,
                part=term(part),
                past=past[part] / 10,
            )


def _scales(board: Board) -> Iterator[int]:
    """Scales to try, the largest first; the last one shows any board as a few points."""
    yield from SCALES
    scale = SCALES[-1]
    while scale < max(float(board.width_mm), float(board.depth_mm), 1000.0):
        scale = ceil(scale * 1.5 / 50) * 50
        yield scale
