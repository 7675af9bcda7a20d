"""One adult's part sheets: her whole part on few large sheets, changed only with free hands."""

from collections.abc import Sequence

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.part_edges import FINISH, GOES_ON, change_words, ruled, sheet_head
from tapscore.exports.paper.part_front import front
from tapscore.exports.paper.part_plan import (
    AS_NEEDED,
    COLUMN_GAP_EM,
    EDGE_EM,
    LARGER,
    SMALLER,
    PartSheets,
    plan_part,
)
from tapscore.exports.paper.part_rows import GAP_EM
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.print_findings import margin_findings, print_findings
from tapscore.exports.paper.sheet_plan import SheetSpan
from tapscore.exports.paper.sizes import FLOOR_PT
from tapscore.exports.paper.text_flow import Piece
from tapscore.exports.paper.turn_findings import sheet_findings
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

MOST_EASE_EM = 0.6
NOTHING = say("Be still, watch the pupils, and wait when everybody waits.")


def part_sheets(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = AS_NEEDED,
    distance_m: float = 1.0,
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
    language: str = "",
) -> Printed:
    """Print one role's sheets, lying, to be read from ``distance_m`` metres.

    With the tag of a ``language`` my lines have its words below, where the school typed some.
    Raises ValueError for a role, paper, margin or distance there is none of.
    """
    sheets = plan_part(
        story,
        performance,
        role,
        paper=paper,
        distance_m=distance_m,
        margin_mm=margin_mm,
        pictures=pictures,
        language=language,
    )
    pdf, count = write_pdf(
        sheet_pages_of(sheets),
        title=f"{story.title}: {role}",
        subject=say("One adult’s part, for the board"),
        language=story.language,
    )
    findings = (
        *print_findings(story),
        *pictures.findings(story),
        *_larger(sheets, asked=paper),
        *margin_findings(sheets.paper),
        *sheet_findings(story, performance, sheets, distance_m=distance_m, margin_mm=margin_mm),
    )
    return Printed(pdf, count, findings)


def _larger(sheets: PartSheets, asked: str) -> tuple[Finding, ...]:
    if asked != AS_NEEDED or sheets.paper.name != LARGER:
        return ()
    role = sheets.part.view.role
    about = About(role=role, larger=LARGER, smaller=SMALLER)
    return (Finding("print-larger", Severity.ADVICE, path=("roles", role), about=about),)


def part_pages(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = AS_NEEDED,
    distance_m: float = 1.0,
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
    language: str = "",
) -> tuple[Page, ...]:
    """Lay out the pages that ``part_sheets`` prints, as data."""
    return sheet_pages_of(
        plan_part(
            story,
            performance,
            role,
            paper=paper,
            distance_m=distance_m,
            margin_mm=margin_mm,
            pictures=pictures,
            language=language,
        )
    )


def sheet_pages_of(sheets: PartSheets) -> tuple[Page, ...]:
    """Draw planned sheets."""
    return _Drawer(sheets).pages()


