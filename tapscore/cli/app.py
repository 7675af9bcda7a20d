"""The commands by their names; each is in a module that is read when it is called."""

import gc
import signal
import sys
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path

import click

from tapscore.cli.first_page import ABOVE, BELOW, COMMANDS, WIDEST
from tapscore.cli.options import PATH
from tapscore.cli.terminal import STOPPED
from tapscore.wording.catalogue import say

_ELSEWHERE = {
    "class-record": ("records", "class_record"),
    "open-pack": ("packs", "open_pack_command"),
    "pack": ("packs", "pack_command"),
}

_WITHOUT_CYCLES = ("check", "stories")
"""What these make Python lets go of without its collector, which took a third of a long check."""


class _StoryOrCommand(click.Group):
    """Commands read on first use; the name of a file stands for opening it in the editor."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002
        cmd_name: str,
    ) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, name = _ELSEWHERE.get(cmd_name, (cmd_name.replace("-", "_"), "command"))
        command: click.Command = getattr(import_module(f"tapscore.cli.{module}"), name)
        if cmd_name not in _WITHOUT_CYCLES:
            gc.enable()
        return command

    def invoke(self, ctx: click.Context) -> object:
        """Click: run a command; a key that stops it is told of in our words."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, EOFError, click.Abort):
            click.echo(STOPPED, err=True)
            ctx.exit(1)

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002
        formatter: click.HelpFormatter,
    ) -> None:
        with formatter.section(say("Commands")):
            formatter.write_dl(list(COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0] if args else ""
        if name not in COMMANDS and not name.startswith("-"):
            if Path(name).suffix or Path(name).exists():
                return "edit", edit, args
            from tapscore.storyfile.near import did_you_mean

            raise click.UsageError(
                say(
                    "There is no command or story “{name}”.{guess} See tapscore --help.",
                    name=name,
                    guess=did_you_mean(name, COMMANDS),
                )
            )
        return super().resolve_command(ctx, args)


@click.group(
    cls=_StoryOrCommand,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": WIDEST},
    epilog=BELOW,
    help=ABOVE,
)
@click.version_option(package_name="tapscore", message="tapscore %(version)s")
@click.pass_context
def main(ctx: click.Context) -> None:
    """``tapscore``."""
    if ctx.invoked_subcommand is None:
        sys.exit(ctx.obj(None))
    if ctx.invoked_subcommand != "edit":  # the editor keeps what is typed by itself
        _end_as_by_key(ctx)


def _end_as_by_key(ctx: click.Context) -> None:
    """Have a command that is told to end, or whose terminal is closed, tidy up as by Ctrl+C.

    What was told to pass such a signal over (``nohup``) goes on doing so.
    """
    for name in ("SIGTERM", "SIGHUP"):  # the second is unknown to Windows
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, signal.default_int_handler)
            ctx.call_on_close(partial(signal.signal, number, signal.SIG_DFL))


@click.command(hidden=True, help=say("Open the editor on the story FILE."))
@click.argument("file", type=PATH)
@click.pass_obj
def edit(open_editor: Callable[[Path | None], int], file: Path) -> None:
    """``tapscore edit``."""
    sys.exit(open_editor(file))
