"""One side for somebody who steps in: who is where, who speaks, the refrain, what to mind."""

from collections.abc import Iterator, Sequence

from attrs import evolve

from tapscore.board.bodies import CHAIR_MM, XY, outward
from tapscore.exports.board.drawing import BoardDrawing
from tapscore.exports.board.layout import Look
from tapscore.exports.board.view import View
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page, TaggedBlock
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.people import usual_speaker
from tapscore.exports.paper.running_pages import (
    FOOT_PT,
    NOTICE_PAD,
    TEXT_PT,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    title,
)
from tapscore.exports.paper.steps import first_returns, steps, times_heard
from tapscore.exports.paper.text_flow import own, printable
from tapscore.exports.paper.text_width import paper_width
from tapscore.model.board import Board
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.model.wordings import joined
from tapscore.model.words import printed as plain
from tapscore.rhythm.performance import Performance, Segment
from tapscore.rhythm.role_view import RoleView, through_words, warners, warning_by
from tapscore.rhythm.running_time import length_words
from tapscore.wording.catalogue import say

STOP = say(
    "Stop tapping at once, and look to the pupil, if anyone startles and does not "
    "settle, changes colour or breathing, stiffens or has a seizure: follow that pupil’s "
    "own plan and call for help. Turning away or a sad face means come away: that is an "
    "answer, too."
)
WAIT = (
    say("Waits are for the pupils. "),
    say(
        "Hands still, no words. The number is the least; a look, a breath, a stillness may end it."
    ),
)
QUIET = (say("Gently. "), say("Nothing in this story is loud. Tap as softly as your sheet says."))
AS_WRITTEN = (
    say("Nothing louder than it is written. "),
    say("Never tap louder than your sheet says."),
)
NO_BOARD = say(
    "Where everybody sits is not written down: ask whoever leads before the pupils come."
)
LARGE_PT = 18.0
PICTURE_SHARES = (0.2, 0.4)
"""Of the height of the side, least and most, for the picture."""
GAP_PT = 6.0
ROOM_PT = 90.0
"""On each side of the picture, for the word at the way out."""
EDGE_PT = 3.0
BODY_MM = 200.0
"""Room for a sitting pupil round her place; a lying one has more, and the sheet holds her."""


def supply_sheet(
    story: Story,
    performance: Performance,
    near: Sequence[tuple[str, str]] = (),
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
) -> Printed:
    """Print the sheet.  Raises ValueError for a paper or margin there is no room on."""
    pages = supply_pages(story, performance, near, paper=paper, margin_mm=margin_mm)
    return printed(
        story, pages, what=say("if you step in"), subject=say("For somebody who steps in")
    )


def supply_pages(
    story: Story,
    performance: Performance,
    near: Sequence[tuple[str, str]] = (),
    *,
    paper: str = "A4",
    margin_mm: float | None = None,
) -> tuple[Page, ...]:
    """Lay out the side that ``supply_sheet`` prints, as data.

    ``near`` gives for each place the adult who is near, by role or name.  The picture is as
    large as leaves room for the words on one side; nothing else is made smaller, so that a
    story with very much to say takes a second side.
    """
    size = sheet_of(paper, margin_mm)
    words = _words(story, performance, near, size.inner_width_pt)
    if story.board is None:
        seats = text(NO_BOARD, size.inner_width_pt, space=GAP_PT)
    else:
        taken = sum(band.height + band.space_before for band in words) + GAP_PT
        room = size.inner_height_pt - 2 * FOOT_PT - taken
        least, most = (size.inner_height_pt * share for share in PICTURE_SHARES)
        high = min(room, most) if room >= least else most
        picture = _picture(story, story.board, size.inner_width_pt, high)
        seats = bands.spaced(picture, GAP_PT)
    return running_pages(
        [words[0], seats, *words[1:]], size, say("{title}: if you step in", title=story.title)
    )


def _words(
    story: Story, performance: Performance, near: Sequence[tuple[str, str]], wide: float
) -> list[Band]:
    inner = wide - NOTICE_PAD
    told = steps(performance)
    speaker = usual_speaker(story)
    speaker = f"{speaker[:1].upper()}{speaker[1:]}"
    often = times_heard(told)
    first = (
        say("{speaker}. Join in the refrain.", speaker=speaker)
        if often
        else say("{speaker}.", speaker=speaker)
    )
    made = [
        title(story.title, say("If you step in today, this side is all you need"), wide),
        text(first, wide, LARGE_PT, space=6.0),
        *(text(f"{who}.", wide, bold=f"{own(name)}: ") for name, who in _who(story, near)),
    ]
    for refrain, lines in first_returns(told).items():
        made.append(bands.spaced(_refrain(lines, often[refrain], inner, wide), 8.0))
    made.append(heading(say("Three things to mind"), wide, 15.0))
    for number, (bold, rest) in enumerate(_minded(story, performance, bool(often)), 1):
        made.append(text(rest, wide, bold=f"{number}  {bold}"))
    ending = (
        say("You may stop the story anywhere. Say the refrain softly once, and finish.")
        if often
        else say("You may stop the story anywhere. Finish softly.")
    )
    stop = [text(STOP, inner, bold=say("When to stop. ")), text(ending, inner)]
    made.append(notice(stop, wide, warn=True))
    made.append(text(_course(story, performance), wide, bold=say("How it goes: "), space=6.0))
    return made


