"""What is heard, practised and recorded."""

from tapscore.gui import dialogs
from tapscore.gui.commands import command as can
from tapscore.gui.commands.command import Command
from tapscore.screen.heard_rows import LoopChoice

LISTEN = (
    Command(
        "listen",
        "Listen from here",
        "F5",
        "From the line you are in",
        lambda w: w.listening.listen(),
        short="Listen",
        on_row=True,
    ),
    Command(
        "listen start",
        "Listen from the beginning",
        "Ctrl+F5",
        "The whole story",
        lambda w: w.listening.listen_from_the_beginning(),
    ),
    Command(
        "listen stop",
        "Stop",
        "F6",
        "Be silent; Escape does so too",
        lambda w: w.listening.stop(),
        can.GOING,
    ),
    Command(
        "go on",
        "Go on",
        "F7",
        "Leave a wait or an offering; in the story: Space",
        lambda w: w.listening.player.go_on(),
        can.HOLDING,
    ),
    Command(
        "loop line",
        "Loop this line",
        "F8",
        "Over and over, or no more",
        lambda w: w.listening.loop_now(LoopChoice.LINE),
    ),
    Command(
        "loop section",
        "Loop this section",
        "Shift+F8",
        "Over and over",
        lambda w: w.listening.loop_now(LoopChoice.SECTION),
    ),
    Command(
        "loop selected",
        "Loop what is chosen",
        "Ctrl+F8",
        "Over and over",
        lambda w: w.listening.loop_now(LoopChoice.SELECTED),
    ),
    Command(
        "slower",
        "Slower",
        "F9",
        "Three quarters of the speed, then half",
        lambda w: w.listening.bar.step_speed(1),
    ),
    Command(
        "less slow",
        "Less slow",
        "Shift+F9",
        "Back towards the speed as written",
        lambda w: w.listening.bar.step_speed(-1),
    ),
    Command(
        "my part",
        "Choose my part",
        "F4",
        "Whose taps are louder",
        lambda w: w.listening.choose_part(),
    ),
    Command(
        "practise",
        "Practise or not",
        "Shift+F4",
        "Tap your part on the space bar",
        lambda w: w.listening.bar.practise.toggle(),
        on=lambda w: w.listening.bar.practise.isChecked(),
    ),
    Command(
        "count in",
        "Count in or not",
        "Ctrl+F9",
        "Clicks for a bar before",
        lambda w: w.listening.bar.count_in.toggle(),
        on=lambda w: w.listening.bar.count_in.isChecked(),
    ),
    Command(
        "record",
        "Record the lines ...",
        "Ctrl+L",
        "Speak the story, line by line",
        dialogs.record,
    ),
    Command(
        "listen back",
        "Listen back ...",
        "Ctrl+Shift+F5",
        "Where a recorded rehearsal differs from the writing",
        dialogs.listen_back,
    ),
)
