"""Random stories for the paper tests."""

from fractions import Fraction
from typing import TypedDict

from hypothesis import strategies as st

from tapscore.exports.paper.cue_cards import card_pages
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Bar, Cell, Lane, Mark, TapDetail
from tapscore.model.loudness import Loudness
from tapscore.model.manner import Manner, PartialManner
from tapscore.model.metre import Metre
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
from tests.exports.paper.paper_samples import BOARD

ROLES = ("leader", "beat-keeper", "second tapper", "prop handler")
SPOTS = st.sampled_from([None, "middle", "near edge", "nowhere"])
LOUDNESS = st.sampled_from(list(Loudness))
STROKES = st.sampled_from(list(Stroke))
BY = st.sampled_from([(), ("everyone",), ("leader",), ("beat-keeper", "second tapper")])
WORDS = st.lists(
    st.sampled_from(
        [
            "boat",
            "wa-ter",
            "lan-tern",
            "a",
            "o-ver-and-o-ver",
            "safe,",
            "Zoë",
            "—",
            "שָׁ-לוֹם",
            "سلا-مة,",
        ]
    ),
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
    PartialManner,
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
        manner=PartialManner(METRE),
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


class Format(TypedDict):
    """How cards are printed."""

    paper: str
    distance_m: float
    margin_mm: float | None


def has_room(wanted: Format) -> bool:
    """Whether cards can be printed so at all."""
    nobody = Story("Nobody", roles=(Role("leader"),))
    try:
        card_pages(nobody, perform(nobody), "leader", **wanted)
    except ValueError:
        return False
    return True


@st.composite
def own_formats(draw: st.DrawFn) -> Format:
    """Any size from A7 to A3 with any margin, read from as far as there is room for."""
    short = draw(st.integers(74, 297))
    long = draw(st.integers(max(short, 105), 420))
    margin_mm = draw(st.sampled_from([0.0, 3.0, 6.5, 10.0, 14.0, 20.0]))
    found = [
        wanted
        for distance_m in (0.3, 0.5, 0.75, 1.0, 1.5, 3.0)
        if has_room(wanted := Format(paper=f"{short}x{long}", distance_m=distance_m,
                                     margin_mm=margin_mm))
    ]  # fmt: skip
    return (
        draw(st.sampled_from(found))
        if found
        else Format(paper="A6", distance_m=0.5, margin_mm=10.0)
    )


class Pages(TypedDict):
    """How everything but cards is printed."""

    paper: str
    margin_mm: float | None


_names = st.sampled_from(["A4", "A5", "A6", "Letter"])
_own = st.builds("{}x{}".format, st.integers(105, 297), st.integers(148, 420))
pages: st.SearchStrategy[Pages] = st.builds(
    Pages, paper=_names | _own, margin_mm=st.sampled_from([None, 0.0, 5.0, 10.0, 17.5])
)
STANDARD_FORMATS = [
    ("A5", 1.0),
    ("A6", 1.0),
    ("A4", 1.0),
    ("A4", 2.0),
    ("A5", 0.5),
    ("Letter", 1.5),
]
formats: st.SearchStrategy[Format] = st.one_of(
    st.sampled_from(STANDARD_FORMATS).map(
        lambda pair: Format(paper=pair[0], distance_m=pair[1], margin_mm=None)
    ),
    own_formats(),
)


def segments_on_cards(performance: Performance) -> list[int]:
    """What cards tell: a refrain the first time, and each return in which a line is otherwise."""
    first: dict[StoryPath, Manner] = {}
    otherwise = {
        (each.refrain, each.refrain_time)
        for each in performance.segments
        if each.line is not None and first.setdefault(each.path, each.manner) != each.manner
    }
    return [
        at
        for at, each in enumerate(performance.segments)
        if each.refrain_time <= 1 or (each.refrain, each.refrain_time) in otherwise
    ]
