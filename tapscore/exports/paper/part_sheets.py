"""One adult's part sheets: her whole part on few large sheets, changed only with free hands."""

from collections import Counter
from collections.abc import Callable, Sequence
from functools import partial
from math import inf

from attrs import frozen

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands, fonts
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Page, Rule, moved_block
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.inks import AMBER, INK, TEAL
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.part_front import front, usual_of, usual_words
from tapscore.exports.paper.part_pieces import Part, part_of
from tapscore.exports.paper.part_rows import GAP_EM, PAD_EM, PartRows
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.print_findings import margin_findings, print_findings
from tapscore.exports.paper.sheet_plan import Plan, Room, Span, plan_sheets
from tapscore.exports.paper.sizes import Sizes, card_sizes
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.text_flow import ASCENT, Piece, flow, own
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.wording.about import About

AS_NEEDED = ""
SMALLER, LARGER = "A4", "A3"
"""As needed: the smaller if hands are free at every change with it, else the larger."""
MOST_SMALL = 6
"""More sheets of the smaller paper than this are a pile: the larger is taken then, too."""
MOST_COLUMNS = 3
LEAST_COLUMN_EM = 20.0
"""A column is no narrower, in sizes of the words: most lines then take one row or two."""
COLUMN_GAP_EM = 1.0
EDGE_EM = 0.3
"""Room above and below the rows of a sheet, in sizes of the labels."""
MOST_EASE_EM = 0.6
NOTHING = "Be still, watch the pupils, and wait when everybody waits."
BESIDE = "lay the next part to the right of this one."


@frozen
class PartSheets:
    """The sheets of one adult, planned and ready to be drawn."""

    part: Part
    paper: Paper
    sizes: Sizes
    plan: Plan
    rows: PartRows
    columns: int
    column_pt: float
    usual: Usual
    """What holds throughout and is said once on each sheet."""
    pictures: OwnPictures = NO_PICTURES

    @property
    def changes(self) -> tuple[int, ...]:
        """The pieces before which a sheet is changed."""
        return tuple(span.first for span in self.plan.spans[1:] if span.first)

    @property
    def busy_changes(self) -> tuple[int, ...]:
        """Those of them at which hands are not free long enough."""
        return tuple(at for at in self.changes if self.part.borders[at].busy)


