"""Cue cards laid out on pages: sizes never shrink, what does not fit goes on a further card."""

from collections.abc import Sequence

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.card_body import GAP_EM, CardBody
from tapscore.exports.paper.card_foot import foot_sentences
from tapscore.exports.paper.cards import Card
from tapscore.exports.paper.cautions import named_cautions, split_caution
from tapscore.exports.paper.drawing import Page, Panel, StraightLine, TaggedBlock
from tapscore.exports.paper.inks import INK, TEAL
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.part_pieces import Part
from tapscore.exports.paper.people import with_whom
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.steps import StepKind
from tapscore.exports.paper.text_flow import Piece, disowned, pieces_of
from tapscore.model.story import Role, Story
from tapscore.rhythm.role_view import LinePart
from tapscore.wording.catalogue import say

HEAD_SHARE = 0.5
"""A heading taller than this share of the side gives all but its title to the body."""
FOOT_SHARE = 0.4
"""A foot taller than this share of the side stands in the body instead."""
RAIL_PT = 3.5
RAIL_ROOM_PT = 10.0
"""What the rail of a refrain takes from the left of its card, the gap beside it included."""


def lay_out(story: Story, card: Card, paper: Paper, sizes: Sizes) -> tuple[Page, ...]:
    """Lay out one card; gives its sides in order."""
    return _Layout(story, card, paper, sizes).pages()


