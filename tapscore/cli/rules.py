"""The command ``tapscore rules``."""

import sys

import click

from tapscore.checks.all_rules import ALL_RULES, rule
from tapscore.storyfile.near import did_you_mean
from tapscore.wording.catalogue import say


def run_rules(rule_id: str | None) -> int:
    """List the rules, or explain one; 2 if there is none of that id."""
    if rule_id is None:
        width = max(len(each.id) for each in ALL_RULES)
        for each in ALL_RULES:
            click.echo(f"{each.id:{width}}  {each.severity.words:10}  {each.title}")
        return 0
    found = rule(rule_id)
    if found is None:
        guess = did_you_mean(rule_id, (each.id for each in ALL_RULES))
        click.echo(
            say(
                "There is no check “{rule_id}”.{guess} `tapscore rules` lists them.",
                rule_id=rule_id,
                guess=guess,
            ),
            err=True,
        )
        return 2
    click.echo(f"{found.title}  [{found.id}, {found.severity.words}]\n")
    click.echo(
        say(
            "Why: {why}\nSource: {source}\nLooks at: {looks_at}",
            why=found.why,
            source=found.source,
            looks_at=found.looks_at,
        )
    )
    click.echo(
        say("Can be mended for you: {mends}", mends=found.mends) + "\n" if found.mends else ""
    )
    click.echo(say("Good:\n\n{good}", good=_indented(found.good)))
    click.echo(say("Not good:\n\n{bad}", bad=_indented(found.bad)))
    return 0


def _indented(text: str) -> str:
    return "".join(f"    {line}\n" for line in text.splitlines())


@click.command("rules", help=say("List the checks, or explain the one called ID."))
@click.argument("rule_id", metavar="[ID]", required=False)
def command(rule_id: str | None) -> None:
    """``tapscore rules``."""
    sys.exit(run_rules(rule_id))
