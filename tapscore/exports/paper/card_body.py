"""The middle of a cue card: words and taps, what to do, waits and offerings."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item
from tapscore.exports.paper.cards import Card
from tapscore.exports.paper.how_items import how_items
from tapscore.exports.paper.people import offered, spoken, turns_words, warning
from tapscore.exports.paper.prop_tags import comes, goes, others_items, prop_tag
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.tapped_rows import tapped_rows
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.model.story import Story
from tapscore.model.wordings import seconds_words
from tapscore.rhythm.describe import describe
from tapscore.rhythm.role_view import LinePart, PausePart, RoleView
from tapscore.wording.catalogue import say

GAP_EM = 0.3
"""Least room between two things on a card, in sizes of its labels; they ease apart."""


class CardBody:
    """Makes the bands of one card, ``width`` points wide.

    The first row of words may be narrower, to leave room for a picture beside it.
    """

    def __init__(
        self,
        story: Story,
        card: Card,
        sizes: Sizes,
        width: float,
        first_width: float | None = None,
    ) -> None:
        self._story = story
        self._card = card
        self._sizes = sizes
        self._wide = width
        self._first_width = first_width
        self._gap = sizes.label * GAP_EM

    def bands(self) -> tuple[list[Band], list[Band], list[Band]]:
        """What is said, what is done with it, and what comes after.

        A card with several lines, or with a wait before its line, keeps all of it in order, as
        what is said.
        """
        said: list[Band] = []
        doing: list[Band] = []
        after: list[Band] = []
        lines = [isinstance(part, LinePart) for part in self._card.parts]
        single = lines.count(True) == 1 and lines[0]
        last_how: tuple[object, ...] | None = None
        for index, part in enumerate(self._card.parts):
            if isinstance(part, PausePart):
                (after if single else said).extend(self._pause(part))
                continue
            how = (
                *describe(part.segment, _events(part), self._card.role).manner_words,
                *part.others_bring,
                *part.others_take,
                *(() if part.taps else part.segment.path),
            )
            if index and (part.warn_first or how != last_how):
                for strip in self.before_line(part, self._wide):
                    said.append(bands.spaced(strip, self._gap, with_next=True))
            last_how = how
            said += tapped_rows(
                part,
                self._sizes,
                self._wide,
                gap=self._gap,
                first_width=None if said else self._first_width,
            )
            (doing if single else said).extend(self._doing(part))
        return said, doing, after

    def _heard(self, part: LinePart, wide: float) -> Band:
        """A line that others tap, to listen for or to speak."""
        words = part.segment.printed_words
        said = own(words.rstrip(" ,;:"))
        if part.says:
            pieces = pieces_of("Say **“{words}”**", words=said)
            nothing = pieces_of("Say **a rest without words**")
        else:
            pieces = pieces_of("Listen for **“{words}”**", words=said)
            nothing = pieces_of("Listen for **a rest without words**")
        pieces = pieces if words else nothing
        return bands.paragraph(pieces, self._sizes.number, wide)

    def _doing(self, part: LinePart) -> list[Band]:
        sizes, wide = self._sizes, self._wide
        made: list[Band] = []
        made += [prop_tag(prop, goes(None), sizes, wide, mine=True) for prop in part.takes]
        made += [
            prop_tag(entrance.prop, comes(entrance, None), sizes, wide, mine=True)
            for entrance in part.brings
        ]
        if part.do:
            pieces = pieces_of("Do: **{doing}**", doing=part.do)
            made.append(bands.paragraph(pieces, sizes.action, wide))
        if part.segment.look_for:
            made.append(
                bands.paragraph(
                    pieces_of("**Look for **{answer}", answer=own(part.segment.look_for)),
                    sizes.label,
                    wide,
                )
            )
        return [bands.spaced(band, self._gap) for band in made]

    def _pause(self, part: PausePart) -> list[Band]:
        segment, sizes, wide = part.segment, self._sizes, self._wide
        if segment.prop is None:
            wait = bands.wait_block(segment.length_sec, segment.look_for, sizes, wide)
            return [bands.spaced(wait, self._gap)]
        if not part.mine:
            pieces = pieces_of(
                "**Rest**: {who}, {time} or more",
                who=offered(self._story, segment),
                time=seconds_words(segment.length_sec),
            )
            rest = bands.paragraph(pieces, sizes.label, wide)
            return [bands.spaced(rest, self._gap)]
        made = [
            bands.paragraph(
                (Piece(say("Offer {prop}", prop=own(segment.prop)), True),), sizes.action, wide
            ),
            bands.paragraph((Piece(turns_words(self._story, segment)),), sizes.label, wide),
        ]
        if segment.look_for:
            made.append(
                bands.paragraph(
                    pieces_of("**Look for **{answer}", answer=own(segment.look_for)),
                    sizes.label,
                    wide,
                )
            )
        first = bands.spaced(made[0], self._gap, with_next=True)
        rest_made = [bands.spaced(band, self._gap * 0.5) for band in made[1:]]
        return [first, *rest_made]

    def lead(self, pause: PausePart, wide: float) -> Band:
        """A wait or an offering before the words."""
        segment = pause.segment
        if segment.prop is None:
            return bands.wait_block(
                segment.length_sec, segment.look_for, self._sizes, wide, first=True
            )
        pieces = pieces_of(
            "**First rest**: {who}, {time} or more",
            who=offered(self._story, segment),
            time=seconds_words(segment.length_sec),
        )
        return bands.paragraph(pieces, self._sizes.label, wide)

    def before_line(self, part: LinePart, wide: float) -> list[Band]:
        """The warning, how to tap what follows, and props that others move in it."""
        size = self._sizes.label
        strips: list[Band] = []
        if part.warn_first:
            strips.append(warning(part, self._card.role, self._sizes, wide))
        items = others_items(self._story, part.others_take, part.others_bring, size)
        if part.taps:
            found = describe(part.segment, _events(part), self._card.role)
            who = spoken(part.segment, RoleView(self._story, self._card.role))
            how = how_items(found, part.segment, part.taps, size)
            items = [*how, *([Item(who, bold=True)] if who else []), *items]
        else:
            strips.append(self._heard(part, wide))
        if items:
            strips.append(bands.items_line(items, size, wide))
        return strips


def _events(part: LinePart) -> set[int]:
    """The events of the lane that the role taps."""
    return {tap.event for tap in part.taps}
