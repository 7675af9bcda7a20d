"""The leader's sheet, line by line: words, everybody's taps under them, and what goes with them."""

from collections.abc import Mapping, Sequence

from attrs import evolve, frozen

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item, right_of
from tapscore.exports.paper.drawing import Panel, TaggedBlock, TextRun
from tapscore.exports.paper.how_items import how_items
from tapscore.exports.paper.inks import MUTED, TEAL
from tapscore.exports.paper.lane_columns import PrintedColumn, PrintedRow, columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, tap_width, taps_alt
from tapscore.exports.paper.people import offered, spoken, warned
from tapscore.exports.paper.prop_tags import tag_item
from tapscore.exports.paper.sheet_front import story_usual
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.steps import Step
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.exports.paper.text_width import width_pt
from tapscore.exports.paper.whole_words import whole_words
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Story
from tapscore.model.wordings import clock, ordinal, seconds_words
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import Performance, PerformedTap, Segment, SegmentKind
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say, say_in
from tapscore.wording.terms import term

NUMBER_PT = 18.0
TIME_PT = 28.0
LABEL_SHARE = 0.2
LABEL_GAP_PT = 5.0
GAP_EM = 0.2
"""Room above a line, in sizes of the labels."""
KEPT_TOGETHER_PT = 320.0


@frozen
class SameTaps:
    """Adults who tap the same, and their taps by event of the lane."""

    names: tuple[str, ...]
    taps: Mapping[int, PerformedTap]


