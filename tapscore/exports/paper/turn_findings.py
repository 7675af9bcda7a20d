"""Changes of sheets and turns of cards made with busy hands, and what would help.

Hands that tap cannot turn: less than ``FREE_SEC`` between the last thing done before and the
first thing after is too short.
"""

from collections.abc import Mapping, Sequence
from math import ceil

from attrs import frozen

from tapscore.exports.paper.cards import card_uses
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.lane_drawing import TAPS
from tapscore.exports.paper.part_pieces import PartPiece
from tapscore.exports.paper.part_plan import PartSheets, plan_part
from tapscore.exports.paper.text_flow import disowned
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.wordings import joined
from tapscore.rhythm.free_hands import FREE_SEC, free_hands
from tapscore.rhythm.performance import Performance
from tapscore.wording.about import About, LineName
from tapscore.wording.catalogue import say

NEARER_M = (0.75, 0.6, 0.5)
"""Distances that are tried where sheets can't be changed in time."""
MOST_NAMED = 6


def sheet_findings(
    story: Story,
    performance: Performance,
    sheets: PartSheets,
    *,
    distance_m: float,
    margin_mm: float | None,
) -> tuple[Finding, ...]:
    """Each change of sheets made with busy hands, and each line longer than a sheet."""
    role = sheets.part.view.role
    found: list[Finding] = []
    busy = sheets.busy_changes
    roomier = _roomier(story, performance, sheets, distance_m, margin_mm) if busy else ()
    for at in busy:
        piece = sheets.part.pieces[at]
        seconds = sheets.part.free_sec(at)
        wait_sec = max(ceil((FREE_SEC - seconds) / 5) * 5, 5)
        others = sheets.part.turners(at)
        ways = (*roomier, f"wait:{wait_sec}", "share")
        if others:
            ways = (*ways, f"turner:{joined(others, 'or')}")
        about = About(
            role=role,
            line=_named(sheets.part.pieces, at),
            free_sec=seconds,
            needed_sec=FREE_SEC,
            ways=ways,
        )
        path = piece.steps[0].segments[0].path
        found.append(Finding("print-busy-change", Severity.LOOK_AGAIN, path=path, about=about))
    for span in sheets.plan.spans:
        if span.divided:
            path = sheets.part.pieces[span.first].steps[0].segments[0].path
            about = About(role=role, line=_named(sheets.part.pieces, span.first))
            found.append(Finding("print-long-line", Severity.ADVICE, path=path, about=about))
    return tuple(found)


def card_findings(
    story: Story, performance: Performance, role: str, laid: Mapping[str, tuple[Page, ...]]
) -> tuple[Finding, ...]:
    """The turns of one role's cards that are made with busy hands, all in one finding.

    ``laid`` has the sides of each card by its label.
    """
    turns = card_turns(story, performance, role, laid)
    busy = [turn for turn in turns if turn.free_sec < FREE_SEC - 1e-6]
    if not busy:
        return ()
    about = About(
        role=role,
        busy=len(busy),
        turns=len(turns),
        named=tuple(
            say("{turn} ({seconds:.1f} s)", turn=turn.words, seconds=turn.free_sec)
            for turn in busy[:MOST_NAMED]
        ),
        more=max(len(busy) - MOST_NAMED, 0),
    )
    path = ("roles", role)
    return (Finding("print-busy-turn", Severity.LOOK_AGAIN, path=path, about=about),)


@frozen
class Turn:
    """A card turned, or looked for again."""

    words: str
    """From which card to which."""
    free_sec: float
    """How long hands are free for it; 0 within a line."""


def card_turns(
    story: Story, performance: Performance, role: str, laid: Mapping[str, tuple[Page, ...]]
) -> tuple[Turn, ...]:
    """Every turn of a role's cards in one telling, the refrain's card looked for each time."""
    sides = {label: _tapped_sides(pages) for label, pages in laid.items()}
    hands = free_hands(story, performance, role)
    made: list[Turn] = []
    before: str | None = None
    for step, label in card_uses(story, performance, role):
        if before is not None and label != before and label in sides:
            free = hands.free_sec(step.indexes[0])
            name = say("{card} to {next}", card=before, next=label)
            made.append(Turn(disowned(name), free))
        if label in sides:
            within = Turn(disowned(say("within {card}", card=label)), 0.0)
            made += [within] * (sides[label] - 1)
            before = label
    return tuple(made)


def _tapped_sides(pages: Sequence[Page]) -> int:
    """How many sides of a card have taps on them; one at least."""
    return max(sum(any(block.alt.startswith(TAPS) for block in page.blocks) for page in pages), 1)


def _roomier(
    story: Story,
    performance: Performance,
    sheets: PartSheets,
    distance_m: float,
    margin_mm: float | None,
) -> tuple[str, ...]:
    """Paper or distance with which every change would have time; empty if none is found."""
    role = sheets.part.view.role
    ways: list[str] = []

    def enough(paper: str, metres: float) -> bool:
        try:
            tried = plan_part(
                story,
                performance,
                role,
                paper=paper,
                distance_m=metres,
                margin_mm=margin_mm,
                language=sheets.rows.language,
            )
        except ValueError:
            return False
        return not tried.busy_changes

    if sheets.paper.name != "A3" and enough("A3", distance_m):
        ways.append("paper:A3")
    nearer = (metres for metres in NEARER_M if metres < distance_m)
    near = next((metres for metres in nearer if enough(sheets.paper.name, metres)), None)
    if near is not None:
        ways.append(f"metres:{near:g}")
    return tuple(ways)


def _named(pieces: Sequence[PartPiece], at: int) -> LineName:
    """What a piece is called; a pause as the line before it, or after it."""
    for piece in (*pieces[at::-1], *pieces[at:]):
        step = piece.steps[0]
        if step.refrain is not None or step.number is not None:
            return LineName(step.number, step.refrain)
    return LineName()
