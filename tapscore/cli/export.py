"""The command ``tapscore export``."""

import sys
from pathlib import Path

import click
from attrs import evolve

from tapscore.cli.options import PATH, paper_options, part_language_option
from tapscore.cli.show import show_findings
from tapscore.cli.terminal import go_back
from tapscore.model.finding import Finding
from tapscore.model.loudness import parse_loudness
from tapscore.wording.catalogue import say
from tapscore.workflow.export_story import Exported, export_story
from tapscore.workflow.open_story import open_story
from tapscore.workflow.printed import note_printed
from tapscore.workflow.products import EXPORT_NAMES, Choices, Sound
from tapscore.workflow.recordings_beside import recordings_beside
from tapscore.workflow.translations import trouble_with_language


def run_export(file: Path, folder: Path, only: str | None, choices: Choices, replace: bool) -> int:
    """Export a story and say what was made; 0 if all was, else 1, or 2 if it can't be read."""
    names = tuple(name.strip() for name in only.split(",") if name.strip()) if only else ()
    unknown = [name for name in names if name not in EXPORT_NAMES]
    if unknown:
        from tapscore.storyfile.near import did_you_mean

        raise click.UsageError(
            say(
                "There is no export “{unknown}”.{guess} There are: {listed}.",
                unknown=unknown[0],
                guess=did_you_mean(unknown[0], EXPORT_NAMES),
                listed=", ".join(EXPORT_NAMES),
            )
        )
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo(say("Nothing was made: mend the story first."), err=True)
        return 2 if opened.story is None else 1
    for tag in (choices.part_language, choices.home_language):
        trouble = trouble_with_language(opened.story, tag)
        if trouble:
            raise click.UsageError(trouble)
    if choices.recordings is None:
        choices = evolve(choices, recordings=recordings_beside(file))
    choices = evolve(choices, beside=file.parent)
    exported = export_story(
        opened.story, folder, only=names, choices=choices, replace=replace, report=_Progress()
    )
    _show(exported)
    note_printed(file, opened.story, exported.papers)
    return 1 if exported.failures or (exported.left_out and not exported.made) else 0


class _Progress:
    """A line for each file on a terminal, silent elsewhere."""

    def __init__(self) -> None:
        self._terminal = sys.stderr.isatty()

    def __call__(self, name: str, share: float) -> None:
        if self._terminal:
            end = "\n" if share >= 1 else ""
            go_back()
            click.echo(f"  {name}  {share:4.0%}{end}", nl=False, err=True)


def _show(exported: Exported) -> None:
    told: set[Finding] = set()
    for finding in exported.findings:
        click.echo(f"{finding.message} {finding.remedy}", err=True)
    for made in exported.made:
        click.echo(say("made {path}", path=made.path))
        for finding in made.findings:
            if finding not in told:
                told.add(finding)
                click.echo(f"    {finding.message} {finding.remedy}", err=True)
    for sentence in exported.left_out:
        click.echo(sentence, err=True)
    for failure in exported.failures:
        click.echo(failure, err=True)


@click.command(
    "export",
    help=say("Make cards, cue sheet, sound and more from the story FILE in the folder DIR."),
)
@click.argument("file", type=PATH)
@click.option("--out", "folder", type=PATH, required=True, metavar="DIR")
@click.option(
    "--only",
    metavar="NAMES",
    help=say("Only these, with commas: {listed}.", listed=", ".join(EXPORT_NAMES)),
)
@paper_options
@click.option(
    "--backs", is_flag=True, help=say("Print a back for each card, for both sides of paper.")
)
@click.option(
    "--sound",
    type=click.Choice(["mp3", "m4a", "ogg", "flac", "wav"]),
    default="mp3",
    show_default=True,
)
@click.option("--mono", is_flag=True, help=say("Sound the same in both ears."))
@click.option("--short", is_flag=True, help=say("Turns last ten seconds in sound, not as written."))
@click.option(
    "--taps-at-most",
    type=click.Choice(["very quiet", "quiet", "medium", "loud"]),
    help=say("For the listener's comfort: louder taps are heard as loud as this."),
)
@part_language_option
@click.option(
    "--home-language", default="", metavar="TAG", help=say("The home version has its words alone.")
)
@click.option("--replace", is_flag=True, help=say("Replace files that tapscore did not make."))
def command(
    file: Path,
    folder: Path,
    only: str | None,
    paper: str,
    part_paper: str,
    other_paper: str,
    margin: float | None,
    distance: float,
    sheet: str,
    backs: bool,
    sound: Sound,
    mono: bool,
    short: bool,
    taps_at_most: str | None,
    part_language: str,
    home_language: str,
    replace: bool,
) -> None:
    """``tapscore export``."""
    choices = Choices(
        paper,
        distance,
        sound,
        int(sheet),
        backs,
        other_paper=other_paper,
        margin_mm=margin,
        mono=mono,
        short_turns=short,
        loudest_heard=parse_loudness(taps_at_most) if taps_at_most else None,
        part_paper=part_paper,
        part_language=part_language,
        home_language=home_language,
    )
    sys.exit(run_export(file, folder, only, choices, replace))
