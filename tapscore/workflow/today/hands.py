"""Whether somebody can do a job: near enough, quick enough, and with a hand free."""

from collections.abc import Iterable
from itertools import pairwise

from attrs import frozen

from tapscore.checks.hands.hands_can_keep_up import SHORTEST_SEC
from tapscore.checks.hands.spots_in_reach import REACH_CM
from tapscore.checks.setting import setting_of
from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance, PerformedTap
from tapscore.wording.catalogue import say
from tapscore.workflow.today.jobs import Job, JobKind

_TOLERANCE_SEC = 1e-4


@frozen
class Hands:
    """What everybody does already, by line."""

    taps: dict[tuple[str, StoryPath], tuple[PerformedTap, ...]]
    """Taps of a role in a line, every time it is heard."""
    brings: frozenset[tuple[str, StoryPath]]
    """Roles that bring or take a prop in a line."""


def hands_of(story: Story, performance: Performance, host_of: dict[str, str]) -> Hands:
    """What the taken roles do, counted to the adult's first role."""
    taps: dict[tuple[str, StoryPath], list[PerformedTap]] = {}
    brings: set[tuple[str, StoryPath]] = set()
    for segment in performance.lines:
        for tap in segment.taps:
            if tap.role in host_of:
                taps.setdefault((host_of[tap.role], segment.path), []).append(tap)
        line = segment.line
        if line is None:
            continue
        for prop in (*(e.prop for e in line.props_in), *line.props_out):
            host = host_of.get(story.bringer(prop))
            if host is not None:
                brings.add((host, segment.path))
    return Hands({key: tuple(made) for key, made in taps.items()}, frozenset(brings))


def why_not(story: Story, hands: Hands, role: str, job: Job, dear: str | None = None) -> str | None:
    """Why ``role`` can't take a job; None if they can.

    Whoever is with a pupil brings nothing but the ``dear`` prop, if that alone is to come.
    """
    if job.kind is JobKind.WITH:
        return _beside(story, hands, role)
    if job.kind is JobKind.BRING:
        beside = _with_whom(story, role)
        if beside is not None and job.name != dear:
            return say("is with {beside}", beside=beside)
        if any((role, path) in hands.taps for path in job.paths):
            return say("taps while it comes or goes")
        return None
    if job.kind is JobKind.DO:
        taps = any((role, path) in hands.taps for path in job.paths)
        return say("taps at the same time") if taps else None
    if _bringing(hands, role, job):
        return say("brings a prop then")
    if out_of_reach(story, role, job):
        return say("can't reach it")
    if _too_fast(hands, role, job):
        return say("would have to tap too fast")
    return None


def clash(one: Job, other: Job) -> bool:
    """Whether two jobs can't be one person's.

    Nobody taps a line and brings or does something in it, nor is with one pupil and also with
    another or busy with props.
    """
    if JobKind.WITH in (one.kind, other.kind):
        return {one.kind, other.kind} <= {JobKind.WITH, JobKind.BRING}
    tapping = (one.kind is JobKind.TAP) != (other.kind is JobKind.TAP)
    return tapping and bool(set(one.paths) & set(other.paths))


def _beside(story: Story, hands: Hands, role: str) -> str | None:
    """Why a role can't be with a pupil: a hand must be free for the pupil."""
    if any(bringer == role for bringer, _ in hands.brings):
        return say("has the props")
    other = _with_whom(story, role)
    return say("is with {other} already", other=other) if other else None


def _with_whom(story: Story, role: str) -> str | None:
    places = story.board.places if story.board else ()
    return next((place.name for place in places if place.partner == role), None)


def _bringing(hands: Hands, role: str, job: Job) -> bool:
    return any((role, path) in hands.brings for path in job.paths)


def out_of_reach(story: Story, role: str, job: Job) -> bool:
    """Whether a role would have to tap where her hands don't get to from her seat."""
    setting = setting_of(story)
    seat = setting.seat(role)
    if seat is None:
        return False
    spots = [setting.spot(name) for name in {tap.spot for tap in job.taps}]
    return any(spot is not None and seat.distance_mm(spot) / 10 > REACH_CM for spot in spots)


def _too_fast(hands: Hands, role: str, job: Job) -> bool:
    own = [tap for path in job.paths for tap in hands.taps.get((role, path), ())]
    return _shortest_sec((*own, *job.taps)) < SHORTEST_SEC - _TOLERANCE_SEC


def _shortest_sec(taps: Iterable[PerformedTap]) -> float:
    times = sorted({round(tap.onset_sec, 6) for tap in taps})
    return min((b - a for a, b in pairwise(times)), default=SHORTEST_SEC)
