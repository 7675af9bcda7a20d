"""What every tap of a told story is like at every place on its board.

Taps of several adults at one moment count together, by their energy.  Levels are relative,
a model, not a measurement.
"""

from itertools import groupby
from math import log10

from attrs import evolve, frozen

from tapscore.board.words import USUAL_WEAK_DB
from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import Scene
from tapscore.model.board import Board
from tapscore.model.comfort import Stage
from tapscore.rhythm.performance import PerformedTap

_BESIDE = (Stage.ON_A_TABLE, Stage.BESIDE_THE_BOARD)
_RUB_STEPS_PER_SEC = 10


@frozen(eq=False)
class FeltTouch:
    """One moment at which the board is touched."""

    loudness: float
    """From 0 to 4, as written."""
    level_db: tuple[float, ...]
    """At each place."""


@frozen(eq=False)
class FeltLine:
    """A told line with its touches."""

    told: HeardLine
    touches: tuple[FeltTouch, ...]

    def strongest_db(self, place: int) -> float | None:
        """The most that a place gets from the line; None where nothing is tapped."""
        return max((touch.level_db[place] for touch in self.touches), default=None)


@frozen(eq=False)
class FeltStory:
    """All lines in the order they are told."""

    board: Board
    places: tuple[str, ...]
    lines: tuple[FeltLine, ...]


_last: tuple[Scene, FeltStory | None] | None = None


def has_places(scene: Scene) -> bool:
    """Whether there is anything to find: pupils are on a board that is described."""
    from tapscore.board.facade import places_on

    on_it = scene.setting.comfort.stage not in _BESIDE
    return on_it and bool(places_on(scene.story.board))


def felt_story(scene: Scene) -> FeltStory | None:
    """Levels of a scene, worked out once for all rules; None where there are no places."""
    global _last  # noqa: PLW0603
    known = _last
    if known is not None and known[0] is scene:
        return known[1]
    found = _felt_story(scene)
    _last = (scene, found)
    return found


def is_felt(level_db: float) -> bool:
    """Whether a tap is more than weak."""
    return level_db > USUAL_WEAK_DB


def _felt_story(scene: Scene) -> FeltStory | None:
    from tapscore.board.facade import BoardTap, felt_levels, tap_point
    from tapscore.board.hands import RUBS

    board = scene.story.board
    if board is None or not has_places(scene):
        return None
    seats = {role.name: role.seat for role in scene.story.roles}

    distinct: dict[BoardTap, int] = {}
    known: dict[tuple[object, ...], int] = {}

    def touch(tap: PerformedTap) -> int:
        """Which of the distinct touches it is; strokes and levels by identity, for hashing
        ten thousand fractions takes longer than all the rest.
        """
        key = tap.spot, tap.role, id(tap.stroke), id(tap.level), tap.accent, tap.length_sec
        number = known.get(key)
        if number is None:
            at = tap_point(board, tap.spot, seats.get(tap.role))
            made = BoardTap(at, tap.stroke, tap.level, tap.accent)
            if tap.stroke in RUBS:
                steps = max(round(tap.length_sec * _RUB_STEPS_PER_SEC), 1)
                made = evolve(made, length_sec=steps / _RUB_STEPS_PER_SEC)
            number = known[key] = distinct.setdefault(made, len(distinct))
        return number

    moments = [
        [tuple(group) for _, group in groupby(told.segment.taps, lambda tap: tap.event)]
        for told in scene.told
    ]
    touched = [[tuple(map(touch, taps)) for taps in line] for line in moments]
    felt = felt_levels(board, tuple(distinct))
    level = felt.level_db
    together: dict[tuple[int, ...], tuple[float, ...]] = {
        each: _together([level[number] for number in each])
        for each in {each for line in touched for each in line}
    }
    lines = tuple(
        FeltLine(
            told,
            tuple(
                FeltTouch(_loudest(taps), together[each])
                for taps, each in zip(line, numbers, strict=True)
            ),
        )
        for told, line, numbers in zip(scene.told, moments, touched, strict=True)
    )
    return FeltStory(board, felt.places, lines)


def _loudest(taps: tuple[PerformedTap, ...]) -> float:
    first, *others = taps
    level = first.level
    for tap in others:
        if tap.level is not level:
            level = max(level, tap.level)
    return float(level)


def _together(levels: list[tuple[float, ...]]) -> tuple[float, ...]:
    return tuple(
        10 * log10(sum(10 ** (level_db / 10) for level_db in at_place))
        for at_place in zip(*levels, strict=True)
    )
