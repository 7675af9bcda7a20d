"""How the window looks, and help."""

from functools import partial

from tapscore.gui import dialogs, folding, looks
from tapscore.gui.commands import command as can
from tapscore.gui.commands.command import Command

_INKS = tuple(
    Command(
        inks,
        inks.capitalize(),
        "",
        about,
        partial(looks.set_inks, name=inks),
        on=partial(looks.has_inks, name=inks),
    )
    for inks, about in (
        ("light", "Dark letters on light ground"),
        ("dark", "Light letters on dark ground"),
        ("high contrast", "White on black"),
    )
)
VIEW = (
    Command(
        "details",
        "Details",
        "Ctrl+Return",
        "How the lines chosen, or a tap, are played",
        lambda w: w.show_details(),
        short="Details",
        on_row=True,
    ),
    Command(
        "larger",
        "Larger text",
        "Ctrl+=, Ctrl++",
        "Up to twice as large",
        lambda w: looks.set_scale(w, w.settings.scale + looks.STEP),
        can.LARGER,
    ),
    Command(
        "smaller",
        "Smaller text",
        "Ctrl+-",
        "Down to the usual size",
        lambda w: looks.set_scale(w, w.settings.scale - looks.STEP),
        can.SMALLER,
    ),
    Command(
        "usual size",
        "Text of the usual size",
        "Ctrl+0",
        "As it was at first",
        lambda w: looks.set_scale(w, 1.0),
        can.SMALLER,
    ),
    Command(
        "fold",
        "Fold or unfold",
        "Ctrl+Shift+F",
        "What is below a heading, or a refrain's lines at its return; Left and Right do so, too",
        folding.toggle,
        can.FOLDABLE,
        on_row=True,
    ),
    Command(
        "fold all",
        "Headings alone",
        "Ctrl+Shift+1",
        "Fold every section, or show all again",
        folding.toggle_sections,
        on=folding.sections_are_folded,
    ),
    Command(
        "refrains shown",
        "Refrains in full",
        "Ctrl+Shift+2",
        "Their lines at every return, or only where they are written",
        folding.toggle_refrains,
        on=lambda w: w.rows.folds.returns_open,
    ),
    Command(
        "mark spelling",
        "Mark the spelling",
        "",
        "Strokes under words that the British dictionary lacks, or none",
        lambda w: w.spelling.toggle(),
        on=lambda w: w.settings.spelling,
    ),
    *_INKS,
    Command(
        "still",
        "Less movement",
        "",
        "The cursor jumps, and nothing glides",
        looks.toggle_movement,
        on=lambda w: w.settings.reduced_motion,
    ),
)

HELP = (
    Command("keys", "Keys", "F1", "All keys in a list", dialogs.show_keys),
    Command(
        "marks",
        "What the marks mean",
        "Shift+F1",
        "Every mark of the story's rows, with a word",
        dialogs.show_marks,
    ),
    Command(
        "about",
        "About and cautions",
        "",
        "What tapscore is, and what to mind",
        dialogs.show_about,
    ),
)
