"""The command ``tapscore adapt``."""

import sys
from pathlib import Path

import click

from tapscore.cli.options import PATH, TAPPED
from tapscore.cli.show import is_saved, show_findings
from tapscore.model.fewer_taps import Tapped
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.workflow.adapt import BOUNDS, CopyWay, adapt
from tapscore.workflow.open_story import open_story


def the_way(**wanted: bool) -> CopyWay:
    """The one way that is asked for."""
    ways = [CopyWay(name) for name, asked in wanted.items() if asked]
    if len(ways) != 1:
        raise click.UsageError(say("Say one of --gentler, --livelier or --short."))
    return ways[0]


def run_adapt(file: Path, out: Path, way: CopyWay, tapped: str | None = None) -> int:
    """Write an adapted copy of a story and list its changes; ``tapped`` thins a gentler one.

    Gives 0; 1 if the story must be mended first or ``out`` stands in the way; 2 if the story
    can't be read.
    """
    if tapped is not None and way is not CopyWay.GENTLER:
        raise click.UsageError(
            say("--tapped goes with --gentler; for the story itself: tapscore fit.")
        )
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo(say("Nothing was made: mend the story first."), err=True)
        return 2 if opened.story is None else 1
    if out.exists():
        click.echo(say("{out} is already there. Choose another name.", out=out), err=True)
        return 1
    adapted = adapt(opened.story, way, Tapped(tapped) if tapped else None)
    if not is_saved(out, write_story(adapted.story), adapted.story):
        return 1
    click.echo(f"{say('made {out}', out=out)}\n\n{BOUNDS[way]}\n\n{say('Changed:')}")
    for said in adapted.said:
        click.echo(f"  {said}")
    click.echo("\n" + say("Next: tapscore check {out}", out=out))
    return 0


@click.command(
    "adapt",
    help=say(
        "Make OUT, a gentler, livelier or short copy of the story FILE, and list what changed."
    ),
)
@click.argument("file", type=PATH)
@click.argument("out", type=PATH)
@click.option("--gentler", is_flag=True, help=say("Quieter, slower, fewer taps between beats."))
@click.option("--livelier", is_flag=True, help=say("Louder, faster, more syllables tapped."))
@click.option("--short", is_flag=True, help=say("Start, refrain, one section, and finish."))
@click.option(
    "--tapped",
    type=TAPPED,
    help=say(
        "With --gentler: tap every syllable, felt beats, or strong beats alone; all words stay."
    ),
)
def command(
    file: Path, out: Path, gentler: bool, livelier: bool, short: bool, tapped: str | None
) -> None:
    """``tapscore adapt``."""
    way = the_way(gentler=gentler, livelier=livelier, short=short)
    sys.exit(run_adapt(file, out, way, tapped))
