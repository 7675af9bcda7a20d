"""The command ``tapscore fit``."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click
from attrs import evolve, frozen

from tapscore.cli.options import PATH, TAPPED, TAPPED_HELP
from tapscore.cli.show import show_findings
from tapscore.disc.reading import text_of
from tapscore.disc.reasons import reason
from tapscore.model.fewer_taps import Tapped
from tapscore.model.lane import Lane
from tapscore.model.metre import SUPPORTED, Metre, parse_metre
from tapscore.model.story import Line, Story
from tapscore.storyfile.near import did_you_mean
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.words.explain import NO_CHANGE
from tapscore.workflow.fit_report import FitWay, LineFit, line_fits, metre_advice, with_rhythms
from tapscore.workflow.fitting import rhythm_number
from tapscore.workflow.keeping.save_story import NotSavedError, save_story
from tapscore.workflow.open_story import open_story
from tapscore.workflow.refitting import with_metre
from tapscore.workflow.tapping_in import TappedLane, lanes_from_taps, read_tap_times
from tapscore.workflow.thinning import thinned


@frozen
class FitWish:
    """What is asked of the command."""

    line: str | None = None
    section: str | None = None
    alternatives: bool = False
    use: int | None = None
    write: bool = False
    taps: Path | None = None
    metre: str | None = None
    tapped: str | None = None


def run_fit(file: Path, wish: FitWish) -> int:
    """Show fits, or write them; 1 for what is not there, 2 for an unreadable story."""
    opened = open_story(file)
    story = opened.story
    if story is None:
        show_findings(opened, err=True)
        return 2
    try:
        fits = _chosen(story, wish)
        if wish.metre is not None:
            return _save(file, *_in_metre(story, wish))
        if wish.tapped is not None:
            paths = {fit.path for fit in fits}
            thinner, changed = thinned(story, Tapped(wish.tapped), paths.__contains__)
            return _save(file, thinner, [fit.name for fit in fits if fit.path in changed])
        if wish.use is not None or wish.write:
            over = wish.use is not None
            return _save(file, *with_rhythms(story, fits, (wish.use or 1) - 1, over_taps=over))
    except click.UsageError as error:
        click.echo(error.message, err=True)
        return 1
    except (OSError, ValueError) as error:
        said = say("{taps} can't be used: {reason}.", taps=wish.taps, reason=reason(error))
        click.echo(said, err=True)
        return 2
    for fit in fits:
        _show(fit, wish.alternatives or wish.taps is not None)
    if wish.line is None:
        for title, advice in metre_advice(story, always=wish.alternatives):
            if wish.section in (None, title):
                click.echo(f"{title}: {advice}")
    return 0


def _chosen(story: Story, wish: FitWish) -> tuple[LineFit, ...]:
    """The lines asked for; a UsageError says what is not there."""
    every = line_fits(story)
    fits = every
    if wish.section is not None:
        titles = [section.title for section in story.sections]
        if wish.section not in titles:
            listed = ", ".join(quoted(title) for title in titles)
            raise click.UsageError(
                say(
                    "There is no section “{section}”.{guess} There are: {listed}.",
                    section=wish.section,
                    guess=did_you_mean(wish.section, titles),
                    listed=listed,
                )
            )
        places = {at for at, title in enumerate(titles) if title == wish.section}
        fits = tuple(fit for fit in fits if fit.path[0] == "story" and fit.path[1] in places)
    if wish.line is not None:
        fits = tuple(fit for fit in fits if fit.name == wish.line)
        if not fits:
            names = ", ".join(fit.name for fit in every)
            raise click.UsageError(
                say("There is no line {line}. There are: {names}.", line=wish.line, names=names)
            )
    if (wish.use is not None or wish.taps is not None) and wish.line is None:
        raise click.UsageError(say("Say for which line with --line N."))
    if wish.taps is not None:
        fits = (_tapped(fits[0], read_tap_times(wish.taps)),)
        if not fits[0].ways:
            raise click.UsageError(say("Two taps at least, and a line with words, are needed."))
    if wish.use is not None and not 1 <= wish.use <= len(fits[0].ways):
        raise click.UsageError(
            say("Line {line} has ways 1 to {count}.", line=wish.line, count=len(fits[0].ways))
        )
    return fits


def _in_metre(story: Story, wish: FitWish) -> tuple[Story, list[str]]:
    """The story in another metre, and the names of lines that were fitted anew."""
    metre = wanted_metre(wish.metre or "")
    if wish.line is not None:
        raise click.UsageError(
            say("A metre holds for a story or a section: say --section, not --line.")
        )
    section = wish.section
    made = with_metre(story, metre, None if section is None else lambda title: title == section)
    names = {fit.path: fit.name for fit in line_fits(made.story)}
    if made.kept:
        listed = ", ".join(names.get(path, "?") for path in made.kept)
        click.echo(
            say(
                "Made by hand and left as {count:it is: line|they are: lines} {listed}. "
                "Look at {count:its|their} bars, or fit one anew with --line and --use 1.",
                count=len(made.kept),
                listed=listed,
            )
        )
    return made.story, [names[path] for path in made.changed if path in names]


def wanted_metre(text: str) -> Metre:
    """The metre that was asked for; a UsageError says which there are."""
    metre = parse_metre(text)
    if metre is None:
        listed = ", ".join(SUPPORTED)
        raise click.UsageError(
            say("There is no metre “{words}”. There are: {listed}.", words=text, listed=listed)
        )
    return metre


def _save(file: Path, story: Story, changed: Sequence[str]) -> int:
    """Write the story and say which lines changed, or that its metre alone did."""
    try:
        text = write_story(story)
        new = text != text_of(file.read_bytes())
        if new:
            save_story(file, text, story)
    except (OSError, NotSavedError) as error:
        said = say("{file} can't be written: {reason}.", file=file, reason=reason(error))
        click.echo(said, err=True)
        return 1
    if changed:
        listed = ", ".join(changed)
        click.echo(say("Changed: {count:line|lines} {listed}.", count=len(changed), listed=listed))
    elif new:
        click.echo(say("Changed: the metre. Every line's rhythm is as it was."))
    else:
        click.echo(say("Nothing to change."))
    return 0


def _tapped(fit: LineFit, taps_sec: tuple[float, ...]) -> LineFit:
    """The fit with the ways in which the taps can be read."""
    ways = tuple(
        FitWay(found.lane, _tapped_sentence(found))
        for found in lanes_from_taps(fit.line.words, fit.metre, taps_sec)
    )
    return evolve(fit, ways=ways)


def _tapped_sentence(found: TappedLane) -> str:
    said = [say("{pace}, {tempo} beats a minute", pace=found.pace, tempo=found.tempo)]
    if found.missed:
        said.append(say("without a tap: {words}", words=", ".join(found.missed)))
    if found.extra:
        said.append(say("{extra:1 tap|# taps} left out", extra=found.extra))
    return "; ".join(said)


def _show(fit: LineFit, alternatives: bool) -> None:
    number = rhythm_number(fit.line, fit.metre)
    state = (
        ", ".join(each for each in (say("as written"), number) if each)
        if fit.written
        else say("no rhythm yet")
    )
    click.echo(f"{fit.name}  {fit.metre}  {state}")
    first = fit.written or (fit.ways[0] if fit.ways else None)
    if first is None:
        click.echo(f"    {fit.line.words or say('(no words)')}\n")
        return
    _show_way(fit.line, first)
    if alternatives:
        for at, way in enumerate(fit.ways, 1):
            as_it_is = fit.written and (way.lane == fit.written.lane or way.change == NO_CHANGE)
            same = "same" if as_it_is else ""
            click.echo(say("  way {at}{same:same= (as it is)|*=}", at=at, same=same))
            _show_way(fit.line, way)
            if way.change and not same:
                click.echo(say("    Against what is written: {change}", change=way.change))
    click.echo()


def _show_way(line: Line, way: FitWay) -> None:
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
                    cut = "" if syllable.text.endswith("-") else "-"
                    text += syllable.text + (" " if syllable.ends_word else cut)
                    said += 1
            text = text.rstrip()
            mark = "".join(
                cell.mark.value.upper() if cell.accent else cell.mark.value for cell in step
            )
            width = max(len(text), len(mark)) + 1
            words, marks = words + text.ljust(width), marks + mark.ljust(width)
    return words.rstrip(), marks.rstrip()


@click.command(
    "fit",
    help=say(
        "Show how the words of the story FILE fall on the beats.\n\n"
        "TAPS is a MIDI file, or a text with one time in seconds a line."
    ),
)
@click.argument("file", type=PATH)
@click.option("--line", "name", metavar="N", help=say("Only this line."))
@click.option("--alternatives", is_flag=True, help=say("Show other ways, best first."))
@click.option("--use", type=int, metavar="K", help=say("Give --line its way K, over its taps."))
@click.option("--write", is_flag=True, help=say("Give lines without a rhythm their best one."))
@click.option("--taps", type=PATH, metavar="TAPS", help=say("Times that --line was tapped at."))
@click.option("--section", metavar="TITLE", help=say("Only the lines of this section."))
@click.option(
    "--metre",
    metavar="METRE",
    help=say(
        "Change the metre of the story, or of --section, and fit lines anew that nobody touched."
    ),
)
@click.option("--tapped", type=TAPPED, help=TAPPED_HELP)
def command(
    file: Path,
    name: str | None,
    alternatives: bool,
    use: int | None,
    write: bool,
    taps: Path | None,
    section: str | None,
    metre: str | None,
    tapped: str | None,
) -> None:
    """``tapscore fit``."""
    sys.exit(run_fit(file, FitWish(name, section, alternatives, use, write, taps, metre, tapped)))
