"""What is heard, practised and recorded."""

from tapscore.gui import dialogs
from tapscore.gui.commands import command as can
from tapscore.gui.commands.command import Command
from tapscore.screen.heard_rows import LoopChoice
from tapscore.wording.catalogue import say

LISTEN = (
    Command(
        "listen",
        say("Listen from here"),
        "F5",
        say("From the line you are in"),
        lambda w: w.listening.listen(),
        short=say("Listen"),
        on_row=True,
    ),
    Command(
        "listen start",
        say("Listen from the beginning"),
        "Ctrl+F5",
        say("The whole story"),
        lambda w: w.listening.listen_from_the_beginning(),
    ),
    Command(
        "listen stop",
        say("Stop"),
        "F6",
        say("Be silent; Escape does so too"),
        lambda w: w.listening.stop(),
        can.GOING,
    ),
    Command(
        "go on",
        say("Go on"),
        "F7",
        say("Leave a wait or an offering; in the story: Space"),
        lambda w: w.listening.player.go_on(),
        can.HOLDING,
    ),
    Command(
        "loop line",
        say("Loop this line"),
        "F8",
        say("Over and over, or no more"),
        lambda w: w.listening.loop_now(LoopChoice.LINE),
        first=True,
    ),
    Command(
        "loop section",
        say("Loop this section"),
        "Shift+F8",
        say("Over and over"),
        lambda w: w.listening.loop_now(LoopChoice.SECTION),
    ),
    Command(
        "loop selected",
        say("Loop what is chosen"),
        "Ctrl+F8",
        say("Over and over"),
        lambda w: w.listening.loop_now(LoopChoice.SELECTED),
    ),
    Command(
        "slower",
        say("Slower"),
        "F9",
        say("Three quarters of the speed, then half"),
        lambda w: w.listening.bar.step_speed(1),
        first=True,
    ),
    Command(
        "less slow",
        say("Less slow"),
        "Shift+F9",
        say("Back towards the speed as written"),
        lambda w: w.listening.bar.step_speed(-1),
    ),
    Command(
        "my part",
        say("Choose my part"),
        "F4",
        say("Whose taps are louder"),
        lambda w: w.listening.choose_part(),
        first=True,
    ),
    Command(
        "practise",
        say("Practise or not"),
        "Shift+F4",
        say("Tap your part on the space bar"),
        lambda w: w.listening.bar.practise.toggle(),
        on=lambda w: w.listening.bar.practise.isChecked(),
    ),
    Command(
        "count in",
        say("Count in or not"),
        "Ctrl+F9",
        say("Clicks for a bar before"),
        lambda w: w.listening.bar.count_in.toggle(),
        on=lambda w: w.listening.bar.count_in.isChecked(),
    ),
    Command(
        "record",
        say("Record the lines ..."),
        "Ctrl+L",
        say("Speak the story, line by line"),
        dialogs.record,
        first=True,
    ),
    Command(
        "listen back",
        say("Listen back ..."),
        "Ctrl+Shift+F5",
        say("Where a recorded rehearsal differs from the writing"),
        dialogs.listen_back,
    ),
)
