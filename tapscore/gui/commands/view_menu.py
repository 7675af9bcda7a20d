"""How the window looks, and help."""

from functools import partial

from tapscore.gui import dialogs, looks
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
        "about",
        "About and cautions",
        "",
        "What tapscore is, and what to mind",
        dialogs.show_about,
    ),
)
