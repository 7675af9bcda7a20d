"""Options that several commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from tapscore.wording.catalogue import say


class Commands(click.Group):
    """A group whose list has each command's first sentence whole."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Click: the list."""
        found = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        with formatter.section(say("Commands")):
            formatter.write_dl(
                [(name, (each.help or "").split("\n\n")[0]) for name, each in found if each]
            )


PATH = click.Path(path_type=Path, readable=False)
"""Whether it may be read is told by whoever reads it, in plain words."""
TAPPED = click.Choice(["every", "beats", "strong"])
TAPPED_HELP = say("Tap every syllable, felt beats, or strong beats alone; all words stay.")

_Command = TypeVar("_Command", bound=Callable[..., Any])
_SIZES = say("A4, A5, A6, Letter, or the sides in mm, such as 120x180")


def _known(ctx: click.Context, param: click.Parameter, value: str) -> str:
    """Give a paper as it is written everywhere."""
    from tapscore.exports.paper.pages import paper_name

    try:
        return paper_name(value)
    except ValueError as error:
        raise click.BadParameter(f"{error}.", ctx, param) from None


def _known_or_needed(ctx: click.Context, param: click.Parameter, value: str) -> str:
    return _known(ctx, param, value) if value else value


def paper_options(command: _Command) -> _Command:
    """Add the options about paper: its sizes, margin, distance, and cards on a sheet."""
    options = (
        click.option(
            "--paper",
            callback=_known,
            default="A5",
            metavar="PAPER",
            show_default=True,
            help=say("Paper of the cards: {sizes}.", sizes=_SIZES),
        ),
        click.option(
            "--part-paper",
            callback=_known_or_needed,
            default="",
            metavar="PAPER",
            help=say(
                "Paper of the part sheets, lying: A4, A3, Letter, or the sides in mm. [default: A4"
                " where hands are free at every change, else A3]"
            ),
        ),
        click.option(
            "--other-paper",
            callback=_known,
            default="A4",
            metavar="PAPER",
            show_default=True,
            help=say("Paper of everything else, and of several cards of an own size on a sheet."),
        ),
        click.option(
            "--margin",
            type=click.FloatRange(0, 100),
            metavar="MM",
            help=say(
                "Blank strip at the edges of every page, for what your printer can't reach. "
                "[default: 6.5 on cards, 13 on pages of words]"
            ),
        ),
        click.option(
            "--distance",
            type=click.FloatRange(0.3, 3.0),
            default=1.0,
            metavar="METRES",
            show_default=True,
            help=say("How far away part sheets and cards are read."),
        ),
        click.option(
            "--sheet",
            type=click.Choice(["1", "2", "4"]),
            default="1",
            show_default=True,
            help=say("Cards on a sheet, to be cut."),
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


def part_language_option(command: _Command) -> _Command:
    """Add the option about the language that part sheets have below the words."""
    return click.option(
        "--part-language",
        default="",
        metavar="TAG",
        help=say("Part sheets have its words, too: pl, ur."),
    )(command)
