"""How one adult's part is dealt on sheets: paper, columns, and where sheets are changed."""

from collections.abc import Callable
from functools import partial

from attrs import frozen

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.part_edges import highest_foot, sheet_head
from tapscore.exports.paper.part_front import back_at_usual, front, usual_of
from tapscore.exports.paper.part_pieces import Part, part_of
from tapscore.exports.paper.part_rows import GAP_EM, PAD_EM, PartRows
from tapscore.exports.paper.sheet_plan import SheetPlan, SheetRoom, plan_sheets
from tapscore.exports.paper.sizes import Sizes, card_sizes
from tapscore.exports.paper.steps import steps, times_heard
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say

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


@frozen
class PartSheets:
    """The sheets of one adult, planned and ready to be drawn."""

    part: Part
    paper: Paper
    sizes: Sizes
    plan: SheetPlan
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


def plan_part(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = AS_NEEDED,
    distance_m: float = 1.0,
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
    language: str = "",
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
                language=language,
            )
        )
    size = named_paper(paper, landscape=True, margin_mm=margin_mm)
    sizes = card_sizes(distance_m)
    part = part_of(story, performance, role)
    usual = usual_of(part)
    back = back_at_usual(part, usual)
    times = times_heard(steps(performance))
    fronts = front(part, "sheet 1 of 99", usual, sizes, size.inner_width_pt, pictures)
    named = sheet_head(part, "sheet 99 of 99", usual, sizes, size.inner_width_pt)
    edge = sizes.label * EDGE_EM
    foot = highest_foot(part, sizes, size.inner_width_pt)
    front_pt = bands.stack(fronts).height
    pieces = part.pieces if any(piece.mine for piece in part.pieces) else ()
    tried: list[PartSheets] = []
    for columns in range(1, MOST_COLUMNS + 1):
        gap = sizes.words * COLUMN_GAP_EM
        column = (size.inner_width_pt - gap * (columns - 1)) / columns
        if columns > 1 and column < LEAST_COLUMN_EM * sizes.words:
            break
        lines = performance.line_count
        rows = PartRows(part.view, usual, back, times, sizes, column, language, lines)
        room = SheetRoom(
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


def _check_room(room: SheetRoom, paper: Paper, sizes: Sizes, distance_m: float) -> None:
    """Raise ValueError for a paper that has no room for one row of words and its taps."""
    needed = sizes.words + 2.1 * sizes.mark + sizes.label * (GAP_EM + 2 * PAD_EM)
    if room.other_pt < needed or paper.inner_width_pt < 8 * sizes.words:
        raise ValueError(
            say(
                "{paper} is too small for sheets to be read at {distance} m, with a margin of "
                "{margin} mm: choose larger paper, a shorter distance or a smaller margin",
                paper=paper.name,
                distance=distance_m,
                margin=paper.margin_mm,
            )
        )
