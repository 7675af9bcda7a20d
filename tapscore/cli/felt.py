"""The command ``tapscore felt``."""

import sys
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from pathlib import Path
from string import ascii_uppercase

import click

from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.disc.reasons import reason
from tapscore.model.board import Board
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.wording.catalogue import say
from tapscore.workflow.names import slug
from tapscore.workflow.open_story import OpenedStory, open_story
from tapscore.workflow.whole_files import MadeFiles

Kind = tuple[Stroke, Fraction]


def run_felt(file: Path, folder: Path) -> int:
    """Make a map for each place and stroke, and a table of all spots, in ``folder``.

    0 if all was made, 1 if there is something to mend first, 2 if the story can't be read.
    """
    from tapscore.board.facade import places_on

    opened = open_story(file, felt=True)
    story = opened.story
    if story is None or opened.must_mend:
        show_findings(opened, err=True)
        return 2 if story is None else 1
    board = story.board
    if board is None or not places_on(board):
        click.echo(
            say(
                "Nothing was made: no pupil's place is on the board. Write under `board:` for "
                "example `places: {A: {at: [45, 50]}}`."
            ),
            err=True,
        )
        return 1
    kinds = strokes_of(story)
    try:
        failed = _write(story, board, kinds, folder)
    except OSError as error:
        click.echo(
            say(
                "{folder} can't be used: {reason}. Choose another.",
                folder=folder,
                reason=reason(error),
            ),
            err=True,
        )
        return 1
    if not failed:
        _show_found(opened)
    return failed


def _show_found(opened: OpenedStory) -> None:
    """Print what the model finds in the story's lines; warnings about the board were given."""
    from tapscore.checks.all_rules import FELT_LINE_RULES

    codes = {each.id for each in FELT_LINE_RULES}
    for finding in opened.findings:
        if finding.code in codes:
            click.echo(f"{finding.severity.words} [{finding.code}]")
            click.echo(f"    {finding.message}\n    {finding.remedy}")


def strokes_of(story: Story) -> tuple[Kind, ...]:
    """Strokes of a story, each with every loudness (whole steps) it is used with."""
    from tapscore.rhythm.perform import perform

    used = Counter(
        (tap.stroke, Fraction(int(tap.loudness)))
        for segment in perform(story).segments
        for tap in segment.taps
    )
    order = list(Stroke)
    found = sorted(used, key=lambda kind: (order.index(kind[0]), kind[1]))
    return tuple(found) or ((Stroke.FINGERTIPS, Fraction(2)),)


def _files(story: Story, board: Board, kinds: tuple[Kind, ...]) -> Iterator[tuple[str, bytes]]:
    """Names and contents, one picture for each place and stroke at its middle loudness."""
    from tapscore.board.facade import places_on
    from tapscore.exports.felt_map import felt_map_png, felt_table

    name = slug(story.title)
    yield f"{name}-felt.csv", felt_table(board, kinds).encode("utf-8-sig")
    for stroke in dict.fromkeys(stroke for stroke, _ in kinds):
        levels = [level for other, level in kinds if other is stroke]
        for place in places_on(board):
            level = levels[len(levels) // 2]
            picture = felt_map_png(board, stroke, level, place.name, title=story.title)
            if picture is not None:
                letter = place.name if place.name in ascii_uppercase else slug(place.name, "place")
                yield f"{name}-felt-{letter}-{slug(stroke.word)}.png", picture


def _fill(data: bytes, path: Path) -> None:
    path.write_bytes(data)


def _write(story: Story, board: Board, kinds: tuple[Kind, ...], folder: Path) -> int:
    from tapscore.board.facade import board_facts
    from tapscore.board.words import MODEL_SENTENCE
    from tapscore.exports.felt_map import NO_CLAIM_SENTENCE, map_warnings

    folder.mkdir(parents=True, exist_ok=True)
    made = MadeFiles(folder)
    files = [(folder / name, content) for name, content in _files(story, board, kinds)]
    in_the_way = next((path for path, _ in files if not made.may_replace(path)), None)
    if in_the_way is not None:
        click.echo(
            say(
                "{path} was not made by tapscore, or was changed since. Nothing was made. Choose "
                "another folder or move the file away.",
                path=in_the_way,
            ),
            err=True,
        )
        return 1
    for path, content in files:
        made.make(path, partial(_fill, content))
        click.echo(say("made {path}", path=path))
    for warning in map_warnings(board_facts(board)):
        click.echo(warning)
    click.echo(f"{MODEL_SENTENCE} {NO_CLAIM_SENTENCE}")
    return 0


@click.command(
    "felt",
    help=say("Draw what each place is likely to feel of taps on the board, by a model, in DIR."),
)
@click.argument("file", type=PATH)
@click.option("--out", "folder", type=PATH, required=True, metavar="DIR")
def command(file: Path, folder: Path) -> None:
    """``tapscore felt``."""
    sys.exit(run_felt(file, folder))
