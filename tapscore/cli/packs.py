"""The commands ``tapscore pack`` and ``tapscore open-pack``."""

import sys
import zlib
from pathlib import Path

import click

from tapscore.cli.next_year import numbers, show_copy
from tapscore.cli.options import STORY
from tapscore.cli.show import show_findings
from tapscore.workflow.belongings import belongings
from tapscore.workflow.next_year import copy_text
from tapscore.workflow.open_story import open_story
from tapscore.workflow.swap_pack import PackError, for_others, look_into, make_pack, open_pack


def run_pack(file: Path, out: Path, keep: str, *, recordings: bool) -> int:
    """Make a pack; 0 if it is made, 1 if something stands in the way, 2 if unreadable."""
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo("No pack was made: mend the story first.", err=True)
        return 2 if opened.story is None else 1
    if out.exists():
        click.echo(f"{out} is already there. Choose another name.", err=True)
        return 1
    copy = for_others(opened.source, opened.story)
    show_copy(copy, file)
    stays = numbers(keep, len(copy.traces))
    stuck = [at for at, each in enumerate(copy.traces, 1) if not each.can_go and at not in stays]
    if stuck:
        said = ", ".join(map(str, stuck))
        click.echo(
            f"Nothing was made yet: look at {said}; write them otherwise, or give --keep {said}.",
            err=True,
        )
        return 1
    left_out = [each for at, each in enumerate(copy.traces, 1) if at not in stays]
    has = belongings(file, opened.story)
    try:
        make_pack(
            out,
            copy_text(copy, left_out),
            beside=file.parent,
            recordings=has.recordings if recordings else None,
        )
    except PackError as error:
        click.echo(str(error), err=True)
        return 1
    except OSError as error:
        click.echo(f"{out} was not made: {error.strerror or error}.", err=True)
        return 1
    click.echo(f"made {out}: what was listed with a number and not kept is left out of it")
    return 0


def run_open_pack(pack: Path, folder: Path | None) -> int:
    """Say what is in a pack, and with a folder open it there; 0, or 2 if it must not be."""
    try:
        contents = look_into(pack)
        click.echo(f"“{contents.title}”, {len(contents.files)} files:")
        for each in contents.files:
            click.echo(f"  {each.name}  ({max(each.size // 1000, 1):,} kB)")
        if folder is None:
            click.echo("Nothing was written: give --out DIR to open it there.")
            return 0
        click.echo(f"opened: {open_pack(contents, folder)}")
    except PackError as error:
        click.echo(str(error), err=True)
        return 2
    except (OSError, zlib.error) as error:
        why = getattr(error, "strerror", None) or error
        click.echo(f"{pack} was not opened: {why}.", err=True)
        return 2
    return 0


@click.command("pack")
@click.argument("file", type=STORY)
@click.argument("pack", type=STORY)
@click.option("--recordings", is_flag=True, help="With the recordings of lines.")
@click.option("--keep", default="", metavar="NUMBERS", help="These texts stay, or: all.")
def pack_command(file: Path, pack: Path, recordings: bool, keep: str) -> None:
    """Make PACK, one file with the story FILE, its pictures and papers, for another school.

    Notes, class, term, day and observation slips are not in it; texts that may hold initials
    or a date are listed, and left out unless they are kept.
    """
    sys.exit(run_pack(file, pack, keep, recordings=recordings))


@click.command("open-pack")
@click.argument("pack", type=STORY)
@click.option("--out", "folder", type=click.Path(path_type=Path), metavar="DIR")
def open_pack_command(pack: Path, folder: Path | None) -> None:
    """Say what is in PACK; with --out, open it into a new folder in DIR."""
    sys.exit(run_open_pack(pack, folder))
