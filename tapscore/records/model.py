"""What a class record holds.  Frozen; nothing in it shows when it is printed for programmers.

A traceback or a log must not carry a pupil's mark or a note's words, so no attribute is in
any ``repr``.
"""

from datetime import date

from attrs import field, frozen

from tapscore.model.observing import Alertness, Answer, Support


@frozen(repr=False)
class Note:
    """What was seen of one pupil at one moment of one telling."""

    moment: str
    """The moment's name, as the story has it."""
    answer: Answer | None = None
    before_cue: bool = False
    words: str = ""
    support: Support | None = None
    time: str = ""
    """As written: ``8``, ``about 20 s``, ``in the next line``."""
    areas: tuple[str, ...] = ()
    context: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written."""
        return self == Note(self.moment)


@frozen(repr=False)
class Slip:
    """One pupil's notes of one telling."""

    pupil: str
    """The pupil's id."""
    observer: str = ""
    alertness: Alertness | None = None
    position: str = ""
    notes: tuple[Note, ...] = ()

    def note(self, moment: str) -> Note:
        """The note on a moment; a blank one if there is none."""
        return next((note for note in self.notes if note.moment == moment), Note(moment))


@frozen(repr=False)
class KeptTelling:
    """One telling of a story."""

    id: str
    date: date
    number: int | None = None
    story: str = ""
    there: str = ""
    """Who was there, as written."""
    moments: tuple[str, ...] = ()
    """Names of the moments that the story had then, in its order."""
    slips: tuple[Slip, ...] = ()

    def slip(self, pupil: str) -> Slip | None:
        """The slip of a pupil."""
        return next((slip for slip in self.slips if slip.pupil == pupil), None)


@frozen(repr=False)
class Term:
    """What adults wrote about one pupil's term."""

    begins: date
    ends: date
    story: str = ""
    outcome: str = ""
    next_step: str = ""
    parent_line: str = ""
    kept: str = ""
    """Where the paper is kept, and until when."""


@frozen(repr=False)
class Pupil:
    """One pupil, by whatever short mark the school uses."""

    id: str
    mark: str
    place: str = ""
    """The letter of the pupil's place on the board; linked to the mark here alone."""
    way_in: tuple[tuple[str, str], ...] = ()
    """What is filled in of the way in, by the keys of ``way_in.WAY_IN``."""
    terms: tuple[Term, ...] = ()

    def way(self, key: str) -> str:
        """What the way in says under a key."""
        return dict(self.way_in).get(key, "")


@frozen(repr=False)
class ClassRecord:
    """One class and year."""

    label: str
    keep_until: date | None = None
    next_story: str = ""
    """What the next story should keep, as the adults wrote it."""
    pupils: tuple[Pupil, ...] = ()
    tellings: tuple[KeptTelling, ...] = field(default=())

    def pupil(self, pupil_id: str) -> Pupil | None:
        """The pupil with that id."""
        return next((pupil for pupil in self.pupils if pupil.id == pupil_id), None)

    def marked(self, mark: str) -> Pupil | None:
        """The pupil with that mark, small letters or large."""
        wanted = mark.strip().casefold()
        return next((pupil for pupil in self.pupils if pupil.mark.casefold() == wanted), None)

    def telling(self, telling_id: str) -> KeptTelling | None:
        """The telling with that id."""
        return next((each for each in self.tellings if each.id == telling_id), None)

    @property
    def newest(self) -> date | None:
        """The date of the last telling."""
        return max((telling.date for telling in self.tellings), default=None)
