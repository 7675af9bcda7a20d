"""Notes as a table in a CSV file (RFC 4180): what a digital slip gives, and what is written out.

Headings are the slip's own, in its order, and the story's title; all but date, pupil and
moment may be missing.
"""

import csv
import io
from collections.abc import Sequence
from datetime import date

from attrs import evolve, field, frozen

from tapscore.model.observing import SLIP, Alertness, Answer, Support
from tapscore.records.edits import new_id, next_number, with_note, with_slip, with_telling
from tapscore.records.model import ClassRecord, KeptTelling, Note, Slip
from tapscore.records.note_cells import (
    NotUnderstoodError,
    areas,
    as_written,
    day,
    harmless,
    moment_named,
    one_of,
    position,
    ticked,
)
from tapscore.wording.catalogue import say

STORY = "story"
HEADINGS = {STORY: "Story", **{each.key: each.label for each in SLIP}}
_ALIASES = {
    "pupil": "pupil",
    "initials": "pupil",
    "pupil's initials": "pupil",
    "by": "observer",
    "observer": "observer",
    "telling": "number",
    "number": "number",
    "before cue": "before_cue",
    "before the cue?": "before_cue",
    "alertness": "alertness",
    "time": "time",
    "words": "words",
    "context": "context",
}
_NEEDED = ("date", "pupil", "moment")
MOST_ROWS = 100_000
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
"""Byte order marks (Unicode, section 23.8)."""


@frozen(repr=False)
class Trouble:
    """What could not be understood, and where: rows count from 1, the headings are row 1."""

    row: int
    heading: str
    message: str


@frozen(repr=False)
class Brought:
    """What was understood of a table."""

    record: ClassRecord
    """The record with it; nothing is kept until this is saved."""
    understood: tuple[tuple[str, str, Slip, Note], ...] = ()
    """Date and telling, the pupil's mark, and what is new."""
    already: int = 0
    """Rows that say what the record has already."""
    troubles: tuple[Trouble, ...] = ()


@frozen(repr=False)
class _Row:
    number: int
    cells: dict[str, str] = field(factory=dict)

    def get(self, key: str) -> str:
        return self.cells.get(key, "")


def bring_in(record: ClassRecord, data: bytes, story: str, moments: Sequence[str]) -> Brought:
    """Read a table into a record; nothing that is there already is changed.

    ``story`` and its ``moments`` hold where the table names no story.
    """
    text, said = _text(data)
    rows, heads = _rows(text)
    troubles = [Trouble(1, "", said)] if said else []
    troubles += [each for each in heads if each.message]
    understood: list[tuple[str, str, Slip, Note]] = []
    already = 0
    for row in rows:
        try:
            changed, new = _with_row(record, row, story, moments)
        except NotUnderstoodError as error:
            troubles.append(Trouble(row.number, HEADINGS[error.key], error.message))
            continue
        if new is None:
            already += 1
        else:
            understood.append(new)
        record = changed
    return Brought(record, tuple(understood), already, tuple(troubles))


def written_out(record: ClassRecord) -> str:
    """Every note as a table that can be brought in again."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADINGS.values())
    for telling in record.tellings:
        for slip in telling.slips:
            pupil = record.pupil(slip.pupil)
            for note in slip.notes:
                cells = {
                    STORY: telling.story,
                    "date": telling.date.isoformat(),
                    "number": "" if telling.number is None else f"{telling.number}",
                    "there": telling.there,
                    "pupil": pupil.mark if pupil else "",
                    "observer": slip.observer,
                    "alertness": slip.alertness.value if slip.alertness else "",
                    "position": slip.position,
                    "moment": note.moment,
                    "answer": note.answer.value if note.answer else "",
                    "before_cue": "yes" if note.before_cue else "",
                    "words": note.words,
                    "support": note.support.value if note.support else "",
                    "time": note.time,
                    "areas": "; ".join(note.areas),
                    "context": note.context,
                }
                writer.writerow(harmless(cells[key]) for key in HEADINGS)
    return out.getvalue()


def blank_table(moments: Sequence[str], story: str) -> str:
    """The headings, and a row for each moment to copy for each pupil."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HEADINGS.values())
    for moment in moments:
        writer.writerow(harmless({STORY: story, "moment": moment}.get(key, "")) for key in HEADINGS)
    return out.getvalue()


def _text(data: bytes) -> tuple[str, str]:
    for start, code in (
        (b"\xef\xbb\xbf", "utf-8-sig"),
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
    ):
        if data.startswith(start):
            return data.decode(code, "replace"), ""
    try:
        return data.decode("utf-8"), ""
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace"), say(
            "The file is not in UTF-8 and was read as Windows letters: look at accents."
        )


