"""Papers of a record from what the user chose: a pupil, a story, dates, some notes."""

import hashlib
from collections.abc import Collection, Container
from datetime import date
from pathlib import Path

from tapscore.exports.written.document import WrittenDocument
from tapscore.records.edits import term_of
from tapscore.records.handover import part_of
from tapscore.records.model import ClassRecord, Pupil
from tapscore.records.record_file import create_record
from tapscore.records.said import NoteKey, class_overview, stories, term_sheet
from tapscore.wording.catalogue import say
from tapscore.workflow.records import papers

MONTHS = ((1, 4), (4, 9), (9, 13))
"""First months of a British school's terms: spring, summer, autumn (common practice)."""


def term_around(day: date) -> tuple[date, date]:
    """First and last day of the term that a day is in, roughly; schools differ."""
    begin, end = next(months for months in MONTHS if months[0] <= day.month < months[1])
    after = date(day.year + (end == 13), 1 if end == 13 else end, 1)
    return date(day.year, begin, 1), date.fromordinal(after.toordinal() - 1)


def told(record: ClassRecord, story: str | None) -> str:
    """The story that is meant: the one named, or the last one told."""
    return story if story is not None else next(iter(stories(record)), "")


def span(
    record: ClassRecord, story: str, begins: date | None, ends: date | None
) -> tuple[date, date]:
    """The dates that are meant: what is not said reaches to the first or last telling."""
    days = [each.date for each in record.tellings if each.story == story] or [date.today()]
    return begins or min(days), ends or max(days)


def term_sheet_of(
    record: ClassRecord,
    pupil: Pupil,
    story: str | None = None,
    begins: date | None = None,
    ends: date | None = None,
) -> WrittenDocument:
    """The term sheet of a pupil."""
    title = told(record, story)
    days = span(record, title, begins, ends)
    sheet = term_sheet(record, pupil, title, *days)
    return papers.term_paper(sheet, term_of(pupil, *days, title))


def review_of(
    record: ClassRecord,
    pupil: Pupil,
    story: str | None = None,
    begins: date | None = None,
    ends: date | None = None,
    *,
    only: Container[NoteKey] | None = None,
) -> WrittenDocument:
    """Notes of a pupil for a review: all between the dates, or ``only`` some."""
    title = told(record, story)
    days = span(record, title, begins, ends)
    sheet = term_sheet(record, pupil, title, *days, only=only)
    return papers.review_paper(sheet, term_of(pupil, *days, title))


def class_paper_of(
    record: ClassRecord,
    story: str | None = None,
    begins: date | None = None,
    ends: date | None = None,
) -> WrittenDocument:
    """The overview of the class."""
    title = told(record, story)
    days = span(record, title, begins, ends)
    return papers.class_paper(record, title, class_overview(record, title, *days), *days)


def hand_over(
    record: ClassRecord,
    pupils: Collection[Pupil],
    path: Path,
    passphrase: str,
    to: str,
    on: date,
) -> WrittenDocument:
    """Write some pupils into a record of its own; gives the receipt.

    Raises as ``create_record`` does.
    """
    part = part_of(
        record, {pupil.id for pupil in pupils}, say("Handed over from {label}", label=record.label)
    )
    create_record(path, passphrase, part).close()
    fingerprint = hashlib.sha256(path.read_bytes()).hexdigest()
    return papers.receipt(part, path.name, fingerprint, on, to)
