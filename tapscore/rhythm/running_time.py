"""How long a telling lasts: what is fixed, what the pupils decide, and what is likely.

A story's length is never one bare number: tapping is fixed, a wait lasts at least so
long, and an offering takes a turn for each pupil, shared over the adults who hand a set.  What
is *likely* is a range with a stated assumption (``ASSUMPTION``), not a measurement; and before
and after it pupils are brought to the board and away again (``in_all_sec``).
"""

from collections import defaultdict
from collections.abc import Iterable
from itertools import groupby

from attrs import frozen

from tapscore.model.comfort import ADULTS_A_HOIST, Stage
from tapscore.model.story import Story
from tapscore.model.wordings import clock, clock_range
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say

ALERT_WAVE_SEC = 20.0
"""Alertness comes in waves of about 20 seconds (Munde 2012): an answer may take one."""
HANDING_SEC = (15.0, 45.0)
"""To bring a prop to the next pupil, find a position and let it be found, on top of the turn.

A turn takes a minute and more with positioning (common practice, no source)."""
BETWEEN_SEC = (3.0, 15.0)
"""Between one line and the next: to look, breathe, settle somebody.  Chosen so that a story of

ten lines takes 10 to 20 minutes with pupils, as it does (common practice, no source)."""
SET_UP_SEC = 300.0
"""To carry the board in and lay out the props, and to put them away: a house rule."""
SETTLING_SEC = {
    Stage.ON_A_TABLE: (60.0, 120.0),
    Stage.BESIDE_THE_BOARD: (60.0, 120.0),
    Stage.ON_THE_BOARD: (375.0, 600.0),
}
"""To settle one pupil and bring that pupil away again, by stage.

On the board with hoists: 25 to 40 minutes for four (common practice, no source); the others are
a house rule.
"""
ASSUMPTION = say(
    "Likely means: a wait lasts up to {wave:.0f} seconds where it is shorter, "
    "each turn takes {handing_least:.0f} to {handing_most:.0f} seconds more to hand over "
    "and find a position, and {between_least:.0f} to {between_most:.0f} seconds pass "
    "before a line. Setting up and coming down: {set_up:.0f} minutes for the board "
    "and props, and for each pupil 1 to 2 minutes, or on the board, with a hoist and "
    "{adults} adults at least, 6 to 10, one after the other. Write down how long "
    "it really took.",
    wave=ALERT_WAVE_SEC,
    handing_least=HANDING_SEC[0],
    handing_most=HANDING_SEC[1],
    between_least=BETWEEN_SEC[0],
    between_most=BETWEEN_SEC[1],
    set_up=SET_UP_SEC / 60,
    adults=ADULTS_A_HOIST,
)


@frozen
class Share:
    """Seconds of each kind in a section or in the whole story."""

    title: str
    tapping_sec: float
    refrains_sec: float
    waits_sec: float
    turns_sec: float
    longer_sec: tuple[float, float]
    """What is likely to come on top, at least and at most."""

    @property
    def fixed_sec(self) -> float:
        """What the tempo decides."""
        return self.tapping_sec + self.refrains_sec

    @property
    def least_sec(self) -> float:
        """The whole, with every wait and turn at its least."""
        return self.fixed_sec + self.waits_sec + self.turns_sec

    @property
    def likely_sec(self) -> tuple[float, float]:
        """The whole as it is likely to be, from and to."""
        return self.least_sec + self.longer_sec[0], self.least_sec + self.longer_sec[1]


@frozen
class RunningTime:
    """The whole story's time and each section's."""

    total: Share
    sections: tuple[Share, ...]


def running_time(performance: Performance) -> RunningTime:
    """Add up a performance, section by section in the order they are told."""
    told = [s for s in performance.segments if s.kind is not SegmentKind.COUNT_IN]
    sections = tuple(
        _share(title, segments) for title, segments in groupby(told, lambda s: s.section)
    )
    return RunningTime(total_time(performance), sections)


def total_time(performance: Performance) -> Share:
    """The same for the whole alone."""
    return _share("", performance.segments)


def length_words(story: Story, performance: Performance) -> tuple[str, str]:
    """How long it lasts, on every paper and screen: the telling, and with what is round it.

    ``"2:37 at least, likely 2:47 to 3:53 (minutes:seconds)"``, and ``"with setting up and coming
    down 37 to 59 minutes in all"``.
    """
    total = total_time(performance)
    low, high = in_all_sec(story, total)
    return (
        say(
            "{least} at least, likely {likely} (minutes:seconds)",
            least=clock(total.least_sec),
            likely=clock_range(total.likely_sec),
        ),
        say(
            "with setting up and coming down {low:.0f} to {high:.0f} minutes in all",
            low=low / 60,
            high=high / 60,
        ),
    )


def around_sec(story: Story) -> tuple[float, float]:
    """Seconds to set up and come down again, from and to: board, props and every pupil."""
    stage = story.comfort.stage if story.comfort else None
    low, high = SETTLING_SEC[stage or Stage.ON_A_TABLE]
    return SET_UP_SEC + story.pupil_count * low, SET_UP_SEC + story.pupil_count * high


def in_all_sec(story: Story, total: Share) -> tuple[float, float]:
    """The likely time of a telling with setting up and coming down, from and to."""
    around, likely = around_sec(story), total.likely_sec
    return likely[0] + around[0], likely[1] + around[1]


def _share(title: str, segments: Iterable[Segment]) -> Share:
    seconds: dict[tuple[SegmentKind, bool], float] = defaultdict(float)
    low = high = 0.0
    for segment in segments:
        returns = segment.kind is SegmentKind.LINE and segment.refrain is not None
        seconds[segment.kind, returns] += segment.length_sec
        longer = _longer_sec(segment)
        low, high = low + longer[0], high + longer[1]
    return Share(
        title,
        seconds[SegmentKind.LINE, False],
        seconds[SegmentKind.LINE, True],
        seconds[SegmentKind.WAIT, False],
        seconds[SegmentKind.OFFER, False],
        (low, high),
    )


def _longer_sec(segment: Segment) -> tuple[float, float]:
    match segment.kind:
        case SegmentKind.WAIT:
            return 0.0, max(ALERT_WAVE_SEC - segment.length_sec, 0.0)
        case SegmentKind.OFFER:
            return segment.turns * HANDING_SEC[0], segment.turns * HANDING_SEC[1]
        case SegmentKind.LINE:
            return BETWEEN_SEC
        case _:
            return 0.0, 0.0
