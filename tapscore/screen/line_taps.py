"""The taps of one line as touches of the board, those alike counted together.  No Qt here."""

from collections import Counter
from fractions import Fraction

from attrs import frozen

from tapscore.board.facade import USUAL_LENGTH_SEC, BoardTap, tap_point
from tapscore.board.hands import RUBS
from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import PerformedTap
from tapscore.wording.catalogue import say

_LENGTH_STEPS_PER_SEC = 10


@frozen
class TapsAlike:
    """Touches that the board can't tell apart, and how often the line has them."""

    tap: BoardTap
    where: str
    count: int


def taps_of_line(story: Story, path: StoryPath) -> tuple[TapsAlike, ...]:
    """Taps of the line written at ``path``, where it is heard first, in order of time."""
    seats = {role.name: role.seat for role in story.roles}
    segment = next((s for s in perform(story).segments if s.path == path and s.taps), None)
    if segment is None:
        return ()
    touches = Counter(_touch(story, tap, seats.get(tap.role)) for tap in segment.taps)
    return tuple(TapsAlike(tap, where, count) for (tap, where), count in touches.items())


def usual_stroke(taps: tuple[TapsAlike, ...]) -> tuple[Stroke, Fraction]:
    """The stroke and loudness that a line has most; a medium one of the fingertips if none."""
    kinds: Counter[tuple[Stroke, Fraction]] = Counter()
    for alike in taps:
        kinds[alike.tap.stroke, Fraction(round(alike.tap.level))] += alike.count
    return kinds.most_common(1)[0][0] if kinds else (Stroke.FINGERTIPS, Fraction(2))


def _touch(story: Story, tap: PerformedTap, seat: str | None) -> tuple[BoardTap, str]:
    board = story.board
    spot = tap.spot if board is not None and tap.spot and board.spot(tap.spot) else None
    length = USUAL_LENGTH_SEC
    if tap.stroke in RUBS:
        length = max(round(tap.length_sec * _LENGTH_STEPS_PER_SEC), 1) / _LENGTH_STEPS_PER_SEC
    at = tap_point(board, spot, seat)
    where = spot or (say("by the seat {seat}", seat=seat) if seat else say("in the middle"))
    return BoardTap(at, tap.stroke, tap.level, tap.accent, length), where
