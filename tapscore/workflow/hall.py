"""A story for a whole hall: everybody taps the refrain and the big moments, the leader tells."""

from attrs import evolve

from tapscore.model.finding import StoryPath
from tapscore.model.lane import Cell, Mark, TapDetail, lane_events
from tapscore.model.lane_edits import change_cells, with_marks
from tapscore.model.loudness import Loudness
from tapscore.model.manner import EVERYONE, PartialManner
from tapscore.model.story import Line, Role, Story
from tapscore.model.walk import change_lines, change_manners
from tapscore.rhythm.unroll import as_written
from tapscore.wording.catalogue import say

LEADER, HALL = "leader", "everybody"


def hall_story(story: Story) -> Story:
    """The story with two parts: the leader's, and one for everybody, tapped on knees or chairs.

    Everybody has the refrain, what is warned of, and what is louder than usual; the rest is
    said and not tapped.  Words, waits and props stay; the leader brings the props.
    """
    placed = {each.path: each for each in as_written(story)}

    def for_all(path: StoryPath, line: Line) -> Line:
        here = placed.get(path)
        if here is None or line.lane is None:
            return line
        loudest = max(here.manner.loudness)
        big = bool(line.warn_first) or loudest >= Loudness.LOUD
        lane = change_cells(line.lane, _by_nobody)
        if path[0] != "refrains" and not big:
            marks = {
                at: Mark.SYLLABLE_ALONE if event.cell.mark.said else Mark.REST
                for at, event in enumerate(lane_events(lane, here.manner.metre))
            }
            lane = with_marks(lane, marks)
        refrain = path[0] == "refrains"
        manner = evolve(line.manner, says=(EVERYONE,) if refrain else ())
        done_by = (LEADER,) if line.do is not None else ()
        warned_by = (LEADER,) if line.warn_first else ()
        return evolve(line, lane=lane, manner=manner, done_by=done_by, warned_by=warned_by)

    def bare(_: StoryPath, manner: PartialManner) -> PartialManner:
        return evolve(manner, by=(), spot=None, says=())

    told = change_lines(change_manners(story, bare), for_all)
    return evolve(
        told,
        title=say("{title}, for a whole hall", title=story.title),
        manner=evolve(told.manner, by=(HALL,), says=(LEADER,)),
        board=None,
        roles=(Role(LEADER), Role(HALL)),
        props=tuple(evolve(prop, by=LEADER, handed_by=()) for prop in story.props),
        accepted=(),
    )


def _by_nobody(cell: Cell) -> Cell:
    """A tap without the adults and spots of the board."""
    if cell.detail is None:
        return cell
    detail = evolve(cell.detail, by=(), single=(), spot=None)
    return evolve(cell, detail=None if detail == TapDetail() else detail)
