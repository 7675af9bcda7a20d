"""Papers of a story as it is told today that are for nobody's role alone."""

from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices
from tapscore.workflow.today.card_files import CardFile, today_name
from tapscore.workflow.today.plan import Today

STEPS_IN = say("whoever steps in")
SPEAKS = say("whoever speaks")


def papers_for_all(story: Story, today: Today, choices: Choices) -> tuple[CardFile, ...]:
    """One side for somebody who steps in, and the cue sheet where it is not as for ``story``.

    Raises ValueError for a paper or margin there is no room on.
    """
    from tapscore.exports.paper.cue_sheet import cue_sheet, sheet_pages

    made = (_supply_file(today, choices),)
    had, now = (
        sheet_pages(told, performance, paper=choices.other_paper, margin_mm=choices.margin_mm)
        for told, performance in ((story, perform(story)), (today.story, today.performance))
    )
    if had == now:
        return made
    told = cue_sheet(
        today.story, today.performance, paper=choices.other_paper, margin_mm=choices.margin_mm
    )
    return (*made, CardFile(SPEAKS, f"{today_name(today.story)}cue-sheet.pdf", told.pdf))


def _supply_file(today: Today, choices: Choices) -> CardFile:
    from tapscore.exports.paper.supply_sheet import supply_sheet

    story = today.story
    made = supply_sheet(
        story,
        today.performance,
        today.near,
        paper=choices.other_paper,
        margin_mm=choices.margin_mm,
    )
    return CardFile(STEPS_IN, f"{today_name(story)}step-in.pdf", made.pdf)
