"""The story for home: tapped on a lap, a table or a tray, with things there are at home."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cautions import prop_cautions, split_caution
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.lane_columns import Column, columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, tap_width, taps_alt
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    NOTICE_PAD,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    title,
)
from tapscore.exports.paper.steps import Step, steps
from tapscore.exports.paper.text_flow import Piece, own, printable
from tapscore.exports.paper.whole_words import whole_words
from tapscore.model.story import Prop, Story
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import Performance, Segment, SegmentKind

WORDS_PT = 18.0
MARK_PT = 17.0
BODY_PT = 14.0
KEPT_TOGETHER_PT = 220.0
HOW = (
    "Sit close, so that your child can feel and see you. Tap on your own lap, on a table your"
    " child leans on, or on a tray, gently; never on your child’s head or chest. One person can"
    " do it all.",
    "Say the words and tap where there is a mark. Bigger marks are stronger taps.",
    "Where it says wait, be still and wait. Your child’s answer may be a look, a breath, a"
    " sound or a stillness. There is no hurry, and one line is enough for one day.",
    "Stop whenever your child has had enough.",
)
DEFER = (
    "Ask your child’s teacher, nurse or therapist before trying anything new. If your child has"
    " a plan for seizures, eating or positioning, it comes before this page."
)


def home_version(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the home version.  Raises ValueError for a paper or margin there is no room on."""
    pages = home_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what="at home", subject="To tap at home on a lap, table or tray")


def home_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``home_version`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    made = [title(story.title, "A story to tap together at home", wide)]
    made += [text(sentence, wide, BODY_PT, space=5.0) for sentence in HOW]
    made.append(notice([text(DEFER, wide - NOTICE_PAD, BODY_PT)], wide, warn=True))
    if story.props:
        made.append(heading("Things to find", wide))
        made += [_prop(prop, wide) for prop in story.props]
    section = None
    told = ""
    for step in steps(performance):
        name = step.segments[0].section
        if name != section:
            section = name
            if name:
                made.append(heading(name, wide))
        found, told = _step(step, wide, told)
        made += found
    made.append(text("The end. Rest together.", wide, BODY_PT, space=16.0))
    return running_pages(made, size, f"{story.title}: at home")


def _prop(prop: Prop, wide: float) -> Band:
    at_home = own(prop.instead or prop.what or prop.name)
    pieces = [Piece(f"{own(prop.name)}: ", True), Piece(f"{at_home}. ")]
    for hazard, rest in map(split_caution, prop_cautions(prop)):
        pieces += [Piece(hazard, True), Piece(f"{rest} ")]
    return bands.spaced(bands.paragraph(tuple(pieces), BODY_PT, wide), 4.0)


def _step(step: Step, wide: float, told: str) -> tuple[list[Band], str]:
    """Bands of a step, and how its last line is tapped; ``told`` is how the one before was."""
    if step.refrain_time > 1:
        again = text(step.refrain or "", wide, BODY_PT, bold="Again: ", space=10.0)
        return [again, *(_pause(s, wide) for s in step.segments if s.line is None)], told
    made: list[Band] = []
    if step.refrain is not None:
        words = f"{own(step.refrain)}, which comes back"
        label = text(words, wide, BODY_PT, bold="Refrain: ", space=10.0)
        made.append(bands.spaced(label, 10.0, with_next=True))
    for segment in step.segments:
        if segment.line is None:
            made.append(_pause(segment, wide))
            continue
        how = _how(segment)
        made += _line(segment, how if how != told else "", wide)
        told = how or told
    return made, told


def _how(segment: Segment) -> str:
    if not segment.taps:
        return ""
    found = describe(segment)
    words = (found.stroke.words, found.loudness.words, found.tempo)
    return ", ".join(printable(word) for word in words if word)


def _pause(segment: Segment, wide: float) -> Band:
    if segment.kind is SegmentKind.OFFER:
        bold, said = f"Give {own(segment.prop or '')} time: ", "touch, hold, listen, let go. "
    else:
        bold, said = f"Wait {round(segment.length_sec)} seconds or more. ", ""
    if segment.look_for:
        said += f"Look for {own(segment.look_for)}"
    return text(said, wide, BODY_PT, bold=bold, space=8.0)


def _line(segment: Segment, how: str, wide: float) -> list[Band]:
    line = segment.line
    if line is None:
        return []
    taps = {tap.event: tap for tap in reversed(segment.taps)}

    def mark(column: Column) -> float:
        tap = taps.get(column.event) if column.event is not None else None
        return tap_width(tap, MARK_PT) if tap else 0.0

    made: list[Band] = []
    if line.warn_first:
        made.append(text(line.warn_first, wide, BODY_PT, bold="First: ", space=12.0))
    whole = whole_words(segment, WORDS_PT, wide)
    size = BODY_PT if whole else WORDS_PT
    if whole:
        made.append(bands.spaced(whole, 12.0, with_next=bool(taps)))
    found = columns(segment, lambda e: e in taps) if taps or not whole else ()
    laid = rows(found, mark, size_pt=size, width=wide)
    for index, row in enumerate(laid):
        following = laid[index + 1] if index + 1 < len(laid) else None
        words = draw_words(row, size)
        drawn = draw_marks(row, following, segment, taps, MARK_PT, alt=taps_alt(row, taps))
        under = Band(drawn.blocks, drawn.height).at(0, words.height + 1)
        high = words.height + 1 + (drawn.height if taps else 0.0)
        blocks = (*words.blocks, *under) if taps else words.blocks
        made.append(Band(blocks, high, 5.0 if index or whole else 12.0, following is not None))
    if made and line.warn_first:
        made[0] = bands.spaced(made[0], 12.0, with_next=True)
    if how:
        made.append(text(how, wide, BODY_PT, space=2.0))
    if line.do:
        made.append(text(line.do, wide, BODY_PT, bold="Do: ", space=2.0))
    names = [entrance.prop for entrance in line.props_in]
    if names:
        made.append(text(", ".join(names), wide, BODY_PT, bold="Show: ", space=2.0))
    if line.props_out:
        made.append(text(", ".join(line.props_out), wide, BODY_PT, bold="Put away: ", space=2.0))
    if line.look_for:
        made.append(text(line.look_for, wide, BODY_PT, bold="Look for: ", space=2.0))
    whole = bands.stack(made)
    return [bands.spaced(whole, 12.0)] if whole.height <= KEPT_TOGETHER_PT else made
