"""Pages for a screen in a hall: one for each line, wait and turn, moved on by a person.

Nothing moves by itself, and nothing counts: whoever holds the keys follows the pupils.
"""

from collections.abc import Iterator

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.inks import MUTED, TEAL
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_row
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
        for strips in _step(story, step, wide, pictures):
            made += _filled(size, strips)
    return tuple(made)


def _filled(size: Paper, strips: list[Band]) -> Iterator[Page]:
    """One page in the middle of which strips stand, or more where they are higher."""
    room = size.inner_height_pt
    for side in pour(strips, lambda _: room, lambda _: room):
        whole = bands.stack(side)
        top = size.margin_pt + max((room - whole.height) / 2, 0.0)
        yield Page(size, whole.at(size.margin_pt, top))


def _step(story: Story, step: Step, wide: float, pictures: OwnPictures) -> Iterator[list[Band]]:
    """What each page of a step shows; the lines of a refrain stand together."""
    if step.refrain is not None and step.lines:
        yield [_above(TOGETHER, wide), *(_line(each, wide) for each in step.lines)]
    for segment in step.segments:
        if segment.kind is SegmentKind.LINE:
            if step.refrain is None:
                yield _page_of_line(story, segment, wide, pictures)
        elif segment.kind is SegmentKind.WAIT:
            yield [bands.paragraph((Piece(say("Wait"), True),), WORDS_PT, wide)]
        else:
            yield [
                _above(say("Everyone’s turn"), wide),
                bands.paragraph((Piece(segment.prop or "", True),), WORDS_PT, wide),
            ]


def _page_of_line(story: Story, segment: Segment, wide: float, pictures: OwnPictures) -> list[Band]:
    strips = [_line(segment, wide)]
    line = segment.line
    if line is not None:
        coming = [story.prop(entrance.prop) for entrance in line.props_in]
        props = tuple(prop for prop in coming if prop is not None)
        photos = photo_row(pictures, props, SMALL_PT, wide, PICTURE_PT)
        if photos:
            strips.append(bands.spaced(photos, SMALL_PT / 2))
    if segment.taps:
        strips.insert(0, _above(TOGETHER, wide))
    return strips


def _above(words: str, wide: float) -> Band:
    return bands.paragraph((Piece(words, True, TEAL),), SMALL_PT, wide)


def _line(segment: Segment, wide: float) -> Band:
    words = plain(segment.line.words) if segment.line else ""
    if not words.strip():
        return bands.paragraph((Piece(say("(tapped)"), False, MUTED),), SMALL_PT, wide)
    return bands.paragraph((Piece(words, True),), WORDS_PT, wide)
