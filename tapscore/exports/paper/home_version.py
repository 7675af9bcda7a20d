"""The story for home: tapped on a lap, a table or a tray, with things there are at home."""

from functools import partial

from attrs import evolve

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, right_of
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.lane_columns import PrintedColumn, columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks, draw_words, tap_width, taps_alt
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_row
from tapscore.exports.paper.running_pages import (
    printed,
    running_pages,
    sheet_of,
    text,
)
from tapscore.exports.paper.steps import Step, steps
from tapscore.exports.paper.text_flow import Piece, own, pieces_of, printable
from tapscore.exports.paper.whole_words import whole_words
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import with_detail
from tapscore.model.story import Line, Prop, Story, Translation
from tapscore.rhythm.describe import describe
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

TITLE_PT = 19.0
WORDS_PT = 15.0
MARK_PT = 11.0
BODY_PT = 12.0
TRANSLATED_PT = 14.0
CHILD = say("your child")
KEPT_TOGETHER_PT = 220.0
MARGIN_MM = 8.0
PHOTO_PT = 60.0
HOW = (
    say(
        "Sit close, so that your child can feel and see you. Tap on your own lap, on a table "
        "your child leans on, or on a tray, gently; never on your child’s head or chest. Say "
        "the words, and tap where there is a mark: a bigger mark is a stronger tap. Where it "
        "says wait, be still. Your child’s answer may be a look, a breath, a sound or a "
        "stillness. One line is enough for one day. Stop whenever your child has had enough."
    ),
)

AT_HOME = {
    "small parts": say("Small parts: nothing that could go into a mouth and be swallowed."),
    "cord": say("Cord or beads: hold them yourself, never round a neck."),
    "battery": say("Battery: see that its cover is screwed shut. Swallowed: call an ambulance."),
    "latex": say("Latex: no balloons; mind allergies."),
    "scent": say("Scent: only what your child knows and likes."),
    "food": say("Food: only what is in your child’s mealtime plan; mind allergies."),
    "static": say("Static: it can make hearing aids crackle."),
    "magnet": say("Magnet: keep it away from a shunt or an implant."),
    "light": say("Light: hold it still, never flashing."),
    "water": say("Water: dry hands and floor at once."),
    "heat": say("Heat or cold: try it on your own wrist first, and never leave it lying."),
    "vibration": say("Vibration: not on the head, the neck or an implant."),
    "airborne": say("Powder, down or spray: keep it away from nose, mouth and tracheostomy."),
    "face": say("Over the face: never leave it there; stop if your child turns away."),
    "plants": say("Plants: keep them away from mouth and eyes, and count them back in."),
    "foam": say("Foam: keep it away from mouth and eyes; look for pieces bitten off."),
    "foil": say("Foil: no torn edges or loose pieces; crumple it far from ears."),
    "flashing": say("Flashing light: never flash or flick it, leave it steady."),
    "noise": say("Noise: never close to an ear; let it be seen before it is heard."),
    "one each": say("One for each child: never share it; wash it or throw it away afterwards."),
}
"""By the words of the story file; what school asks of its staff is not said to a family."""


