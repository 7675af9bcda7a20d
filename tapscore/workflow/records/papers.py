"""Papers of a class record, as documents: way in, term sheet, review, class, receipt.

Every sentence about a pupil is somebody's own words with date and observer.  Nothing is
counted, and ``no response seen`` stands like any other answer.
"""

from collections.abc import Sequence
from datetime import date

from tapscore.exports.written.document import (
    NOTHING,
    Heading,
    Part,
    ToFill,
    Words,
    WrittenDocument,
    WrittenTable,
)
from tapscore.records.model import ClassRecord, Pupil, Term
from tapscore.records.said import MomentAcross, NoteSaid, TermSheet
from tapscore.records.way_in import GROUPS, WAY_IN
from tapscore.wording.catalogue import say
from tapscore.wording.dates import day_and_month, long_date
from tapscore.wording.grammar import quoted

AGREE = say(
    "Everyone may come away at any time. What is not said here: ask who looks after the pupil."
)
DASH = say("{nothing} nothing written", nothing=NOTHING)
BESIDE_PT = 14.0
"""Capitals of 22 minutes of arc at half a metre need 12.7 points (ISO 9241-3)."""
OWN_WORDS = say("The words are the observers’ own.")
OVERVIEW_SAYS = say(
    "This speaks of the story, not of the pupils: a moment that nobody answered may need a longer"
    " wait, another cue or another place in the story."
)


def way_in_sheet(pupil: Pupil) -> WrittenDocument:
    """The sheet for the adult beside a pupil; what is not filled in is left out."""
    parts: list[Part] = []
    for group in GROUPS:
        said = [
            Words(pupil.way(each.key), f"{each.label}:")
            for each in WAY_IN
            if each.group == group and pupil.way(each.key)
        ]
        if said:
            parts += [Heading(group), *said]
    if not pupil.way("agreed_with"):
        parts.append(ToFill(say("Agreed with, on")))
    if not pupil.way("review"):
        parts.append(ToFill(say("Look at it again on")))
    place = say(", place {place}", place=pupil.place) if pupil.place else ""
    parts.append(Words(AGREE))
    return WrittenDocument(
        say("Way in: {mark}{place}", mark=pupil.mark, place=place),
        say("For the adult beside this pupil"),
        tuple(parts),
        paper="A5",
        text_pt=BESIDE_PT,
        subject=say("Way in to the story"),
    )


def blank_way_in() -> WrittenDocument:
    """The sheet to fill in by hand."""
    parts: list[Part] = [ToFill(say("Pupil’s initials, place"))]
    for group in GROUPS:
        parts.append(Heading(group))
        parts += [ToFill(each.label, each.lines) for each in WAY_IN if each.group == group]
    parts.append(Words(AGREE))
    return WrittenDocument(
        say("Way in"),
        say("One pupil, no diagnosis"),
        tuple(parts),
        paper="A5",
        subject=say("Way in to the story"),
    )


def term_paper(sheet: TermSheet, term: Term) -> WrittenDocument:
    """One pupil's term: telling by telling, by area, by moment, and what adults add by hand."""
    heads = (say("Moment"), *(_told(each.date, each.number) for each in sheet.tellings))
    grid = tuple((moment, *cells) for moment, cells in sheet.grid)
    parts: list[Part] = []
    if grid:
        parts += [Heading(say("Telling by telling")), WrittenTable(heads, grid), Words(DASH)]
    parts += _quotations(sheet)
    parts += _by_hand(term)
    return WrittenDocument(
        f"{sheet.pupil.mark}: {sheet.story}",
        _from_to(sheet.label, term.begins, term.ends),
        tuple(parts),
        landscape=True,
        subject=say("Term sheet"),
    )


def review_paper(sheet: TermSheet, term: Term) -> WrittenDocument:
    """Chosen notes of one pupil, for an annual review or an evening with parents."""
    parts = [*_quotations(sheet), *_by_hand(term), ToFill(say("Talked over with, on"), 2)]
    return WrittenDocument(
        say("{mark}: what was seen", mark=sheet.pupil.mark),
        f"{_from_to(sheet.label, term.begins, term.ends)}. {sheet.story}. {OWN_WORDS}",
        tuple(parts),
        subject=say("Notes for a review"),
    )


