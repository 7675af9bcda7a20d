"""The command ``tapscore help``."""

import sys

import click

from tapscore.resources import resource_path

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
        click.echo(f"\nTopics: tapscore help {' | '.join(TOPICS)}")
        return 0
    if topic in TOPICS:
        click.echo(resource_path(TOPICS[topic]).read_text(encoding="utf-8"), nl=False)
        return 0
    command = group.get_command(top, topic)
    if command is None:
        from tapscore.storyfile.near import did_you_mean

        guess = did_you_mean(topic, (*TOPICS, *group.commands))
        click.echo(f"There is no help about “{topic}”.{guess}", err=True)
        return 2
    with click.Context(command, info_name=topic, parent=top) as inner:
        click.echo(command.get_help(inner))
    return 0


@click.command("help")
@click.argument("topic", required=False)
@click.pass_context
def command(ctx: click.Context, topic: str | None) -> None:
    """Explain a TOPIC: lane, story, board, cautions, or a command."""
    sys.exit(run_help(ctx, topic))
