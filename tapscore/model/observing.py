"""What is noted of a telling, and in which order: the paper slip and the screen both follow it.

The words are common practice in schools (no source); the areas are the published ones.
"""

from enum import Enum

from attrs import frozen

from tapscore.model.comfort import STAGE_WORDS
from tapscore.model.curriculum import ENGAGEMENT_AREAS
from tapscore.wording.terms import term


class Answer(Enum):
    """What came of a moment; none of them is better than another."""

    SEEN = "answered"
    NOT_SEEN = "no response seen"
    AWAY = "came away"
    NOT_OFFERED = "not offered"


class Alertness(Enum):
    """How a pupil was."""

    ALERT = "alert"
    SLEEPY = "sleepy"
    UNSETTLED = "unsettled"


class Support(Enum):
    """What help there was."""

    INDEPENDENT = "independent"
    TOUCH = "touch support"
    HAND_UNDER_HAND = "hand under hand"
    PROMPT = "physical prompt"


POSITIONS = (*reversed(STAGE_WORDS), "in a frame or chair")
"""Where a pupil was."""


class Holds(Enum):
    """What an entry of the slip is said of."""

    TELLING = "telling"
    PUPIL = "pupil"
    MOMENT = "moment"


class Entry(Enum):
    """How an entry is filled in."""

    WORDS = "words"
    MANY_WORDS = "many words"
    ONE_OF = "one of"
    SOME_OF = "some of"
    TICK = "tick"


@frozen
class SlipField:
    """One entry of the slip."""

    key: str
    label: str
    holds: Holds
    entry: Entry = Entry.WORDS
    choices: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """The label as it is shown; tables of notes have ``label`` as a heading."""
        return term(self.label)


def _words(kind: type[Enum]) -> tuple[str, ...]:
    return tuple(str(each.value) for each in kind)


SLIP = (
    SlipField("date", "Date", Holds.TELLING),
    SlipField("number", "Telling number", Holds.TELLING),
    SlipField("there", "Who was there", Holds.TELLING),
    SlipField("pupil", "Pupil’s initials", Holds.PUPIL),
    SlipField("observer", "Seen by", Holds.PUPIL),
    SlipField("alertness", "The pupil was", Holds.PUPIL, Entry.ONE_OF, _words(Alertness)),
    SlipField("position", "Position", Holds.PUPIL, Entry.ONE_OF, POSITIONS),
    SlipField("moment", "Moment", Holds.MOMENT),
    SlipField("answer", "Answer", Holds.MOMENT, Entry.ONE_OF, _words(Answer)),
    SlipField("before_cue", "before the cue", Holds.MOMENT, Entry.TICK),
    SlipField("words", "Seen", Holds.MOMENT, Entry.MANY_WORDS),
    SlipField("support", "Support", Holds.MOMENT, Entry.ONE_OF, _words(Support)),
    SlipField("time", "Time to answer", Holds.MOMENT),
    SlipField("areas", "Areas", Holds.MOMENT, Entry.SOME_OF, ENGAGEMENT_AREAS),
    SlipField("context", "What else was going on", Holds.MOMENT),
)
"""Every entry, in the slip's order."""


def slip_field(key: str) -> SlipField:
    """The entry called ``key``."""
    return next(field for field in SLIP if field.key == key)
