"""The board at this school: kept once, offered for every story after."""

from attrs import evolve

from tapscore.board.default_board import USUAL_BOARD
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import StoryWindow
from tapscore.model.board import Board
from tapscore.model.story import Story
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say

KEPT = say("Kept: the next story is offered this board.")
LAID_OUT = say("Laid out. Your own board's measures are under “Story”.")
NONE_YET = say("Describe a board first.")
NOT_KEPT = say("No board is kept yet. “This is my board” keeps one.")


def kept(settings: Settings) -> Board | None:
    """The board that was kept; None where there is none that can be read."""
    story = read_text(settings.my_board).story if settings.my_board else None
    return story.board if story is not None else None


def keep(window: StoryWindow) -> None:
    """Keep the story's board, without who is with whom."""
    board = window.document.story.board
    if board is None:
        window.say(NONE_YET)
        return
    alone = tuple(evolve(place, partner=None) for place in board.places)
    window.settings.my_board = write_story(Story(say("Board"), board=evolve(board, places=alone)))
    window.say(KEPT)


def lay_out(window: StoryWindow) -> None:
    """Give the story a board as many are; one step of undo."""
    window.document.edit(say("Lay out a board"), evolve(window.document.story, board=USUAL_BOARD))
    window.say(LAID_OUT)


def put_here(window: StoryWindow) -> None:
    """Let the kept board be the story's; one step of undo."""
    board = kept(window.settings)
    if board is None:
        window.say(NOT_KEPT)
        return
    window.document.edit(say("Put my board here"), evolve(window.document.story, board=board))
