"""The prop list, to tick while packing, and the label for the box."""

from collections.abc import Sequence

from attrs import evolve

from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cautions import prop_cautions, split_caution
from tapscore.exports.paper.drawing import Page, Panel, TaggedBlock
from tapscore.exports.paper.inks import INK
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.photos import photo_band
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.running_pages import (
    heading,
    printed,
    running_pages,
    sheet_of,
    text,
    tick,
    title,
    write_on,
)
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.model.story import Prop, Story
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import Performance, Segment
from tapscore.wording.catalogue import say

CLEANING = say(
    "Wash or wipe what can be, between pupils and after each session, as your school's"
    " hygiene policy says. Dry it before it goes into the box."
)
LABEL_PT = 18.0
PHOTO_PT = (110.0, 84.0)
LABEL_PHOTO_PT = (84.0, 62.0)


def prop_list(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Print the list of props.  Raises ValueError for a paper or margin there is no room on."""
    pages = prop_list_pages(story, performance, paper=paper, margin_mm=margin_mm, pictures=pictures)
    made = printed(story, pages, what=say("props"), subject=say("Props to bring and to look after"))
    return evolve(made, findings=(*made.findings, *pictures.findings(story)))


def prop_list_pages(
    story: Story,
    performance: Performance,
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> tuple[Page, ...]:
    """Lay out the pages that ``prop_list`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    made = [title(say("{title}: props", title=story.title), say("Tick what is in the box."), wide)]
    if not story.props:
        made.append(text(say("This story has no props."), wide, 14.0, space=14.0))
    for prop in story.props:
        made += _entry(story, performance, prop, wide, pictures)
    if story.board:
        deep, across = story.board.depth_mm / 10, story.board.width_mm / 10
        made.append(heading(say("And"), wide))
        board = say(
            "resonance board, {wide} by {deep} cm, looked over for splinters",
            wide=float(across),
            deep=float(deep),
        )
        made.append(tick(board, wide, 14.0))
        made.append(tick(say("a card for each adult, and the cue sheet"), wide, 14.0))
    if story.props:
        made += [heading(say("Cleaning"), wide), text(CLEANING, wide)]
    made.append(bands.spaced(write_on(say("Packed by, on"), wide), 24.0))
    return running_pages(made, size, say("{title}: props", title=story.title))


def _entry(
    story: Story, performance: Performance, prop: Prop, wide: float, pictures: OwnPictures
) -> list[Band]:
    picture = pictures.of(prop.picture)
    photo = (
        photo_band(picture, say("Picture of {prop}", prop=prop.name), PHOTO_PT) if picture else None
    )
    whole, wide = wide, wide - (photo[1] + 12 if photo else 0.0)
    left = 21.0
    sets = say(", {sets:1 set|# sets}", sets=prop.sets) if prop.sets > 1 else ""
    made = [bands.spaced(tick(sets, wide, 16.0, bold=own(prop.name)), 14.0)]
    said: list[tuple[str, str]] = []
    if prop.what:
        said.append(("", prop.what))
    said.append((say("Instead, if it is missing: "), prop.instead or say("nothing written yet")))
    used = _used(performance, prop.name)
    by = story.bringer(prop.name)
    said.append((say("Brought by "), joined((own(by), *used), "list")))
    said += [split_caution(sentence) for sentence in prop_cautions(prop)]
    made += [_indented(text(rest, wide - left, bold=bold), left) for bold, rest in said]
    made[0] = bands.spaced(made[0], 14.0, with_next=True)
    if photo is None:
        return made
    both = bands.beside(bands.stack(made), photo[0], whole - photo[1])
    return [bands.spaced(both, 14.0)]


def _indented(band: Band, left: float) -> Band:
    return Band(band.at(left, 0), band.height, band.space_before)


def _used(performance: Performance, prop: str) -> list[str]:
    """Where a prop comes, is offered and goes, in the order of the story."""
    found: list[str] = []
    here = ""
    for step in steps(performance):
        if step.refrain is not None or step.number is not None:
            here = step.refrain or say("line {number}", number=step.number)
        if step.refrain_time > 1:
            continue
        for segment in step.segments:
            found += [way.replace("\0", here) for way in _ways(segment, prop, first=not here)]
    return list(dict.fromkeys(found))


def _ways(segment: Segment, prop: str, *, first: bool) -> Sequence[str]:
    if segment.line is None:
        offered = say("offered at the start") if first else say("offered after {line}", line="\0")
        return (offered,) if segment.prop == prop else ()
    comes = any(entrance.prop == prop for entrance in segment.line.props_in)
    ways = [say("in at {line}", line="\0")] if comes else []
    return [*ways, say("out at {line}", line="\0")] if prop in segment.line.props_out else ways


def box_label(
    story: Story,
    *,
    paper: str = "A5",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> Printed:
    """Print the label for the box, lying.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = box_label_pages(story, paper=paper, margin_mm=margin_mm, pictures=pictures)
    made = printed(story, pages, what=say("box label"), subject=say("Label for the box of props"))
    return evolve(made, findings=(*made.findings, *pictures.findings(story)))


def box_label_pages(
    story: Story,
    *,
    paper: str = "A5",
    margin_mm: float | None = None,
    pictures: OwnPictures = NO_PICTURES,
) -> tuple[Page, ...]:
    """Lay out the label; what does not fit goes on a further one."""
    size = named_paper(paper, landscape=True, margin_mm=margin_mm)
    pad = 12.0
    wide = size.inner_width_pt - 2 * pad
    made = [bands.paragraph((Piece(story.title, True),), 34.0, wide, tag="H1")]
    for prop in story.props:
        sets = say(", {sets:1 set|# sets}", sets=prop.sets) if prop.sets > 1 else ""
        what = f": {own(prop.what)}" if prop.what else ""
        picture = pictures.of(prop.picture)
        photo = (
            photo_band(picture, say("Picture of {prop}", prop=prop.name), LABEL_PHOTO_PT)
            if picture
            else None
        )
        room = wide - (photo[1] + 10 if photo else 0.0)
        line = tick(f"{sets}{what}", room, LABEL_PT, bold=own(prop.name))
        if photo:
            line = bands.spaced(bands.beside(line, photo[0], wide - photo[1]), 4.0)
        made.append(line)
    if not story.props:
        made.append(text(say("No props: board and cards alone."), wide, LABEL_PT))
    made.append(bands.spaced(write_on(say("Looked through on"), wide, size_pt=LABEL_PT), 16.0))
    room = size.inner_height_pt - 2 * pad
    sides = pour(made, lambda _: room, lambda _: room)
    pages: list[Page] = []
    for side in sides:
        frame = Panel(
            size.margin_pt + 1,
            size.margin_pt + 1,
            size.inner_width_pt - 2,
            size.inner_height_pt - 2,
            10.0,
            None,
            INK,
            2.0,
        )
        blocks = [TaggedBlock("Artifact", (frame,))]
        y = size.margin_pt + pad
        for index, band in enumerate(side):
            y += band.space_before if index else 0.0
            blocks += band.at(size.margin_pt + pad, y)
            y += band.height
        pages.append(Page(size, tuple(b for b in blocks if b.elements)))
    return tuple(pages)
