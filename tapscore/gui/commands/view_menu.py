"""How the window looks, and help."""

from functools import partial

from tapscore.gui import dialogs, folding, looks
from tapscore.gui.commands import command as can
from tapscore.gui.commands.command import Command
from tapscore.gui.language import language_commands
from tapscore.wording.catalogue import say

_INKS = tuple(
    Command(
        inks,
        name,
        "",
        about,
        partial(looks.set_inks, name=inks),
        on=partial(looks.has_inks, name=inks),
        first=inks == "light",
    )
    for inks, name, about in (
        ("light", say("Light"), say("Dark letters on light ground")),
        ("dark", say("Dark"), say("Light letters on dark ground")),
        ("high contrast", say("High contrast"), say("White on black")),
    )
)
VIEW = (
    Command(
        "details",
        say("Details"),
        "Ctrl+Return",
        say("How the lines chosen, or a tap, are played"),
        lambda w: w.show_details(),
        short=say("Details"),
        on_row=True,
    ),
    Command(
        "larger",
        say("Larger text"),
        "Ctrl+=, Ctrl++",
        say("Up to twice as large"),
        lambda w: looks.set_scale(w, w.settings.scale + looks.STEP),
        can.LARGER,
        first=True,
    ),
    Command(
        "smaller",
        say("Smaller text"),
        "Ctrl+-",
        say("Down to the usual size"),
        lambda w: looks.set_scale(w, w.settings.scale - looks.STEP),
        can.SMALLER,
    ),
    Command(
        "usual size",
        say("Text of the usual size"),
        "Ctrl+0",
        say("As it was at first"),
        lambda w: looks.set_scale(w, 1.0),
        can.SMALLER,
    ),
    Command(
        "fold",
        say("Fold or unfold"),
        "Ctrl+Shift+F",
        say(
            "What is below a heading, or a refrain's lines at its return; Left and Right do so, too"
        ),
        folding.toggle,
        can.FOLDABLE,
        on_row=True,
        first=True,
    ),
    Command(
        "fold all",
        say("Headings alone"),
        "Ctrl+Shift+1",
        say("Fold every section, or show all again"),
        folding.toggle_sections,
        on=folding.sections_are_folded,
    ),
    Command(
        "refrains shown",
        say("Refrains in full"),
        "Ctrl+Shift+2",
        say("Their lines at every return, or only where they are written"),
        folding.toggle_refrains,
        on=lambda w: w.rows.folds.returns_open,
    ),
    Command(
        "mark spelling",
        say("Mark the spelling"),
        "",
        say("Strokes under words that the British dictionary lacks, or none"),
        lambda w: w.spelling.toggle(),
        on=lambda w: w.settings.spelling,
        first=True,
    ),
    *_INKS,
    Command(
        "still",
        say("Less movement"),
        "",
        say("The cursor jumps, and nothing glides"),
        looks.toggle_movement,
        on=lambda w: w.settings.reduced_motion,
        first=True,
    ),
    *language_commands(),
)

HELP = (
    Command("keys", say("Keys"), "F1", say("All keys in a list"), dialogs.show_keys),
    Command(
        "marks",
        say("What the marks mean"),
        "Shift+F1",
        say("Every mark of the story's rows, with a word"),
        dialogs.show_marks,
    ),
    Command(
        "about",
        say("About and cautions"),
        "",
        say("What tapscore is, and what to mind"),
        dialogs.show_about,
        first=True,
    ),
)
