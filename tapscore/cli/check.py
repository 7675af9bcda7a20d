"""The command ``tapscore check``."""

import sys
from pathlib import Path

import click

from tapscore.cli.at_once import exit_code
from tapscore.cli.options import PATH
from tapscore.cli.show import show_accepted, show_findings
from tapscore.wording.catalogue import say
from tapscore.workflow.open_story import open_story


@click.command(
    "check",
    help=say(
        "Say what to look at again in the story FILE.\n\n"
        "Exit code 0: nothing that must be mended; 1: something must; 2: FILE can't be read."
    ),
)
@click.argument("file", type=PATH)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@click.option("--accepted", is_flag=True, help=say("List what is accepted, too, with its reasons."))
@click.option("--felt", is_flag=True, help=say("Look at what the board's model finds, too."))
@click.option("--full", is_flag=True, help=say("All of that, and a second opinion on the metre."))
@click.option(
    "--day", type=PATH, metavar="DAY", help=say("Look at who is here, in a day file, too.")
)
def command(
    file: Path, form: str, accepted: bool, felt: bool, full: bool, day: Path | None
) -> None:
    """``tapscore check``."""
    opened = open_story(file, felt=felt or full, full=full)
    if day is not None and opened.story is not None:
        from tapscore.workflow.today.check_day import with_day

        opened = with_day(opened, day)
    show_findings(opened, form)
    if accepted and form == "text":
        show_accepted(opened)
    sys.exit(exit_code(opened))
