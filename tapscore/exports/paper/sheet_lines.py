"""The leader's sheet, line by line: words, everybody's taps under them, and what goes with them."""

from collections.abc import Mapping, Sequence

from attrs import evolve, frozen

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Panel, Text
from tapscore.exports.paper.how_items import how_items
from tapscore.exports.paper.inks import MUTED, TEAL
from tapscore.exports.paper.lane_columns import Column, Row, columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, tap_width, taps_alt
from tapscore.exports.paper.people import warned
from tapscore.exports.paper.prop_tags import comes, goes, prop_tag
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.steps import Step
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.exports.paper.text_width import width_pt
from tapscore.exports.paper.whole_words import whole_words
from tapscore.model.story import Story
from tapscore.model.wordings import clock, ordinal, seconds_words
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import PerformedTap, Segment, SegmentKind

NUMBER_PT = 28.0
TIME_PT = 42.0
LABEL_SHARE = 0.22
LABEL_GAP_PT = 9.0
KEPT_TOGETHER_PT = 320.0


@frozen
class Part:
    """Adults who tap the same, and their taps by event of the lane."""

    names: tuple[str, ...]
    taps: Mapping[int, PerformedTap]


class SheetLines:
    """Makes the bands of one story's sheet, ``width`` points wide."""

    def __init__(self, story: Story, roles: Sequence[str], sizes: Sizes, width: float) -> None:
        self._story = story
        self._roles = tuple(roles)
        self._sizes = sizes
        self._width = width
        names = [width_pt(name, sizes.label, bold=True) for name in (*roles, "everyone")]
        self._labels = min(max(names) + LABEL_GAP_PT, width * LABEL_SHARE)
        self._inner = width - NUMBER_PT - TIME_PT
        self._words = self._inner - self._labels

    def step(self, step: Step) -> list[Band]:
        """Bands of a numbered line, a return of a refrain, or a pause."""
        if step.refrain is None:
            return [band for segment in step.segments for band in self._segment(segment)]
        if step.refrain_time > 1:
            return [self._railed(self._return(step))]
        heading = bands.paragraph(
            (Piece(f"Refrain: {step.refrain}", True, TEAL),), self._sizes.number, self._inner
        )
        made = [evolve(self._framed(heading, "", None), with_next=True)]
        made += [band for segment in step.segments for band in self._segment(segment)]
        return [self._railed(band, last=band is made[-1]) for band in made]

    def finish(self, end_sec: float) -> Band:
        """The last band: when the story is over at the earliest."""
        sentence = (Piece("Hands still. Everyone has time to leave the board."),)
        pill = bands.pill_line("Finish", sentence, self._sizes.label, self._words)
        return self._framed(self._indented(pill), "", end_sec)

    def _segment(self, segment: Segment) -> list[Band]:
        if segment.kind is SegmentKind.WAIT:
            wait = bands.wait_block(
                segment.length_sec, segment.look_for, self._sizes, self._inner - self._labels
            )
            return [self._framed(self._indented(wait), "", segment.start_sec)]
        if segment.kind is SegmentKind.OFFER:
            return [self._framed(self._indented(self._offer(segment)), "", segment.start_sec)]
        return self._line(segment)

    def _line(self, segment: Segment) -> list[Band]:
        line = segment.line
        if line is None:
            return []
        sizes, gap = self._sizes, self._sizes.label * 0.3
        above = [self._indented(band) for band in self._above(segment)]
        below = [self._indented(band) for band in self._below(segment)]
        made = [*above, *self._rows(segment), *below]
        number = "" if segment.number is None else f"{segment.number}"
        spaced = [bands.spaced(band, gap) for band in made]
        whole = bands.stack(spaced)
        if whole.height <= KEPT_TOGETHER_PT:
            return [self._framed(whole, number, segment.start_sec)]
        first = self._framed(spaced[0], number, segment.start_sec)
        rest = [self._framed(band, "", None, gap=sizes.label * 0.3) for band in spaced[1:]]
        return [first, *rest]

    def _above(self, segment: Segment) -> list[Band]:
        line, made = segment.line, []
        if line is not None and line.warn_first:
            who = warned(segment)
            made.append(bands.warn_first(line.warn_first, who, self._sizes, self._words))
        return made

    def _rows(self, segment: Segment) -> list[Band]:
        sizes = self._sizes
        parts = self._parts(segment)
        by_event: dict[int, list[PerformedTap]] = {}
        for tap in segment.taps:
            by_event.setdefault(tap.event, []).append(tap)

        def widest(column: Column) -> float:
            taps = by_event.get(column.event, []) if column.event is not None else []
            return max((tap_width(tap, sizes.mark) for tap in taps), default=0.0)

        whole = whole_words(segment, sizes.words, self._words)
        found = columns(segment, lambda event: event in by_event)
        laid = rows(
            found if by_event or not whole else (),
            widest,
            size_pt=sizes.label if whole else sizes.words,
            width=self._words,
        )
        made = [
            self._row(
                row,
                laid[i + 1] if i + 1 < len(laid) else None,
                segment,
                parts,
                named=i == 0 or len(parts) > 1,
                size=sizes.label if whole else sizes.words,
            )
            for i, row in enumerate(laid)
        ]
        return [self._indented(whole), *made] if whole else made

    def _row(
        self,
        row: Row,
        following: Row | None,
        segment: Segment,
        parts: Sequence[Part],
        *,
        named: bool,
        size: float,
    ) -> Band:
        sizes, left = self._sizes, self._labels
        events = {placed.column.event for placed in row.columns}
        parts = [part for part in parts if events & set(part.taps)]
        words = draw_words(row, size)
        blocks = list(Band(words.blocks, words.height).at(left, 0))
        y = words.height
        for index, part in enumerate(parts):
            label = self._label(part) if named else Band((), 0.0)
            last = index == len(parts) - 1
            drawn = draw_marks(
                row,
                following,
                segment,
                part.taps,
                sizes.mark,
                alt=f"{self._names(part)}. {taps_alt(row, part.taps)}",
                signs=last,
            )
            high = max(label.height, drawn.height)
            blocks += label.at(0, y + max((min(high, sizes.mark) - label.height) / 2, 0))
            blocks += Band(drawn.blocks, drawn.height).at(left, y)
            y += high + sizes.label * 0.1
        return Band(tuple(blocks), y)

    def _parts(self, segment: Segment) -> list[Part]:
        """Adults who tap in a line, those who tap the same together."""
        found: dict[tuple[object, ...], list[str]] = {}
        taps: dict[str, dict[int, PerformedTap]] = {}
        for tap in segment.taps:
            taps.setdefault(tap.role, {})[tap.event] = tap
        for role in sorted(taps, key=self._place):
            same = tuple((e, t.level, t.accent, t.stroke, t.spot) for e, t in taps[role].items())
            found.setdefault(same, []).append(role)
        return [Part(tuple(names), taps[names[0]]) for names in found.values()]

    def _place(self, role: str) -> int:
        """Where a role stands in the story's list; one it lacks comes last."""
        return self._roles.index(role) if role in self._roles else len(self._roles)

    def _names(self, part: Part) -> str:
        if len(part.names) > 1 and set(part.names) == set(self._roles):
            return "everyone"
        return ", ".join(part.names)

    def _label(self, part: Part) -> Band:
        pieces = (Piece(self._names(part), True, TEAL),)
        return bands.paragraph(pieces, self._sizes.label, self._labels - LABEL_GAP_PT)

    def _below(self, segment: Segment) -> list[Band]:
        line, sizes, wide = segment.line, self._sizes, self._words
        made: list[Band] = []
        if segment.taps:
            items = how_items(describe(segment), segment, segment.taps, sizes.label)
            made.append(bands.items_line(items, sizes.label, wide))
        if line is None:
            return made
        if line.do:
            doers = f" ({', '.join(map(own, line.done_by))})" if line.done_by else ""
            deed = (
                Piece("Do ", False, MUTED),
                Piece(own(line.do), True),
                Piece(doers, False, MUTED),
            )
            made.append(bands.paragraph(deed, 15.0, wide))
        by = self._story.bringer
        made += [prop_tag(prop, goes(by(prop)), sizes, wide, mine=False) for prop in line.props_out]
        made += [
            prop_tag(entrance.prop, comes(entrance, by(entrance.prop)), sizes, wide, mine=False)
            for entrance in line.props_in
        ]
        if line.look_for:
            pieces = (Piece("Look for ", True), Piece(own(line.look_for)))
            made.append(bands.paragraph(pieces, sizes.label, wide))
        return made

    def _offer(self, segment: Segment) -> Band:
        name = segment.prop or ""
        turns = f"{segment.turns} turn{'s' if segment.turns != 1 else ''}"
        prop = self._story.prop(name)
        sets = f" with {prop.sets} sets" if prop and prop.sets > 1 else ""
        text = (
            f" {own(self._story.bringer(name))}: {turns}{sets},"
            f" {seconds_words(segment.turn_sec)} or more each,"
            f" {seconds_words(segment.length_sec)} at least."
        )
        look = f" Look for {own(segment.look_for)}" if segment.look_for else ""
        pieces = (Piece(f"Offer {own(name)}.", True), Piece(text + look))
        return bands.paragraph(pieces, self._sizes.label, self._words)

    def _return(self, step: Step) -> Band:
        waits = [s for s in step.segments if s.kind is SegmentKind.WAIT]
        with_waits = f", with wait {round(waits[0].length_sec)}" if waits else ""
        pieces = (
            Piece(f"Refrain: {step.refrain}", True, TEAL),
            Piece(f", {ordinal(step.refrain_time)} time{with_waits}"),
        )
        line = bands.paragraph(pieces, self._sizes.number, self._inner)
        return self._framed(line, "", step.segments[0].start_sec)

    def _indented(self, band: Band) -> Band:
        return Band(band.at(self._labels, 0), band.height, band.space_before)

    def _framed(
        self, band: Band, number: str, start_sec: float | None, gap: float | None = None
    ) -> Band:
        """Put the line's number to its left and the time it starts to its right."""
        sizes = self._sizes
        blocks: list[Block] = []
        if number:
            label = bands.paragraph((Piece(number, True),), sizes.words, NUMBER_PT)
            blocks += label.at(0, -sizes.words * 0.06)
        blocks += band.at(NUMBER_PT, 0)
        if start_sec is not None:
            time = bands.paragraph((Piece(clock(start_sec), False, MUTED),), sizes.label, TIME_PT)
            wide = max((t.x + t.width_pt for b in time.blocks for t in _texts(b)), default=0.0)
            blocks += time.at(self._width - wide, sizes.words * 0.16)
        space = sizes.label * 1.1 if gap is None else gap
        return Band(tuple(blocks), band.height, space)

    def _railed(self, band: Band, *, last: bool = True) -> Band:
        high = band.height + (0.0 if last else self._sizes.label * 1.1)
        rail = Block("Artifact", (Panel(NUMBER_PT - 11, 0, 3, high, 0, TEAL),))
        return evolve(band, blocks=(rail, *band.blocks))


def _texts(block: Block) -> list[Text]:
    return [element for element in block.elements if isinstance(element, Text)]
