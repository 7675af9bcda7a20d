"""A story built by hand, with one of everything that paper must show."""

from fractions import Fraction

from tapscore.model.board import Board, Named, Place, Point
from tapscore.model.lane import Cell, Lane, Mark, Step, TapDetail
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import (
    Entrance,
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

MARKS = {m.value: m for m in Mark}


def lane(text: str, details: dict[int, TapDetail] | None = None) -> Lane:
    """Bars between ``|``, a step a letter; ``X`` is an accented tap; text before the first
    ``|`` is the pickup.  ``details`` are by number of the cell."""
    bars: list[tuple[Step, ...]] = []
    number = 0
    for bar in text.strip().rstrip("|").split("|"):
        steps: list[Step] = []
        for letter in bar.split():
            cell = Cell(MARKS[letter.lower()], letter.isupper(), (details or {}).get(number))
            steps.append((cell,))
            number += 1
        bars.append(tuple(steps))
    return Lane(bars[0], tuple(bars[1:]))


def point(x_cm: int, y_cm: int) -> Point:
    return Point(Fraction(x_cm * 10), Fraction(y_cm * 10))


BOARD = Board(
    Fraction(1200),
    Fraction(900),
    spots=(Named("middle", point(60, 45)), Named("near edge", point(60, 14))),
    seats=(
        Named("north", point(60, 90)),
        Named("east", point(120, 45)),
        Named("south", point(60, 0)),
        Named("west", point(0, 45)),
    ),
    places=(Place("A", point(32, 55)), Place("B", point(88, 55))),
)


def sample() -> Story:
    """Nine lines in 6/8 with a refrain, a swell, a slowing end, props and waits."""
    home = Refrain(
        "row home",
        (
            Line(
                "Row the lan-tern, row the lan-tern,",
                lane("| X . x X . x | X . x X . x |"),
                PartialManner(by=("everyone",)),
            ),
            Line(
                "home, home, home.",
                lane("| X _ _ X _ _ | X _ _ _ _ _ |"),
                PartialManner(loudness=(Loudness.MEDIUM, Loudness.VERY_QUIET), by=("everyone",)),
            ),
        ),
    )
    return Story(
        title="The Lantern Boat",
        language="en-GB",
        manner=PartialManner(
            Metre(6, 8), Tempo(Fraction(54)), (Loudness.QUIET,), Stroke.FINGERTIPS, "middle"
        ),
        pupils=5,
        board=BOARD,
        roles=(
            Role("leader", "north"),
            Role("beat-keeper", "east"),
            Role("second tapper", "west"),
            Role("prop handler", "south"),
        ),
        props=(
            Prop(
                "beads",
                "string of wooden beads",
                2,
                "wooden curtain rings",
                ("cord",),
                handed_by=("prop handler", "beat-keeper"),
            ),
            Prop("lantern", "lantern with a slow light", 1, None, ("light", "battery")),
            Prop("cloth", "blue cloth, to lift as a wave", by="second tapper"),
        ),
        refrains=(home,),
        sections=(
            Section(
                "Evening",
                (
                    Line(
                        "Out on the wa-ter the lit-tle boat lay,",
                        lane("| X x x x x x | X x x X . . |"),
                        PartialManner(by=("beat-keeper",)),
                    ),
                    RefrainUse("row home"),
                    Wait(Fraction(10), "a look, a still body, a reach"),
                    Line(
                        "Drip, drip, drop came the rain,",
                        lane(
                            "| x . x x . t | x x x . . . |",
                            {7: TapDetail(stroke=Stroke.KNUCKLES, loudness=Loudness.LOUD)},
                        ),
                        PartialManner(by=("second tapper",)),
                        props_in=(Entrance("beads", "middle"),),
                    ),
                    Offer("beads", Fraction(30), "fingers that close or let go"),
                    RefrainUse("row home"),
                ),
            ),
            Section(
                "Night",
                (
                    Line(
                        "The wind went round and round the mast,",
                        lane("x | x . x x . x | x . x x . . |"),
                        PartialManner(stroke=Stroke.SWEEP, by=("beat-keeper",)),
                        props_out=("beads",),
                    ),
                    Line(
                        "Crash went the wave!",
                        lane("| X x x X . . |"),
                        PartialManner(
                            loudness=(Loudness.QUIET, Loudness.LOUD),
                            stroke=Stroke.FLAT_HAND,
                            spot="near edge",
                            by=("second tapper", "beat-keeper"),
                        ),
                        warn_first="lean in, whisper “ready?”",
                        do="Lift the cloth",
                    ),
                    Wait(Fraction(10), "a startle that settles, a smile"),
                    RefrainUse("row home"),
                    Line("Then it was still.", None, look_for="quiet eyes"),
                    Line(
                        "Scratch, scratch, sand be-neath,",
                        lane("| x _ _ x _ _ | x . x x _ _ |"),
                        PartialManner(
                            loudness=(Loudness.VERY_QUIET, Loudness.MEDIUM, Loudness.VERY_QUIET),
                            stroke=Stroke.SCRATCH,
                            by=("second tapper",),
                        ),
                        props_in=(Entrance("lantern"),),
                    ),
                    Offer("lantern", Fraction(45)),
                    Line(
                        "One knock and two knocks up-on the door,",
                        lane("x | X . x x . x | X . x x . x |"),
                        PartialManner(
                            tempo=Tempo(Fraction(66)),
                            loudness=(Loudness.MEDIUM,),
                            stroke=Stroke.KNUCKLES,
                            by=("beat-keeper",),
                        ),
                    ),
                    RefrainUse("row home"),
                    Line(
                        "In came the lan-tern boat, safe to the shore.",
                        lane("| x x x x x x | x x x X _ _ |"),
                        PartialManner(
                            tempo=Tempo(Fraction(54), Fraction(36)),
                            loudness=(Loudness.QUIET, Loudness.VERY_QUIET),
                            by=("beat-keeper", "second tapper", "leader"),
                        ),
                        props_out=("lantern",),
                    ),
                    Wait(Fraction(15), "a last look"),
                ),
            ),
        ),
    )
