"""The command ``tapscore fit``."""

from pathlib import Path

import click
from attrs import evolve

from tapscore.cli.show import show_findings
from tapscore.model.lane import Lane
from tapscore.model.story import Line
from tapscore.storyfile.write import write_story
from tapscore.workflow.fit_report import LineFit, Way, line_fits, with_rhythms
from tapscore.workflow.keeping.save_story import NotSavedError, save_story
from tapscore.workflow.open_story import open_story
from tapscore.workflow.tapping_in import TappedLane, lanes_from_taps, read_tap_times


def run_fit(
    file: Path,
    name: str | None,
    alternatives: bool,
    use: int | None,
    write: bool,
    taps: Path | None,
) -> int:
    """Show fits, or write them; 1 for a name that is not there, 2 for an unreadable story."""
    opened = open_story(file)
    story = opened.story
    if story is None:
        show_findings(opened, err=True)
        return 2
    fits = line_fits(story)
    if name is not None:
        fits = tuple(fit for fit in fits if fit.name == name)
        if not fits:
            names = ", ".join(fit.name for fit in line_fits(story))
            click.echo(f"There is no line {name}. There are: {names}.", err=True)
            return 1
    if (use is not None or taps is not None) and name is None:
        click.echo("Say for which line with --line N.", err=True)
        return 1
    if taps is not None:
        try:
            fits = (_tapped(fits[0], read_tap_times(taps)),)
        except (OSError, ValueError) as error:
            click.echo(f"{taps} can't be used: {error}", err=True)
            return 2
        if not fits[0].ways:
            click.echo("Two taps at least, and a line with words, are needed.", err=True)
            return 1
    if use is not None and not 1 <= use <= len(fits[0].ways):
        click.echo(f"Line {name} has ways 1 to {len(fits[0].ways)}.", err=True)
        return 1
    if use is not None or write:
        way = (use or 1) - 1
        changed_story, changed = with_rhythms(story, fits, way, over_taps=use is not None)
        try:
            text = write_story(changed_story)
            if changed:
                save_story(file, text, changed_story)
        except (OSError, NotSavedError) as error:
            reason = getattr(error, "strerror", None) or error
            click.echo(f"{file} can't be written: {reason}.", err=True)
            return 1
        click.echo(f"Changed: line {', '.join(changed)}." if changed else "Nothing to change.")
        return 0
    for fit in fits:
        _show(fit, alternatives or taps is not None)
    return 0


def _tapped(fit: LineFit, taps_sec: tuple[float, ...]) -> LineFit:
    """The fit with the ways in which the taps can be read."""
    ways = tuple(
        Way(found.lane, _tapped_sentence(found))
        for found in lanes_from_taps(fit.line.words, fit.metre, taps_sec)
    )
    return evolve(fit, ways=ways)


def _tapped_sentence(found: TappedLane) -> str:
    missed = f"; without a tap: {', '.join(found.missed)}" if found.missed else ""
    extra = f"; {found.extra} taps left out" if found.extra else ""
    return f"{found.pace}, {found.tempo} beats a minute{missed}{extra}"


def _show(fit: LineFit, alternatives: bool) -> None:
    click.echo(f"{fit.name}  {fit.metre}  " + ("as written" if fit.written else "no rhythm yet"))
    first = fit.written or (fit.ways[0] if fit.ways else None)
    if first is None:
        click.echo(f"    {fit.line.words or '(no words)'}\n")
        return
    _show_way(fit.line, first)
    if alternatives:
        for number, way in enumerate(fit.ways, 1):
            same = " (as it is)" if fit.written and way.lane == fit.written.lane else ""
            click.echo(f"  way {number}{same}")
            _show_way(fit.line, way)
    click.echo()


def _show_way(line: Line, way: Way) -> None:
    words, marks = _aligned(line, way.lane)
    click.echo(f"    {words}\n    {marks}\n    {way.sentence}")


def _aligned(line: Line, lane: Lane) -> tuple[str, str]:
    """Words above marks, each syllable over its own."""
    syllables = list(line.syllables)
    words, marks = "", ""
    said = 0
    for number, bar in enumerate(lane.all_bars):
        if number or not lane.pickup:
            words, marks = words + "  ", marks + "| "
        for step in bar:
            text = ""
            for cell in step:
                if cell.mark.said and said < len(syllables):
                    syllable = syllables[said]
                    text += syllable.text + (" " if syllable.ends_word else "-")
                    said += 1
            text = text.rstrip()
            mark = "".join(
                cell.mark.value.upper() if cell.accent else cell.mark.value for cell in step
            )
            width = max(len(text), len(mark)) + 1
            words, marks = words + text.ljust(width), marks + mark.ljust(width)
    return words.rstrip(), marks.rstrip()
