"""A pickup and the end of the line before it make one bar together."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from tapscore.checks.rule import Rule, Scene, Trouble, example
from tapscore.model.finding import Severity
from tapscore.model.lane import pickup_beats
from tapscore.model.metre import Metre
from tapscore.rhythm.line_bars import bar_faults, missing_at_end
from tapscore.rhythm.performance import Segment, SegmentKind


def _find(scene: Scene) -> Iterator[Trouble]:
    seen = set()
    for before, after in pairwise(scene.performance.segments):
        if (before.path, after.path) in seen or not (_measured(before) and _measured(after)):
            continue
        seen.add((before.path, after.path))
        assert before.line is not None
        assert before.line.lane is not None
        assert after.line is not None
        assert after.line.lane is not None
        lane = before.line.lane
        if any(True for _ in bar_faults(lane, before.metre)):
            continue
        short = missing_at_end(lane, before.metre)
        pickup = pickup_beats(after.line.lane, after.metre)
        if short != pickup:
            yield _trouble(before, after, short, pickup)


def _measured(segment: Segment) -> bool:
    return (
        segment.kind is SegmentKind.LINE
        and segment.line is not None
        and segment.line.lane is not None
    )


def _trouble(before: Segment, after: Segment, short: Fraction, pickup: Fraction) -> Trouble:
    lacks, brings = _steps(short, before.metre), _steps(pickup, after.metre)
    assert before.line is not None
    return Trouble(
        (*before.path, "lane"),
        f"The last bar here lacks {lacks}, and the next line's pickup brings {brings}; "
        "together they should make one bar.",
        f"End this line so that its last bar lacks {brings}"
        + (", that is, fill it." if not pickup else ".")
        + (" Or give the next line a pickup." if short else ""),
    )


def _steps(beats: Fraction, metre: Metre) -> str:
    steps = beats * metre.steps_per_beat
    if steps == 0:
        return "nothing"
    return "1 step" if steps == 1 else f"{steps} steps"


RULE = Rule(
    id="pickup-joins",
    title="A pickup completes the bar before it",
    why="Where end and pickup don't make one bar, the beat stumbles between two lines.",
    source="notation practice for incomplete bars (any theory primer)",
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(
        '- words: The moon came up,\n  lane: "x | X . x X . |"\n'
        '- words: the wind lay down.\n  lane: "x | X . x X . |"'
    ),
    bad=example(
        '- words: The moon came up,\n  lane: "x | X . x X . . |"\n'
        '- words: the wind lay down.\n  lane: "x | X . x X . |"'
    ),
)
