"""The papers that are made of a story besides the cards and the cue sheet."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict

from attrs import evolve

from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.names import slug
from tapscore.workflow.product import Choices, Export, Product, Progress, something

if TYPE_CHECKING:
    from tapscore.exports.own_pictures import OwnPictures
    from tapscore.exports.paper.pdf import Printed

Print = Callable[[Story, Choices], "Printed"]


class _Pages(TypedDict):
    """How the pages of every paper are made."""

    paper: str
    margin_mm: float | None


def _pages(choices: Choices, most: int = 1) -> _Pages:
    """Sheets, or parts of a sheet: ``most`` of them, or fewer where they would grow small."""
    from tapscore.exports.paper.pages import parts

    part, _ = parts(choices.other_paper, most)
    return _Pages(paper=part, margin_mm=choices.margin_mm)


def _pictures(choices: Choices) -> "OwnPictures":
    from tapscore.exports.own_pictures import OwnPictures

    return OwnPictures(choices.beside)


def _pocket_key(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.pocket_key import pocket_key

    return pocket_key(story, **_pages(choices, 4))


def _prop_list(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.prop_list import prop_list
    from tapscore.rhythm.perform import perform

    return prop_list(story, perform(story), **_pages(choices), pictures=_pictures(choices))


def _box_label(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.prop_list import box_label

    return box_label(story, **_pages(choices, 2), pictures=_pictures(choices))


def _floor_plan(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.floor_plan import floor_plan

    return floor_plan(story, **_pages(choices), pictures=_pictures(choices))


def _briefing(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.briefing import briefing
    from tapscore.rhythm.perform import perform

    return briefing(story, perform(story), **_pages(choices))


def _supply(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.supply_sheet import supply_sheet
    from tapscore.rhythm.perform import perform
    from tapscore.workflow.today.beside import near_pupils

    near = near_pupils(story, story.role_names) if story.roles else ()
    return supply_sheet(story, perform(story), near, **_pages(choices))


def _hall_everybody(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.part_sheets import part_sheets
    from tapscore.rhythm.perform import perform
    from tapscore.workflow.hall import HALL, hall_story

    told = hall_story(story)
    return part_sheets(told, perform(told), HALL, **_pages(choices))


def _hall_leader(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.cue_sheet import cue_sheet
    from tapscore.rhythm.perform import perform
    from tapscore.workflow.hall import hall_story

    told = hall_story(story)
    return cue_sheet(told, perform(told), **_pages(choices))


def _hall_screen(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.hall_screen import hall_screen
    from tapscore.rhythm.perform import perform
    from tapscore.workflow.hall import hall_story

    told = evolve(hall_story(story), title=story.title)
    return hall_screen(told, perform(told), **_pages(choices), pictures=_pictures(choices))


def _outdoors(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.outdoors import outdoors

    return outdoors(story, **_pages(choices))


def _session_plan(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.session_plan import session_plan
    from tapscore.rhythm.perform import perform

    return session_plan(story, perform(story), **_pages(choices))


def _slips(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.observation_slips import observation_slips
    from tapscore.rhythm.perform import perform

    return observation_slips(story, perform(story), **_pages(choices))


def _home(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.home_version import home_version
    from tapscore.rhythm.perform import perform
    from tapscore.workflow.translations import only_in

    told = only_in(story, choices.home_language)
    return home_version(told, perform(told), **_pages(choices), pictures=_pictures(choices))


def _words(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.large_words import large_words
    from tapscore.rhythm.perform import perform

    return large_words(story, perform(story), **_pages(choices))


def _cautions(story: Story, choices: Choices) -> "Printed":
    from tapscore.exports.paper.cautions_page import cautions_page

    return cautions_page(story, **_pages(choices))


def _without_board(story: Story) -> str:
    if story.board is not None:
        return ""
    return say("No floor plan was made: the story describes no board.")


def _without_things(story: Story) -> str:
    if story.props or story.board is not None:
        return ""
    return say("No prop list was made: the story has neither props nor a board to pack.")


def _export(
    name: str,
    about: str,
    *papers: tuple[str, Print],
    nothing: Callable[[Story], str] = something,
) -> Export:
    """An export of one PDF for each of ``papers``: its file's ending and how it is made."""

    def writer(make: Print, story: Story, choices: Choices) -> Callable[..., tuple[Finding, ...]]:
        def write(path: Path, progress: Progress) -> tuple[Finding, ...]:
            printed = make(story, choices)
            path.write_bytes(printed.pdf)
            progress(1.0)
            return printed.findings

        return write

    def products(story: Story, choices: Choices) -> Iterator[Product]:
        for ending, make in papers if not nothing(story) else ():
            file_name = f"{slug(story.title)}-{ending}.pdf"
            yield Product(name, file_name, writer(make, story, choices))

    return Export(name, about, products, nothing)


PAPER_EXPORTS: tuple[Export, ...] = (
    _export(
        "pocket-key", say("what the signs on the cards mean (PDF)"), ("pocket-key", _pocket_key)
    ),
    _export(
        "prop-list",
        say("props to pack and a label for their box (PDF)"),
        ("prop-list", _prop_list),
        ("box-label", _box_label),
        nothing=_without_things,
    ),
    _export(
        "floor-plan",
        say("board, seats and places to scale (PDF)"),
        ("floor-plan", _floor_plan),
        nothing=_without_board,
    ),
    _export(
        "briefing", say("one page for somebody who joins today (PDF)"), ("briefing", _briefing)
    ),
    _export(
        "supply-sheet",
        say("one side for somebody who steps in tomorrow (PDF)"),
        ("step-in", _supply),
    ),
    _export(
        "whole-hall",
        say("for a whole hall: everybody's part, leader's sheet, pages for a screen (PDF)"),
        ("hall-everybody", _hall_everybody),
        ("hall-leader", _hall_leader),
        ("hall-screen", _hall_screen),
    ),
    _export(
        "outdoors",
        say("out of doors: substitutes, the weather and what to mind (PDF)"),
        ("outdoors", _outdoors),
    ),
    _export(
        "session-plan",
        say("aims, areas and times of a session (PDF)"),
        ("session-plan", _session_plan),
    ),
    _export("observation-slips", say("slips to write on what you saw (PDF)"), ("slips", _slips)),
    _export("home-version", say("the story for home, on a lap or table (PDF)"), ("at-home", _home)),
    _export("large-words", say("the words in large print (PDF)"), ("words", _words)),
    _export("cautions", say("what to think of, and whom to ask (PDF)"), ("cautions", _cautions)),
)
