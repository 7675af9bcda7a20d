"""Some pupils' part of a record for the next class or school, and taking such a part in."""

import re
from collections.abc import Collection

from attrs import evolve

from tapscore.records.edits import with_pupil, with_telling
from tapscore.records.model import ClassRecord, Pupil
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date


def part_of(record: ClassRecord, pupil_ids: Collection[str], label: str) -> ClassRecord:
    """A record of these pupils alone.

    Who was there is left out: it is about adults, and may speak of other pupils.
    """
    pupils = tuple(pupil for pupil in record.pupils if pupil.id in pupil_ids)
    tellings = (
        evolve(each, there="", slips=tuple(slip for slip in each.slips if slip.pupil in pupil_ids))
        for each in record.tellings
    )
    return ClassRecord(label, None, "", pupils, tuple(each for each in tellings if each.slips))


def joined(record: ClassRecord, other: ClassRecord) -> tuple[ClassRecord, tuple[str, ...]]:
    """Take another record's pupils in; gives a sentence on each that could not be.

    A pupil whose mark is taken by another one, or who is here already, is left out.
    """
    said: list[str] = []
    taken: set[str] = set()
    for pupil in other.pupils:
        held = record.marked(pupil.mark)
        if record.pupil(pupil.id) is not None:
            said.append(say("{mark} is here already and was not taken in again.", mark=pupil.mark))
        elif held is not None:
            said.append(
                say(
                    "{mark} was not taken in: another pupil has this mark. Change that mark, "
                    "then take in again.",
                    mark=pupil.mark,
                )
            )
        else:
            record = with_pupil(record, pupil)
            taken.add(pupil.id)
    for telling in other.tellings:
        slips = tuple(slip for slip in telling.slips if slip.pupil in taken)
        if slips:
            here = record.telling(telling.id) or evolve(telling, slips=())
            record = with_telling(record, evolve(here, slips=(*here.slips, *slips)))
    return record, tuple(said)


def speaks_of_others(
    record: ClassRecord, about: Collection[Pupil], others: Collection[Pupil]
) -> tuple[str, ...]:
    """Where words kept with some pupils speak of ``others`` by their mark, as sentences."""
    found: list[str] = []
    ids = {pupil.id for pupil in about}
    for other in others:
        mark = re.compile(rf"(?<!\w){re.escape(other.mark)}(?!\w)", re.I)
        where = [
            say("in the way in of {mark}", mark=p.mark) for p in about if mark.search(_own_words(p))
        ]
        where += [
            say("in a note of {day}", day=long_date(telling.date))
            for telling in record.tellings
            for slip in telling.slips
            if slip.pupil in ids
            for note in slip.notes
            if mark.search(f"{note.words} {note.context}")
        ]
        found += [
            say("{mark} stands {place}.", mark=other.mark, place=place)
            for place in dict.fromkeys(where)
        ]
    return tuple(found)


def told_with(record: ClassRecord, pupil: Pupil) -> tuple[str, ...]:
    """Where a pupil's mark stands in what is not the pupil's own, as sentences."""
    mark = re.compile(rf"(?<!\w){re.escape(pupil.mark)}(?!\w)", re.I)
    others = [each for each in record.pupils if each.id != pupil.id]
    found = list(speaks_of_others(record, others, (pupil,)))
    found += [
        say(
            "{mark} stands in who was there on {day}.",
            mark=pupil.mark,
            day=long_date(telling.date),
        )
        for telling in record.tellings
        if mark.search(telling.there)
    ]
    if mark.search(f"{record.next_story} {record.label}"):
        found.append(
            say("{mark} stands in what the next story should keep, or the label.", mark=pupil.mark)
        )
    return tuple(found)


def _own_words(pupil: Pupil) -> str:
    terms = (
        f"{term.outcome} {term.next_step} {term.parent_line} {term.kept}" for term in pupil.terms
    )
    return " ".join((*(text for _, text in pupil.way_in), *terms))
