"""The rows of a part sheet: my lines large, others' slim, waits solid, the refrain in a box."""

from collections.abc import Collection, Sequence
from fractions import Fraction

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item
from tapscore.exports.paper.drawing import Panel, TaggedBlock
from tapscore.exports.paper.how_items import Usual, how_items
from tapscore.exports.paper.inks import INK, MUTED, TEAL
from tapscore.exports.paper.part_pieces import PartPiece
from tapscore.exports.paper.people import offered, spoken, turns_words, warning
from tapscore.exports.paper.prop_tags import comes, goes, others_items, prop_tag
from tapscore.exports.paper.sheet_plan import Measure
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.steps import Step
from tapscore.exports.paper.tapped_rows import tapped_rows
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.wordings import ordinal, seconds_words
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import Segment, SegmentKind
from tapscore.rhythm.role_view import LinePart, PausePart, RoleView
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted

GAP_EM = 0.5
"""Room above a piece, in sizes of the labels."""
NUMBER_EM = 1.75
"""Width of the strip with the numbers of the lines, unless they need more."""
NUMBER_GAP_EM = 0.3
PAD_EM = 0.4
RAIL_PT = 4.0


class PartRows:
    """Makes the bands of pieces, ``width`` points wide."""

    def __init__(
        self,
        view: RoleView,
        usual: Usual,
        back: Collection[Fraction],
        times: dict[str, int],
        sizes: Sizes,
        width: float,
        language: str = "",
        lines: int = 0,
    ) -> None:
        self._view = view
        self.language = language
        """Tag of the language whose words stand below mine, too."""
        self._usual = usual
        self._back = back
        """Starts of lines whose usual spot has to be said."""
        self._times = times
        """How often each refrain comes in the whole story."""
        self._sizes = sizes
        self._width = width
        number = width_pt(f"{lines}", sizes.label, bold=True) + sizes.label * NUMBER_GAP_EM
        self._left = max(sizes.label * NUMBER_EM, number)
        self._wide = width - self._left
        self._inner_gap = sizes.label * 0.28
        self._made: dict[tuple[int, bool], Band] = {}
        self._told: tuple[str, ...] | None = None
        """How the line before in the same piece is tapped."""

    def measure(self, piece: PartPiece) -> Measure:
        """How high a piece is, with the room above it."""
        gap = self._sizes.label * GAP_EM
        full = self.whole(piece, again=False).height + gap
        if piece.as_above is None:
            return Measure(full)
        return Measure(full, self.whole(piece, again=True).height + gap, piece.as_above)

    def whole(self, piece: PartPiece, *, again: bool) -> Band:
        """A piece as one band; ``again`` where its refrain stands above on the same sheet."""
        key = piece.first, again
        if key not in self._made:
            self._made[key] = self._whole(piece, again=again)
        return self._made[key]

    def _whole(self, piece: PartPiece, *, again: bool) -> Band:
        made = bands.stack(self.rows(piece, again=again))
        if piece.refrain is None:
            return made
        return self._boxed(made) if not again else self._railed(made)

    def rows(self, piece: PartPiece, *, again: bool = False) -> list[Band]:
        """The bands of a piece, to be stacked or, if it is too high for a sheet, shared out."""
        if len(piece.steps) > 1:
            return self._long_rest(piece.steps)
        (step,) = piece.steps
        if step.refrain is None or not piece.mine:
            return self._step(step, mine=piece.mine)
        if again:
            return [self._title(step, again=True), *self._pauses(step)]
        return [self._title(step, again=False), *self._step(step, mine=True, boxed=True)]

    # rests

    def _step(self, step: Step, *, mine: bool, boxed: bool = False) -> list[Band]:
        made: list[Band] = []
        self._told = None
        if not mine and step.refrain is not None and step.lines:
            made.append(
                bands.spaced(self._indented(self._rest(step.lines[0], step)), self._inner_gap)
            )
            return [*made, *(self._indented(band) for band in self._pauses(step))]
        for segment in step.segments:
            if segment.kind is SegmentKind.LINE:
                number = "" if segment.number is None else f"{segment.number}"
                found = (
                    self._line(segment)
                    if mine and self._view.involved_in(segment)
                    else [self._rest(segment, step)]
                )
                if not boxed:
                    found = self._numbered(found, number, large=mine)
            else:
                found = self._pause(segment)
                found = found if boxed else [self._indented(band) for band in found]
            made += [bands.spaced(found[0], self._inner_gap), *found[1:]] if found else []
        return made

    def _rest(self, segment: Segment, step: Step) -> Band:
        """A line of others, as slim as can be: its words as far as one row has room."""
        words = segment.printed_words
        lead = say("rest: ")
        if step.refrain is not None:
            lead = say("rest, refrain {refrain}: ", refrain=own(step.refrain))
        size = self._sizes.label
        room = self._wide - width_pt(lead, size, bold=False)
        said = quoted(own(shortened(words, size, room))) if words else say("a line without words")
        return bands.paragraph((Piece(lead + said, False, MUTED),), size, self._wide)

    def _long_rest(self, resting: Sequence[Step]) -> list[Band]:
        lines = [segment for step in resting for segment in step.lines]
        size = self._sizes.label
        first = lines[0].printed_words
        last = resting[-1].last_words
        numbers = [line.number for line in lines if line.number is not None]
        lead = say("rest for {lines:1 line|# lines}, from ", lines=len(lines))
        room = self._wide - width_pt(lead + quoted(""), size, bold=False)
        made = [
            bands.paragraph(
                (
                    Piece(
                        lead + quoted(own(shortened(first, size, room))),
                        False,
                        MUTED,
                    ),
                ),
                size,
                self._wide,
            ),
            bands.paragraph(
                (Piece(say("to "), False, MUTED), Piece(quoted(f"… {own(last)}"), True)),
                size,
                self._wide,
            ),
        ]
        number = f"{numbers[0]}" if numbers else ""
        pauses = [self._indented(band) for band in self._pauses(resting[-1])]
        return [*self._numbered(made, number, large=False), *pauses]

    # my lines

    def _line(self, segment: Segment) -> list[Band]:
        part = self._view.part(segment)
        assert isinstance(part, LinePart)
        sizes, wide, size = self._sizes, self._wide, self._sizes.label
        made: list[Band] = []
        if part.warn_first:
            made.append(warning(part, self._view.role, sizes, wide))
        made += [prop_tag(prop, goes(None), sizes, wide, mine=True) for prop in part.takes]
        made += [
            prop_tag(entrance.prop, comes(entrance, None), sizes, wide, mine=True)
            for entrance in part.brings
        ]
        items = others_items(self._view.story, part.others_take, part.others_bring, size)
        if items:
            made.append(bands.items_line(items, size, wide))
        who = spoken(segment, self._view)
        if part.taps:
            found = describe(segment, {tap.event for tap in part.taps}, part.taps[0].role)
            back = segment.start_beats in self._back
            unless = evolve(self._usual, spot="") if back else self._usual
            how = how_items(found, segment, part.taps, size, unless=unless)
            how += [Item(who, bold=True)] if who else []
            told = tuple(item.text for item in how)
            if how and told != self._told:
                made.append(bands.items_line(how, size, wide))
            self._told = told
            made += tapped_rows(part, sizes, wide, gap=self._inner_gap)
        elif part.says:
            if who and (who,) != self._told:
                made.append(bands.paragraph((Piece(who, True),), size, wide))
            self._told = (who,)
            words = segment.printed_words
            made.append(bands.paragraph((Piece(own(words), True),), sizes.words, wide))
        else:
            words = segment.printed_words
            said = quoted(own(words.rstrip(" ,;:"))) if words else say("a line without words")
            heard = (Piece(say("Listen for ")), Piece(said, True))
            made.append(bands.paragraph(heard, sizes.number, wide))
        if part.taps or part.says:
            made += self._in_language(segment)
        if part.do:
            pieces = pieces_of("Do: **{doing}**", doing=part.do)
            made.append(bands.paragraph(pieces, sizes.words, wide))
        if segment.look_for:
            pieces = pieces_of("**Look for **{answer}", answer=own(segment.look_for))
            made.append(bands.paragraph(pieces, size, wide))
        return [
            band if band.space_before else bands.spaced(band, self._inner_gap if i else 0.0)
            for i, band in enumerate(made)
        ]

    def _in_language(self, segment: Segment) -> list[Band]:
        """A line's words in the chosen language, as the school typed them."""
        told = segment.line.translations if segment.line else ()
        # From right to left it begins at the right: off the refrain's frame.
        wide = self._wide - 2 * self._sizes.label * PAD_EM
        return [
            bands.translated(each.words, each.tag, self._sizes.number, wide)
            for each in told
            if each.tag == self.language
        ]

    # waits and offerings

    def _pauses(self, step: Step) -> list[Band]:
        found = [s for s in step.segments if s.kind is not SegmentKind.LINE]
        return [band for segment in found for band in self._pause(segment)]

    def _pause(self, segment: Segment) -> list[Band]:
        sizes, wide = self._sizes, self._wide
        if segment.prop is None:
            wait = bands.wait_block(segment.length_sec, segment.look_for, sizes, wide)
            return [bands.spaced(wait, self._inner_gap)]
        part = self._view.part(segment)
        assert isinstance(part, PausePart)
        name = segment.prop
        if not part.mine:
            least = seconds_words(segment.length_sec)
            text = say(
                "rest: {who}, {time} or more",
                who=offered(self._view.story, segment),
                time=least,
            )
            rest = bands.paragraph((Piece(text, True, MUTED),), sizes.label, wide)
            return [bands.spaced(rest, self._inner_gap)]
        made = [
            bands.paragraph((Piece(say("Offer {prop}", prop=own(name)), True),), sizes.words, wide),
            bands.paragraph((Piece(turns_words(self._view.story, segment)),), sizes.label, wide),
        ]
        if segment.look_for:
            pieces = pieces_of("**Look for **{answer}", answer=own(segment.look_for))
            made.append(bands.paragraph(pieces, sizes.label, wide))
        return [
            bands.spaced(band, self._inner_gap * (0.0 if i else 1.0)) for i, band in enumerate(made)
        ]

    # frames

    def _title(self, step: Step, *, again: bool) -> Band:
        name = own(step.refrain or "")
        size = self._sizes.label
        times = self._times.get(step.refrain or "", 1)
        more = ""
        if times > 1:
            which = ordinal(step.refrain_time)
            more = say(", {which} of {times} times", which=which, times=times)
        if step.part > 1:
            more += say(", part {part}", part=step.part)
        if again:
            more += say(": as above")
        pieces = (Piece(say("Refrain: {name}", name=name), True, TEAL), Piece(more))
        return bands.paragraph(pieces, size, self._wide)

    def _boxed(self, band: Band) -> Band:
        pad = self._sizes.label * PAD_EM
        high = band.height + 2 * pad
        thick = max(self._sizes.label * 0.07, 1.2)
        left = self._left - 2 * pad
        frame = Panel(
            left, thick / 2, self._width - left - thick / 2, high - thick, pad, None, TEAL, thick
        )
        rail = Panel(left, 0, RAIL_PT * 1.5, high, 1.5, TEAL)
        blocks = (TaggedBlock("Artifact", (frame, rail)), *band.at(self._left, pad))
        return Band(blocks, high)

    def _railed(self, band: Band) -> Band:
        left = self._left - 2 * self._sizes.label * PAD_EM
        rail = Panel(left, 0, RAIL_PT * 1.5, band.height, 1.5, TEAL)
        return Band((TaggedBlock("Artifact", (rail,)), *band.at(self._left, 0)), band.height)

    def _numbered(self, made: Sequence[Band], number: str, *, large: bool) -> list[Band]:
        found = [self._indented(band) for band in made]
        if number:
            pieces = (Piece(number, True, INK if large else MUTED),)
            label = bands.paragraph(pieces, self._sizes.label, self._left)
            found[0] = evolve(found[0], blocks=(*label.blocks, *found[0].blocks))
        return found

    def _indented(self, band: Band) -> Band:
        return evolve(band, blocks=band.at(self._left, 0))


def shortened(words: str, size_pt: float, room_pt: float) -> str:
    """As many of the first words as have room, with a sign where some are left out."""
    bare = words.rstrip(" ,;:")
    if width_pt(quoted(bare), size_pt, bold=False) <= room_pt:
        return bare
    kept: list[str] = []
    for word in bare.split():
        if kept and width_pt(quoted(" ".join((*kept, word, "…"))), size_pt, bold=False) > room_pt:
            break
        kept.append(word)
    return " ".join((*kept, "…"))
