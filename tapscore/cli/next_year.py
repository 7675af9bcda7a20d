"""The command ``tapscore next-year``."""

import sys
from pathlib import Path

import click

from tapscore.cli.options import PATH
from tapscore.cli.show import is_saved, show_findings
from tapscore.storyfile.read import read_text
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.workflow.belongings import belongings, bring_along
from tapscore.workflow.next_year import NextYear, Trace, copy_text, next_year
from tapscore.workflow.open_story import open_story

ALL = "all"


def run_next_year(file: Path, out: Path, leave_out: str, keep: str, *, recordings: bool) -> int:
    """Make the copy ``out``; 0 if it is made, 1 if there is something to decide or mend.

    2 if the story can't be read.
    """
    opened = open_story(file)
    if opened.story is None or opened.source.findings:
        show_findings(opened, err=True)
        click.echo(say("No copy was made: mend the story first."), err=True)
        return 2 if opened.story is None else 1
    if out.exists():
        click.echo(say("{out} is already there. Choose another name.", out=out), err=True)
        return 1
    copy = next_year(opened.source, opened.story)
    show_copy(copy, file, recordings=recordings)
    gone = numbers(leave_out, len(copy.traces))
    stays = numbers(keep, len(copy.traces))
    if leave_out.strip() == ALL:
        gone = {at for at, trace in enumerate(copy.traces, 1) if trace.can_go and at not in stays}
    open_ones = [at for at in range(1, len(copy.traces) + 1) if at not in gone | stays]
    if open_ones:
        said = ", ".join(map(str, open_ones))
        click.echo(
            say(
                "Nothing was made yet: say of {said} what to do, with --leave-out {said} "
                "or --keep {said}.",
                said=said,
            ),
            err=True,
        )
        return 1
    left_out = [trace for at, trace in enumerate(copy.traces, 1) if at in gone - stays]
    try:
        text = copy_text(copy, left_out)
    except ValueError as error:
        click.echo(say("Nothing was made: {reason}", reason=error), err=True)
        return 1
    if not is_saved(out, text):
        return 1
    click.echo(say("made {out}", out=out))
    made = read_text(text).story
    assert made is not None
    for said in bring_along(file, out, made, recordings=recordings):
        click.echo(said)
    return 0


def show_copy(copy: NextYear, file: Path, *, recordings: bool = False) -> None:
    """Say what is not in a copy, and number what is asked about."""
    if copy.gone:
        click.echo(say("Not in the copy:"))
    for where, what in copy.gone:
        click.echo(f"  {where}: {what}")
    has = belongings(file, None)
    if has.day is not None:
        click.echo(say("  Who is here: {day} stays with the old story", day=has.day.name))
    if has.recordings is not None and not recordings:
        click.echo(
            say(
                "  Recordings: {recordings}; --recordings takes them along",
                recordings=has.recordings.name,
            )
        )
    if copy.traces:
        click.echo(say("Look at these; they may hold initials or a date:"))
    for at, trace in enumerate(copy.traces, 1):
        click.echo(f"  {at}. {_trace(trace)}")


def _trace(trace: Trace) -> str:
    only = "" if trace.can_go else say(" (it can only be kept, or written otherwise afterwards)")
    return f"{trace.where}: {quoted(trace.text)}: {', '.join(trace.found)}{only}"


def numbers(text: str, most: int) -> set[int]:
    """The numbers somebody typed; raises UsageError for one there is none of."""
    if text.strip() == ALL:
        return set(range(1, most + 1))
    typed = {int(part) for part in text.replace(",", " ").split() if part.isdecimal()}
    wrong = [part for part in text.replace(",", " ").split() if not part.isdecimal()]
    beyond = sorted(number for number in typed if not 1 <= number <= most)
    if wrong or beyond:
        raise click.UsageError(
            say("“{words}” names nothing in the list: write its numbers, or all.", words=text)
        )
    return typed


@click.command(
    "next-year",
    help=say(
        "Make OUT, a copy of the story FILE for next year.\n\n"
        "Words, rhythm, board and props stay, and pictures come along into another folder. "
        "Own notes, accepted findings, term and day are left behind; texts that may hold "
        "initials or a date are listed, and each is asked about."
    ),
)
@click.argument("file", type=PATH)
@click.argument("out", type=PATH)
@click.option("--leave-out", default="", metavar="NUMBERS", help=say("These texts go, or: all."))
@click.option("--keep", default="", metavar="NUMBERS", help=say("These texts stay, or: all."))
@click.option("--recordings", is_flag=True, help=say("Recordings come along: ask those who speak."))
def command(file: Path, out: Path, leave_out: str, keep: str, *, recordings: bool) -> None:
    """``tapscore next-year``."""
    sys.exit(run_next_year(file, out, leave_out, keep, recordings=recordings))
