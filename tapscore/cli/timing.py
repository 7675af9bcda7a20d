"""The command ``tapscore timing``."""

import sys
from pathlib import Path

import click

from tapscore.cli.options import PATH
from tapscore.cli.show import show_findings
from tapscore.model.wordings import clock, clock_range
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import (
    ASSUMPTION,
    Share,
    length_words,
    running_time,
)
from tapscore.wording.catalogue import say
from tapscore.workflow.fit_time import FitPlan, plan_to_fill, plan_to_fit
from tapscore.workflow.open_story import open_story

_HEADS = (say("tapping"), say("refrains"), say("waits"), say("turns"), say("at least"))


def run_timing(file: Path, fit_minutes: float | None = None) -> int:
    """Print how long a story lasts, and what to change for it to fit so many minutes.

    Gives 0; 1 if the story must be mended first or can't be made to fit; 2 if it can't be read.
    """
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        return 2 if opened.story is None else 1
    story = opened.story
    performance = perform(story)
    time = running_time(performance)
    total = time.total
    width = max([len(say("Whole story")), *(len(share.title) for share in time.sections)])
    telling, in_all = length_words(story, performance)
    click.echo(f"{story.title}: {telling},\n{in_all}\n")
    click.echo(_row("", _HEADS, say("likely"), width))
    for share in time.sections:
        click.echo(_row(share.title, _times(share), clock_range(share.likely_sec), width))
    click.echo(_row(say("Whole story"), _times(total), clock_range(total.likely_sec), width))
    fixed = say(
        "Fixed by the tempo: {fixed}. Waits and turns last as long as the pupils need;\n"
        "the times here are the least.",
        fixed=clock(total.fixed_sec),
    )
    click.echo(f"\n{fixed} {_turns(story.pupil_count)}\n\n{_folded(ASSUMPTION)}")
    if fit_minutes is None:
        return 0
    plan = plan_to_fit(story, 60 * fit_minutes)
    _show_plan(plan, fit_minutes)
    if not plan.steps:
        _show_filling(plan_to_fill(story, 60 * fit_minutes), fit_minutes)
    return 0 if plan.fits else 1


def _show_filling(plan: FitPlan, minutes: float) -> None:
    if plan.steps:
        click.echo(say("To fill {minutes:g} minutes, if the pupils want it:", minutes=minutes))
    for step in plan.steps:
        click.echo(
            say(
                "  {what}: then likely {likely}",
                what=step.what,
                likely=clock_range(step.then.likely_sec),
            )
        )


def _show_plan(plan: FitPlan, minutes: float) -> None:
    if not plan.steps and plan.fits:
        click.echo("\n" + say("It likely fits {minutes:g} minutes as it is.", minutes=minutes))
        return
    if not plan.steps:
        click.echo(
            "\n"
            + say(
                "It likely does not fit {minutes:g} minutes, and nothing in it can be shortened. "
                "Tell it in two parts on two days, or make a short version with `tapscore adapt`.",
                minutes=minutes,
            )
        )
        return
    click.echo("\n" + say("To fit {minutes:g} minutes:", minutes=minutes))
    for step in plan.steps:
        click.echo(
            say(
                "  {what}: saves up to {saved}; then at least {least}, likely {likely}",
                what=step.what,
                saved=clock(step.saves_sec),
                least=clock(step.then.least_sec),
                likely=clock_range(step.then.likely_sec),
            )
        )
    if plan.fits:
        click.echo(say("Then it likely fits."))
    else:
        click.echo(
            say(
                "Even so it likely does not fit. Tell it in two parts on two days, or make a short "
                "version with `tapscore adapt`."
            )
        )


def _times(share: Share) -> tuple[str, ...]:
    return tuple(
        clock(seconds)
        for seconds in (
            share.tapping_sec,
            share.refrains_sec,
            share.waits_sec,
            share.turns_sec,
            share.least_sec,
        )
    )


def _row(title: str, cells: tuple[str, ...], likely: str, width: int) -> str:
    room = max(10, 2 + max(map(len, _HEADS)))
    return f"{title:{width}}" + "".join(f"{cell:>{room}}" for cell in cells) + f"   {likely}"


def _turns(pupils: int) -> str:
    return say("Turns are counted for {pupils:1 pupil|# pupils} (`pupils:`).", pupils=pupils)


def _folded(text: str) -> str:
    from textwrap import fill

    return fill(text, 88)


@click.command(
    "timing", help=say("Say how long the story FILE lasts, at least and likely, part by part.")
)
@click.argument("file", type=PATH)
@click.option(
    "--fit",
    type=click.FloatRange(0, 600, min_open=True),
    metavar="MINUTES",
    help=say("Say what to double, shorten or leave out for it to fit so many minutes."),
)
def command(file: Path, fit: float | None) -> None:
    """``tapscore timing``."""
    sys.exit(run_timing(file, fit))
