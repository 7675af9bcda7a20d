"""The command ``tapscore heard``."""

import sys
from pathlib import Path
from typing import Any

import click
from attrs import evolve

from tapscore.board.words import MODEL_SENTENCE
from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.cli.terminal import as_json
from tapscore.disc.reasons import reason
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.model.story import Story
from tapscore.model.wordings import seconds_of_clock
from tapscore.wording.catalogue import say
from tapscore.workflow.listening_back import (
    NO_PUPILS,
    Heard,
    Trim,
    changed_since,
    listen_back,
)
from tapscore.workflow.measuring import PhoneWish, phone_comparison
from tapscore.workflow.open_story import open_story
from tapscore.workflow.own_board import OwnBoard, keep_own_board, learn_own_board, own_detector
from tapscore.workflow.rehearsals import line_rows, report


def trim_of(begin: str | None, end: str | None) -> Trim:
    """The part between two times; raises click.UsageError for what is no time."""
    begin_sec = _seconds("--from", begin) or 0.0
    end_sec = _seconds("--to", end)
    if end_sec is not None and end_sec - begin_sec < 2:
        raise click.UsageError(say("--to lies after --from, by two seconds at least."))
    return Trim(begin_sec, end_sec)


def _seconds(option: str, text: str | None) -> float | None:
    if text is None:
        return None
    seconds = seconds_of_clock(text)
    if seconds is None:
        raise click.UsageError(
            say(
                "“{words}” is no time for {option}. Write 1:30, or seconds.",
                words=text,
                option=option,
            )
        )
    return seconds


def run_heard(
    file: Path,
    recordings: tuple[Path, ...],
    trim: Trim,
    form: str,
    out: Path | None,
    taps: Path | None,
) -> int:
    """Say where recorded rehearsals differ from a story.

    Gives 0 if it could be told, 1 if not or if the story must be mended first, 2 if a file can't
    be read.
    """
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        return 2 if opened.story is None else 1
    if form == "text":
        click.echo(NO_PUPILS, err=True)
    try:
        detector = own_detector() if taps is None else _learned(opened.story, taps).detector
    except RecordingUnusable as error:
        click.echo(str(error), err=True)
        return 2
    heard: list[Heard] = []
    for path in recordings:
        try:
            each = listen_back(opened.story, path, trim, detector=detector)
            changed = changed_since(file, path)
            heard.append(evolve(each, remarks=(*each.remarks, changed)) if changed else each)
        except RecordingUnusable as error:
            click.echo(str(error), err=True)
            return 2
    if form == "json":
        told = [_as_data(path, each) for path, each in zip(recordings, heard, strict=True)]
        click.echo(as_json({"file": str(file), "recordings": told}))
    else:
        click.echo(report(opened.story, heard), nl=False)
    if out is not None:
        from tapscore.disc.whole import write_whole_bytes

        try:
            write_whole_bytes(out, report(opened.story, heard).encode())
        except OSError as error:
            click.echo(
                say("{out} can't be written: {reason}.", out=out, reason=reason(error)),
                err=True,
            )
            return 2
    return 0 if all(each.can_tell for each in heard) else 1


def _learned(story: Story, taps: Path) -> OwnBoard:
    """The board as it sounds, and what a phone's readings say of its model."""
    own = learn_own_board(story, taps)
    keep_own_board(own)
    click.echo(say("What taps sound like on this board is kept as a few numbers."), err=True)
    if story.board is not None and story.board.places:
        found = phone_comparison(PhoneWish(story.board, story.board.places[0].name, own.readings))
        click.echo(f"{found.sentence} {MODEL_SENTENCE}", err=True)
    return own


def _as_data(path: Path, heard: Heard) -> dict[str, Any]:
    return {
        "recording": path.name,
        "can_tell": heard.can_tell,
        "remarks": [
            {"code": f.code, "message": f.message, "remedy": f.remedy} for f in heard.remarks
        ],
        "differences": [
            {
                "code": each.finding.code,
                "path": list(each.finding.path),
                "at": None if each.at_sec is None else round(_begin(heard) + each.at_sec, 2),
                "message": each.finding.message,
                "remedy": each.finding.remedy,
                "about": each.finding.about.as_plain(),
            }
            for each in heard.differences
        ],
        "lines": line_rows(heard),
    }


def _begin(heard: Heard) -> float:
    return heard.told.begin_sec if heard.told is not None else 0.0


@click.command(
    "heard",
    help=say(
        "Say where a rehearsal of the story FILE, recorded by a phone, differs from the "
        "writing.\n\n"
        "Adults alone: no pupil is recorded.  Of several RECORDINGs, the earliest first, "
        "what keeps happening is said first.  Exit code 0: it could be told; 1: it can't be "
        "told from a recording, or the story must be mended first; 2: a file can't be read."
    ),
)
@click.argument("file", type=PATH)
@click.argument("recordings", nargs=-1, required=True, type=PATH, metavar="RECORDING...")
@click.option("--from", "begin", metavar="TIME", help=say("Look at it from here on, such as 1:30."))
@click.option("--to", "end", metavar="TIME", help=say("Look at it up to here."))
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@click.option("--out", type=PATH, metavar="TEXT", help=say("Write a text without names as well."))
@click.option(
    "--board",
    "taps",
    type=PATH,
    metavar="TAPS",
    help=say(
        "A recording of your own board, each stroke tapped three times at each spot, to learn "
        "what its taps sound like (from then on) and to compare it with its model."
    ),
)
def command(
    file: Path,
    recordings: tuple[Path, ...],
    begin: str | None,
    end: str | None,
    form: str,
    out: Path | None,
    taps: Path | None,
) -> None:
    """``tapscore heard``."""
    sys.exit(run_heard(file, recordings, trim_of(begin, end), form, out, taps))
