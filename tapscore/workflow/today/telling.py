"""What is told today, and by whom: as much of the story as hands allow, whole without the rest.

With fewer adults lines that change hands are tapped on the beats alone; then what nobody can do
goes, deeds first, then props down to one, then taps.  Refrain, waits, and somebody beside a
pupil never go.  Whoever speaks takes over one prop or deed at most.
"""

from collections.abc import Sequence
from functools import partial

from attrs import frozen

from tapscore.checks.hands.spots_in_reach import REACH_CM
from tapscore.checks.setting import setting_of
from tapscore.model.day import Telling
from tapscore.model.fewer_taps import Tapped
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.workflow.shorten import Listed
from tapscore.workflow.today.arranged import voice_today
from tapscore.workflow.today.hands import out_of_reach
from tapscore.workflow.today.jobs import Job, JobKind, jobs_left
from tapscore.workflow.today.lessening import (
    fewer_taps,
    refrain_telling,
    said_alone,
    short_telling,
    tapped_at,
    the_one_prop,
    without_deed,
    without_props,
)
from tapscore.workflow.today.sharing import Sharing, Sparing, share_out

_MOST_ROUNDS = 500
"""More than the deeds, props and lines of any story that is told."""


@frozen
class ToldToday:
    """A story for today before its roles are given to those who are here."""

    story: Story
    left: tuple[Job, ...]
    """What nobody does before anything is shared out."""
    sharing: Sharing
    changes: tuple[Listed, ...] = ()


def told_today(story: Story, host_of: dict[str, str], telling: Telling) -> ToldToday:
    """As much of the story as ``telling`` says, shared out among those who are here."""
    if telling is Telling.NOT_TODAY and host_of:
        return ToldToday(story, (), Sharing(()))
    if telling in (Telling.WHOLE, Telling.NOT_TODAY):
        performance = perform(story)
        jobs = jobs_left(story, performance, host_of)
        return ToldToday(story, jobs, share_out(story, performance, host_of, jobs))
    changes: list[Listed] = []
    if telling is Telling.SHORT:
        story, changes = short_telling(story)
    elif telling is Telling.REFRAIN:
        alone = refrain_telling(story)
        changes = [(say("Everything but the refrain"), say("left out"))] if alone else []
        story = alone or story
    return _possible(story, host_of, changes, anew=telling is not Telling.LIGHTER)


def _possible(
    story: Story, host_of: dict[str, str], changes: list[Listed], *, anew: bool
) -> ToldToday:
    """Leave out what nobody can do, one thing after the other, until hands are enough."""
    over = [job for job in jobs_left(story, perform(story), host_of) if _line(job)]
    story, thinner = fewer_taps(story, Tapped.BEATS, [p for job in over for p in job.paths])
    changes += thinner
    places = story.board.places if story.board else ()
    beside = frozenset(filter(None, (place.partner for place in places)))
    dear = the_one_prop(story)
    for _ in range(_MOST_ROUNDS):
        performance = perform(story)
        sparing = Sparing(voice_today(story, performance, host_of), dear, beside, anew)
        jobs = jobs_left(story, performance, host_of)
        sharing = share_out(story, performance, host_of, jobs, sparing)
        hands = dict.fromkeys(host_of.values())
        story, less = _less(story, [job for job, _ in sharing.left], sparing, tuple(hands))
        if not less:
            return ToldToday(story, jobs, sharing, tuple(changes))
        changes += less
    return ToldToday(story, jobs, sharing, tuple(changes))


def _less(
    story: Story, left: Sequence[Job], sparing: Sparing, hosts: Sequence[str]
) -> tuple[Story, list[Listed]]:
    """The story without the first thing that can go of what nobody does."""
    for job in left:
        if job.kind is JobKind.DO:
            return without_deed(story, job.paths[0])
    props = [job.name for job in left if job.kind is JobKind.BRING]
    for name in reversed([name for name in props if name != sparing.dear] or props):
        return without_props(story, [name])
    lines = [job for job in left if _line(job)]
    if not lines:
        return story, []
    (job, *_), near = lines, _spot_in_reach(story, hosts, sparing.speaker)
    beyond = near is not None and any(out_of_reach(story, host, job) for host in hosts)
    ways = [
        *([partial(tapped_at, story, near, job.paths)] if beyond and near is not None else []),
        partial(fewer_taps, story, Tapped.STRONG, job.paths),
        partial(said_alone, story, job.paths),
    ]
    return next((made for way in ways if (made := way())[1]), (story, []))


def _spot_in_reach(story: Story, hosts: Sequence[str], speaker: str | None) -> str | None:
    """A spot that an adult reaches, if need be whoever speaks: the nearest to her seat."""
    setting = setting_of(story)
    for host in sorted(hosts, key=lambda each: each == speaker):
        seat = setting.seat(host)
        spots = story.board.spots if story.board else ()
        if seat is not None and spots:
            nearest = min(spots, key=lambda spot: seat.distance_mm(spot.at))
            if seat.distance_mm(nearest.at) / 10 <= REACH_CM:
                return nearest.name
    return None


def _line(job: Job) -> bool:
    """Whether a job is to tap a line that is no refrain's."""
    return job.kind is JobKind.TAP and all(path[0] == "story" for path in job.paths)
