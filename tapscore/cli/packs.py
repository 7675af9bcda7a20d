"""The commands ``tapscore pack`` and ``tapscore open-pack``."""

import sys
import zlib
from pathlib import Path

import click

from tapscore.cli.next_year import numbers, show_copy
from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say
from tapscore.workflow.belongings import belongings
from tapscore.workflow.next_year import copy_text
from tapscore.workflow.open_story import open_story
from tapscore.workflow.pack_opened import look_into, open_pack
from tapscore.workflow.swap_pack import PackError, for_others, make_pack


def run_pack(file: Path, out: Path, keep: str, *, recordings: bool) -> int:
    """Make a pack; 0 if it is made, 1 if something stands in the way, 2 if unreadable."""
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo(say("No pack was made: mend the story first."), err=True)
        return 2 if opened.story is None else 1
    if out.exists():
        click.echo(say("{out} is already there. Choose another name.", out=out), err=True)
        return 1
    copy = for_others(opened.source, opened.story)
    show_copy(copy, file)
    stays = numbers(keep, len(copy.traces))
    stuck = [at for at, each in enumerate(copy.traces, 1) if not each.can_go and at not in stays]
    if stuck:
        said = ", ".join(map(str, stuck))
        click.echo(
            say(
                "Nothing was made yet: look at {said}; write them otherwise, or give "
                "--keep {said}.",
                said=said,
            ),
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
        click.echo(
            say(
                "{out} was not made: {reason}. Choose another folder.",
                out=out,
                reason=reason(error),
            ),
            err=True,
        )
        return 1
    click.echo(
        say("made {out}: what was listed with a number and not kept is left out of it", out=out)
    )
    return 0


def run_open_pack(pack: Path, folder: Path | None) -> int:
    """Say what is in a pack, and with a folder open it there; 0, or 2 if it must not be."""
    try:
        contents = look_into(pack)
        click.echo(
            say(
                "“{title}”, {count:1 file|# files}:",
                title=contents.title,
                count=len(contents.files),
            )
        )
        for each in contents.files:
            click.echo(
                f"  {each.name}  ({say('{size} kB', size=f'{max(each.size // 1000, 1):,}')})"
            )
        if folder is None:
            click.echo(say("Nothing was written: give --out DIR to open it there."))
            return 0
        click.echo(say("opened: {folder}", folder=open_pack(contents, folder)))
    except PackError as error:
        click.echo(str(error), err=True)
        return 2
    except (OSError, zlib.error) as error:
        said = say(
            "{pack} was not opened: {why}. Look at the name, the folder, the drive.",
            pack=pack,
            why=reason(error),
        )
        click.echo(said, err=True)
        return 2
    return 0


@click.command(
    "pack",
    help=say(
        "Make PACK, one file with the story FILE, its pictures and papers, for another "
        "school.\n\n"
        "Notes, class, term, day and observation slips are not in it; texts that may hold "
        "initials or a date are listed, and left out unless they are kept."
    ),
)
@click.argument("file", type=PATH)
@click.argument("pack", type=PATH)
@click.option("--recordings", is_flag=True, help=say("With the recordings of lines."))
@click.option("--keep", default="", metavar="NUMBERS", help=say("These texts stay, or: all."))
def pack_command(file: Path, pack: Path, recordings: bool, keep: str) -> None:
    """``tapscore pack``."""
    sys.exit(run_pack(file, pack, keep, recordings=recordings))


@click.command(
    "open-pack", help=say("Say what is in PACK; with --out, open it into a new folder in DIR.")
)
@click.argument("pack", type=PATH)
@click.option("--out", "folder", type=PATH, metavar="DIR")
def open_pack_command(pack: Path, folder: Path | None) -> None:
    """``tapscore open-pack``."""
    sys.exit(run_open_pack(pack, folder))
