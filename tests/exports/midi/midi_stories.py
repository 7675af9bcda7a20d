"""Stories built in Python for the tests of the click guide."""

from collections.abc import Iterable
from fractions import Fraction

from hypothesis import strategies as st

from tapscore.model.lane import Cell, Lane, Mark, Step
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import SUPPORTED, Metre, parse_metre
from tapscore.model.story import (
    Entrance,
    Item,
    Line,
    Offer,
    Prop,
    Refrain,
    RefrainUse,
    Role,
    Section,
    Story,
    Wait,
)
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance

ROLES = (Role("leader"), Role("beat-keeper"), Role("second tapper"))


def cell(letter: str) -> Cell:
    return Cell(Mark(letter.lower()), accent=letter.isupper())


def lane(*bars: str, pickup: str = "") -> Lane:
    """A bar is letters, a step each: ``x`` ``X`` ``t`` ``o`` ``.`` ``-``."""
    steps = [tuple((cell(letter),) for letter in bar) for bar in (pickup, *bars)]
    return Lane(steps[0], tuple(steps[1:]))


def metre(text: str) -> Metre:
    found = parse_metre(text)
    assert found is not None
    return found


def story(*items: Item, roles: Iterable[Role] = ROLES[:1], **manner: object) -> Story:
    refrains = (Refrain("row home", (Line("Row the lan-tern", lane("XxXx....")),)),)
    return Story(
        "A tale",
        manner=PartialManner(**manner),  # type: ignore[arg-type]
        roles=tuple(roles),
        props=(Prop("beads"),),
        refrains=refrains,
        sections=(Section("Evening", tuple(items)),),
    )


def guide_performance(told: Story) -> Performance:
    return perform(told, count_in_bars=1, longest_offer_sec=Fraction(10))


def _cells() -> st.SearchStrategy[Cell]:
    return st.builds(Cell, st.sampled_from(Mark), st.booleans())


def _steps() -> st.SearchStrategy[Step]:
    return st.lists(_cells(), min_size=1, max_size=7).map(tuple) | st.tuples(_cells())


def lanes() -> st.SearchStrategy[Lane]:
    bars = st.lists(_steps(), min_size=1, max_size=8).map(tuple)
    pickups = st.lists(_steps(), max_size=4).map(tuple)
    return st.builds(Lane, pickups, st.lists(bars, min_size=1, max_size=3).map(tuple))


def _tempos() -> st.SearchStrategy[Tempo]:
    number = st.integers(200, 3000).map(lambda tenths: Fraction(tenths, 10))
    return st.builds(Tempo, number, st.none() | number)


def _manners() -> st.SearchStrategy[PartialManner]:
    return st.builds(
        PartialManner,
        metre=st.none() | st.sampled_from(SUPPORTED).map(metre),
        tempo=st.none() | _tempos(),
        loudness=st.none() | st.lists(st.sampled_from(Loudness), min_size=1, max_size=3).map(tuple),
        stroke=st.none() | st.sampled_from(Stroke),
        by=st.sampled_from(((), ("leader",), ("everyone",), ("leader", "leader"))),
    )


def _lines() -> st.SearchStrategy[Line]:
    return st.builds(
        Line,
        st.sampled_from(("Row the lan-tern", "", "Crêpe ünd ø 船", "merry=go=round we go")),
        st.none() | lanes(),
        _manners(),
        warn_first=st.sampled_from((None, "lean in")),
        props_in=st.sampled_from(((), (Entrance("beads", "middle"),))),
        props_out=st.sampled_from(((), ("beads",))),
    )


def stories() -> st.SearchStrategy[Story]:
    waits = st.integers(1, 600).map(lambda tenths: Wait(Fraction(tenths, 10), "a look"))
    items = _lines() | waits | st.just(RefrainUse("row home")) | st.just(Offer("beads"))
    return st.builds(
        lambda items, manner, count: Story(
            "Tale",
            manner=manner,
            roles=ROLES[:count],
            props=(Prop("beads"),),
            refrains=story().refrains,
            sections=(Section("One", tuple(items[::2])), Section("Two", tuple(items[1::2]))),
        ),
        st.lists(items, max_size=6),
        _manners(),
        st.integers(0, 3),
    )
