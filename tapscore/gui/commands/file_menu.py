"""What is done with a whole story: begin, keep, make, print, copy."""

from tapscore.gui import dialogs
from tapscore.gui.commands.command import Command
from tapscore.wording.catalogue import say
from tapscore.workflow.adapt import CopyWay

FILE = (
    Command(
        "new",
        say("New ..."),
        "Ctrl+N",
        say("Begin a story: from words, from another story, or empty"),
        lambda w: w.files.new(w),
        short=say("New"),
    ),
    Command("open", say("Open ..."), "Ctrl+O", say("Open a story file"), lambda w: w.files.open(w)),
    Command(
        "save",
        say("Save"),
        "Ctrl+S",
        say("Save the story"),
        lambda w: w.files.save(w),
        short=say("Save"),
        first=True,
    ),
    Command(
        "save as",
        say("Save as ..."),
        "Ctrl+Shift+S",
        say("Save under another name"),
        lambda w: w.files.save_as(w),
    ),
    Command(
        "versions",
        say("Look at earlier versions ..."),
        "",
        say("What was otherwise, a line of it back, or the whole"),
        dialogs.earlier_versions,
    ),
    Command(
        "export",
        say("Make cards and sound ..."),
        "Ctrl+E",
        say("Cards, cue sheet, sound"),
        dialogs.export,
        short=say("Make cards"),
        first=True,
    ),
    Command(
        "print",
        say("Print ..."),
        "Ctrl+P",
        say("Look at the pages and print them"),
        dialogs.print_pages,
    ),
    Command(
        "day",
        say("Today's staff ..."),
        "Ctrl+T",
        say("Who is here, and what changes"),
        dialogs.share_today,
        first=True,
    ),
    Command(
        "class record",
        say("Class record ..."),
        "Ctrl+Shift+C",
        say("Each pupil's way in, notes and term; encrypted, apart from stories"),
        dialogs.class_record,
    ),
    Command(
        "gentler",
        say("Gentler copy"),
        "",
        say("The same words and shape, softer and slower"),
        lambda w: w.files.adapted(w, CopyWay.GENTLER),
        first=True,
    ),
    Command(
        "livelier",
        say("Livelier copy"),
        "",
        say("The same words and shape, brisker"),
        lambda w: w.files.adapted(w, CopyWay.LIVELIER),
    ),
    Command(
        "short",
        say("Short copy"),
        "",
        say("Start, refrain and finish"),
        lambda w: w.files.adapted(w, CopyWay.SHORT),
    ),
    Command(
        "close",
        say("Close"),
        "Ctrl+W",
        say("Close this window"),
        lambda w: w.close(),
        first=True,
    ),
)
