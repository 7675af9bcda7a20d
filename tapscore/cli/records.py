"""The commands ``tapscore class-record ...``.  A passphrase is typed in, never an argument."""

import sys
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tapscore.cli.options import PATH, Commands
from tapscore.cli.record_asking import (
    WHOSE,
    end,
    may_be_written,
    moment_names,
    must_be_free,
    must_be_writable,
    new_passphrase,
    opened_record,
    pupil_marked,
    read_story,
    told_problems,
    write_document,
)
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.wording.terms import term

if TYPE_CHECKING:
    from tapscore.exports.written.document import WrittenDocument


_DAY = click.DateTime(["%Y-%m-%d", "%d/%m/%Y"])


@click.group(
    "class-record",
    cls=Commands,
    help=say(
        "Keep what was seen of pupils, encrypted and apart from stories.\n\n"
        "FILE ends with .classrecord.  Passphrases are asked for, and so are pupils' marks "
        "that are left out: then they are not in the shell's history.  Exit code 0: done; 1: "
        "some of it not; 2: a file can't be opened."
    ),
)
def class_record() -> None:
    """``tapscore class-record``."""


@class_record.command(help=say("Begin a new record in FILE."))
@click.argument("file", type=PATH)
@click.option("--label", required=True, help=say("Class and year, in words of your own."))
@click.option(
    "--keep-until", type=_DAY, metavar="DATE", help=say("When to be reminded to delete it.")
)
def begin(file: Path, label: str, keep_until: datetime | None) -> None:
    """``tapscore class-record begin``."""
    from tapscore.records.model import ClassRecord
    from tapscore.records.record_file import create_record, record_path

    path = record_path(file)
    if path.exists():
        end(say("{path} is there already. Choose another name.", path=path.name))
    passphrase = new_passphrase()
    with told_problems(path):
        kept = keep_until.date() if keep_until else None
        create_record(path, passphrase, ClassRecord(label, kept)).close()
    click.echo(say("made {path}", path=path))


@class_record.command(help=say("List the pupils of FILE by their marks, and the stories told."))
@click.argument("file", type=PATH)
def pupils(file: Path) -> None:
    """``tapscore class-record pupils``."""
    from tapscore.records.said import stories

    with opened_record(file) as opened:
        for pupil in opened.record.pupils:
            click.echo(
                say("{mark}, place {place}", mark=pupil.mark, place=pupil.place)
                if pupil.place
                else pupil.mark
            )
        for story in stories(opened.record):
            click.echo(say("story told: {story}", story=story))


@class_record.command(
    "add-pupil", help=say("Add a pupil by MARK: initials, or any short mark that your school uses.")
)
@click.argument("file", type=PATH)
@click.argument("mark", required=False)
@click.option("--place", default="", metavar="LETTER", help=say("The pupil's place on the board."))
def add_pupil(file: Path, mark: str | None, place: str) -> None:
    """``tapscore class-record add-pupil``."""
    from tapscore.records.edits import mark_trouble, new_id, with_pupil
    from tapscore.records.model import Pupil

    with opened_record(file, change=True) as opened:
        mark = mark or str(click.prompt(WHOSE))
        trouble = mark_trouble(opened.record, mark)
        if trouble:
            end(trouble, 1)
        pupil = Pupil(new_id(), " ".join(mark.split()), place.strip())
        opened.record = with_pupil(opened.record, pupil)


@class_record.command(
    help=say("Write an empty table in OUT.csv with the slip's headings and the STORY's moments.")
)
@click.argument("story", type=PATH)
@click.argument("out", type=PATH, metavar="OUT.csv")
def table(story: Path, out: Path) -> None:
    """``tapscore class-record table``."""
    from tapscore.disc.whole import write_whole_bytes
    from tapscore.records.notes_table import blank_table

    read = read_story(story)
    if out.exists():
        end(say("{out} is there already. Choose another name.", out=out.name), 1)
    with told_problems(out):
        text = blank_table(moment_names(read), read.title)
        write_whole_bytes(out, text.encode("utf-8-sig"))
    click.echo(say("made {out}", out=out))


