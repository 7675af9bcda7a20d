"""Random stories for the paper tests."""

from fractions import Fraction

from hypothesis import strategies as st

from tapscore.model.lane import Bar, Cell, Lane, Mark, TapDetail
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.story import (
    Entrance,
    Item,
    Line,
    Manner,
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
from tests.exports.paper.paper_samples import BOARD

ROLES = ("leader", "beat-keeper", "second tapper", "prop handler")
SPOTS = st.sampled_from([None, "middle", "near edge", "nowhere"])
LOUDNESS = st.sampled_from(list(Loudness))
STROKES = st.sampled_from(list(Stroke))
BY = st.sampled_from([(), ("everyone",), ("leader",), ("beat-keeper", "second tapper")])
WORDS = st.lists(
    st.sampled_from(["boat", "wa-ter", "lan-tern", "a", "o-ver-and-o-ver", "safe,", "Zoë", "—"]),
    max_size=14,
).map(" ".join)
METRES = st.sampled_from([Metre(6, 8), Metre(4, 4), Metre(3, 4)])

details = st.none() | st.builds(
    TapDetail, st.none() | LOUDNESS, st.none() | STROKES, SPOTS, st.sampled_from([(), ("leader",)])
)


@st.composite
def lanes(draw: st.DrawFn) -> Lane:
    def bar(most: int) -> Bar:
        count = draw(st.integers(0, most))
        marks = draw(st.lists(st.sampled_from(list(Mark)), min_size=count, max_size=count))
        return tuple((Cell(mark, draw(st.booleans()), draw(details)),) for mark in marks)

    return Lane(bar(3), tuple(bar(8) for _ in range(draw(st.integers(1, 4)))))


manners = st.builds(
    Manner,
    metre=st.none() | METRES,
    tempo=st.sampled_from([None, Tempo(Fraction(54)), Tempo(Fraction(60), Fraction(40))]),
    loudness=st.none() | st.lists(LOUDNESS, min_size=1, max_size=3).map(tuple),
    stroke=st.none() | STROKES,
    spot=SPOTS,
    by=BY,
)
PROPS = st.sampled_from(["beads", "cloth", "bell"])
lines = st.builds(
    Line,
    words=WORDS,
    lane=st.none() | lanes(),
    manner=manners,
    warn_first=st.sampled_from([None, "lean in"]),
    do=st.sampled_from([None, "lift the sheet"]),
    props_in=st.lists(st.builds(Entrance, PROPS, SPOTS), max_size=1).map(tuple),
    props_out=st.lists(PROPS, max_size=1).map(tuple),
    look_for=st.sampled_from([None, "a look"]),
)
plain_items: st.SearchStrategy[Item] = st.one_of(
    lines,
    st.builds(Wait, st.integers(5, 20).map(Fraction), st.sampled_from([None, "a smile"])),
    st.builds(Offer, PROPS),
)
items: st.SearchStrategy[Item] = st.one_of(
    plain_items, st.builds(RefrainUse, st.sampled_from(["home", "again"]))
)


def _story(
    home: tuple[Item, ...],
    again: tuple[Item, ...],
    sections: tuple[tuple[Item, ...], ...],
    board: bool,
) -> Story:
    return Story(
        "Random",
        manner=Manner(METRE),
        board=BOARD if board else None,
        roles=tuple(
            Role(name, seat)
            for name, seat in zip(ROLES, ("north", "east", "west", None), strict=True)
        ),
        props=(Prop("beads", cautions=("cord",)), Prop("cloth", by="leader")),
        refrains=(Refrain("home", home), Refrain("again", again)),
        sections=tuple(Section(f"Part {i}", found) for i, found in enumerate(sections, 1)),
    )


METRE = Metre(4, 4)
stories = st.builds(
    _story,
    st.lists(plain_items, max_size=3).map(tuple),
    st.lists(items, max_size=2).map(tuple),
    st.lists(st.lists(items, max_size=5).map(tuple), max_size=2).map(tuple),
    st.booleans(),
)
