"""What is done with a whole story: begin, keep, make, print, copy."""

from tapscore.gui import dialogs
from tapscore.gui.commands.command import Command
from tapscore.workflow.adapt import Way

FILE = (
    Command(
        "new",
        "New ...",
        "Ctrl+N",
        "Begin a story: from words, from another story, or empty",
        lambda w: w.files.new(w),
        short="New",
    ),
    Command("open", "Open ...", "Ctrl+O", "Open a story file", lambda w: w.files.open(w)),
    Command("save", "Save", "Ctrl+S", "Save the story", lambda w: w.files.save(w), short="Save"),
    Command(
        "save as",
        "Save as ...",
        "Ctrl+Shift+S",
        "Save under another name",
        lambda w: w.files.save_as(w),
    ),
    Command(
        "versions",
        "Look at earlier versions ...",
        "",
        "What was otherwise, a line of it back, or the whole",
        dialogs.earlier_versions,
    ),
    Command(
        "export",
        "Make cards and sound ...",
        "Ctrl+E",
        "Cards, cue sheet, sound",
        dialogs.export,
        short="Make cards",
    ),
    Command(
        "print", "Print ...", "Ctrl+P", "Look at the pages and print them", dialogs.print_pages
    ),
    Command(
        "day",
        "Today's staff ...",
        "Ctrl+T",
        "Who is here, and what changes",
        dialogs.share_today,
    ),
    Command(
        "class record",
        "Class record ...",
        "Ctrl+Shift+C",
        "Each pupil's way in, notes and term; encrypted, apart from stories",
        dialogs.class_record,
    ),
    Command(
        "gentler",
        "Gentler copy",
        "",
        "The same words and shape, softer and slower",
        lambda w: w.files.adapted(w, Way.GENTLER),
    ),
    Command(
        "livelier",
        "Livelier copy",
        "",
        "The same words and shape, brisker",
        lambda w: w.files.adapted(w, Way.LIVELIER),
    ),
    Command(
        "short",
        "Short copy",
        "",
        "Start, refrain and finish",
        lambda w: w.files.adapted(w, Way.SHORT),
    ),
    Command("close", "Close", "Ctrl+W", "Close this window", lambda w: w.close()),
)