@class_record.command(
    help=say("Bring the notes of NOTES.csv into FILE; first they are shown as they are understood.")
)
@click.argument("file", type=PATH)
@click.argument("notes", type=PATH, metavar="NOTES.csv")
@click.option("--story", type=PATH, help=say("The story file, whose moments the notes are on."))
@click.option("--keep", is_flag=True, help=say("Keep what is understood without asking."))
def bring(file: Path, notes: Path, story: Path | None, keep: bool) -> None:
    """``tapscore class-record bring``."""
    from tapscore.disc.reading import read_bounded
    from tapscore.records.notes_table import bring_in

    read = read_story(story) if story else None
    with told_problems(notes):
        data = read_bounded(notes)
    with opened_record(file, change=True) as opened:
        title, names = (read.title, moment_names(read)) if read else ("", ())
        brought = bring_in(opened.record, data, title, names)
        for when, mark, slip, note in brought.understood:
            said = term(note.answer.value) if note.answer else ""
            words = f" {quoted(note.words)}" if note.words else ""
            by = f" ({slip.observer})" if slip.observer else ""
            click.echo(f"{when}, {mark}, {note.moment}: {said}{words}{by}")
        if brought.already:
            click.echo(
                say(
                    "{already:1 row is|# rows are} in the record already.",
                    already=brought.already,
                )
            )
        for trouble in brought.troubles:
            where = f", {trouble.heading}" if trouble.heading else ""
            click.echo(
                say(
                    "{notes}, row {row}{where}: {message}",
                    notes=notes.name,
                    row=trouble.row,
                    where=where,
                    message=trouble.message,
                ),
                err=True,
            )
        if not brought.understood:
            click.echo(say("Nothing new was understood; nothing was kept."), err=True)
        elif keep or click.confirm(say("Keep these?"), default=False):
            opened.record = brought.record
        else:
            click.echo(say("Nothing was kept."))
    sys.exit(1 if brought.troubles or not (brought.understood or brought.already) else 0)


@class_record.command(
    help=say("Write an empty way-in sheet to fill in by hand, as OUT.pdf or OUT.docx.")
)
@click.argument("out", type=PATH, metavar="OUT.pdf")
def form(out: Path) -> None:
    """``tapscore class-record form``."""
    from tapscore.workflow.records.papers import blank_way_in

    write_document(blank_way_in(), out, replace=False)


@class_record.command(
    help=say("Write a paper of FILE as OUT.pdf or OUT.docx; whoever has it can read it.")
)
@click.argument("file", type=PATH)
@click.argument("out", type=PATH, metavar="OUT.pdf")
@click.option(
    "--kind",
    type=click.Choice(["way-in", "term", "review", "class"]),
    default="term",
    show_default=True,
)
@click.option("--pupil", "mark", metavar="MARK", help=say("Whose paper it is."))
@click.option(
    "--story", metavar="TITLE", help=say("Of which story; the last one told, if not said.")
)
@click.option("--from", "begins", type=_DAY, metavar="DATE", help=say("The first day."))
@click.option("--to", "ends", type=_DAY, metavar="DATE", help=say("The last day."))
@click.option("--replace", is_flag=True, help=say("Replace a file of that name."))
def paper(
    file: Path,
    out: Path,
    kind: str,
    mark: str | None,
    story: str | None,
    begins: datetime | None,
    ends: datetime | None,
    replace: bool,
) -> None:
    """``tapscore class-record paper``."""
    from tapscore.workflow.records.made import class_paper_of, review_of, term_sheet_of
    from tapscore.workflow.records.papers import way_in_sheet

    may_be_written(out, replace=replace)
    with opened_record(file) as opened:
        record = opened.record
        span = begins.date() if begins else None, ends.date() if ends else None
        if kind == "class":
            document = class_paper_of(record, story, *span)
        else:
            pupil = pupil_marked(opened, mark)
            make: Callable[[], WrittenDocument] = {
                "way-in": lambda: way_in_sheet(pupil),
                "term": lambda: term_sheet_of(record, pupil, story, *span),
                "review": lambda: review_of(record, pupil, story, *span),
            }[kind]
            document = make()
    write_document(document, out, replace=replace)


@class_record.command(
    "write-out", help=say("Write everything in FILE into the folder DIR, readable by anybody.")
)
@click.argument("file", type=PATH)
@click.argument("folder", type=PATH, metavar="DIR")
def write_out(file: Path, folder: Path) -> None:
    """``tapscore class-record write-out``."""
    from tapscore.workflow.records.paper_files import READABLE, write_everything

    with opened_record(file) as opened, told_problems(folder):
        for path in write_everything(opened.record, folder):
            click.echo(say("made {path}", path=path))
    click.echo(READABLE)


