"""The command ``tapscore day``."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tapscore.cli.options import PATH, paper_options, part_language_option
from tapscore.cli.show import show_findings
from tapscore.model.day import Telling
from tapscore.wording.catalogue import say
from tapscore.workflow.open_story import open_story
from tapscore.workflow.product import Choices
from tapscore.workflow.translations import trouble_with_language

if TYPE_CHECKING:
    from tapscore.model.story import Story
    from tapscore.workflow.today.plan import Today


def run_day(
    file: Path, day_file: Path, folder: Path | None, choices: Choices, *, replace: bool = False
) -> int:
    """Say who could do what today and print the cards that change.

    Gives 0 if everything is done by somebody, 1 if not, 2 if a file can't be read.
    """
    opened = open_story(file)
    if opened.story is None or opened.must_mend:
        show_findings(opened, err=True)
        click.echo(say("Nothing was shared out: mend the story first."), err=True)
        return 2 if opened.story is None else 1
    trouble = trouble_with_language(opened.story, choices.part_language)
    if trouble:
        raise click.UsageError(trouble)
    from tapscore.disc.reading import read_bounded, text_of
    from tapscore.disc.reasons import reason
    from tapscore.storyfile.day_file import MOST_BYTES, read_day

    try:
        text = text_of(read_bounded(day_file, MOST_BYTES))
    except (OSError, UnicodeDecodeError) as error:
        click.echo(
            say(
                "{day_file} can't be read: {why}. Look at the name and the folder.",
                day_file=day_file,
                why=reason(error),
            ),
            err=True,
        )
        return 2
    read = read_day(text, opened.story)
    for finding in read.findings:
        place = f":{finding.span.line}" if finding.span else ""
        click.echo(f"{day_file.name}{place}: {finding.message} {finding.remedy}", err=True)
    if read.day is None:
        return 2
    from tapscore.workflow.today.plan import plan_today

    today = plan_today(opened.story, read.day)
    _show(today)
    made = _cards(opened.story, today, folder, choices, replace=replace)
    can = today.telling is not Telling.NOT_TODAY and not (today.sharing.left or today.at_once)
    return 0 if made and can and not read.findings else 1


def _show(today: "Today") -> None:
    from tapscore.workflow.today.outcome import told_sentences

    for role, adult in today.staff.adult_of:
        host = today.staff.host_of[role]
        whole = "whole" if (role, adult) in today.stand_ins else ""
        click.echo(
            say(
                "{role}: {adult}{how:more= (as well as {host})"
                "|whole= (takes it whole, with its own cards)|*=}",
                role=role,
                adult=adult if adult != role else say("here"),
                how="more" if host != role else whole,
                host=host,
            )
        )
    if today.staff.free:
        click.echo(say("here without a role: {listed}", listed=", ".join(today.staff.free)))
    if today.staff.away:
        click.echo(say("away: {listed}", listed=", ".join(today.staff.away)))
    for sentence in told_sentences(today):
        click.echo(sentence)
    if today.telling is not Telling.NOT_TODAY:
        _show_jobs(today)


def _show_jobs(today: "Today") -> None:
    from tapscore.workflow.today.outcome import at_once_sentences

    taken = today.staff.taken
    for job in today.left:
        click.echo(f"  {job.sentence}")
    for sentence in at_once_sentences(today):
        click.echo(f"  {sentence}")
    if not today.left and not today.at_once:
        click.echo(say("Everything is done by somebody."))
    if today.sharing.takers:
        click.echo(say("A way to share it:"))
    for role in today.staff.hosts:
        jobs = [job for job, who in today.sharing.takers if who == role]
        if jobs:
            said = ", ".join(_deed(job.kind.value, job.name) for job in jobs)
            click.echo(f"  {_person(role, taken[role])} {said}")
    if today.voice is not None:
        person = _person(today.voice, taken[today.voice])
        click.echo(
            say(
                "  Nobody leads: {person} taps least and speaks: give them the cue sheet.",
                person=person,
            )
        )
    for job, why in today.sharing.left:
        click.echo(
            say(
                "  Left: {sentence} {why}.",
                sentence=job.sentence,
                why=why[:1].upper() + why[1:],
            )
        )


def _deed(kind: str, name: str) -> str:
    return say(
        "{kind:tap=taps {name}|bring=brings {name}|do=does: {name}|with=is with {name}}",
        kind=kind,
        name=name,
    )


def _person(role: str, adult: str) -> str:
    return f"{adult} ({role})" if adult != role else role


def _cards(
    story: "Story", today: "Today", folder: Path | None, choices: Choices, *, replace: bool
) -> bool:
    from tapscore.workflow.today.card_files import card_files, put_cards, take_away_earlier
    from tapscore.workflow.today.plan import changed_cards, printing_findings
    from tapscore.workflow.today.supply import papers_for_all

    what = "card" if choices.by_heart else "sheet"
    if today.telling is Telling.NOT_TODAY:
        for said in take_away_earlier(folder, story).said_of_earlier if folder else ():
            click.echo(said)
        return True
    try:
        cards = changed_cards(story, today, choices)
    except ValueError as error:
        click.echo(
            say("No {what:card=cards|*=sheets} were made: {reason}", what=what, reason=error),
            err=True,
        )
        return False
    for changed in cards:
        if changed.new:
            names = f": {', '.join(changed.names)}" if changed.names else ""
            click.echo(
                say(
                    "new {what:card=cards|*=sheets} for {role}, {sides:1 side|# sides}{names}; "
                    "{kept} stay",
                    what=what,
                    role=changed.role,
                    sides=len(changed.new),
                    names=names,
                    kept=changed.kept,
                )
            )
    if not any(changed.new for changed in cards):
        click.echo(say("No {what:card=card|*=sheet} changes.", what=what))
    if folder is None:
        click.echo(
            say(
                "Give --out DIR to print new {what:card=cards|*=sheets}, and a sheet for somebody "
                "who steps in.",
                what=what,
            )
        )
        return True
    try:
        for finding in printing_findings(choices):
            click.echo(f"{finding.message} {finding.remedy}", err=True)
        files = (*card_files(story, cards, choices), *papers_for_all(story, today, choices))
    except ValueError as error:
        click.echo(
            say("The {what:card=cards|*=sheets} were not made: {reason}", what=what, reason=error),
            err=True,
        )
        return False
    put = put_cards(files, folder, story, replace=replace)
    for path in put.made:
        click.echo(say("made {path}", path=path))
    for said in put.said_of_earlier:
        click.echo(said)
    if put.problem:
        click.echo(put.problem, err=True)
    return not put.problem


@click.command(
    "day",
    help=say(
        "Say what today's staff leave undone in the story FILE, and how to share it.\n\n"
        "DAY is a small file with adults by initials or by the name of a role, and, if you "
        "like, the places of the pupils who are here (or how many), and how much to tell:\n\n"
        "\b\n"
        "    here: [AB, CD, prop handler]\n"
        "    roles:\n"
        "      leader: AB\n"
        "      beat-keeper: CD\n"
        "    pupils: [A, C]\n"
        "    tell: short            (or whole, lighter, refrain)\n\n"
        "With few adults the story is thinned, in this order: taps, deeds, props; refrain, "
        "waits and one prop stay.\n\n"
        "New sheets are printed in DIR.  Exit code 0: everything is done by somebody; 1: "
        "not; 2: a file can't be read."
    ),
)
@click.argument("file", type=PATH)
@click.argument("day_file", type=PATH, metavar="DAY")
@click.option("--out", "folder", type=PATH, metavar="DIR")
@paper_options
@part_language_option
@click.option("--cards", is_flag=True, help=say("Cards to learn by heart, not part sheets."))
@click.option("--replace", is_flag=True, help=say("Replace files that tapscore did not make."))
def command(
    file: Path,
    day_file: Path,
    folder: Path | None,
    paper: str,
    part_paper: str,
    other_paper: str,
    margin: float | None,
    distance: float,
    sheet: str,
    part_language: str,
    cards: bool,
    replace: bool,
) -> None:
    """``tapscore day``."""
    choices = Choices(
        paper,
        distance,
        per_sheet=int(sheet),
        other_paper=other_paper,
        margin_mm=margin,
        by_heart=cards,
        beside=file.parent,
        part_paper=part_paper,
        part_language=part_language,
    )
    sys.exit(run_day(file, day_file, folder, choices, replace=replace))
