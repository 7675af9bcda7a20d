"""Class records to test with: all invented."""

from datetime import date, timedelta
from itertools import cycle

from hypothesis import strategies as st

from tapscore.model.curriculum import AREAS
from tapscore.model.observing import POSITIONS, Alertness, Answer, Support
from tapscore.records.model import ClassRecord, KeptTelling, Note, Pupil, Slip, Term
from tapscore.records.way_in import WAY_IN

PASSPHRASE = "four wet pebbles sing"
QUICK = 14
"""log2 of scrypt's N for tests: the least that is taken, a thirtieth of a second."""
WAVE = "wait after “Splash!”"
REFRAIN = "refrain “row home”"
BEADS = "offering of beads"
MOMENTS = (REFRAIN, WAVE, BEADS)
PLANTED_MARK = "Qx7"
PLANTED_WORDS = "turned-before-the-wave-zebra"


def march(day: int) -> date:
    return date(2027, 3, day)


def small_record() -> ClassRecord:
    """Two pupils, three tellings: the same small answer on three dates."""
    kay = Pupil(
        "p1",
        PLANTED_MARK,
        "A",
        (("yes", "looks to the left"), ("wait", "20 seconds, sometimes 60")),
        (
            Term(
                march(1), march(31), "The Lantern Boat", "finds the wave", "wait longer", "At home."
            ),
        ),
    )
    em = Pupil("p2", "M.", "B")
    wave = [
        Note(WAVE, Answer.SEEN, True, PLANTED_WORDS, Support.INDEPENDENT, "8", ("anticipation",)),
        Note(
            WAVE, Answer.SEEN, False, "turned with the wave", Support.TOUCH, "", ("anticipation",)
        ),
        Note(WAVE, Answer.NOT_SEEN, False, "", None, "", (), "lift alarm in the corridor"),
    ]
    tellings = tuple(
        KeptTelling(
            f"t{number}",
            march(day),
            number,
            "The Lantern Boat",
            "AB, CD",
            MOMENTS,
            (
                Slip("p1", "AB", Alertness.ALERT, POSITIONS[0], (note,)),
                Slip("p2", "CD", None, "", (Note(BEADS, Answer.AWAY),)),
            ),
        )
        for number, day, note in zip((1, 2, 3), (3, 10, 17), wave, strict=True)
    )
    return ClassRecord("Willow, spring", date(2027, 8, 31), "keep the wave", (kay, em), tellings)


def large_record(pupils: int = 10, tellings: int = 60, moments: int = 10) -> ClassRecord:
    """A year: with ten moments, 6,000 notes."""
    names = tuple(f"wait after “line {number} of the story”" for number in range(moments))
    answers = cycle(Answer)
    supports = cycle((*Support, None))
    people = tuple(
        Pupil(f"p{number}", f"P{number}", chr(65 + number % 26)) for number in range(pupils)
    )
    made = tuple(
        KeptTelling(
            f"t{number}",
            date(2026, 9, 7) + timedelta(days=5 * number),
            number + 1,
            "The Lantern Boat",
            "AB, CD, EF",
            names,
            tuple(
                Slip(
                    pupil.id,
                    "AB",
                    Alertness.ALERT,
                    POSITIONS[0],
                    tuple(
                        Note(
                            name,
                            next(answers),
                            number % 3 == 0,
                            f"turned to the sound and stilled, telling {number}",
                            next(supports),
                            "8",
                            ("anticipation",),
                        )
                        for name in names
                    ),
                )
                for pupil in people
            ),
        )
        for number in range(tellings)
    )
    return ClassRecord("A year", None, "", people, made)


_words = st.text(st.characters(codec="utf-8"), max_size=40)
_days = st.dates(date(2020, 1, 1), date(2040, 1, 1))
_notes = st.builds(
    Note,
    _words,
    st.none() | st.sampled_from(Answer),
    st.booleans(),
    _words,
    st.none() | st.sampled_from(Support),
    _words,
    st.lists(st.sampled_from(AREAS), max_size=3, unique=True).map(tuple),
    _words,
)
_slips = st.builds(
    Slip,
    st.sampled_from(("p1", "p2")),
    _words,
    st.none() | st.sampled_from(Alertness),
    _words,
    st.lists(_notes, max_size=3).map(tuple),
)
_tellings = st.builds(
    KeptTelling,
    _words,
    _days,
    st.none() | st.integers(0, 99),
    _words,
    _words,
    st.lists(_words, max_size=3, unique=True).map(tuple),
    st.lists(_slips, max_size=2).map(tuple),
)
_terms = st.builds(Term, _days, _days, _words, _words, _words, _words, _words)
_pupils = st.builds(
    Pupil,
    st.sampled_from(("p1", "p2")),
    _words,
    _words,
    st.dictionaries(st.sampled_from([each.key for each in WAY_IN]), _words).map(
        lambda way: tuple(way.items())
    ),
    st.lists(_terms, max_size=2).map(tuple),
)
class_records = st.builds(
    ClassRecord,
    _words,
    st.none() | _days,
    _words,
    st.lists(_pupils, max_size=2).map(tuple),
    st.lists(_tellings, max_size=2).map(tuple),
)