def _rows(text: str) -> tuple[list[_Row], list[Trouble]]:
    if "\0" in text or not text.strip():
        return [], [
            Trouble(1, "", say("It is no table of text. Save it as CSV from the spreadsheet."))
        ]
    first = text.lstrip().splitlines()[0]
    delimiter = max(",;\t", key=lambda mark: sum(bool(_key(cell)) for cell in first.split(mark)))
    found: list[_Row] = []
    troubles: list[Trouble] = []
    csv.field_size_limit(1_000_000)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        heads = [_key(cell) for cell in next(reader)]
        missing = [HEADINGS[key] for key in _NEEDED if key not in heads]
        if missing:
            return [], [
                Trouble(
                    1,
                    "",
                    say(
                        "The first row needs the headings {names:list}. Make an empty table with "
                        "the slip’s headings and copy the rows there.",
                        names=tuple(missing),
                    ),
                )
            ]
        for number, cells in enumerate(reader, 2):
            if len(found) >= MOST_ROWS:
                troubles.append(
                    Trouble(number, "", say("Only {most} rows are read at once.", most=MOST_ROWS))
                )
                break
            named = {
                key: as_written(cell)
                for key, cell in zip(heads, cells, strict=False)
                if key is not None
            }
            if any(text for key, text in named.items() if key not in (STORY, "moment")):
                found.append(_Row(number, named))
    except csv.Error as error:
        troubles.append(
            Trouble(len(found) + 2, "", say("From here it is no CSV ({why}).", why=error))
        )
    return found, troubles


def _key(cell: str) -> str | None:
    said = " ".join(cell.strip(" \ufeff\"'").replace("’", "'").casefold().split())
    for key, label in HEADINGS.items():
        if said in (key, key.replace("_", " "), label.replace("’", "'").casefold()):
            return key
    return _ALIASES.get(said)


def unknown_mark(record: ClassRecord) -> str:
    """That no pupil has a mark, and which marks there are."""
    marks = ", ".join(pupil.mark for pupil in record.pupils) or say("none yet")
    # initials often end with a full stop of their own
    return say("No pupil has this mark. In the record: {marks}.", marks=marks.removesuffix("."))


def _with_row(
    record: ClassRecord, row: _Row, story: str, moments: Sequence[str]
) -> tuple[ClassRecord, tuple[str, str, Slip, Note] | None]:
    told_on = day(row.get("date"))
    pupil = record.marked(row.get("pupil"))
    if pupil is None:
        raise NotUnderstoodError("pupil", unknown_mark(record))
    title = row.get(STORY) or story
    moment = moment_named(row.get("moment"), moments if title == story else ())
    telling = _telling(record, row, told_on, title, moments if title == story else ())
    slip = telling.slip(pupil.id) or Slip(pupil.id)
    note = Note(
        moment,
        one_of("answer", row.get("answer"), Answer),
        ticked(row.get("before_cue")),
        row.get("words"),
        one_of("support", row.get("support"), Support),
        row.get("time"),
        areas(row.get("areas")),
        row.get("context"),
    )
    filled = evolve(
        slip,
        observer=slip.observer or row.get("observer"),
        alertness=slip.alertness or one_of("alertness", row.get("alertness"), Alertness),
        position=slip.position or position(row.get("position")),
    )
    held = slip.note(moment)
    if note.is_blank or held == note:
        return record, None
    if not held.is_blank:
        raise NotUnderstoodError(
            "moment", say("The record has another note on this moment, and keeps it.")
        )
    record = with_telling(record, telling)
    record = with_slip(record, telling.id, with_note(filled, note, telling.moments))
    number = say(", telling {number}", number=telling.number) if telling.number is not None else ""
    return record, (f"{telling.date.isoformat()}{number}", pupil.mark, filled, note)


def _telling(
    record: ClassRecord, row: _Row, told_on: date, story: str, moments: Sequence[str]
) -> KeptTelling:
    said = row.get("number")
    if said and not said.isdecimal():
        raise NotUnderstoodError("number", say("Write the telling’s number in figures, such as 3."))
    number = int(said) if said else None
    for each in record.tellings:
        same_number = number is None or each.number == number
        if each.date == told_on and each.story == story and same_number:
            return (
                each if each.there or not row.get("there") else evolve(each, there=row.get("there"))
            )
    counted = next_number(record, story) if number is None else number
    return KeptTelling(new_id(), told_on, counted, story, row.get("there"), tuple(moments))
