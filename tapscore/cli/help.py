"""The command ``tapscore help``."""

import sys

import click

from tapscore.wording.catalogue import page, say

TOPICS = {
    "lane": "lane.txt",
    "story": "story.txt",
    "board": "board.txt",
    "cautions": "cautions.txt",
}


def run_help(ctx: click.Context, topic: str | None) -> int:
    """Print a topic's page or a command's help; 2 where there is neither."""
    top = ctx.find_root()
    group = top.command
    assert isinstance(group, click.Group)
    if topic is None:
        click.echo(top.get_help())
        click.echo("\n" + say("Topics: tapscore help {listed}", listed=" | ".join(TOPICS)))
        return 0
    if topic in TOPICS:
        click.echo(page(TOPICS[topic]).read_text(encoding="utf-8"), nl=False)
        return 0
    command = group.get_command(top, topic)
    if command is None:
        from tapscore.storyfile.near import did_you_mean

        guess = did_you_mean(topic, (*TOPICS, *group.list_commands(top)))
        click.echo(
            say("There is no help about “{topic}”.{guess}", topic=topic, guess=guess), err=True
        )
        return 2
    with click.Context(command, info_name=topic, parent=top) as inner:
        click.echo(command.get_help(inner))
    return 0


@click.command("help", help=say("Explain a TOPIC: lane, story, board, cautions, or a command."))
@click.argument("topic", required=False)
@click.pass_context
def command(ctx: click.Context, topic: str | None) -> None:
    """``tapscore help``."""
    sys.exit(run_help(ctx, topic))