def class_paper(
    record: ClassRecord, story: str, rows: Sequence[MomentAcross], begins: date, ends: date
) -> WrittenDocument:
    """Which moments were answered by whom, and which nobody answered."""
    table = tuple((row.moment, answered_words(row)) for row in rows)
    parts: list[Part] = [Words(OVERVIEW_SAYS)]
    if table:
        parts.append(WrittenTable((say("Moment"), say("Answered at least once by")), table))
    parts.append(Heading(say("What the next story should keep")))
    parts.append(Words(record.next_story) if record.next_story else ToFill(say("Keep"), 3))
    return WrittenDocument(
        say("{story}: moments and answers", story=story),
        _from_to(record.label, begins, ends),
        tuple(parts),
        subject=say("Class overview"),
    )


def answered_words(row: MomentAcross) -> str:
    """Who answered a moment, or that nobody did, or that it did not come up."""
    if row.answered_by:
        return ", ".join(row.answered_by)
    return say("nobody yet") if row.nobody else say("not offered, or nothing written")


def receipt(
    part: ClassRecord, file_name: str, fingerprint: str, on: date, to: str
) -> WrittenDocument:
    """What both sides sign when pupils' notes go to another class or school."""
    marks = ", ".join(pupil.mark for pupil in part.pupils)
    parts: tuple[Part, ...] = (
        Words(marks, say("Pupils, by their marks:")),
        Words(file_name, say("File:")),
        Words(fingerprint, say("Fingerprint (SHA-256) of the file:")),
        Words(long_date(on), say("Written on:")),
        Words(to, say("For:")) if to else ToFill(say("For")),
        Words(
            say(
                "The passphrase goes another way than the file, and to one person: by word of mouth"
                " or by telephone. Without it nobody can open the file, nor can we."
            )
        ),
        ToFill(say("Handed over by, on")),
        ToFill(say("Received and opened by, on")),
        ToFill(say("Our own copy is deleted on")),
    )
    return WrittenDocument(say("Handed over"), part.label, parts, subject=say("Receipt"))


def said_line(said: NoteSaid, *, moment: bool) -> tuple[str, str]:
    """A note as it is printed: the date, then its words, ticks and observer."""
    note = said.note
    words = quoted(note.words.strip()) if note.words.strip() else ""
    who = say("seen by {observer}", observer=said.slip.observer) if said.slip.observer else ""
    ticks = "; ".join(part for part in (said.what, said.how, who) if part)
    context = (
        say(". Also going on: “{words}”", words=note.context.strip())
        if note.context.strip()
        else ""
    )
    where = f"{note.moment}: " if moment else ""
    body = f"{words} ({ticks})" if words and ticks else words or ticks
    return long_date(said.telling.date), f"{where}{body}{context}"


def _quotations(sheet: TermSheet) -> list[Part]:
    parts: list[Part] = []
    if sheet.by_area:
        parts.append(Heading(say("By area")))
        for area, found in sheet.by_area:
            parts.append(Words("", area))
            parts += [_set_in(said, moment=True) for said in found]
    parts.append(Heading(say("By moment of the story")))
    for moment, found in sheet.by_moment:
        parts.append(Words("", moment))
        parts += [_set_in(said, moment=False) for said in found]
    if not sheet.by_moment:
        parts.append(Words(say("No notes between these dates.")))
    return parts


def _set_in(said: NoteSaid, *, moment: bool) -> Words:
    day, line = said_line(said, moment=moment)
    return Words(line, day, set_in=True)


def _by_hand(term: Term) -> list[Part]:
    parts: list[Part] = []
    for label, words in (
        (say("Intended outcome"), term.outcome),
        (say("Next steps"), term.next_step),
        (say("In the parent’s or carer’s words"), term.parent_line),
        (say("Kept where, until when"), term.kept),
    ):
        parts.append(Words(words, f"{label}:") if words else ToFill(label, 2))
    return parts


def _told(day: date, number: int | None) -> str:
    return day_and_month(day) + (f" ({number})" if number is not None else "")


def _from_to(label: str, begins: date, ends: date) -> str:
    return say(
        "{label}, {begin} to {end}",
        label=label,
        begin=long_date(begins),
        end=long_date(ends),
    )
