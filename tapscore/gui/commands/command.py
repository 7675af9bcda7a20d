"""What a command is, and when something can be done in the window."""

from collections.abc import Callable

from attrs import frozen

from tapscore.gui import folding, looks, row_commands
from tapscore.gui.story_window import StoryWindow
from tapscore.wording.catalogue import say

Do = Callable[[StoryWindow], object]


@frozen
class When:
    """When something can be done, and what to say where it can't."""

    holds: Callable[[StoryWindow], bool]
    otherwise: str = ""


ALWAYS = When(lambda _: True)
SOME_ROW = When(lambda w: bool(w.view.selected_rows), say("Go to a line first."))
CHOSEN = When(lambda w: bool(row_commands.chosen_rows(w)), say("Choose a line first."))
SOME_ITEM = When(
    lambda w: any(row.item is not None for row in w.view.selected_rows), say("Go to a line first.")
)
SOME_LINE = When(
    lambda w: any(row.line is not None for row in w.view.selected_rows),
    say("Go to a line with words first."),
)
IN_LINE = When(
    lambda w: w.view.syllable_here() is not None,
    say("Go to the tap first, or in the words to the place, where the next line begins."),
)
WITH_RHYTHM = When(row_commands.has_rhythm, say("Go to a line with a rhythm first."))
ON_TAP = When(
    lambda w: w.view.cursor_event is not None,
    say("Go to a tap first, with the left and right keys."),
)
SOME_PROP = When(lambda w: bool(w.document.story.props), say("Write a prop under Props first."))
SOME_REFRAIN = When(
    lambda w: bool(w.document.story.refrains), say("Make a line the refrain first: Ctrl+R.")
)
FOLDABLE = When(folding.foldable, say("Go to a heading, a return or a line below one first."))
SPELLING = When(lambda w: w.settings.spelling, say("Mark the spelling first, under View."))
CAN_UNDO = When(lambda w: w.document.undo_stack.canUndo(), say("There is nothing to take back."))
CAN_REDO = When(lambda w: w.document.undo_stack.canRedo(), say("Nothing was taken back."))
GOING = When(lambda w: w.listening.going, say("Nothing is being heard."))
HOLDING = When(lambda w: w.listening.holding, say("No wait or offering stops the listening now."))
LARGER = When(lambda w: w.settings.scale < looks.LARGEST, say("The text is as large as it gets."))
SMALLER = When(lambda w: w.settings.scale > 1, say("The text has its usual size."))


@frozen
class Command:
    """One thing that can be done."""

    id: str
    name: str
    keys: str
    """With commas between; the first is shown."""
    about: str
    do: Do
    when: When = ALWAYS
    in_story: bool = False
    """Whether its keys only work while the story has the focus."""
    letter: str = ""
    """Its key in the tapping mode alone, where letters are no words."""
    on: Callable[[StoryWindow], bool] | None = None
    """Whether it is switched on, for what can be switched on and off."""
    short: str = ""
    """What it is called in the row of main actions; nothing: it is not there."""
    on_row: bool = False
    """Whether it stands in a row's own menu."""
    first: bool = False
    """Whether it is the first of a group in its menu: a rule stands above."""
