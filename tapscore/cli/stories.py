"""The command ``tapscore stories``."""

import sys
import threading
from functools import partial
from itertools import takewhile
from pathlib import Path
from queue import Empty, SimpleQueue

import click

from tapscore.cli.options import PATH
from tapscore.cli.terminal import as_json
from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date
from tapscore.workflow.belongings import archive
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.my_stories import StoryList, stories_in

PATIENCE_SEC = 60.0
"""A drive that gives no answer for so long is given up."""
NEWS_SEC = 0.1


def run_stories(folder: Path, sought: str, form: str) -> int:
    """List the stories of a folder; 0 if there is a list, 2 if the folder can't be looked into.

    The newest are shown while the lengths of others are still worked out.
    """
    news: SimpleQueue[tuple[StoryList, bool]] = SimpleQueue()
    threading.Thread(target=partial(_look, folder, news), daemon=True).start()
    told: list[KnownStory] = []
    whole = False
    while not whole:
        try:
            found, whole = news.get(timeout=PATIENCE_SEC)
        except Empty:
            click.echo(
                say(
                    "{folder} gives no answer. Is its drive there? Try again later.", folder=folder
                ),
                err=True,
            )
            return 2
        if form == "text" or whole:
            shown = {each.path for each in told}
            ready = found.stories if whole else takewhile(lambda each: each.known, found.stories)
            new = [each for each in ready if each.path not in shown and each.has(sought)]
            told += new
            if form == "text":
                for each in new:
                    _show(folder, each)
    if form == "json":
        click.echo(as_json([_data(each) for each in told]))
    if found.problem:
        click.echo(found.problem, err=True)
        return 0 if found.stories else 2
    if not told:
        nothing = (
            say(
                "There is no story with “{sought}” in it in {folder}.", sought=sought, folder=folder
            )
            if sought.strip()
            else say("There is no story in {folder}.", folder=folder)
        )
        click.echo(nothing, err=form == "json")
    return 0


def _look(folder: Path, news: "SimpleQueue[tuple[StoryList, bool]]") -> None:
    found = stories_in(folder, so_far=lambda each: news.put((each, False)), every_sec=NEWS_SEC)
    news.put((found, True))


def run_archive(file: Path) -> int:
    """Put a story away in the folder ``Archive`` beside it; 0, or 2 if it can't be moved."""
    from tapscore.workflow.open_story import open_story

    try:
        there = archive(file, open_story(file).story)
    except OSError as error:
        click.echo(
            say(
                "{file} was not moved: {reason}. Look at the name and the folder.",
                file=file,
                reason=reason(error),
            ),
            err=True,
        )
        return 2
    click.echo(say("put away: {there}", there=there))
    return 0


def _show(folder: Path, story: KnownStory) -> None:
    try:
        name = story.path.relative_to(folder)
    except ValueError:
        name = story.path
    about = [story.metre, story.length_words, story.term, story.class_name]
    click.echo(f"{story.title}  ({name})")
    saved = say("saved {when}", when=long_date(story.changed))
    click.echo(f"    {'; '.join(each for each in (*about, saved) if each)}")
    for sentence in story.out_of_date:
        click.echo(f"    {sentence}")
    if story.twin:
        click.echo("    " + say("Another story here has the same title."))


def _data(story: KnownStory) -> dict[str, object]:
    return {
        "file": str(story.path),
        "title": story.title,
        "metre": story.metre,
        "term": story.term,
        "class": story.class_name,
        "saved": story.changed.isoformat(),
        "likely_sec": list(story.likely_sec) if story.likely_sec else None,
        "out of date": list(story.out_of_date),
        "same title": story.twin,
    }


@click.command(
    "stories",
    help=say(
        "List the stories in FOLDER, and what about them is out of date.\n\n"
        "--archive moves FILE, with its recordings and day, into the folder Archive beside "
        "it."
    ),
)
@click.argument("folder", type=PATH, default=".")
@click.option(
    "--find", "sought", default="", metavar="WORDS", help=say("Only those with these words.")
)
@click.option(
    "--archive", "put_away", type=PATH, metavar="FILE", help=say("Put the story FILE away.")
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def command(folder: Path, sought: str, put_away: Path | None, form: str) -> None:
    """``tapscore stories``."""
    sys.exit(run_stories(folder, sought, form) if put_away is None else run_archive(put_away))