class SheetLines:
    """Makes the bands of one story's sheet, ``width`` points wide."""

    def __init__(self, story: Story, performance: Performance, sizes: Sizes, width: float) -> None:
        self._story = story
        self._roles = performance.roles
        self._sizes = sizes
        self._width = width
        words = [word for name in (*self._roles, EVERYONE) for word in name.split()]
        names = [width_pt(f"{word},", sizes.label, bold=True) for word in words]
        self._labels = min(max(names) + LABEL_GAP_PT, width * LABEL_SHARE)
        self._usual = story_usual(story)
        self._usual_by = self._expanded(story_manner(story).by)
        self._section = ""
        self._told: tuple[object, ...] | None = None
        """Who taps the line before, and in which refrain: said once where it is the same."""
        number = width_pt(f"{performance.line_count}", sizes.words, bold=True)
        time = width_pt(clock(performance.length_sec), sizes.label, bold=False)
        self._number = max(number + 6.0, NUMBER_PT)
        self._time = max(time + 4.0, TIME_PT)
        self._inner = width - self._number - self._time
        self._words = self._inner - self._labels

    def step(self, step: Step) -> list[Band]:
        """Bands of a numbered line, a return of a refrain, or a pause."""
        section = step.segments[0].section
        named = section if section != self._section else ""
        self._section = section
        if step.refrain is None:
            return self._segments(step, named)
        if step.refrain_time > 1 and not step.after_otherwise:
            return [self._railed(self._return(step, named))]
        return [self._railed(band) for band in self._segments(step, named)]

    def _segments(self, step: Step, named: str) -> list[Band]:
        made: list[Band] = []
        for segment in step.segments:
            heads = [Piece(named, True)] if named and not made else []
            if step.refrain is not None and not made:
                made.append(self._refrain_head(step, heads))
                heads = []
            if segment.kind is not SegmentKind.LINE:
                bands.keep_with_next(made)
            made += self._segment(segment, heads)
        return made

    def _refrain_head(self, step: Step, heads: Sequence[Piece]) -> Band:
        """A refrain's name, and who taps it if it is the same throughout."""
        pieces = [Piece(say("Refrain: {name}", name=own(step.refrain or "")), True, TEAL)]
        if step.refrain_time > 1:
            pieces.append(Piece(say(", {which} time", which=ordinal(step.refrain_time))))
        if step.part > 1:
            pieces.append(Piece(say(", part {part}", part=step.part)))
        parts = [self._parts(segment) for segment in step.lines if segment.taps]
        names = {tuple(part.names for part in found) for found in parts}
        if len(names) == 1 and len(parts[0]) == 1 and not self._as_usual(parts[0][0]):
            pieces.append(Piece(f", {own(self._names(parts[0][0]))}", False, TEAL))
            self._told = (step.refrain, (parts[0][0].names,))
        line = bands.paragraph(tuple(pieces), self._sizes.label, self._words)
        return evolve(self._framed(self._headed(line, heads), "", None), with_next=True)

    def finish(self, end_sec: float) -> Band:
        """The last band: when the story is over at the earliest."""
        sentence = (Piece(say("Hands still. Everyone has time to leave the board.")),)
        pill = bands.pill_line(say("Finish"), sentence, self._sizes.label, self._words)
        return self._framed(self._indented(pill), "", end_sec)

    def _segment(self, segment: Segment, heads: Sequence[Piece]) -> list[Band]:
        if segment.kind is SegmentKind.LINE:
            return self._line(segment, heads)
        if segment.kind is SegmentKind.WAIT:
            look = (
                say("Look for {answer}", answer=own(segment.look_for)) if segment.look_for else ""
            )
            band = bands.pill_line(
                say("Wait {seconds}", seconds=round(segment.length_sec)),
                (Piece(look),),
                self._sizes.label,
                self._words,
            )
        else:
            band = self._offer(segment)
        return [self._framed(self._headed(band, heads), "", segment.start_sec)]

    def _headed(self, band: Band, heads: Sequence[Piece]) -> Band:
        """Set a band in, with words to its left."""
        if not heads:
            return self._indented(band)
        label = bands.stack(
            [
                bands.paragraph((head,), self._sizes.label, self._labels - LABEL_GAP_PT)
                for head in heads
            ]
        )
        blocks = (*label.blocks, *band.at(self._labels, 0))
        return Band(blocks, max(label.height, band.height), band.space_before)

    def _line(self, segment: Segment, heads: Sequence[Piece]) -> list[Band]:
        if segment.line is None:
            return []
        gap = self._sizes.label * 0.1
        parts = self._parts(segment)
        told = (segment.refrain, tuple(part.names for part in parts))
        if len(parts) == 1 and not self._as_usual(parts[0]) and told != self._told:
            heads = [*heads, Piece(self._names(parts[0]), True, TEAL)]
        words, below = self._rows(segment, parts), self._below(segment)
        made = [*self._above(segment), *self._beside(words, below)]
        self._told = told
        number = "" if segment.number is None else f"{segment.number}"
        spaced = [bands.spaced(band, gap) for band in made]
        whole = bands.stack([self._indented(band) for band in spaced])
        if whole.height <= KEPT_TOGETHER_PT:
            headed = self._headed(bands.stack(spaced), heads)
            return [self._framed(headed, number, segment.start_sec)]
        first = self._framed(self._headed(spaced[0], heads), number, segment.start_sec)
        rest = [self._framed(self._indented(b), "", None, gap=gap) for b in spaced[1:]]
        return [first, *rest]

    def _beside(self, words: list[Band], below: list[Band]) -> list[Band]:
        """What is not as usual to the right of the words, if they leave room, else below."""
        if len(words) != 1 or not below:
            return [*words, *below]
        (row,), (more, *rest) = words, below
        start = right_of(row) + self._sizes.label
        if more.height > self._sizes.label * 1.5 or start + right_of(more) > self._words:
            return [*words, *below]
        return [bands.beside(row, more, start), *rest]

    def _above(self, segment: Segment) -> list[Band]:
        line, made = segment.line, []
        if line is not None and line.warn_first:
            who = warned(segment)
            made.append(bands.warn_first(line.warn_first, who, self._sizes, self._words))
        return made

    def _rows(self, segment: Segment, parts: Sequence[SameTaps]) -> list[Band]:
        sizes = self._sizes
        by_event: dict[int, list[PerformedTap]] = {}
        for tap in segment.taps:
            by_event.setdefault(tap.event, []).append(tap)

        def widest(column: PrintedColumn) -> float:
            taps = by_event.get(column.event, []) if column.event is not None else []
            return max((tap_width(tap, sizes.mark) for tap in taps), default=0.0)

        whole = whole_words(segment, sizes.words, self._words)
        size = sizes.label if whole else sizes.words
        found = columns(segment, lambda event: event in by_event)
        laid = rows(found if by_event or not whole else (), widest, size_pt=size, width=self._words)
        made = [
            self._row(row, laid[i + 1] if i + 1 < len(laid) else None, segment, parts, size=size)
            for i, row in enumerate(laid)
        ]
        return [whole, *made] if whole else made

    def _row(
        self,
        row: PrintedRow,
        following: PrintedRow | None,
        segment: Segment,
        parts: Sequence[SameTaps],
        *,
        size: float,
    ) -> Band:
        """Words, and under them the taps of each who taps otherwise than the others."""
        sizes = self._sizes
        events = {placed.column.event for placed in row.columns}
        named = len(parts) > 1
        swell = max((part.taps for part in parts), key=len, default=None)
        parts = [part for part in parts if events & set(part.taps)]
        words = draw_words(row, size)
        blocks = list(words.blocks)
        y = words.height
        for index, part in enumerate(parts):
            drawn = draw_marks(
                row,
                following,
                segment,
                part.taps,
                sizes.mark,
                alt=f"{self._names(part)}. {taps_alt(row, part.taps)}",
                signs=index == len(parts) - 1,
                swell=swell,
            )
            label = self._label(part) if named else Band((), 0.0)
            high = max(label.height, drawn.height)
            down = max((min(high, sizes.mark) - label.height) / 2, 0)
            blocks += label.at(-self._labels, y + down)
            blocks += Band(drawn.blocks, drawn.height).at(0, y)
            y += high + sizes.label * 0.1
        return Band(tuple(blocks), y)

    def _parts(self, segment: Segment) -> list[SameTaps]:
        """Adults who tap in a line, those who tap the same together."""
        found: dict[tuple[object, ...], list[str]] = {}
        taps: dict[str, dict[int, PerformedTap]] = {}
        for tap in segment.taps:
            taps.setdefault(tap.role, {})[tap.event] = tap
        for role in sorted(taps, key=self._place):
            same = tuple((e, t.level, t.accent, t.stroke, t.spot) for e, t in taps[role].items())
            found.setdefault(same, []).append(role)
        return [SameTaps(tuple(names), taps[names[0]]) for names in found.values()]

    def _as_usual(self, part: SameTaps) -> bool:
        return set(part.names) == set(self._usual_by)

    def _expanded(self, names: Sequence[str]) -> tuple[str, ...]:
        return self._roles if EVERYONE in names else tuple(names)

    def _place(self, role: str) -> int:
        """Where a role stands in the story's list; one it lacks comes last."""
        return self._roles.index(role) if role in self._roles else len(self._roles)

    def _names(self, part: SameTaps) -> str:
        if len(part.names) > 1 and set(part.names) == set(self._roles):
            return term(EVERYONE)
        return ", ".join(part.names)

    def _label(self, part: SameTaps) -> Band:
        pieces = (Piece(self._names(part), True, TEAL),)
        return bands.paragraph(pieces, self._sizes.label, self._labels - LABEL_GAP_PT)

    def _below(self, segment: Segment) -> list[Band]:
        """What is not as usual, props, and what to do and look for."""
        line, size, wide = segment.line, self._sizes.label, self._words
        if line is None:
            return []
        items: list[Item] = []
        if segment.taps:
            items += how_items(describe(segment), segment, segment.taps, size, unless=self._usual)
        who = spoken(segment)
        items += [Item(who, bold=True)] if who else []
        items += [tag_item(prop, say_in("a prop", "out"), size) for prop in line.props_out]
        items += [
            tag_item(entrance.prop, say_in("a prop", "in"), size) for entrance in line.props_in
        ]
        if line.do:
            doers = f" ({', '.join(map(own, line.done_by))})" if line.done_by else ""
            items.append(
                Item(say("Do: {doing}{doers}", doing=own(line.do), doers=doers), bold=True)
            )
        if line.look_for:
            items.append(Item(say("Look for {answer}", answer=own(line.look_for))))
        return [bands.items_line(items, size, wide)] if items else []

    def _offer(self, segment: Segment) -> Band:
        pieces = pieces_of(
            "**{who}: **{turns}{answer:=|*= Look for {answer}}",
            who=offered(self._story, segment),
            turns=self._turns(segment),
            answer=own(segment.look_for) if segment.look_for else None,
        )
        return bands.paragraph(pieces, self._sizes.label, self._words)

    def _turns(self, segment: Segment) -> str:
        pupils, turns = self._story.pupil_count, segment.turns
        each, whole = seconds_words(segment.turn_sec), seconds_words(segment.length_sec)
        if pupils <= 1:
            return say("{each} or more.", each=each)
        return say(
            "{turns:1 turn|# turns} for {pupils:1 pupil|# pupils}, {each} each, {whole} or more.",
            turns=turns,
            pupils=pupils,
            each=each,
            whole=whole,
        )

    def _return(self, step: Step, named: str) -> Band:
        """A return told as the time before, in one line: its waits and turns, and who warns."""
        offered = tuple(own(s.prop) for s in step.segments if s.prop is not None)
        waits = [s for s in step.segments if s.kind is SegmentKind.WAIT]
        warns = dict.fromkeys(warned(s) for s in step.lines if s.line and s.line.warn_first)
        more = say(", {which} time", which=ordinal(step.refrain_time))
        if step.part > 1:
            more += say(", part {part}", part=step.part)
        if waits:
            seconds = tuple(f"{round(wait.length_sec)}" for wait in waits)
            more += say(", with wait {seconds:and}", seconds=seconds)
        if offered:
            more += say(", with turns with {props:and}", props=offered)
        more += "".join(f". {who}" for who in warns)
        pieces = (
            Piece(say("Refrain: {name}", name=own(step.refrain or "")), True, TEAL),
            Piece(more),
        )
        line = bands.paragraph(pieces, self._sizes.label, self._words)
        heads = [Piece(named, True)] if named else []
        return self._framed(self._headed(line, heads), "", step.segments[0].start_sec)

    def _indented(self, band: Band) -> Band:
        return Band(band.at(self._labels, 0), band.height, band.space_before)

    def _framed(
        self, band: Band, number: str, start_sec: float | None, gap: float | None = None
    ) -> Band:
        """Put the line's number to its left and the time it starts to its right."""
        sizes = self._sizes
        blocks: list[TaggedBlock] = []
        if number:
            label = bands.paragraph((Piece(number, True),), sizes.words, self._number)
            blocks += label.at(0, -sizes.words * 0.06)
        blocks += band.at(self._number, 0)
        if start_sec is not None:
            time = bands.paragraph(
                (Piece(clock(start_sec), False, MUTED),), sizes.label, self._time
            )
            wide = max((t.x + t.width_pt for b in time.blocks for t in _texts(b)), default=0.0)
            blocks += time.at(self._width - wide, sizes.words * 0.16)
            # A line of nothing but its time still takes room for it.
            band = evolve(band, height=max(band.height, time.height))
        space = sizes.label * GAP_EM if gap is None else gap
        return Band(tuple(blocks), band.height, space)

    def _railed(self, band: Band) -> Band:
        rail = TaggedBlock("Artifact", (Panel(self._number - 8, 0, 3, band.height, 0, TEAL),))
        return evolve(band, blocks=(rail, *band.blocks))


def _texts(block: TaggedBlock) -> list[TextRun]:
    return [element for element in block.elements if isinstance(element, TextRun)]
