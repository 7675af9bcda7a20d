"""The commands by their names; each is in a module that is read when it is called."""

import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import click

from tapscore.cli.options import STORY
from tapscore.wording.catalogue import say

COMMANDS = {
    "adapt": say(
        "Make OUT, a gentler, livelier or short copy of the story FILE, and list what changed."
    ),
    "check": say("Say what to look at again in the story FILE."),
    "class-record": say("Keep what was seen of pupils, encrypted and apart from stories."),
    "day": say("Say what today's staff leave undone in the story FILE, and how to share it."),
    "earlier": say(
        "List the states of the story FILE that were saved before, and take back from them."
    ),
    "export": say("Make cards, cue sheet, sound and more from the story FILE in the folder DIR."),
    "felt": say("Draw what each place is likely to feel of taps on the board, by a model, in DIR."),
    "fit": say("Show how the words of the story FILE fall on the beats."),
    "heard": say(
        "Say where a rehearsal of the story FILE, recorded by a phone, differs from the writing."
    ),
    "help": say("Explain a TOPIC: lane, story, board, cautions, or a command."),
    "new": say("Make a new story FILE from plain words, or from a story starter with gaps."),
    "next-year": say("Make OUT, a copy of the story FILE for next year."),
    "open-pack": say("Say what is in PACK; with --out, open it into a new folder in DIR."),
    "pack": say(
        "Make PACK, one file with the story FILE, its pictures and papers, for another school."
    ),
    "recordings": say("List the lines of the story FILE and the recordings of them beside it."),
    "rules": say("List the checks, or explain the one called ID."),
    "stories": say("List the stories in FOLDER, and what about them is out of date."),
    "timing": say("Say how long the story FILE lasts, at least and likely, part by part."),
}
"""Each command's first sentence.  They stand here, too, since reading all commands' modules
for a list of them takes five times as long; a test compares."""

_ELSEWHERE = {
    "class-record": ("records", "class_record"),
    "open-pack": ("packs", "open_pack_command"),
    "pack": ("packs", "pack_command"),
}


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
        return command

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
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog=say("Without a command, tapscore opens the editor; with a FILE, it opens that story."),
    help=say("Write, check, print and rehearse stories that adults tap out on a resonance board."),
)
@click.version_option(package_name="tapscore", message="tapscore %(version)s")
@click.pass_context
def main(ctx: click.Context) -> None:
    """``tapscore``."""
    if ctx.invoked_subcommand is None:
        sys.exit(ctx.obj(None))


@click.command(hidden=True, help=say("Open the editor on the story FILE."))
@click.argument("file", type=STORY)
@click.pass_obj
def edit(open_editor: Callable[[Path | None], int], file: Path) -> None:
    """``tapscore edit``."""
    sys.exit(open_editor(file))
