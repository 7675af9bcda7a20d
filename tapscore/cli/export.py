"""The command ``tapscore export``."""

import sys
from pathlib import Path

import click
from attrs import evolve

from tapscore.cli.show import show_findings
from tapscore.model.finding import Finding
from tapscore.workflow.export_story import Exported, export_story
from tapscore.workflow.open_story import open_story
from tapscore.workflow.printed import note_printed
from tapscore.workflow.products import EXPORT_NAMES, Choices
from tapscore.workflow.sound_products import recordings_beside
from tapscore.workflow.translations import trouble_with_language


def run_export(file: Path, folder: Path, only: str | None, choices: Choices, replace: bool) -> int:
    """Export a story and say what was made; 0 if all was, else 1, or 2 if it can't be read."""
    names = tuple(name.strip() for name in only.split(",") if name.strip()) if only else ()
    unknown = [name for name in names if name not in EXPORT_NAMES]
    if unknown:
        from tapscore.storyfile.near import did_you_mean

        raise click.UsageError(
            f"There is no export “{unknown[0]}”.{did_you_mean(unknown[0], EXPORT_NAMES)} "
            f"There are: {', '.join(EXPORT_NAMES)}."
        )
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo("Nothing was made: mend the story first.", err=True)
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
    if any(made.path.suffix == ".pdf" for made in exported.made):
        note_printed(file, opened.story)
    return 1 if exported.failures else 0


class _Progress:
    """A line for each file on a terminal, silent elsewhere."""

    def __init__(self) -> None:
        self._terminal = sys.stderr.isatty()

    def __call__(self, name: str, share: float) -> None:
        if self._terminal:
            end = "\n" if share >= 1 else ""
            click.echo(f"\r  {name}  {share:4.0%}{end}", nl=False, err=True)


def _show(exported: Exported) -> None:
    told: set[Finding] = set()
    for finding in exported.findings:
        click.echo(f"{finding.message} {finding.remedy}", err=True)
    for made in exported.made:
        click.echo(f"made {made.path}")
        for finding in made.findings:
            if finding not in told:
                told.add(finding)
                click.echo(f"    {finding.message} {finding.remedy}", err=True)
    for failure in exported.failures:
        click.echo(failure, err=True)
