"""The command ``tapscore timing``."""

from pathlib import Path

import click

from tapscore.cli.show import show_findings
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import Share, clock, running_time
from tapscore.workflow.open_story import open_story


def run_timing(file: Path) -> int:
    """Print how long a story lasts at least; 1 if it must be mended first, 2 if unreadable."""
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        return 2 if opened.story is None else 1
    story = opened.story
    time = running_time(perform(story))
    width = max([len("Whole story"), *(len(share.title) for share in time.sections)])
    click.echo(f"{story.title}: at least {clock(time.total.least_sec)} (minutes:seconds)\n")
    click.echo(_row("", ("tapping", "refrains", "waits", "turns", "at least"), width))
    for share in time.sections:
        click.echo(_row(share.title, _times(share), width))
    click.echo(_row("Whole story", _times(time.total), width))
    click.echo(
        f"\nFixed by the tempo: {clock(time.total.fixed_sec)}. Waits and turns last as long as "
        f"the pupils need;\nthe times here are the least. {_turns(story.pupil_count)}"
    )
    return 0


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


def _row(title: str, cells: tuple[str, ...], width: int) -> str:
    return f"{title:{width}}" + "".join(f"{cell:>10}" for cell in cells)


def _turns(pupils: int) -> str:
    return f"Turns are counted for {pupils} pupil{'' if pupils == 1 else 's'} (`pupils:`)."