@class_record.command(
    "hand-over",
    help=say("Write some pupils of FILE into NEW, a record with a passphrase of its own."),
)
@click.argument("file", type=PATH)
@click.argument("new", type=PATH, metavar="NEW")
@click.option("--pupil", "marks", multiple=True, required=True, metavar="MARK")
@click.option("--to", default="", help=say("Class or school that gets it."))
@click.option("--receipt", type=PATH, metavar="OUT.pdf", help=say("A paper that both sides sign."))
def hand_over(file: Path, new: Path, marks: tuple[str, ...], to: str, receipt: Path | None) -> None:
    """``tapscore class-record hand-over``."""
    from tapscore.records.handover import speaks_of_others
    from tapscore.records.record_file import record_path
    from tapscore.workflow.records.made import hand_over as write

    new = record_path(new)
    must_be_free(new)
    if receipt is not None:
        may_be_written(receipt)
    with opened_record(file) as opened:
        chosen = [pupil_marked(opened, mark) for mark in marks]
        others = [each for each in opened.record.pupils if each not in chosen]
        for sentence in speaks_of_others(opened.record, chosen, others):
            click.echo(say("Look again, it goes along: {sentence}", sentence=sentence), err=True)
        click.echo(say("A passphrase for the new file, which those who get it need."))
        passphrase = new_passphrase()
        with told_problems(new):
            paper = write(opened.record, chosen, new, passphrase, to, date.today())
    click.echo(say("made {new}", new=new))
    if receipt is not None:
        write_document(paper, receipt, replace=False)


@class_record.command(
    "take-in", help=say("Take the pupils of OTHER, a record handed over, into FILE.")
)
@click.argument("file", type=PATH)
@click.argument("other", type=PATH, metavar="OTHER")
def take_in(file: Path, other: Path) -> None:
    """``tapscore class-record take-in``."""
    from tapscore.records.handover import joined

    with opened_record(other) as theirs:
        coming = theirs.record
    with opened_record(file, change=True) as opened:
        opened.record, said = joined(opened.record, coming)
    for sentence in said:
        click.echo(sentence, err=True)
    sys.exit(1 if said else 0)


@class_record.command(
    "delete-pupil", help=say("Delete all of a pupil, also from the two earlier versions of FILE.")
)
@click.argument("file", type=PATH)
@click.argument("mark", required=False)
def delete_pupil(file: Path, mark: str | None) -> None:
    """``tapscore class-record delete-pupil``."""
    from tapscore.records.handover import told_with

    with opened_record(file) as opened:
        pupil = pupil_marked(opened, mark)
        for sentence in told_with(opened.record, pupil):
            click.echo(say("Stays, so change it by hand: {sentence}", sentence=sentence), err=True)
        typed = click.prompt(say("This can't be taken back. Type the mark again to delete"))
        if typed.strip() != pupil.mark:
            end(say("Nothing was deleted."), 1)
        with told_problems(file):
            for sentence in opened.forget_pupil(pupil.id):
                click.echo(sentence, err=True)
    click.echo(say("Deleted. Backups that your school made still have it."))


@class_record.command(
    "keep-until", help=say("Say until when FILE is to be kept: from then on it reminds you.")
)
@click.argument("file", type=PATH)
@click.argument("day", type=_DAY, metavar="DATE")
def keep_until(file: Path, day: datetime) -> None:
    """``tapscore class-record keep-until``."""
    from attrs import evolve

    with opened_record(file, change=True) as opened:
        opened.record = evolve(opened.record, keep_until=day.date())


@class_record.command(help=say("Give FILE and its earlier versions another passphrase."))
@click.argument("file", type=PATH)
def passphrase(file: Path) -> None:
    """``tapscore class-record passphrase``."""
    with opened_record(file) as opened:
        must_be_writable(opened)
        new = new_passphrase()
        with told_problems(file):
            for sentence in opened.change_passphrase(new):
                click.echo(sentence, err=True)
    click.echo(say("Changed. Backups that your school made still have the old one."))
