"""Notes put side by side: by moment, by area, by pupil.  Nothing is added up or judged.

Whatever is printed of a note is the note's own words, with its date and who saw it.
"""

from collections.abc import Container, Iterable
from datetime import date

from attrs import frozen

from tapscore.model.curriculum import ENGAGEMENT_AREAS, EYFS_AREAS
from tapscore.model.observing import Answer
from tapscore.records.model import ClassRecord, KeptTelling, Note, Pupil, Slip
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

NoteKey = tuple[str, str]
"""A telling's id and a moment's name."""


@frozen(repr=False)
class NoteSaid:
    """One note with what it was part of."""

    telling: KeptTelling
    slip: Slip
    note: Note

    @property
    def key(self) -> NoteKey:
        """What names it among one pupil's notes."""
        return self.telling.id, self.note.moment

    @property
    def what(self) -> str:
        """The ticks on the slip, in words: ``answered before the cue, touch support``."""
        note = self.note
        answer = term(note.answer.value) if note.answer else ""
        if note.before_cue:
            answer = say("{answer:=|*={answer} }before the cue", answer=answer or None)
        return ", ".join(part for part in (answer, self.support, self.time) if part)

    @property
    def support(self) -> str:
        """What help there was."""
        return term(self.note.support.value) if self.note.support else ""

    @property
    def time(self) -> str:
        """Time to answer, as written; a bare number is seconds."""
        time = self.note.time.strip()
        if not time:
            return ""
        if time.replace(".", "", 1).isdecimal():
            return say("after {seconds} s", seconds=time)
        return say("after {time}", time=time)

    @property
    def how(self) -> str:
        """How and where the pupil was."""
        alertness = term(self.slip.alertness.value) if self.slip.alertness else ""
        return ", ".join(part for part in (alertness, term(self.slip.position)) if part)


@frozen(repr=False)
class TermSheet:
    """One pupil, one story, a stretch of dates."""

    pupil: Pupil
    label: str
    """The class."""
    story: str
    tellings: tuple[KeptTelling, ...]
    grid: tuple[tuple[str, tuple[str, ...]], ...]
    """Moments down, tellings across: the words ticked; empty where nothing was written."""
    by_area: tuple[tuple[str, tuple[NoteSaid, ...]], ...]
    """Notes with words under each area they are tagged with, by moment and date."""
    by_moment: tuple[tuple[str, tuple[NoteSaid, ...]], ...]
    """Every note, ``no response seen`` as much as any other, by moment and date."""


def term_sheet(
    record: ClassRecord,
    pupil: Pupil,
    story: str,
    begins: date,
    ends: date,
    *,
    only: Container[NoteKey] | None = None,
) -> TermSheet:
    """Put one pupil's notes of one story side by side; of all notes, or ``only`` of some."""
    tellings = within(record, story, begins, ends)
    order = moment_order(tellings)
    said = [
        NoteSaid(telling, slip, note)
        for telling in tellings
        if (slip := telling.slip(pupil.id)) is not None
        for note in slip.notes
        if only is None or (telling.id, note.moment) in only
    ]
    by_moment = {moment: [each for each in said if each.note.moment == moment] for moment in order}
    grid = tuple(
        (moment, tuple(_cell(tellings_said, telling) for telling in tellings))
        for moment, tellings_said in by_moment.items()
    )
    by_area: list[tuple[str, tuple[NoteSaid, ...]]] = []
    tags = dict.fromkeys(
        (*ENGAGEMENT_AREAS, *EYFS_AREAS, *(tag for each in said for tag in each.note.areas))
    )
    for area in tags:
        tagged = tuple(
            each
            for moment in order
            for each in by_moment[moment]
            if area in each.note.areas and each.note.words
        )
        if tagged:
            by_area.append((area, tagged))
    return TermSheet(
        pupil,
        record.label,
        story,
        tellings,
        grid,
        tuple(by_area),
        tuple((moment, tuple(found)) for moment, found in by_moment.items() if found),
    )


@frozen(repr=False)
class MomentAcross:
    """One moment across the class: this speaks of the story."""

    moment: str
    answered_by: tuple[str, ...]
    """Marks of pupils who answered at least once."""
    was_offered: bool

    @property
    def nobody(self) -> bool:
        """Whether it was offered, and nobody answered as far as was written."""
        return self.was_offered and not self.answered_by


def class_overview(
    record: ClassRecord, story: str, begins: date, ends: date
) -> tuple[MomentAcross, ...]:
    """Which moments were answered by whom, and which nobody answered."""
    tellings = within(record, story, begins, ends)
    answered: dict[str, set[str]] = {}
    offered: set[str] = set()
    for telling in tellings:
        for slip in telling.slips:
            for note in slip.notes:
                if note.answer is Answer.SEEN:
                    answered.setdefault(note.moment, set()).add(slip.pupil)
                if note.answer is not None and note.answer is not Answer.NOT_OFFERED:
                    offered.add(note.moment)
    return tuple(
        MomentAcross(
            moment,
            tuple(p.mark for p in record.pupils if p.id in answered.get(moment, ())),
            moment in offered,
        )
        for moment in moment_order(tellings)
    )


def within(record: ClassRecord, story: str, begins: date, ends: date) -> tuple[KeptTelling, ...]:
    """Tellings of a story between two dates, both included, in their order."""
    return tuple(
        each for each in record.tellings if each.story == story and begins <= each.date <= ends
    )


def stories(record: ClassRecord) -> tuple[str, ...]:
    """Titles of the stories that were told, the last one first."""
    return tuple(dict.fromkeys(each.story for each in reversed(record.tellings)))


def moment_order(tellings: Iterable[KeptTelling]) -> tuple[str, ...]:
    """Every moment of some tellings, in the order of the last one's story."""
    names: dict[str, None] = {}
    for telling in reversed(tuple(tellings)):
        names.update(dict.fromkeys(telling.moments))
        for slip in telling.slips:
            names.update(dict.fromkeys(note.moment for note in slip.notes))
    return tuple(names)


def noted_moments(record: ClassRecord, story: str) -> frozenset[str]:
    """Moments of a story that somebody wrote a note on."""
    return frozenset(
        note.moment
        for telling in record.tellings
        if telling.story == story
        for slip in telling.slips
        for note in slip.notes
    )


def _cell(said: list[NoteSaid], telling: KeptTelling) -> str:
    note = next((each.note for each in said if each.telling is telling), None)
    if note is None:
        return ""
    if note.answer is None:
        return say("see below")
    answer = term(note.answer.value)
    return say("{answer} before the cue", answer=answer) if note.before_cue else answer
