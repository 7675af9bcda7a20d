"""The middle of a cue card: words and taps, what to do, waits and offerings."""

from tapscore.exports.marks import mark_size
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cards import Card, LinePart, PausePart
from tapscore.exports.paper.cautions import prop_cautions, split_caution
from tapscore.exports.paper.drawing import Block
from tapscore.exports.paper.how_items import how_items
from tapscore.exports.paper.lane_columns import columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, taps_alt
from tapscore.exports.paper.manner_words import manners, seconds_words
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.story import Story


class CardBody:
    """Makes the bands of one card, ``width`` points wide."""

    def __init__(self, story: Story, card: Card, sizes: Sizes, width: float) -> None:
        self._story = story
        self._card = card
        self._sizes = sizes
        self._wide = width
        self._gap = sizes.label * 0.42
        self._cautioned: set[str] = set()

    def bands(self) -> tuple[list[Band], list[Band], list[Band]]:
        """What is said, what is done with it, and what comes after.

        A card with several lines keeps all of it in order, as what is said.
        """
        said: list[Band] = []
        doing: list[Band] = []
        after: list[Band] = []
        single = sum(isinstance(part, LinePart) for part in self._card.parts) == 1
        last_how: tuple[str, ...] | None = None
        for index, part in enumerate(self._card.parts):
            if isinstance(part, PausePart):
                (after if single else said).extend(self._pause(part))
                continue
            how = manners(self._story, part.segment, part.taps).words
            if index and (part.warn_first or how != last_how):
                for strip in self.before_line(part, self._wide):
                    said.append(bands.spaced(strip, self._gap, with_next=True))
            last_how = how
            said += self._line(part)
            (doing if single else said).extend(self._doing(part))
        return said, doing, after

    def _line(self, part: LinePart) -> list[Band]:
        sizes = self._sizes
        made: list[Band] = []
        taps = {tap.event: tap for tap in part.taps}
        wanted = columns(part.segment, lambda event: event in taps)
        laid = rows(
            wanted,
            lambda column: (
                mark_size(float(taps[column.event].level), sizes.mark)
                if column.event is not None and column.event in taps
                else 0.0
            ),
            size_pt=sizes.words,
            width=self._wide,
        )
        for index, row in enumerate(laid):
            following = laid[index + 1] if index + 1 < len(laid) else None
            words = draw_words(row, sizes.words)
            under: tuple[Block, ...] = ()
            height = words.height
            if part.taps:
                drawn = draw_marks(
                    row, following, part.segment, taps, sizes.mark, alt=taps_alt(row, taps)
                )
                moved = Band(drawn.blocks, drawn.height).at(0, words.height + sizes.words * 0.03)
                under = moved
                height += sizes.words * 0.03 + drawn.height
            goes_on = following is not None
            space = self._gap * (0.7 if index else 1.0)
            made.append(Band((*words.blocks, *under), height, space, goes_on))
        return made

    def _doing(self, part: LinePart) -> list[Band]:
        sizes, wide = self._sizes, self._wide
        made: list[Band] = []
        if part.do:
            made.append(bands.paragraph((Piece(part.do, True),), sizes.action, wide))
        for entrance in part.brings:
            at = f", at {entrance.at}" if entrance.at else ""
            made.append(
                bands.prop_tag(entrance.prop, "in", f"you bring it{at}", sizes, wide, mine=True)
            )
            made += self._cautions(entrance.prop)
        for prop in part.takes:
            made.append(bands.prop_tag(prop, "out", "you take it", sizes, wide, mine=True))
        moved = [(e.prop, f"in at {e.at}" if e.at else "in") for e in part.others_bring] + [
            (prop, "out") for prop in part.others_take
        ]
        if moved:
            tags = [bands.tag_item(prop, way, sizes.label) for prop, way in moved]
            made.append(bands.items_line(tags, sizes.label, wide))
        if part.segment.look_for:
            made.append(
                bands.paragraph(
                    (Piece("Look for ", True), Piece(part.segment.look_for)), sizes.label, wide
                )
            )
        return [bands.spaced(band, self._gap) for band in made]

    def _cautions(self, prop: str) -> list[Band]:
        """A prop's cautions, on the first card where it is handled and once there."""
        if prop not in self._card.warned_props or prop in self._cautioned:
            return []
        self._cautioned.add(prop)
        sentences = prop_cautions(self._story.prop(prop))
        return [
            bands.paragraph((Piece(hazard, True), Piece(rest)), self._sizes.label, self._wide)
            for hazard, rest in map(split_caution, sentences)
        ]

    def _pause(self, part: PausePart) -> list[Band]:
        segment, sizes, wide = part.segment, self._sizes, self._wide
        if segment.prop is None:
            wait = bands.wait_block(segment.length_sec, segment.look_for, sizes, wide)
            return [bands.spaced(wait, self._gap)]
        turns = f"{segment.turns} turn{'s' if segment.turns != 1 else ''}"
        each = seconds_words(segment.turn_sec)
        if not part.mine:
            by = self._story.bringer(segment.prop)
            least = seconds_words(segment.length_sec)
            text = f": {by} offers {segment.prop}, {least} or more"
            rest = bands.paragraph((Piece("Rest", True), Piece(text)), sizes.label, wide)
            return [bands.spaced(rest, self._gap)]
        made = [
            bands.paragraph((Piece(f"Offer {segment.prop}", True),), sizes.action, wide),
            bands.paragraph(
                (
                    Piece(turns, True),
                    Piece(f", {each} or more each, to every pupil who wants it"),
                ),
                sizes.label,
                wide,
            ),
        ]
        if segment.look_for:
            made.append(
                bands.paragraph(
                    (Piece("Look for ", True), Piece(segment.look_for)), sizes.label, wide
                )
            )
        first = bands.spaced(made[0], self._gap, with_next=True)
        rest_made = [bands.spaced(band, self._gap * 0.5) for band in made[1:]]
        cautions = [bands.spaced(band, self._gap) for band in self._cautions(segment.prop)]
        return [first, *rest_made, *cautions]

    def lead(self, pause: PausePart, wide: float) -> Band:
        """A wait or an offering before the words."""
        segment = pause.segment
        if segment.prop is None:
            return bands.wait_block(
                segment.length_sec, segment.look_for, self._sizes, wide, first=True
            )
        by = self._story.bringer(segment.prop)
        text = f": {by} offers {segment.prop}, {seconds_words(segment.length_sec)} or more"
        return bands.paragraph((Piece("First rest", True), Piece(text)), self._sizes.label, wide)

    def before_line(self, part: LinePart, wide: float) -> list[Band]:
        """The warning and how to tap what follows."""
        strips: list[Band] = []
        if part.warn_first:
            strips.append(bands.warn_first(part.warn_first, self._sizes, wide))
        strips.append(self._how(part, wide))
        return strips

    def _how(self, part: LinePart, wide: float) -> Band:
        size = self._sizes.label
        if not part.taps:
            return bands.paragraph((Piece("No taps for you: listen for"),), size, wide)
        found = manners(self._story, part.segment, part.taps)
        return bands.items_line(how_items(found, part.segment, part.taps, size), size, wide)
