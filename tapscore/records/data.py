"""A class record as JSON, there and back."""

import json
from datetime import date
from typing import Any

from tapscore.model.observing import Alertness, Answer, Support
from tapscore.records.model import ClassRecord, KeptTelling, Note, Pupil, Slip, Term
from tapscore.records.sealed import DamagedError, NewerError
from tapscore.wording.catalogue import say

VERSION = 1


def to_json(record: ClassRecord) -> bytes:
    """Write what is not empty."""
    data = {
        "class record": VERSION,
        "label": record.label,
        "keep until": record.keep_until.isoformat() if record.keep_until else None,
        "next story": record.next_story,
        "pupils": [_pupil_data(pupil) for pupil in record.pupils],
        "tellings": [_telling_data(telling) for telling in record.tellings],
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode(
        "utf-8", "surrogatepass"
    )


def from_json(text: bytes) -> ClassRecord:
    """Read it back; raises SealError where it is not what ``to_json`` writes."""
    try:
        data = json.loads(text.decode("utf-8", "surrogatepass"))
        version = data["class record"]
        if version > VERSION:
            raise NewerError(say("A newer tapscore wrote it. Open it with that version."))
        kept = data["keep until"]
        return ClassRecord(
            data["label"],
            date.fromisoformat(kept) if kept else None,
            data["next story"],
            tuple(_pupil(each) for each in data["pupils"]),
            tuple(_telling(each) for each in data["tellings"]),
        )
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        # not chained: what was read must not stand in a traceback
        raise DamagedError(say("What is in it is not a class record. Take a backup.")) from None


def _pupil_data(pupil: Pupil) -> dict[str, Any]:
    return {
        "id": pupil.id,
        "mark": pupil.mark,
        "place": pupil.place,
        "way in": dict(pupil.way_in),
        "terms": [
            {
                "from": term.begins.isoformat(),
                "to": term.ends.isoformat(),
                "story": term.story,
                "outcome": term.outcome,
                "next": term.next_step,
                "parent": term.parent_line,
                "kept": term.kept,
            }
            for term in pupil.terms
        ],
    }


def _pupil(data: dict[str, Any]) -> Pupil:
    return Pupil(
        data["id"],
        data["mark"],
        data["place"],
        tuple(data["way in"].items()),
        tuple(
            Term(
                date.fromisoformat(each["from"]),
                date.fromisoformat(each["to"]),
                each["story"],
                each["outcome"],
                each["next"],
                each["parent"],
                each["kept"],
            )
            for each in data["terms"]
        ),
    )


def _telling_data(telling: KeptTelling) -> dict[str, Any]:
    place = {name: number for number, name in enumerate(telling.moments)}
    return {
        "id": telling.id,
        "date": telling.date.isoformat(),
        "number": telling.number,
        "story": telling.story,
        "there": telling.there,
        "moments": telling.moments,
        "slips": [
            [
                slip.pupil,
                slip.observer,
                slip.alertness.value if slip.alertness else "",
                slip.position,
                [_note_data(note, place) for note in slip.notes],
            ]
            for slip in telling.slips
        ],
    }


def _note_data(note: Note, place: dict[str, int]) -> list[Any]:
    """The moment by its place among the telling's, or by its name if it has none there."""
    return [
        place.get(note.moment, note.moment),
        note.answer.value if note.answer else "",
        int(note.before_cue),
        note.words,
        note.support.value if note.support else "",
        note.time,
        note.areas,
        note.context,
    ]


def _telling(data: dict[str, Any]) -> KeptTelling:
    names = tuple(data["moments"])
    slips: list[Slip] = []
    for pupil, observer, alertness, position, notes in data["slips"]:
        made = tuple(_note(each, names) for each in notes)
        how = Alertness(alertness) if alertness else None
        slips.append(Slip(pupil, observer, how, position, made))
    return KeptTelling(
        data["id"],
        date.fromisoformat(data["date"]),
        data["number"],
        data["story"],
        data["there"],
        names,
        tuple(slips),
    )


def _note(data: list[Any], names: tuple[str, ...]) -> Note:
    moment, answer, before, words, support, time, areas, context = data
    return Note(
        names[moment] if isinstance(moment, int) else moment,
        Answer(answer) if answer else None,
        bool(before),
        words,
        Support(support) if support else None,
        time,
        tuple(areas),
        context,
    )
