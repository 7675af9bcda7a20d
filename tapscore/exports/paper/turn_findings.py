"""Changes of sheets and turns of cards made with busy hands, and what would help.

Hands that tap cannot turn: less than ``FREE_SEC`` between the last thing done before and the
first thing after is too short.
"""

from collections.abc import Sequence
from math import ceil

from attrs import frozen

from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import Card, role_cards
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.part_sheets import PartSheets, plan_part
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.steps import Step, steps
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.wordings import joined
from tapscore.rhythm.free_hands import FREE_SEC, free_hands
from tapscore.rhythm.performance import Performance, Segment
from tapscore.rhythm.role_view import RoleView

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
    larger = _roomier(story, performance, sheets, distance_m, margin_mm) if busy else ""
    for at in busy:
        piece = sheets.part.pieces[at]
        seconds = sheets.part.free_sec(at)
        wait = max(ceil((FREE_SEC - seconds) / 5) * 5, 5)
        turner = _turners(story, performance, role, piece.first)
        ways = [larger] if larger else []
        ways.append(f"put a wait of {wait} seconds before {_place(piece.steps[0])}")
        ways.append("let somebody else tap there")
        if turner:
            ways.append(f"let {joined(turner, 'or')} change it, whose hands are free then")
        found.append(
            Finding(
                "print-busy-change",
                Severity.LOOK_AGAIN,
                f"{role}: no time to change the sheet before {_place(piece.steps[0])}"
                f" ({seconds:.1f} s, {FREE_SEC:g} s or more are needed).",
                f"{_sentence(joined(ways, 'or'))}.",
                piece.steps[0].segments[0].path,
            )
        )
    for span in sheets.plan.spans:
        if span.divided:
            step = sheets.part.pieces[span.first].steps[0]
            found.append(
                Finding(
                    "print-long-line",
                    Severity.ADVICE,
                    f"{role}: {_place(step)} is longer than a sheet.",
                    "Lay its sheets side by side; or print on larger paper, for a shorter"
                    " distance, or divide it into two lines.",
                    step.segments[0].path,
                )
            )
    return tuple(found)


def card_findings(
    story: Story, performance: Performance, role: str, paper: Paper, sizes: Sizes
) -> tuple[Finding, ...]:
    """The turns of one role's cards that are made with busy hands, all in one finding."""
    turns = card_turns(story, performance, role, paper, sizes)
    busy = [turn for turn in turns if turn.free_sec < FREE_SEC - 1e-6]
    if not busy:
        return ()
    named = [f"{turn.words} ({turn.free_sec:.1f} s)" for turn in busy[:MOST_NAMED]]
    more = [f"{len(busy) - MOST_NAMED} more"] if len(busy) > MOST_NAMED else []
    count = f"{len(busy)} of {len(turns)} turns"
    return (
        Finding(
            "print-busy-turn",
            Severity.LOOK_AGAIN,
            f"{role} turns cards with busy hands, {count}: {joined([*named, *more])}.",
            "Learn the story by heart with these cards, and have the part sheets at the board;"
            " or let somebody turn them.",
            ("roles", role),
        ),
    )


@frozen
class Turn:
    """A card turned, or looked for again."""

    words: str
    """From which card to which."""
    free_sec: float
    """How long hands are free for it; 0 within a line."""


def card_turns(
    story: Story, performance: Performance, role: str, paper: Paper, sizes: Sizes
) -> tuple[Turn, ...]:
    """Every turn of a role's cards in one telling, the refrain's card looked for each time."""
    cards = {card.label: card for card in role_cards(story, performance, role)}
    sides = {label: len(_tapped_sides(story, card, paper, sizes)) for label, card in cards.items()}
    view = RoleView(story, role)
    hands = free_hands(story, performance, role)
    mine = [step for step in steps(performance) if view.involved(step.segments)]
    total = performance.line_count
    made: list[Turn] = []
    before: str | None = None
    for step in mine:
        label = step.refrain or (f"{step.number} of {total}" if step.number else "")
        if before is not None and label != before and label in cards:
            free = hands.free_sec(step.indexes[0])
            made.append(Turn(f"{before} to {label}", free))
        if label in cards:
            made += [Turn(f"within {label}", 0.0)] * (sides[label] - 1)
            before = label
    return tuple(made)


def _tapped_sides(story: Story, card: Card, paper: Paper, sizes: Sizes) -> list[int]:
    """The sides of a card that have taps on them; one at least."""
    pages = lay_out(story, card, paper, sizes)
    found = [
        at
        for at, page in enumerate(pages)
        if any(block.alt.startswith("Taps. ") for block in page.blocks)
    ]
    return found or [0]


def _roomier(
    story: Story,
    performance: Performance,
    sheets: PartSheets,
    distance_m: float,
    margin_mm: float | None,
) -> str:
    """Paper or distance with which every change would have time; empty if none is found."""
    role = sheets.part.view.role
    ways: list[str] = []

    def enough(paper: str, metres: float) -> bool:
        try:
            tried = plan_part(
                story, performance, role, paper=paper, distance_m=metres, margin_mm=margin_mm
            )
        except ValueError:
            return False
        return not tried.busy_changes

    if sheets.paper.name != "A3" and enough("A3", distance_m):
        ways.append("print on A3")
    nearer = (metres for metres in NEARER_M if metres < distance_m)
    near = next((metres for metres in nearer if enough(sheets.paper.name, metres)), None)
    if near is not None:
        ways.append(f"read from {near:g} m")
    return " or ".join(ways)


def _turners(story: Story, performance: Performance, role: str, segment: int) -> Sequence[str]:
    """Other roles whose hands are free at a segment's beginning."""
    return [
        other
        for other in performance.roles
        if other != role and free_hands(story, performance, other).is_free(segment)
    ]


def _place(step: Step) -> str:
    first: Segment = step.segments[0]
    if step.refrain is not None:
        return f"the refrain {step.refrain} (time {step.refrain_time})"
    return f"line {step.number}" if step.number else f"the {first.kind.value}"


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
