"""The command ``tapscore earlier``."""

import sys
from pathlib import Path

import click

from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.disc.reading import text_of
from tapscore.disc.reasons import reason
from tapscore.storyfile.read import read_bytes
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.workflow.keeping.changes import story_changes, taken_back
from tapscore.workflow.keeping.save_story import NotSavedError, save_story
from tapscore.workflow.keeping.versions import Version, Versions
from tapscore.workflow.open_story import open_story


def run_earlier(
    file: Path, number: int | None, change: int | None, *, whole: bool, text: bool
) -> int:
    """List earlier versions, or show, or take one back.

    Gives 0; 1 where there is no such version or change, or the file can't be written; 2 where
    the story can't be read.
    """
    versions = Versions()
    states = versions.of(file)
    if not states and not file.is_file():
        show_findings(open_story(file), err=True)
        return 2
    if number is None:
        for each, version in enumerate(states, 1):
            click.echo(f"{each:2}  {say('saved {when}', when=version.when_words)}")
        click.echo(
            say("{count} kept in {place}", count=len(states), place=versions.place(file))
            if states
            else say("None are kept.")
        )
        return 0
    if not 1 <= number <= len(states):
        click.echo(
            say("There are versions 1 to {count}.", count=len(states))
            if states
            else say("None are kept."),
            err=True,
        )
        return 1
    version = states[number - 1]
    try:
        data = version.data()
    except OSError as error:
        click.echo(say("It can't be read: {reason}.", reason=reason(error)), err=True)
        return 1
    if text:
        click.echo(text_of(data, "replace"), nl=False)
        return 0
    if whole:
        return _take_whole(file, version, data)
    return _changes(file, version, data, change)


def _changes(file: Path, version: Version, data: bytes, number: int | None) -> int:
    opened, earlier = open_story(file), read_bytes(data).story
    if opened.story is None:
        show_findings(opened, err=True)
        click.echo(say("Take the whole of an earlier version with --whole."), err=True)
        return 2
    if earlier is None:
        click.echo(say("That version can't be read as a story; see it with --text."), err=True)
        return 1
    found = story_changes(earlier, opened.story)
    if number is None:
        click.echo(
            say("Otherwise than saved {when}:", when=version.when_words)
            if found
            else say("They say the same.")
        )
        for each, change in enumerate(found, 1):
            click.echo(f"{each:2}  {change.sentence}")
        return 0
    if not 1 <= number <= len(found):
        click.echo(
            say("There are changes 1 to {count}.", count=len(found))
            if found
            else say("They say the same."),
            err=True,
        )
        return 1
    story = taken_back(opened.story, found[number - 1])
    if story is None:
        click.echo(say("That can't be taken back alone; --whole takes the whole."), err=True)
        return 1
    try:
        save_story(file, write_story(story), story)
    except (OSError, NotSavedError) as error:
        return _not_written(file, error)
    click.echo(say("taken back: {sentence}", sentence=found[number - 1].sentence))
    return 0


def _take_whole(file: Path, version: Version, data: bytes) -> int:
    try:
        save_story(file, text_of(data, "replace"))
    except (OSError, NotSavedError) as error:
        return _not_written(file, error)
    click.echo(
        say(
            "{file} is as it was saved {when}. What it was until now is kept.",
            file=file,
            when=version.when_words,
        )
    )
    return 0


def _not_written(file: Path, error: Exception) -> int:
    click.echo(
        say(
            "{file} can't be written: {reason}.",
            file=file,
            reason=reason(error),
        ),
        err=True,
    )
    return 1


@click.command(
    "earlier",
    help=say(
        "List the states of the story FILE that were saved before, and take back from them.\n\n"
        "The last ten are kept, in your own folder for data; version 1 is the newest."
    ),
)
@click.argument("file", type=PATH)
@click.option(
    "--version", "number", type=int, metavar="N", help=say("What is otherwise than in N.")
)
@click.option(
    "--take", "change", type=int, metavar="K", help=say("Take back change K of that list.")
)
@click.option("--whole", is_flag=True, help=say("Take back the whole of --version N."))
@click.option("--text", is_flag=True, help=say("Print the whole of --version N."))
def command(file: Path, number: int | None, change: int | None, whole: bool, text: bool) -> None:
    """``tapscore earlier``."""
    if number is None and (change is not None or whole or text):
        raise click.UsageError(say("Say of which version, with --version N."))
    sys.exit(run_earlier(file, number, change, whole=whole, text=text))
