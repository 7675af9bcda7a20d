"""The command ``tapscore new``."""

from pathlib import Path

import click

from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.whole_files import write_whole_bytes


def run_new(file: Path, source: Path) -> int:
    """Make ``file`` from the words in ``source``; 1 if it stands in the way, 2 if unreadable."""
    if file.exists():
        click.echo(f"{file} is already there. Choose another name.", err=True)
        return 1
    try:
        text = source.read_bytes().decode("utf-8-sig")
    except OSError as error:
        click.echo(f"{source} can't be read: {error.strerror}. Look at the name.", err=True)
        return 2
    except UnicodeDecodeError:
        click.echo(f"{source} is not plain text. Save it as plain text (UTF-8).", err=True)
        return 2
    if not text.strip():
        click.echo(f"{source} has no words in it. Write the story there first.", err=True)
        return 2
    try:
        write_whole_bytes(file, new_story_text(text, source).encode())
    except OSError as error:
        click.echo(f"{file} can't be written: {error.strerror}. Choose another folder.", err=True)
        return 1
    click.echo(f"made {file}. Next: tapscore check {file}")
    return 0