class _Drawer:
    def __init__(self, sheets: PartSheets) -> None:
        self._sheets = sheets
        self._paper = sheets.paper
        self._label = sheets.sizes.label
        self._wide = sheets.paper.inner_width_pt
        self._numbered = [span for span in sheets.plan.spans if span.end > span.first]

    def pages(self) -> tuple[Page, ...]:
        made: list[Page] = []
        if self._sheets.plan.spans[0].end == 0:
            made += self._front_alone()
        for number, span in enumerate(self._numbered, 1):
            made += self._divided(span, number) if span.divided else [self._whole(span, number)]
        return tuple(made)

    def _front_alone(self) -> list[Page]:
        """The front by itself, on as many pages as it needs, as large as these have room for."""
        room = self._paper.inner_height_pt
        larger = range(int(FLOOR_PT), max(int(self._label), int(FLOOR_PT)) + 1)
        ways = [pour(self._alone(small), lambda _: room, lambda _: room) for small in larger]
        sides = [way for way in ways if len(way) == len(ways[0])][-1]
        marks = (self._bookmark(say("before you start")),)
        return [
            self._page(Band((), 0.0), [bands.stack(side)], Band((), 0.0), () if at else marks)
            for at, side in enumerate(sides)
        ]

    def _alone(self, small: float) -> list[Band]:
        made = self._front(say("before you start"), small)
        if self._numbered:
            said: tuple[Piece, ...] = (
                Piece(say("Then sheet 1. You change sheets only where your hands are free.")),
            )
        else:
            said = (Piece(say("Nothing to tap or bring in this story. "), True), Piece(NOTHING))
        return [*made, bands.spaced(bands.paragraph(said, self._label, self._wide), self._label)]

    def _whole(self, span: SheetSpan, number: int) -> Page:
        sheets = self._sheets
        with_front = number == 1 and sheets.plan.spans[0].end > 0
        name = self._name(number)
        top = bands.stack(self._front(name)) if with_front else self._head(name)
        columns: list[list[Band]] = [[] for _ in range(sheets.columns)]
        names: set[str] = set()
        pieces = sheets.part.pieces[span.first : span.end]
        for piece, column in zip(pieces, span.columns, strict=True):
            again = piece.as_above is not None and piece.as_above in names
            if piece.as_above is not None:
                names.add(piece.as_above)
            columns[column].append(sheets.rows.whole(piece, again=again))
        foot = self._foot(number)
        room = self._paper.inner_height_pt - top.height - foot.height - 2 * self._label * EDGE_EM
        stacked = [self._column(column, room) for column in columns]
        return self._page(
            top, stacked, foot, (self._bookmark(say("sheet {number}", number=number)),)
        )

    def _column(self, made: Sequence[Band], room: float) -> Band:
        """Pieces below one another, eased apart a little where there is room to spare."""
        gap = self._label * GAP_EM
        spare = room - sum(band.height + gap for band in made)
        gap += max(min(spare / max(len(made), 1), self._label * MOST_EASE_EM), 0.0)
        return bands.stack([Band((), 0.0), *(bands.spaced(band, gap) for band in made)])

    def _divided(self, span: SheetSpan, number: int) -> list[Page]:
        """A piece that is higher than a sheet, on several that lie side by side."""
        sheets = self._sheets
        piece = sheets.part.pieces[span.first]
        letters = self._name(number, 9, 9)
        top, foot = self._head(letters).height, self._foot(number).height
        room = self._paper.inner_height_pt - top - foot - self._label
        sides = pour(sheets.rows.rows(piece), lambda _: room, lambda _: room)
        count = -(-len(sides) // sheets.columns)
        made: list[Page] = []
        for at in range(count):
            name = self._name(number)
            name = self._name(number, at + 1, count) if count > 1 else name
            here = [
                bands.stack(side) for side in sides[at * sheets.columns : (at + 1) * sheets.columns]
            ]
            last = at == count - 1
            beside = self._ruled(GOES_ON)
            made.append(
                self._page(
                    self._head(name),
                    here,
                    self._foot(number) if last else beside,
                    () if at else (self._bookmark(name),),
                )
            )
        return made

    def _page(
        self, top: Band, columns: Sequence[Band], foot: Band, bookmarks: tuple[str, ...]
    ) -> Page:
        paper, margin = self._paper, self._paper.margin_pt
        y = margin + top.height + self._label * EDGE_EM * (top.height > 0)
        step = self._sheets.column_pt + self._sheets.sizes.words * COLUMN_GAP_EM
        blocks = list(top.at(margin, margin))
        for number, column in enumerate(columns):
            blocks += column.at(margin + number * step, y)
        blocks += foot.at(margin, paper.height_pt - margin - foot.height)
        return Page(paper, tuple(b for b in blocks if b.elements), bookmarks)

    def _front(self, name: str, small: float = FLOOR_PT) -> list[Band]:
        sheets, wide = self._sheets, self._wide
        return front(
            sheets.part, name, sheets.usual, sheets.sizes, wide, sheets.pictures, small=small
        )

    def _head(self, name: str) -> Band:
        sheets = self._sheets
        return sheet_head(sheets.part, name, sheets.usual, sheets.sizes, self._wide)

    def _name(self, number: int, part: int = 0, parts: int = 0) -> str:
        return say(
            "sheet {number} of {sheets}{parts:0=|*=, part {part} of {parts}}",
            number=number,
            sheets=len(self._numbered),
            part=part,
            parts=parts,
        )

    def _bookmark(self, name: str) -> str:
        return f"{name[:1].upper()}{name[1:]}"

    # the foot

    def _foot(self, number: int) -> Band:
        if number == len(self._numbered):
            return self._ruled(FINISH)
        at = self._numbered[number].first
        return self._ruled(change_words(self._sheets.part, at, number + 1))

    def _ruled(self, pieces: tuple[Piece, ...]) -> Band:
        return ruled(pieces, self._sheets.sizes, self._wide)