def home_version(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Print the home version.  Raises ValueError for a paper or margin there is no room on."""
    pages = home_pages(story, performance, paper=paper, margin_mm=margin_mm, pictures=pictures)
    made = printed(
        story, pages, what=say("at home"), subject=say("To tap at home on a lap, table or tray")
    )
    return evolve(made, findings=(*made.findings, *pictures.findings(story)))


def home_pages(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> tuple[Page, ...]:
    """Lay out the pages that ``home_version`` prints, as data."""
    size = sheet_of(paper, MARGIN_MM if margin_mm is None else margin_mm)
    wide = size.inner_width_pt
    head = (Piece(own(story.title), True), Piece(say("  A story to tap together at home")))
    made = [bands.paragraph(head, TITLE_PT, wide, tag="H1")]
    made += [text(sentence, wide, BODY_PT, space=4.0) for sentence in HOW]
    food = any("food" in prop.cautions for prop in story.props)
    defer = say(
        "Ask your child’s teacher, nurse or therapist before trying anything new. A plan for "
        "seizures{food:no=|yes=, mealtimes} or positioning comes before this page.",
        food="yes" if food else "no",
    )
    made.append(text(defer, wide, BODY_PT, space=4.0))
    if story.props:
        things = [Piece(say("Things to find: "), True)]
        for prop in story.props:
            things += _prop(prop)
        made.append(bands.spaced(bands.paragraph(tuple(things), BODY_PT, wide), 4.0))
    photos = photo_row(pictures, story.props, BODY_PT, wide, PHOTO_PT)
    if photos:
        made.append(bands.spaced(photos, 6.0))
    told = ""
    for step in steps(performance):
        found, told = _step(step, wide, told)
        made += found
    made.append(text(say("The end. Rest together."), wide, BODY_PT, space=4.0))
    return running_pages(made, size, say("{title}: at home", title=story.title))


def _prop(prop: Prop) -> list[Piece]:
    """What there may be of it at home, and its cautions in words for home."""
    at_home = own(prop.instead or prop.what or prop.name)
    pieces = [
        *pieces_of("**{prop}, **at home {thing}. ", prop=own(prop.name), thing=at_home),
    ]
    for word in prop.cautions:
        if word in AT_HOME:
            hazard, colon, rest = AT_HOME[word].partition(":")
            pieces += [Piece(f"{hazard}{colon}", True), Piece(f"{rest} ")]
    return pieces


def _step(step: Step, wide: float, told: str) -> tuple[list[Band], str]:
    """Bands of a step, and how its last line is tapped; ``told`` is how the one before was."""
    if step.refrain_time > 1 and not step.after_otherwise:
        again = [text(step.refrain or "", wide, BODY_PT, bold=say("Again: "), space=4.0)]
        for segment in step.segments:
            bands.keep_with_next(again)
            if segment.line is None:
                again.append(_pause(segment, wide))
            elif segment.line.warn_first:
                again.append(_warning(segment.line.warn_first, wide))
        again[-1] = evolve(again[-1], with_next=False)
        return again, told
    made: list[Band] = []
    if step.refrain is not None:
        words = say("{name}, which comes back", name=own(step.refrain))
        label = text(words, wide, BODY_PT, bold=say("Refrain: "), space=4.0)
        made.append(bands.spaced(label, 4.0, with_next=True))
    for segment in step.segments:
        if segment.line is None:
            bands.keep_with_next(made)
            made.append(_pause(segment, wide))
            continue
        how = _how(segment)
        made += _line(segment, how if how != told else "", wide)
        told = how or told
    return made, told


def _how(segment: Segment) -> str:
    if not segment.taps:
        return ""
    found = describe(_by_one(segment))
    words = (found.stroke.words, found.loudness.words, term(found.tempo))
    return ", ".join(printable(word) for word in words if word)


def _by_one(segment: Segment) -> Segment:
    """The line as one person taps it, who has no role: where adults tap differently at once it
    is the first one's way, which its mark shows.
    """
    line = segment.line
    if line is None or line.lane is None:
        return segment
    lane = line.lane
    for event, role in {tap.event: tap.role for tap in reversed(segment.taps)}.items():
        lane = with_detail(lane, event, partial(_way_of, role))
    return evolve(segment, item=evolve(line, lane=lane), known={})


def _way_of(role: str, detail: TapDetail) -> TapDetail:
    return evolve(detail.of(role), by=(), single=())


def _pause(segment: Segment, wide: float) -> Band:
    if segment.kind is SegmentKind.OFFER:
        bold, said = (
            say("Give {prop} time: ", prop=own(segment.prop or "")),
            say("touch, hold, listen, let go. "),
        )
    else:
        bold, said = (
            say("Wait {seconds} seconds or more. ", seconds=round(segment.length_sec)),
            "",
        )
    if segment.look_for:
        said += say("Look for {answer}", answer=own(segment.look_for))
    return text(said, wide, BODY_PT, bold=bold, space=4.0)


def _line(segment: Segment, how: str, wide: float) -> list[Band]:
    line = segment.line
    if line is None:
        return []
    taps = {tap.event: tap for tap in reversed(segment.taps)}

    def mark(column: PrintedColumn) -> float:
        tap = taps.get(column.event) if column.event is not None else None
        return tap_width(tap, MARK_PT) if tap else 0.0

    made: list[Band] = []
    if line.warn_first:
        made.append(_warning(line.warn_first, wide))
    whole = whole_words(segment, WORDS_PT, wide)
    size = BODY_PT if whole else WORDS_PT
    if whole:
        made.append(bands.spaced(whole, 8.0, with_next=bool(taps)))
    found = columns(segment, lambda e: e in taps) if taps or not whole else ()
    laid = rows(found, mark, size_pt=size, width=wide)
    for index, row in enumerate(laid):
        following = laid[index + 1] if index + 1 < len(laid) else None
        words = draw_words(row, size)
        drawn = draw_marks(row, following, segment, taps, MARK_PT, alt=taps_alt(row, taps))
        under = Band(drawn.blocks, drawn.height).at(0, words.height + 1)
        high = words.height + 1 + (drawn.height if taps else 0.0)
        blocks = (*words.blocks, *under) if taps else words.blocks
        made.append(
            Band(blocks, high, 3.0 if index or whole or made else 4.0, following is not None)
        )
    made += [_translated(each, wide) for each in line.translations]
    if made and line.warn_first:
        made[0] = bands.spaced(made[0], 6.0, with_next=True)
    said = _said(line, how)
    if said:
        told = bands.paragraph(said, BODY_PT, wide)
        start = right_of(made[-1]) + BODY_PT if made else 0.0
        if len(laid) == 1 and told.height < 2 * BODY_PT and start + right_of(told) <= wide:
            both = bands.beside(made[-1], told, start)
            made[-1] = bands.spaced(both, made[-1].space_before)
        else:
            made.append(bands.spaced(told, 1.0))
    whole = bands.stack(made)
    return [bands.spaced(whole, 4.0)] if whole.height <= KEPT_TOGETHER_PT else made


def _warning(warned: str, wide: float) -> Band:
    return text(warned, wide, BODY_PT, bold=say("First: "), space=4.0)


def _translated(translation: Translation, wide: float) -> Band:
    """A line's words in the family's language, as the school typed them; each as it is written."""
    words = bands.translated(translation.words, translation.tag, TRANSLATED_PT, wide)
    return bands.spaced(words, 2.0)


def _said(line: Line, how: str) -> tuple[Piece, ...]:
    """What to do with a line, in a few words."""
    said: list[Piece] = []
    if line.props_out:
        said += [Piece(say("Put away: "), True), Piece(f"{', '.join(map(own, line.props_out))}. ")]
    names = [own(entrance.prop) for entrance in line.props_in]
    if names:
        said += [Piece(say("Show: "), True), Piece(f"{', '.join(names)}. ")]
    if how:
        said.append(Piece(f"{how[:1].upper()}{how[1:]}. "))
    if line.do:
        said += [
            Piece(say("Do: "), True),
            Piece(f"{own(line.do.replace('every pupil', CHILD))}. "),
        ]
    if line.look_for:
        said += [Piece(say("Look for: "), True), Piece(own(line.look_for))]
    return tuple(said)
