"""Changes to a class record: pure functions, record in, record out."""

import secrets
from collections.abc import Iterable
from datetime import date

from attrs import evolve

from tapscore.records.model import ClassRecord, KeptTelling, Note, Pupil, Slip, Term
from tapscore.records.note_cells import NotUnderstoodError, day
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date

LONGEST_MARK = 12
"""A mark is a few letters; a whole name does not fit, on purpose."""


def new_id() -> str:
    """A name that nobody has to read."""
    return secrets.token_hex(6)


def mark_trouble(record: ClassRecord, mark: str, pupil_id: str = "") -> str:
    """Why a mark can't be a pupil's; empty if it can."""
    wanted = " ".join(mark.split())
    if not wanted:
        return say("Write initials, or any short mark that your school uses.")
    if len(wanted) > LONGEST_MARK:
        return say(
            "A mark has {most} letters at most: initials, not a name.",
            most=LONGEST_MARK,
        )
    held = record.marked(wanted)
    if held is not None and held.id != pupil_id:
        return say("“{wanted}” is taken. Write one of the two differently.", wanted=wanted)
    return ""


def with_pupil(record: ClassRecord, pupil: Pupil) -> ClassRecord:
    """Add a pupil, or put one in the place of the one with the same id."""
    if record.pupil(pupil.id) is None:
        return evolve(record, pupils=(*record.pupils, pupil))
    changed = tuple(pupil if each.id == pupil.id else each for each in record.pupils)
    return evolve(record, pupils=changed)


def without_pupil(record: ClassRecord, pupil_id: str) -> ClassRecord:
    """Take a pupil out, with every slip."""
    tellings = tuple(
        evolve(each, slips=tuple(slip for slip in each.slips if slip.pupil != pupil_id))
        for each in record.tellings
    )
    kept = tuple(pupil for pupil in record.pupils if pupil.id != pupil_id)
    return evolve(record, pupils=kept, tellings=tellings)


def with_telling(record: ClassRecord, telling: KeptTelling) -> ClassRecord:
    """Add a telling, or put one in the place of the one with the same id; in order of date."""
    others = [each for each in record.tellings if each.id != telling.id]
    return evolve(record, tellings=tuple(sorted([*others, telling], key=telling_order)))


def without_telling(record: ClassRecord, telling_id: str) -> ClassRecord:
    """Take a telling out, with every slip of it."""
    kept = tuple(each for each in record.tellings if each.id != telling_id)
    return evolve(record, tellings=kept)


def telling_order(telling: KeptTelling) -> tuple[date, int]:
    """Tellings by date, those of one day by number."""
    return telling.date, telling.number or 0


def with_slip(record: ClassRecord, telling_id: str, slip: Slip) -> ClassRecord:
    """Put a pupil's slip into a telling; blank notes are left out, an empty slip goes."""
    written = evolve(slip, notes=tuple(note for note in slip.notes if not note.is_blank))
    said = written != Slip(slip.pupil, slip.observer)

    def put(telling: KeptTelling) -> KeptTelling:
        slips = [each for each in telling.slips if each.pupil != slip.pupil]
        return evolve(telling, slips=(*slips, written) if said else tuple(slips))

    return evolve(
        record,
        tellings=tuple(put(each) if each.id == telling_id else each for each in record.tellings),
    )


def with_note(slip: Slip, note: Note, order: Iterable[str] = ()) -> Slip:
    """Put a note into a slip, in the order of the story's moments."""
    names = {name: number for number, name in enumerate(order)}
    notes = [each for each in slip.notes if each.moment != note.moment] + [note]
    notes.sort(key=lambda each: names.get(each.moment, len(names)))
    return evolve(slip, notes=tuple(notes))


def with_term(pupil: Pupil, term: Term) -> Pupil:
    """Put what was written about a term in its place; the same dates and story are the same."""
    others = [each for each in pupil.terms if _which(each) != _which(term)]
    blank = not (term.outcome or term.next_step or term.parent_line or term.kept)
    kept = others if blank else [*others, term]
    return evolve(pupil, terms=tuple(sorted(kept, key=lambda each: each.begins)))


def term_of(pupil: Pupil, begins: date, ends: date, story: str) -> Term:
    """What was written about a term, or about one that meets these dates; else a blank one."""
    blank = Term(begins, ends, story)
    meeting = (
        each
        for each in pupil.terms
        if each.story == story and each.begins <= ends and begins <= each.ends
    )
    exact = (each for each in pupil.terms if _which(each) == _which(blank))
    return next(exact, None) or next(meeting, None) or blank


def next_number(record: ClassRecord, story: str) -> int:
    """The number after the last telling of a story."""
    numbers = [each.number or 0 for each in record.tellings if each.story == story]
    return max(numbers, default=0) + 1


def clock_trouble(record: ClassRecord, today: date) -> str:
    """What to say where this computer's clock is behind the record; empty if it isn't."""
    newest = record.newest
    if newest is None or newest <= today:
        return ""
    return say(
        "This computer says it is {today}, but the newest note is of {newest}. Look "
        "at the computer’s date, or at the telling’s.",
        today=long_date(today),
        newest=long_date(newest),
    )


def keeping_reminder(record: ClassRecord, today: date) -> str:
    """What to say once the date is reached until which the record was to be kept.

    A clock that was set back does not put it off: the newest telling counts, too.
    """
    day = max(today, record.newest or today)
    if record.keep_until is None or day < record.keep_until:
        return ""
    return say(
        "This record was to be kept until {day}. Hand over or print what is still "
        "needed, then delete pupils or the file, as your school’s schedule says.",
        day=long_date(record.keep_until),
    )


def reviews_due(record: ClassRecord, today: date) -> str:
    """Whose way in was to be looked at again by today; empty if nobody's."""
    due: list[str] = []
    for pupil in record.pupils:
        try:
            wanted = day(pupil.way("review").strip())
        except NotUnderstoodError:
            continue
        if wanted <= today:
            due.append(pupil.mark)
    return say("Look again at the way in of {marks:list}.", marks=tuple(due)) if due else ""


def _which(term: Term) -> tuple[date, date, str]:
    return term.begins, term.ends, term.story
