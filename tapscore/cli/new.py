"""The command ``tapscore new``: from plain words, or from a story with gaps."""

import sys
from collections.abc import Mapping
from pathlib import Path

import click

from tapscore.cli.options import PATH, TAPPED, TAPPED_HELP
from tapscore.cli.show import is_saved
from tapscore.model.fewer_taps import Tapped
from tapscore.model.metre import SUPPORTED, parse_metre
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.plain_words import UnreadableWordsError
from tapscore.workflow.starters import UnusableFillError, starter, starter_text, starters


def run_new(file: Path, source: Path, metre: str | None = None, tapped: str | None = None) -> int:
    """Make ``file`` from the words in ``source``; 1 if it can't be written, 2 if unreadable."""
    if metre is not None and parse_metre(metre) is None:
        click.echo(
            say(
                "There is no metre “{metre}”. There are: {listed}.",
                metre=metre,
                listed=", ".join(SUPPORTED),
            ),
            err=True,
        )
        return 1
    if file.exists():
        click.echo(say("{file} is already there. Choose another name.", file=file), err=True)
        return 1
    try:
        wanted = parse_metre(metre) if metre is not None else None
        which = Tapped(tapped) if tapped is not None else None
        text = new_story_text(source, metre=wanted, tapped=which)
    except UnreadableWordsError as error:
        click.echo(str(error), err=True)
        return 2
    return _saved(file, text)


def run_starter(file: Path, name: str, fills: Mapping[str, str]) -> int:
    """Make ``file`` from the story starter ``name``; 1 if it can't be made."""
    if file.exists():
        click.echo(say("{file} is already there. Choose another name.", file=file), err=True)
        return 1
    chosen = starter(name)
    if chosen is None:
        click.echo(say("There is no story starter “{name}”. There are:", name=name), err=True)
        for each in starters():
            click.echo(f"  {each.name}: {quoted(each.title)}", err=True)
            for gap in each.gaps:
                usual = gap.usual.replace("-", "")
                click.echo(f"      {gap.name}: {gap.asks} ({usual})", err=True)
        return 1
    try:
        text = starter_text(chosen, fills)
    except UnusableFillError as error:
        click.echo(str(error), err=True)
        return 1
    made = _saved(file, text)
    if made == 0:
        for gap in chosen.gaps:
            if gap.name not in fills:
                click.echo(
                    say(
                        "still ours: {asks} Now “{usual}”.",
                        asks=gap.asks,
                        usual=gap.usual.replace("-", ""),
                    )
                )
    return made


def _saved(file: Path, text: str) -> int:
    if not is_saved(file, text):
        return 1
    click.echo(say("made {file}. Next: tapscore check {file}", file=file))
    return 0


@click.command(
    "new",
    help=say(
        "Make a new story FILE from plain words, or from a story starter with gaps.\n\n"
        "In plain words a blank line starts a new section."
    ),
)
@click.argument("file", type=PATH)
@click.option("--from", "source", type=PATH, metavar="TEXT", help=say("A file of plain words."))
@click.option(
    "--starter",
    metavar="NAME",
    help=say("A story with gaps: journey, hide-and-find, weather, meal or going-to-sleep."),
)
@click.option(
    "--fill",
    "fills",
    metavar="GAP=WORDS",
    multiple=True,
    help=say("Words for a gap of --starter, such as ride=train; each may be named once."),
)
@click.option("--metre", metavar="METRE", help=say("The metre of the whole story, such as 6/8."))
@click.option(
    "--tapped",
    type=TAPPED,
    help=TAPPED_HELP + " " + say("If not said, every one, and beats where that would be a buzz."),
)
def command(
    file: Path,
    source: Path | None,
    starter: str | None,
    fills: tuple[str, ...],
    metre: str | None,
    tapped: str | None,
) -> None:
    """``tapscore new``."""
    if (source is None) == (starter is None):
        raise click.UsageError(say("Say what to begin with: --from TEXT, or --starter NAME."))
    if starter is None and fills:
        raise click.UsageError(say("--fill goes with --starter."))
    if starter is not None and (metre or tapped):
        raise click.UsageError(
            say("--metre and --tapped go with --from; for a story that is there: tapscore fit.")
        )
    if starter is not None:
        pairs = [fill.partition("=") for fill in fills]
        if not all(equals for _, equals, _ in pairs):
            raise click.UsageError(
                say("Write a gap and its words with =, as in --fill ride=train.")
            )
        sys.exit(run_starter(file, starter, {name.strip(): words for name, _, words in pairs}))
    assert source is not None
    sys.exit(run_new(file, source, metre, tapped))
