"""The command ``tapscore rules``."""

import sys

import click

from tapscore.checks.registry import ALL_RULES, rule
from tapscore.storyfile.near import did_you_mean


def run_rules(rule_id: str | None) -> int:
    """List the rules, or explain one; 2 if there is none of that id."""
    if rule_id is None:
        width = max(len(each.id) for each in ALL_RULES)
        for each in ALL_RULES:
            click.echo(f"{each.id:{width}}  {each.severity.value:10}  {each.title}")
        return 0
    found = rule(rule_id)
    if found is None:
        guess = did_you_mean(rule_id, (each.id for each in ALL_RULES))
        click.echo(f"There is no check “{rule_id}”.{guess} `tapscore rules` lists them.", err=True)
        return 2
    click.echo(f"{found.title}  [{found.id}, {found.severity.value}]\n")
    click.echo(f"Why: {found.why}\nSource: {found.source}\nLooks at: {found.looks_at}")
    click.echo(f"Can be mended for you: {found.mends}\n" if found.mends else "")
    click.echo(f"Good:\n\n{_indented(found.good)}\nNot good:\n\n{_indented(found.bad)}")
    return 0


def _indented(text: str) -> str:
    return "".join(f"    {line}\n" for line in text.splitlines())


@click.command("rules")
@click.argument("rule_id", metavar="[ID]", required=False)
def command(rule_id: str | None) -> None:
    """List the checks, or explain the one called ID."""
    sys.exit(run_rules(rule_id))