class _Layout:
    def __init__(self, story: Story, card: Card, paper: Paper, sizes: Sizes) -> None:
        self._story = story
        self._card = card
        self._paper = paper
        self._sizes = sizes
        railed = RAIL_ROOM_PT if card.kind is StepKind.REFRAIN else 0.0
        self._left = paper.margin_pt + railed
        self._wide = paper.inner_width_pt - railed
        self._gap = sizes.label * GAP_EM
        self._edge = sizes.label * 0.25
        self._body = CardBody(story, card, sizes, self._wide)
        role = next((r for r in story.roles if r.name == card.role), Role(card.role))
        self._seat = role.seat

    def pages(self) -> tuple[Page, ...]:
        """All its sides.

        If not all fits one side, a wait before the words has a side of its own, and what
        to do stands with the words or before them, never on a side after them.
        """
        lead = [self._body.lead(pause, self._wide) for pause in self._card.lead]
        said, doing, after = self._body.bands()
        whole = [*said, *doing, *after]
        pages, _ = self._poured(whole, with_lead=True)
        if len(pages) == 1:
            return pages
        one = self._one_side()
        if one:
            return one
        alone: tuple[Page, ...] = ()
        if lead:
            alone, _ = self._poured(lead, last=False, bare=True)
        pages, sides = self._poured(whole, first=len(alone))
        if len(pages) > 1:
            pages = self._one_side(first=len(alone), with_lead=not alone) or pages
        if len(pages) == 1 or not said or not doing or doing[-1] in sides[0]:
            return (*alone, *pages)
        label = bands.paragraph((Piece(say("In this line:")),), self._sizes.label, self._wide)
        ready = [*lead, bands.spaced(label, self._gap, with_next=True), *doing]
        alone, _ = self._poured(ready, last=False, bare=True)
        pages, _ = self._poured([*said, *after], first=len(alone))
        if len(pages) > 1:
            pages = self._one_side(first=len(alone), with_lead=False, doing=False) or pages
        return (*alone, *pages)

    def _one_side(
        self, *, first: int = 0, with_lead: bool = True, doing: bool = True
    ) -> tuple[Page, ...]:
        """All on one side, the board reaching down beside the first row; empty if it can't."""
        picture = self._picture()
        if picture is None or not self._card.parts:
            return ()
        aside = self._wide - picture[1] - self._sizes.label * 0.6
        body = CardBody(self._story, self._card, self._sizes, self._wide, aside)
        said, deeds, after = body.bands()
        if not isinstance(self._card.parts[0], LinePart) or not said:
            return ()
        bands_ = [*said, *(deeds if doing else ()), *after]
        heading = self._heading(first, bare=False, with_lead=with_lead, reach=said[0].height)
        pages, _ = self._poured(bands_, first=first, heading=heading)
        return pages if len(pages) == 1 else ()

    def _poured(
        self,
        body: Sequence[Band],
        *,
        first: int = 0,
        last: bool = True,
        bare: bool = False,
        with_lead: bool = False,
        heading: Band | None = None,
    ) -> tuple[tuple[Page, ...], list[list[Band]]]:
        """Sides for ``body``: ``first`` sides went before, and others follow unless ``last``."""
        inner = self._paper.inner_height_pt
        on = self._rule_above(
            bands.paragraph(
                pieces_of("**Goes on: **next card"),
                self._sizes.label,
                self._wide,
            )
        )
        foot = self._foot() if last else on
        if foot.height > inner * FOOT_SHARE:
            body = [*body, *self._foot_lines()]
            foot = Band((), 0.0)
        given = heading is not None
        heading = heading or self._heading(first, bare=bare, with_lead=with_lead)
        later = self._title(first + 1, self._wide)
        tall = heading.height > inner * HEAD_SHARE
        whole = bands.stack(body).height + heading.height + foot.height + 2 * self._edge
        if not given and tall and whole > inner:
            heading = self._title(first, self._wide)
            body = [*self._introduction(first, bare=bare, with_lead=with_lead), *body]

        def head(side: int) -> Band:
            return later if side else heading

        sides = pour(
            body,
            lambda side: inner - 2 * self._edge - head(side).height - on.height,
            lambda side: inner - 2 * self._edge - head(side).height - foot.height,
        )
        if len(sides) == 2 and len(sides[0]) == 1 and not sides[1]:
            room = inner - 2 * self._edge - later.height - foot.height
            if heading.height > 1.5 * later.height and sides[0][0].height <= room:
                sides.reverse()
        pages = tuple(
            self._page(number + first, head(number), side, foot if number == len(sides) - 1 else on)
            for number, side in enumerate(sides)
        )
        return pages, sides

    def _page(self, number: int, head: Band, body: Sequence[Band], foot: Band) -> Page:
        paper = self._paper
        left, top = self._left, paper.margin_pt
        blocks = list(head.at(left, top))
        y = top + head.height + self._edge
        foot_top = paper.height_pt - paper.margin_pt - foot.height
        if self._card.kind is StepKind.REFRAIN:
            blocks.append(self._rail())
        used = sum(b.height + (b.space_before if i else 0) for i, b in enumerate(body))
        spare = max(foot_top - self._edge - y - used, 0.0)
        ease = min(spare / (len(body) + 1), self._sizes.label) if body else 0.0
        y += ease
        for index, band in enumerate(body):
            y += band.space_before if index else 0.0
            blocks += band.at(left, y)
            y += band.height + ease
        blocks += foot.at(left, foot_top)
        bookmarks = (disowned(self._name()),) if number == 0 else ()
        return Page(paper, tuple(b for b in blocks if b.elements), bookmarks)

    def _name(self) -> str:
        label = self._card.label
        return label[:1].upper() + label[1:]

    # the top of the card

    def _heading(self, side: int, *, bare: bool, with_lead: bool, reach: float = 0.0) -> Band:
        """The title, and unless ``bare`` the board and how to tap what follows.

        The board may ``reach`` so far below it.
        """
        picture = None if bare else self._picture()
        wide = self._wide
        if picture:
            wide -= picture[1] + self._sizes.label * 0.6
        gap = self._gap * 0.8
        leads = [self._body.lead(pause, self._wide) for pause in self._card.lead] * with_lead
        low = bool(reach and leads)
        top = [self._title(side, self._wide if low else wide)]
        if side == 0 and self._card.come_in_after is not None:
            top.append(bands.come_in(self._card.come_in_after, self._sizes, wide))
        strips = self._strips(wide, bare=bare)
        if not low:
            leads = [self._body.lead(pause, wide) for pause in self._card.lead] * with_lead
            strips, top = [*top, *leads, *strips], []
        left = bands.stack(strips, gap)
        if picture is not None:
            both = bands.beside(left, picture[0], self._wide - picture[1])
            left = evolve(both, height=max(left.height, both.height - reach))
        return bands.stack([*top, *leads, left], gap) if low else left

    def _introduction(self, side: int, *, bare: bool, with_lead: bool) -> list[Band]:
        """The same without the title, in bands that can go on further sides."""
        leads = [self._body.lead(pause, self._wide) for pause in self._card.lead] * with_lead
        strips = [*leads, *self._strips(self._wide, bare=bare)]
        if side == 0 and self._card.come_in_after is not None:
            strips.insert(0, bands.come_in(self._card.come_in_after, self._sizes, self._wide))
        made = [bands.spaced(strip, self._gap, with_next=True) for strip in strips]
        picture = None if bare else self._picture()
        return [*made, bands.spaced(picture[0], self._gap)] if picture else made

    def _strips(self, wide: float, *, bare: bool) -> list[Band]:
        first = self._card.parts[0] if self._card.parts else None
        return (
            [] if bare or not isinstance(first, LinePart) else self._body.before_line(first, wide)
        )

    def _title(self, side: int, wide: float) -> Band:
        card, size = self._card, self._sizes.number
        label = Piece(self._name(), True)
        role = Piece(f"  {card.role[:1].upper()}{card.role[1:]}", True, TEAL)
        more = (Piece(say(", continued")),) if side else ()
        if not side and card.kind is StepKind.REFRAIN:
            longer = bands.paragraph((label, Piece(say(", refrain")), role), size, wide, tag="H1")
            if longer.height < 1.5 * size:
                return longer
        whole = bands.paragraph((label, *more, role), size, wide, tag="H1")
        if side and whole.height > 2.5 * size:
            return bands.paragraph((label, *more), self._sizes.label, wide, tag="H1")
        return whole

    def _picture(self) -> tuple[Band, float] | None:
        board = self._story.board
        if board is None:
            return None
        spots = {tap.spot for tap in self._card.taps if tap.spot is not None}
        for part in self._card.parts:
            if isinstance(part, LinePart):
                spots |= {e.at for e in part.brings if e.at is not None}
        if not spots and (self._seat is None or board.seat(self._seat) is None):
            return None
        label = self._sizes.label
        most = (min(self._wide * 0.24, label * 6.2), label * 4.4)
        picture = board_picture(board, spots=sorted(spots), seat=self._seat, most=most, label=label)
        return Band((picture.block,), picture.height_pt), picture.width_pt

    def _rail(self) -> TaggedBlock:
        """The rail at the left of a refrain's card."""
        margin = self._paper.margin_pt
        high = self._paper.inner_height_pt
        return TaggedBlock("Artifact", (Panel(margin, margin, RAIL_PT, high, 1.5, TEAL),))

    # the foot of the card

    def _foot(self) -> Band:
        return self._rule_above(bands.stack(self._foot_lines()))

    def _foot_lines(self) -> list[Band]:
        """The sentences of the foot, two on a line where they fit."""
        size = self._sizes.label
        made: list[Band] = []
        sentences = list(foot_sentences(self._card))
        while sentences:
            one = sentences.pop(0)
            band = bands.pill_line(one.pill, one.pieces, size, self._wide)
            if sentences and not sentences[0].pill:
                other = sentences[0]
                both = (*one.pieces, Piece(". "), *other.pieces)
                joined = bands.pill_line(one.pill, both, size, self._wide)
                if joined.height <= band.height:
                    band = joined
                    sentences.pop(0)
            made.append(band)
        return made

    def _rule_above(self, band: Band) -> Band:
        thick = self._sizes.label * 0.06
        space = self._sizes.label * 0.3
        rule = TaggedBlock(
            "Artifact", (StraightLine(0, thick / 2, self._wide, thick / 2, INK, thick),)
        )
        return Band((rule, *band.at(0, thick + space)), thick + space + band.height)


