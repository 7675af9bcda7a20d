"""Pages for a screen in a hall: one for each line, wait and turn, moved on by a person.

Nothing moves by itself, and nothing counts: whoever holds the keys follows the pupils.
"""

from collections.abc import Iterator, Sequence

from tapscore.exports.own_pictures import NO_PICTURES, PAGE_SIDE_PX, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.inks import MUTED, TEAL
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_band, photo_row
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.running_pages import printed, sheet_of
from tapscore.exports.paper.steps import Step, steps
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.story import Story
from tapscore.model.words import printed as plain
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say

WORDS_PT = 64.0
"""Read from the back of a hall on a usual screen: common practice, no source."""
SMALL_PT = 34.0
PICTURE_PT = 200.0
TOGETHER = say("Everybody taps")


def hall_screen(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Write the pages.  Raises ValueError for a paper or margin there is no room on."""
    pages = hall_screen_pages(
        story, performance, paper=paper, margin_mm=margin_mm, pictures=pictures
    )
    return printed(
        story, pages, what=say("for a screen"), subject=say("Pages that a person moves on")
    )


def hall_screen_pages(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> tuple[Page, ...]:
    """Lay the pages out as data, lying; what is longer than a page goes on on a further one."""
    size = sheet_of(paper, margin_mm, landscape=True)
    wide = size.inner_width_pt
    made = [
        *_filled(size, [bands.paragraph((Piece(story.title, True),), WORDS_PT, wide, tag="H1")])
    ]
    for step in steps(performance):
        for strips in _step(story, step, size, pictures):
            made += _filled(size, strips)
    return tuple(made)


def _filled(size: Paper, strips: list[Band]) -> Iterator[Page]:
    """One page in the middle of which strips stand, or more where they are higher."""
    room = size.inner_height_pt
    for side in pour(strips, lambda _: room, lambda _: room):
        whole = bands.stack(side)
        top = size.margin_pt + max((room - whole.height) / 2, 0.0)
        yield Page(size, whole.at(size.margin_pt, top))


def _step(story: Story, step: Step, size: Paper, pictures: OwnPictures) -> Iterator[list[Band]]:
    """What each page of a step shows; the lines of a refrain stand together."""
    wide = size.inner_width_pt
    if step.refrain is not None and step.lines:
        tapped = any(each.taps for each in step.lines)
        strips = [_above(TOGETHER, wide)] if tapped else []
        strips += [_line(each, wide) for each in step.lines]
        yield _with_pictures(strips, step.lines, story, size, pictures)
    for segment in step.segments:
        if segment.kind is SegmentKind.LINE:
            if step.refrain is None:
                yield _page_of_line(story, segment, size, pictures)
        elif segment.kind is SegmentKind.WAIT:
            yield [bands.paragraph((Piece(say("Wait"), True),), WORDS_PT, wide)]
        else:
            yield [
                _above(say("Everyone’s turn"), wide),
                bands.paragraph((Piece(segment.prop or "", True),), WORDS_PT, wide),
            ]


def _page_of_line(story: Story, segment: Segment, size: Paper, pictures: OwnPictures) -> list[Band]:
    wide = size.inner_width_pt
    strips = [_line(segment, wide)]
    if segment.taps:
        strips.insert(0, _above(TOGETHER, wide))
    return _with_pictures(strips, (segment,), story, size, pictures)


def _with_pictures(
    strips: list[Band],
    segments: Sequence[Segment],
    story: Story,
    size: Paper,
    pictures: OwnPictures,
) -> list[Band]:
    """The lines' own pictures, as large as there is room; else those of props that come."""
    wide, gap = size.inner_width_pt, SMALL_PT / 2
    lines = [segment.line for segment in segments if segment.line is not None]
    named = dict.fromkeys(line.picture for line in lines if line.picture)
    found = [each for name in named if (each := pictures.of(name, PAGE_SIDE_PX)) is not None]
    if found:
        room = size.inner_height_pt - bands.stack(strips).height - gap
        most = ((wide - gap * (len(found) - 1)) / len(found), max(room, PICTURE_PT))
        alt = say("Picture: {words}", words="; ".join(plain(line.words) for line in lines))
        row, x = Band((), 0.0), 0.0
        for each in found:
            photo, across = photo_band(each, alt, most)
            row = bands.beside(row, photo, x)
            x += across + gap
        return [*strips, bands.spaced(row, gap)]
    coming = [story.prop(entrance.prop) for line in lines for entrance in line.props_in]
    props = tuple(prop for prop in coming if prop is not None)
    photos = photo_row(pictures, props, SMALL_PT, wide, PICTURE_PT)
    return [*strips, bands.spaced(photos, gap)] if photos else strips


def _above(words: str, wide: float) -> Band:
    return bands.paragraph((Piece(words, True, TEAL),), SMALL_PT, wide)


def _line(segment: Segment, wide: float) -> Band:
    words = plain(segment.line.words) if segment.line else ""
    if not words.strip():
        return bands.paragraph((Piece(say("(tapped)"), False, MUTED),), SMALL_PT, wide)
    return bands.paragraph((Piece(words, True),), WORDS_PT, wide)
