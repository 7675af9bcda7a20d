"""Papers of a record written to files: readable by whoever has them, and said to be so."""

import errno
import os
from pathlib import Path

from tapscore.disc.whole import write_whole_bytes
from tapscore.exports.written.document import WrittenDocument
from tapscore.records.model import ClassRecord
from tapscore.records.notes_table import written_out
from tapscore.records.way_in import WAY_IN
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date

ENDINGS = (".pdf", ".docx")
READABLE = say(
    "Whoever has this file can read it. Keep it where your school keeps such papers, and delete it"
    " when it is not needed."
)
EVERYTHING = ("way in and terms.txt", "notes.csv")


def write_paper(document: WrittenDocument, path: Path) -> str:
    """Write a document as its name's ending says; gives what could not be printed, if any.

    Raises ValueError for another ending, OSError if it can't be written.
    """
    ending = path.suffix.casefold()
    if ending == ".docx":
        from tapscore.exports.written.docx_document import docx_document

        _write_readable(path, docx_document(document))
        return ""
    if ending != ".pdf":
        raise ValueError(say("{file}: end the name with .pdf or .docx.", file=path.name))
    from tapscore.exports.written.pdf_document import not_printed, pdf_document

    _write_readable(path, pdf_document(document))
    lost = not_printed(document)
    if not lost:
        return ""
    return say(
        "The printed letters lack {names}: they are left out of the PDF. Make a DOCX: it has "
        "them all.",
        names=" ".join(lost[:12]),
    )


def write_everything(record: ClassRecord, folder: Path) -> tuple[Path, ...]:
    """Write all that a record holds as plain text and as a table, readable anywhere.

    Raises FileExistsError if one of the files is there, OSError if one can't be written; then
    there is none of them.
    """
    folder.mkdir(parents=True, exist_ok=True)
    paths = tuple(folder / name for name in EVERYTHING)
    for path in paths:
        if path.exists():
            raise FileExistsError(17, say("a file of that name is there"), str(path))
    try:
        for path, text in zip(paths, (as_text(record), written_out(record)), strict=True):
            _write_readable(path, text.encode("utf-8", "replace"))
    except OSError:
        for path in paths:
            path.unlink(missing_ok=True)
        raise
    return paths


def _write_readable(path: Path, data: bytes) -> None:
    """Write what anybody can read, with no part of it in a folder for temporary files."""
    if not os.access(path.parent, os.W_OK):
        raise PermissionError(errno.EACCES, say("nothing new may stand in its folder"), str(path))
    write_whole_bytes(path, data)


def as_text(record: ClassRecord) -> str:
    """Everything but the notes, as text."""
    lines = [record.label, ""]
    if record.keep_until:
        lines.append(say("To be kept until {day}", day=long_date(record.keep_until)))
    if record.next_story:
        lines += [say("What the next story should keep:"), record.next_story, ""]
    for told in record.tellings:
        number = say(", telling {number}", number=told.number) if told.number is not None else ""
        lines.append(
            say(
                "{day}{number}: {story}. There: {who}",
                day=long_date(told.date),
                number=number,
                story=told.story,
                who=told.there or "–",
            )
        )
    for pupil in record.pupils:
        lines.append(
            f"{pupil.mark}{say(', place {place}', place=pupil.place) if pupil.place else ''}"
        )
        lines += [
            f"  {each.label}: {pupil.way(each.key)}" for each in WAY_IN if pupil.way(each.key)
        ]
        for term in pupil.terms:
            lines.append(
                say(
                    "  {begin} to {end}, {story}",
                    begin=long_date(term.begins),
                    end=long_date(term.ends),
                    story=term.story,
                )
            )
            lines += [
                f"    {label}: {text}"
                for label, text in (
                    (say("Intended outcome"), term.outcome),
                    (say("Next steps"), term.next_step),
                    (say("Parent’s or carer’s words"), term.parent_line),
                    (say("Kept"), term.kept),
                )
                if text
            ]
        lines.append("")
    return "\n".join(lines)