def _who(story: Story, near: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Each adult with her seat and the pupils she is near."""
    beside: dict[str, list[str]] = {}
    for place, name in near:
        beside.setdefault(name, []).append(place)
    names = dict.fromkeys((*(role.name for role in story.roles), *beside))
    said: list[tuple[str, str]] = []
    for name in names:
        seat = next((role.seat for role in story.roles if role.name == name), None)
        parts = [say("sits {seat}", seat=own(seat))] if seat else []
        parts += (
            [say("near {places:and} first of all", places=tuple(beside[name]))]
            if name in beside
            else []
        )
        props = [prop.name for prop in story.props if story.bringer(prop.name) == name]
        parts += [say("brings {props}", props=own(joined(props)))] if props else []
        if parts:
            said.append((name[:1].upper() + name[1:], ", ".join(parts)))
    return said


def _refrain(lines: Sequence[Segment], times: int, inner: float, wide: float) -> Band:
    often = say("comes {times:once|# times}; everybody knows it", times=times)
    strips = [text(often, inner, bold=say("The refrain "))]
    said = [plain(line.line.words) for line in lines if line.line]
    strips += [text(words, inner, LARGE_PT, space=1.0) for words in said]
    return notice(strips, wide)


def _minded(story: Story, performance: Performance, returns: bool) -> list[tuple[str, str]]:
    """The three things of this story that a stranger must know; ``returns``: it has a refrain."""
    warned = [line for line in performance.lines if line.line and line.line.warn_first]
    minded = [WAIT]
    if warned:
        through: dict[tuple[str, ...], list[str]] = {}
        for each in warned:
            channels = each.line.warned_through if each.line else ()
            through.setdefault(warners(each), []).extend(channels)
        who = "; ".join(
            warning_by(tuple(map(own, names))) + through_words(tuple(dict.fromkeys(channels)))
            for names, channels in through.items()
        )
        who = who[:1].upper() + who[1:]
        minded.append(
            (
                say("Nothing louder unannounced. "),
                say("{who} first. Never tap louder than your sheet.", who=who),
            )
        )
    else:
        loud = any(tap.loudness > Loudness.MEDIUM for tap in performance.taps)
        minded.append(AS_WRITTEN if loud else QUIET)
    partners = [
        say("{role} is with {places:and}", role=own(role.name), places=view.places())
        for role in story.roles
        if (view := RoleView(story, role.name)).places()
    ]
    if partners:
        said = "; ".join(partners)
        said = said[:1].upper() + said[1:]
        minded.append(
            (
                say("The pupil first, the tapping second. "),
                say("{who}. Tap only while you have a hand free.", who=said),
            )
        )
    else:
        come_in = (
            say("Rest your hands and come in again at the refrain.")
            if returns
            else say("Rest your hands and come in again at the next line.")
        )
        minded.append((say("Lost your place? "), come_in))
    return minded


def _course(story: Story, performance: Performance) -> str:
    titles = dict.fromkeys(s.section for s in performance.segments if s.section)
    course = say(", then ").join(own(each) for each in titles)
    lasts, in_all = length_words(story, performance)
    if not course:
        return say("{lasts}.", lasts=lasts)
    return say("{course}. {lasts}; {in_all}.", course=course, lasts=lasts, in_all=in_all)


def _picture(story: Story, board: Board, wide: float, high: float) -> Band:
    """Who sits where round the board, and the pupils' places."""
    taken = tuple(seat for seat in board.seats if seat.name in story.sitting)
    shown = evolve(board, spots=(), seats=taken)
    unit = View(shown, 0, 0, 1)
    corners = list(_corners(shown, unit))
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    across, down = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((wide - 2 * ROOM_PT) / across, (high - 2 * EDGE_PT) / down)
    left = (wide - across * scale) / 2 - min(xs) * scale
    top = (high - down * scale) / 2 - min(ys) * scale
    view = View(shown, left, top, scale)
    drawing = BoardDrawing(
        view,
        Look(TEXT_PT, 16.0, paper_width, printable, chairs=True),
        bounds=(0.0, 0.0, wide, high),
        sitting=story.sitting,
    )
    elements = (
        *drawing.sheet(radius=3.0, edge=2.0),
        *drawing.bodies(),
        *drawing.seats(),
        *drawing.way_out(),
        *drawing.places(),
        *drawing.labels(),
    )
    return Band((TaggedBlock("Figure", elements, _told(story, board)),), high)


def _corners(board: Board, view: View) -> Iterator[XY]:
    """Points of the picture that must be in it: sheet, chairs, and pupils with room for a body."""
    wide, deep = float(board.width_mm), float(board.depth_mm)
    points = [(0.0, 0.0), (wide, deep)]
    away = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}
    for seat in board.seats:
        x, y = float(seat.at.x_mm), float(seat.at.y_mm)
        across, up = away[outward(board, seat.at)]
        half, out = CHAIR_MM / 2, CHAIR_MM + 20.0
        points += [(x - half, y - half), (x + half, y + half)]
        points += [(x + across * out, y + up * out)]
    for place in board.places:
        x, y = float(place.at.x_mm), float(place.at.y_mm)
        points += [(x - BODY_MM, y - BODY_MM), (x + BODY_MM, y + BODY_MM)]
    return (view.at_mm(x, y) for x, y in points)


def _told(story: Story, board: Board) -> str:
    said = [say("The board from above.")]
    nobody = say("Nobody")
    said += [
        say("{role} sits {seat}.", role=story.sitting.get(seat.name, nobody), seat=seat.name)
        for seat in board.seats
    ]
    said += [say("Place {place}.", place=place.name) for place in board.places]
    return " ".join(said)
