"""What the commands on class records ask and say: passphrases, pupils, problems."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.exports.written.document import WrittenDocument
    from tapscore.model.story import Story
    from tapscore.records.model import Pupil
    from tapscore.records.record_file import RecordFile

FORGOTTEN = say(
    "Mind: a forgotten passphrase is final. Nobody can open the record without it, nor can we."
    " Write it down and keep it where your school keeps its keys."
)
WHOSE = say("The pupil's mark")


@contextmanager
def opened_record(file: Path, *, change: bool = False) -> Iterator["RecordFile"]:
    """Ask for the passphrase and open; what was changed is saved at the end."""
    from tapscore.records.edits import clock_trouble, keeping_reminder
    from tapscore.records.record_file import look_at, open_record

    with told_problems(file):
        look_at(file)
    typed = click.prompt(say("Passphrase of {file}", file=file.name), hide_input=True, err=True)
    with told_problems(file):
        opened = open_record(file, typed)
    try:
        today = date.today()
        for sentence in (
            opened.read_only,
            clock_trouble(opened.record, today),
            keeping_reminder(opened.record, today),
        ):
            if sentence:
                click.echo(sentence, err=True)
        if change:
            must_be_writable(opened)
        yield opened
        if change and opened.unsaved:
            with told_problems(file):
                opened.save()
            click.echo(say("saved {file}", file=file))
    finally:
        opened.close()


@contextmanager
def told_problems(path: Path) -> Iterator[None]:
    """Say what is wrong with a file, and end."""
    from tapscore.records.record_file import ReadOnlyError, RecordChangedError
    from tapscore.records.sealed import SealError

    try:
        yield
    except (SealError, ValueError, ReadOnlyError) as error:
        end(f"{path.name}: {error}")
    except RecordChangedError:
        end(
            say(
                "{path} was changed by another computer meanwhile: nothing was saved.",
                path=path.name,
            )
        )
    except OSError as error:
        end(
            say(
                "{path}: {reason}. Look at the name, the folder, the drive.",
                path=path.name,
                reason=reason(error),
            )
        )


def must_be_writable(opened: "RecordFile") -> None:
    """End where nothing can be changed."""
    if opened.read_only:
        end(say("Nothing can be changed now. Close it elsewhere, then try again."))


def new_passphrase() -> str:
    """Ask for a new passphrase, twice, until it is one."""
    from tapscore.records.sealed import passphrase_trouble

    click.echo(FORGOTTEN)
    while True:
        typed: str = click.prompt(
            say("New passphrase"), hide_input=True, confirmation_prompt=say("Once more"), err=True
        )
        trouble = passphrase_trouble(typed)
        if not trouble:
            return typed
        click.echo(trouble, err=True)


def pupil_marked(opened: "RecordFile", mark: str | None) -> "Pupil":
    """The pupil with a mark, which is asked for if it is not said."""
    found = opened.record.marked(mark or click.prompt(WHOSE))
    if found is None:
        from tapscore.records.notes_table import unknown_mark

        end(unknown_mark(opened.record), 1)
    return found


def read_story(path: Path) -> "Story":
    """The story of a file; what is wrong with it is shown."""
    from tapscore.cli.show import show_findings
    from tapscore.workflow.open_story import open_story

    opened = open_story(path)
    if opened.story is None:
        show_findings(opened, err=True)
        sys.exit(2)
    return opened.story


def moment_names(story: "Story") -> tuple[str, ...]:
    """Names of the moments of a story."""
    from tapscore.rhythm.moments import moments
    from tapscore.rhythm.perform import perform

    return tuple(moment.name for moment in moments(perform(story)))


def may_be_written(out: Path, *, replace: bool = False) -> None:
    """End where a paper of this name can't be made: before anything is typed for it."""
    from tapscore.workflow.records.paper_files import ENDINGS

    if out.suffix.casefold() not in ENDINGS:
        end(say("{file}: end the name with .pdf or .docx.", file=out.name))
    must_be_free(out, replace=replace)


def must_be_free(path: Path, *, replace: bool = False) -> None:
    """End where something has the name already."""
    if path.exists() and not replace:
        end(say("{out} is there already. Choose another name.", out=path.name), 1)


def write_document(document: "WrittenDocument", out: Path, *, replace: bool) -> None:
    """Write a paper that anybody can read."""
    from tapscore.workflow.records.paper_files import READABLE, write_paper

    must_be_free(out, replace=replace)
    with told_problems(out):
        said = write_paper(document, out)
    click.echo(say("made {out}", out=out))
    click.echo(READABLE)
    if said:
        click.echo(said, err=True)


def end(message: str, code: int = 2) -> NoReturn:
    """Say why it ends, and end."""
    click.echo(message, err=True)
    sys.exit(code)