def part_sheets(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = AS_NEEDED,
    distance_m: float = 1.0,
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Print one role's sheets, lying, to be read from ``distance_m`` metres.

    Raises ValueError for a role, paper, margin or distance there is none of.
    """
    from tapscore.exports.paper.turn_findings import sheet_findings

    sheets = plan_part(
        story,
        performance,
        role,
        paper=paper,
        distance_m=distance_m,
        margin_mm=margin_mm,
        pictures=pictures,
    )
    pdf, count = write_pdf(
        sheet_pages_of(sheets),
        title=f"{story.title}: {role}",
        subject="One adult’s part, for the board",
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
        )
    )


def plan_part(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = AS_NEEDED,
    distance_m: float = 1.0,
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> PartSheets:
    """Plan one role's sheets: what stands on which, and where they are changed.

    ``paper`` is as needed if not said: see ``SMALLER`` and ``LARGER``.
    """
    if paper == AS_NEEDED:
        return _as_needed(
            partial(
                plan_part,
                story,
                performance,
                role,
                distance_m=distance_m,
                margin_mm=margin_mm,
                pictures=pictures,
            )
        )
    fonts.register()
    size = named_paper(paper, landscape=True, margin_mm=margin_mm)
    sizes = card_sizes(distance_m)
    part = part_of(story, performance, role)
    usual = usual_of(part)
    times = Counter(step.refrain for step in steps(performance) if step.refrain is not None)
    fronts = front(part, "sheet 1 of 99", usual, sizes, size.inner_width_pt, pictures)
    named = sheet_head(part, "sheet 99 of 99", usual, sizes, size.inner_width_pt)
    edge = sizes.label * EDGE_EM
    foot = _foot_height(part, sizes, size.inner_width_pt)
    front_pt = bands.stack(fronts).height
    pieces = part.pieces if any(piece.mine for piece in part.pieces) else ()
    tried: list[PartSheets] = []
    for columns in range(1, MOST_COLUMNS + 1):
        gap = sizes.words * COLUMN_GAP_EM
        column = (size.inner_width_pt - gap * (columns - 1)) / columns
        if columns > 1 and column < LEAST_COLUMN_EM * sizes.words:
            break
        rows = PartRows(part.view, usual, dict(times), sizes, column)
        room = Room(
            size.inner_height_pt - foot - front_pt - 2 * edge,
            size.inner_height_pt - foot - named.height - 2 * edge,
            columns,
        )
        _check_room(room, size, sizes, distance_m)
        plan = plan_sheets([rows.measure(piece) for piece in pieces], part.borders, room)
        tried.append(PartSheets(part, size, sizes, plan, rows, columns, column, usual, pictures))
    return min(tried, key=lambda sheets: (sheets.plan.cost[:2], sheets.columns))


def _as_needed(on: Callable[..., PartSheets]) -> PartSheets:
    """The sheets ``on`` the smaller paper if that serves, else on the larger."""
    try:
        small = on(paper=SMALLER)
    except ValueError:
        return on(paper=LARGER)
    if not small.busy_changes and len(small.plan.spans) <= MOST_SMALL:
        return small
    large = on(paper=LARGER)
    return small if large.busy_changes and not small.busy_changes else large


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
        """The front by itself, on as many pages as it needs."""
        made = self._front("before you start")
        if self._numbered:
            said: tuple[Piece, ...] = (
                Piece("Then sheet 1. You change sheets only where your hands are free."),
            )
        else:
            said = (Piece("Nothing to tap or bring in this story. ", True), Piece(NOTHING))
        made.append(bands.spaced(bands.paragraph(said, self._label, self._wide), self._label))
        room = self._paper.inner_height_pt
        sides = pour(made, lambda _: room, lambda _: room)
        marks = (self._bookmark("before you start"),)
        return [
            self._page(Band((), 0.0), [bands.stack(side)], Band((), 0.0), () if at else marks)
            for at, side in enumerate(sides)
        ]

    def _whole(self, span: Span, number: int) -> Page:
        sheets = self._sheets
        with_front = number == 1 and sheets.plan.spans[0].end > 0
        name = f"sheet {number} of {len(self._numbered)}"
        top = bands.stack(self._front(name)) if with_front else self._head(name)
        columns: list[list[Band]] = [[] for _ in range(sheets.columns)]
        names: set[str] = set()
        pieces = sheets.part.pieces[span.first : span.end]
        for piece, column in zip(pieces, span.columns, strict=True):
            again = piece.refrain is not None and piece.refrain in names
            if piece.refrain is not None:
                names.add(piece.refrain)
            columns[column].append(sheets.rows.whole(piece, again=again))
        foot = self._foot(number)
        room = self._paper.inner_height_pt - top.height - foot.height - 2 * self._label * EDGE_EM
        stacked = [self._column(column, room) for column in columns]
        return self._page(top, stacked, foot, (self._bookmark(f"sheet {number}"),))

    def _column(self, made: Sequence[Band], room: float) -> Band:
        """Pieces below one another, eased apart a little where there is room to spare."""
        gap = self._label * GAP_EM
        spare = room - sum(band.height + gap for band in made)
        gap += max(min(spare / max(len(made), 1), self._label * MOST_EASE_EM), 0.0)
        return bands.stack([Band((), 0.0), *(bands.spaced(band, gap) for band in made)])

    def _divided(self, span: Span, number: int) -> list[Page]:
        """A piece that is higher than a sheet, on several that lie side by side."""
        sheets = self._sheets
        piece = sheets.part.pieces[span.first]
        letters = f"sheet {number} of {len(self._numbered)}, part 9 of 9"
        top, foot = self._head(letters).height, self._foot(number).height
        room = self._paper.inner_height_pt - top - foot - self._label
        sides = pour(sheets.rows.rows(piece), lambda _: room, lambda _: room)
        count = -(-len(sides) // sheets.columns)
        made: list[Page] = []
        for at in range(count):
            name = f"sheet {number} of {len(self._numbered)}"
            name += f", part {at + 1} of {count}" if count > 1 else ""
            here = [
                bands.stack(side) for side in sides[at * sheets.columns : (at + 1) * sheets.columns]
            ]
            last = at == count - 1
            beside = self._ruled((Piece("Goes on beside: ", True), Piece(BESIDE)))
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

    def _front(self, name: str) -> list[Band]:
        sheets = self._sheets
        return front(sheets.part, name, sheets.usual, sheets.sizes, self._wide, sheets.pictures)

    def _head(self, name: str) -> Band:
        sheets = self._sheets
        return sheet_head(sheets.part, name, sheets.usual, sheets.sizes, self._wide)

    def _bookmark(self, name: str) -> str:
        return f"{name[:1].upper()}{name[1:]}"

    # the foot

    def _foot(self, number: int) -> Band:
        if number == len(self._numbered):
            return self._ruled((Piece("Finish: ", True), Piece("hands still, sheets down.")))
        at = self._numbered[number].first
        return self._ruled(change_words(self._sheets.part, at, number + 1))

    def _ruled(self, pieces: tuple[Piece, ...]) -> Band:
        return ruled(pieces, self._sheets.sizes, self._wide)


def sheet_head(part: Part, name: str, usual: Usual, sizes: Sizes, width: float) -> Band:
    """The heading of a sheet: whose it is, which, and what holds for its lines."""
    role = part.view.role
    pieces = (Piece(f"{role[:1].upper()}{role[1:]}", True, TEAL), Piece(f", {name}", True))
    size = sizes.number
    named = flow(pieces, size, width)
    title = Band((Block("H1", named.texts),), named.height_pt)
    holds = usual_words(usual)
    if not holds:
        return title
    x = named.width_pt + size * 0.6
    beside = flow(holds, sizes.label, width - x) if width - x > width * 0.4 else None
    if named.lines == 1 and beside is not None and beside.lines == 1:
        down = (size - sizes.label) * ASCENT
        block = moved_block(Block("P", beside.texts), x, down)
        return Band((*title.blocks, block), title.height)
    return bands.stack([title, bands.paragraph(holds, sizes.label, width)])


def change_words(part: Part, at: int, number: int) -> tuple[Piece, ...]:
    """What a sheet's foot says of the change before a piece; ``number`` is the next sheet's."""
    seconds = part.free_sec(at)
    to = f"sheet {number}"
    if part.borders[at].busy:
        who = next(iter(part.turners(at)), "")
        how = f"{own(who)} puts it there." if who else "have somebody put it there."
        return (
            Piece(f"No time to change to {to}: ", True, AMBER),
            Piece(how, False, AMBER),
        )
    change = Piece(f"Change to {to} ", True)
    if seconds == inf:
        return (change, Piece("when you like: your hands are free."))
    long = f"{int(seconds + 1e-6)} seconds or more."
    before, coming = part.pieces[at - 1].last_pause, part.pieces[at].steps[0].segments[0]
    if before is not None and before.kind is SegmentKind.WAIT:
        return (change, Piece(f"in this wait: {long}"))
    if before is not None:
        return (change, Piece(f"while {own(before.prop or '')} is offered: {long}"))
    if coming.kind is SegmentKind.WAIT:
        return (change, Piece(f"in the wait that comes now: {long}"))
    return (change, Piece(f"while others tap: {long}"))


def ruled(pieces: tuple[Piece, ...], sizes: Sizes, width: float) -> Band:
    """A sentence with a rule above it."""
    said = bands.paragraph(pieces, sizes.label, width)
    thick, space = sizes.label * 0.06, sizes.label * 0.25
    rule = Block("Artifact", (Rule(0, thick / 2, width, thick / 2, INK, thick),))
    return Band((rule, *said.at(0, thick + space)), thick + space + said.height)


def _foot_height(part: Part, sizes: Sizes, width: float) -> float:
    """The highest foot there may be, whatever the plan."""
    said = {change_words(part, at, 99) for at in range(1, len(part.pieces))}
    said.add((Piece("Finish: ", True), Piece("hands still, sheets down.")))
    said.add((Piece("Goes on beside: ", True), Piece(BESIDE)))
    return max(ruled(pieces, sizes, width).height for pieces in said)


def _check_room(room: Room, paper: Paper, sizes: Sizes, distance_m: float) -> None:
    """Raise ValueError for a paper that has no room for one row of words and its taps."""
    needed = sizes.words + 2.1 * sizes.mark + sizes.label * (GAP_EM + 2 * PAD_EM)
    if room.other_pt < needed or paper.inner_width_pt < 8 * sizes.words:
        raise ValueError(
            f"{paper.name} is too small for sheets to be read at {distance_m:g} m, with a margin"
            f" of {paper.margin_mm:g} mm: choose larger paper, a shorter distance or a smaller"
            " margin"
        )
