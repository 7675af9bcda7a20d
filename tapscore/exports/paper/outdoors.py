"""The story out of doors: what stands in for the board and each prop, and what weather asks."""

from collections.abc import Iterator

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.cautions_page import caution_band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    NOTICE_PAD,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    tick,
    title,
    write_on,
)
from tapscore.exports.paper.text_flow import own
from tapscore.model.cautions import title_of
from tapscore.model.pupil_cautions import DEFERS, OUTDOOR_CAUTIONS
from tapscore.model.story import Story
from tapscore.wording.catalogue import say

NO_BOARD = say(
    "Nothing is written yet. A picnic table, a bench, decking or an upturned crate carries taps; "
    "grass and sand carry none. Try it with your own hands first, and look at it for splinters, "
    "edges and what crawls."
)
"""What carries taps: common practice, no source."""


def outdoors(story: Story, *, paper: str = "A4", margin_mm: float | None = None) -> Printed:
    """Print the paper.  Raises ValueError for a paper or margin there is no room on."""
    pages = outdoors_pages(story, paper=paper, margin_mm=margin_mm)
    return printed(
        story, pages, what=say("out of doors"), subject=say("Substitutes and the weather")
    )


def outdoors_pages(
    story: Story, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``outdoors`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    beneath = say("What to use instead, and what the weather asks.")
    made = [
        title(say("{title}: out of doors", title=story.title), beneath, wide),
        notice(list(_weather(story, wide - NOTICE_PAD)), wide),
        heading(say("Instead of the board"), wide),
        text(own(story.outdoors) if story.outdoors else NO_BOARD, wide),
    ]
    if not story.outdoors:
        made.append(write_on(say("We tap on"), wide))
    if story.props:
        made.append(heading(say("Props"), wide))
        for prop in story.props:
            made += _prop(prop.name, prop.outdoors, prop.cautions, wide)
    made.append(heading(say("What to mind"), wide))
    made.append(text(DEFERS, wide))
    made += [caution_band(each, wide) for each in OUTDOOR_CAUTIONS]
    made.append(
        text(
            say(
                "Tapped by many at once, the story for a whole hall suits best: everybody has "
                "the refrain and the big moments. Waits are as long as indoors; there is more to "
                "look at and to hear, so give them time."
            ),
            wide,
            space=8.0,
        )
    )
    return running_pages(made, size, say("{title}: out of doors", title=story.title))


def _weather(story: Story, wide: float) -> Iterator[Band]:
    """One line for the weather: what is settled, what it is today, what is decided."""
    if story.weather:
        yield text(own(story.weather), wide, 14.0, bold=say("Weather: "))
    yield text(
        say(
            "Your school's policies on outings, sun and cold weather come before this sheet. "
            "Look at the weather before anybody is moved:"
        ),
        wide,
    )
    row, kinds = Band((), 0.0), (say("wind"), say("sun"), say("wet"), say("cold"))
    for at, words in enumerate(kinds):
        row = bands.beside(row, tick(words, wide / len(kinds)), at * wide / len(kinds))
    yield bands.spaced(row, 4.0)
    yield write_on(say("Today we"), wide)


def _prop(name: str, outside: str | None, cautions: tuple[str, ...], wide: float) -> Iterator[Band]:
    mind = ", ".join(title_of(word) for word in cautions)
    said = own(outside) if outside else say("as indoors, if neither wind nor wet harms it")
    more = say(" Mind: {cautions}.", cautions=mind) if mind else ""
    yield text(f"{said}.{more}", wide, bold=f"{own(name)}: ")
    if not outside:
        yield write_on(say("Instead"), wide)
