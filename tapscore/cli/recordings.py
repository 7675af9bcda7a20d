"""The command ``tapscore recordings``."""

import sys
from pathlib import Path

import click

from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.disc.reasons import reason
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.wording.catalogue import say
from tapscore.workflow.neural_voice import read_out
from tapscore.workflow.open_story import open_story
from tapscore.workflow.recording_lines import LineToRecord, bring_in, lines_to_record
from tapscore.workflow.recordings_beside import recordings_folder


def run_recordings(
    file: Path, brought: tuple[tuple[str, Path], ...], voice: Path | None = None
) -> int:
    """Bring files in, have the rest read out if asked, then list every line.

    Gives 0 if all went well, 1 if not, 2 if the story can't be read.
    """
    opened = open_story(file)
    if opened.story is None:
        show_findings(opened, err=True)
        return 2
    folder = recordings_folder(file)
    failed = False
    for name, source in brought:
        problem = _bring(name, source, lines_to_record(opened.story, folder), folder)
        failed = failed or bool(problem)
        if problem:
            click.echo(problem, err=True)
    if voice is not None:
        found = read_out(folder, lines_to_record(opened.story, folder), voice)
        failed = failed or bool(found.problem)
        click.echo(
            found.problem or say("{count:1 line was|# lines were} read out.", count=found.count),
            err=bool(found.problem),
        )
    lines = lines_to_record(opened.story, folder)
    width = max((len(line.name) for line in lines), default=0)
    for line in lines:
        state = line.file.name if line.file else say("not yet")
        if line.file is None and line.other_words is not None:
            state = say("recorded for other words: {other_words}", other_words=line.other_words)
        click.echo(f"{line.name:{width}}  {line.words}  ({state})")
    missing = sum(line.file is None for line in lines)
    click.echo(
        say(
            "{missing} of {count} lines are not recorded in “{folder}”.",
            missing=missing,
            count=len(lines),
            folder=folder.name,
        )
    )
    return int(failed)


def _bring(name: str, source: Path, lines: tuple[LineToRecord, ...], folder: Path) -> str:
    wanted = name.lstrip("0").casefold()
    line = next((each for each in lines if each.name.lstrip("0").casefold() == wanted), None)
    if line is None:
        return say("There is no line called “{name}”. The names are in the list.", name=name)
    try:
        path, remarks = bring_in(folder, line, source)
    except RecordingUnusable as error:
        return str(error)
    except OSError as error:
        return say(
            "{source} can't be brought in: {reason}. Make room, or look at the folder.",
            source=source.name,
            reason=reason(error),
        )
    click.echo(
        " ".join(
            [
                say(
                    "{source} is {folder}/{path} now.",
                    source=source.name,
                    folder=folder.name,
                    path=path.name,
                ),
                *remarks,
            ]
        )
    )
    return ""


@click.command(
    "recordings", help=say("List the lines of the story FILE and the recordings of them beside it.")
)
@click.argument("file", type=PATH)
@click.option(
    "--bring",
    "brought",
    type=(str, PATH),
    multiple=True,
    metavar="LINE SOUND",
    help=say("Copy the file SOUND as the recording of LINE (a name from the list)."),
)
@click.option(
    "--read-out",
    "voice",
    type=PATH,
    metavar="VOICE",
    help=say("Have lines without a recording read out by a neural voice, a file NAME.onnx."),
)
def command(file: Path, brought: tuple[tuple[str, Path], ...], voice: Path | None) -> None:
    """``tapscore recordings``."""
    sys.exit(run_recordings(file, brought, voice))