def blank_card(story: Story, role: str, paper: Paper, sizes: Sizes) -> tuple[Page, ...]:
    """The card of a role that has nothing to tap or bring; on small paper it goes on."""
    wide = paper.inner_width_pt
    leads = role == story.leader
    hint = (
        say("Lead from the cue sheet.")
        if leads
        else say("Be still, watch the pupils, and wait when everybody waits.")
    )
    strips = [
        bands.paragraph(
            (Piece(role[:1].upper() + role[1:], True, TEAL),), sizes.number, wide, tag="H1"
        ),
        bands.paragraph((Piece(say("Nothing to tap or bring in this story.")),), sizes.words, wide),
        bands.paragraph(
            (Piece(hint),),
            sizes.label,
            wide,
        ),
    ]
    sides: list[list[Band]] = [[]]
    for strip in strips:
        if bands.stack([*sides[-1], strip], sizes.label).height > paper.inner_height_pt:
            sides.append([])
        sides[-1].append(strip)
    return tuple(
        Page(
            paper,
            bands.stack(side, sizes.label).at(paper.margin_pt, paper.margin_pt),
            (f"{story.title}: {role}",),
        )
        for side in sides
        if side
    )


def before_card(part: Part, paper: Paper, sizes: Sizes) -> tuple[Page, ...]:
    """What an adult has to mind before she starts: whom she is with, cautions of her props.

    Empty where there is nothing.
    """
    wide = paper.inner_width_pt
    said = [*filter(None, (with_whom(part.view),)), *named_cautions(part.view.story, part.handled)]
    if not said:
        return ()
    role = part.view.role
    head = (
        Piece(say("Before you start"), True),
        Piece(f"  {role[:1].upper()}{role[1:]}", True, TEAL),
    )
    made = [bands.paragraph(head, sizes.number, wide, tag="H1")]
    made += [
        bands.spaced(
            bands.paragraph((Piece(hazard, True), Piece(rest)), sizes.label, wide), sizes.label / 2
        )
        for hazard, rest in map(split_caution, said)
    ]
    room = paper.inner_height_pt
    sides = pour(made, lambda _: room, lambda _: room)
    return tuple(
        Page(
            paper,
            tuple(
                block
                for block in bands.stack(side).at(paper.margin_pt, paper.margin_pt)
                if block.elements
            ),
            () if at else (say("Before you start"),),
        )
        for at, side in enumerate(sides)
    )
