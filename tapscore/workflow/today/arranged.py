"""The story as it is told today: the same words and taps, other people."""

from collections.abc import Iterator, Mapping

from attrs import evolve, frozen

from tapscore.model.board import Board
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Cell, TapDetail, lane_events
from tapscore.model.lane_edits import change_cells
from tapscore.model.manner import EVERYONE, Manner
from tapscore.model.story import Item, Line, Prop, RefrainUse, Story
from tapscore.model.walk import change_lists
from tapscore.rhythm.describe import tap_place
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.unroll import as_written, story_manner
from tapscore.workflow.today.jobs import Job, JobKind, says_who_taps


@frozen
class LeftOut:
    """A way of making a tap that nobody has a hand for."""

    words: str
    """Of the line."""
    tap: str
    who: str
    """Who makes the tap in another way, by her first role."""
    kept: str
    """The role whose way that is."""
    lost: str
    """The role whose way it was."""


def arranged(
    story: Story,
    performance: Performance,
    host_of: Mapping[str, str],
    takers: tuple[tuple[Job, str], ...],
) -> Story:
    """Give the story with its roles those of the adults who are here.

    ``host_of`` gives for each taken role the adult's first role; who is away is replaced
    by whoever takes the job, or stays where nobody does.  Whoever taps least speaks and
    warns for those who are away.  A tap is made in one way by each: see ``ways_left_out``.
    """
    voice = voice_today(story, performance, host_of)
    hosts = set(host_of.values())
    tapping = _tapping(story, performance, takers)
    taken = [(job, who) for job, who in takers if job.kind is JobKind.TAP]
    at_returns = {path: who for job, who in taken for path in job.returns}
    doing = {path: who for job, who in takers if job.kind is JobKind.DO for path in job.paths}
    bringing = {job.name: who for job, who in takers if job.kind is JobKind.BRING}
    heard = {segment.path for segment in performance.lines}
    by_path = {each.path: each.manner.by for each in as_written(story) if each.path in heard}

    def line_today(path: StoryPath, line: Line) -> Line:
        told = by_path.get(path)
        if told is None:
            return line
        new_by = _replaced(told, host_of, tapping.get(path))
        as_before = new_by == told and all(name in hosts or name == EVERYONE for name in told)
        manner = line.manner if as_before else evolve(line.manner, by=new_by)

        def cell_today(cell: Cell) -> Cell:
            if cell.detail is None or not cell.detail.adults:
                return cell
            by = _replaced(cell.detail.by, host_of, tapping.get(path)) if cell.detail.by else ()
            ways = _ways(cell.detail, host_of, tapping.get(path))
            single = tuple((name, own) for name, role, own in ways if role is not None)
            return evolve(cell, detail=evolve(cell.detail, by=by, single=single))

        lane = None if line.lane is None else change_cells(line.lane, cell_today)
        done_by = _replaced(line.done_by, host_of, doing.get(path)) if line.done_by else ()
        warned_by = _replaced(line.warned_by, host_of, voice) if line.warned_by else ()
        if manner.says:
            manner = evolve(manner, says=_replaced(manner.says, host_of, voice))
        return evolve(line, manner=manner, lane=lane, done_by=done_by, warned_by=warned_by)

    def return_today(path: StoryPath, use: RefrainUse) -> RefrainUse:
        by, said = use.manner.by, use.manner.says
        # within a refrain it is a job of the lines that return there
        within = {p[1]: who for p, who in tapping.items() if p[0] == path[0] == "refrains"}
        by = by and _replaced(by, host_of, at_returns.get(path, within.get(use.name)))
        said = said and _replaced(said, host_of, voice)
        return evolve(use, manner=evolve(use.manner, by=by, says=said))

    def item_today(path: StoryPath, item: Item) -> Item:
        if isinstance(item, RefrainUse):
            return return_today(path, item)
        return line_today(path, item) if isinstance(item, Line) else item

    def items_today(path: StoryPath, items: tuple[Item, ...]) -> tuple[Item, ...]:
        return tuple(item_today((*path, at), item) for at, item in enumerate(items))

    says = story_manner(story).says
    new = _replaced(says, host_of, voice)
    told_today = change_lists(story, items_today)
    return evolve(
        told_today,
        manner=story.manner if new == says else evolve(story.manner, says=new),
        sections=tuple(
            evolve(
                section,
                manner=evolve(section.manner, says=_replaced(section.manner.says, host_of, voice)),
            )
            if section.manner.says
            else section
            for section in told_today.sections
        ),
        board=_with_partners(story, host_of, takers),
        roles=tuple(role for role in story.roles if role.name in hosts),
        props=tuple(
            _brought_by(prop, bringing.get(prop.name, host_of.get(by, by)), host_of)
            for prop in (*story.props, *_undeclared(story, performance))
            for by in (story.bringer(prop.name),)
        ),
    )


def ways_left_out(
    story: Story,
    performance: Performance,
    host_of: Mapping[str, str],
    takers: tuple[tuple[Job, str], ...],
) -> tuple[LeftOut, ...]:
    """Ways of a tap that fall to an adult who taps it in another way already."""
    tapping = _tapping(story, performance, takers)
    left: dict[LeftOut, None] = {}
    for segment in {segment.path: segment for segment in performance.lines}.values():
        line, taker = segment.line, tapping.get(segment.path)
        if line is None or line.lane is None:
            continue
        for event in sorted({tap.event for tap in segment.taps}):
            detail = lane_events(line.lane, segment.manner.metre)[event].cell.detail
            if detail is None or not detail.single:
                continue
            kept = {name: (role, own) for name, role, own in _ways(detail, host_of, taker)}
            single = dict(detail.single)
            plain = {name: TapDetail() for name in detail.by if name not in (EVERYONE, *single)}
            for lost, own in (plain | single).items():
                for name in _replaced((lost,), host_of, taker):
                    role, way = kept.get(name, (None, own))
                    if _made(way, detail, segment.manner) != _made(own, detail, segment.manner):
                        tap = tap_place(line, segment.manner, event)
                        left[LeftOut(line.words, tap, name, role or name, lost)] = None
    return tuple(left)


def _tapping(
    story: Story, performance: Performance, takers: tuple[tuple[Job, str], ...]
) -> dict[StoryPath, str]:
    """Who taps in a line for those who are away: whoever taps it where returns don't say who."""
    plain = {each.path for each in performance.lines if not says_who_taps(story, each)}
    return {
        path: who
        for job, who in takers
        if job.kind is JobKind.TAP
        for path in job.paths
        if not job.returns or path not in plain
    }


def _ways(
    detail: TapDetail, host_of: Mapping[str, str], taker: str | None
) -> Iterator[tuple[str, str | None, TapDetail]]:
    """The way in which each adult makes a tap, and as whom; None where it is the tap's own way.

    Whoever would have two ways taps as she rehearsed it, else in the first of them.
    """
    ways: dict[str, tuple[str | None, TapDetail]] = {
        name: (None, TapDetail())
        for name in dict.fromkeys(host_of.values())
        if (name in detail.by or EVERYONE in detail.by) and name not in dict(detail.single)
    }
    for role, own in detail.single:
        for name in _replaced((role,), host_of, taker):
            if name == role or name not in ways:
                ways[name] = role, own
    for name, (as_whom, own) in ways.items():
        yield name, as_whom, own


def _made(own: TapDetail, detail: TapDetail, manner: Manner) -> tuple[object, ...]:
    """How a tap is made in somebody's own way: what she leaves out is the tap's, or the line's."""
    loudness = detail.loudness if own.loudness is None else own.loudness
    spot = detail.spot if own.spot is None else own.spot
    return (
        manner.loudness if loudness is None else (loudness,),
        own.stroke or detail.stroke or manner.stroke,
        manner.spot if spot is None else spot,
    )


def _brought_by(prop: Prop, bringer: str, host_of: Mapping[str, str]) -> Prop:
    """A prop with who brings it today, and who of those that hand it to pupils is here."""
    hands = dict.fromkeys(host_of[name] for name in prop.handed_by if name in host_of)
    handed_by = tuple(hands) or (bringer,) if prop.handed_by else ()
    return evolve(prop, by=bringer, handed_by=handed_by)


def voice_today(story: Story, performance: Performance, host_of: Mapping[str, str]) -> str | None:
    """Who speaks: the leader's adult, or if the leader is away whoever taps least."""
    if story.leader in host_of or not host_of:
        return host_of.get(story.leader)
    counts = dict.fromkeys(host_of.values(), 0)
    for tap in performance.taps:
        if tap.role in host_of:
            counts[host_of[tap.role]] += 1
    return min(counts, key=lambda host: counts[host])


def _with_partners(
    story: Story, host_of: Mapping[str, str], takers: tuple[tuple[Job, str], ...]
) -> Board | None:
    """The board with those beside the pupils' places who are here."""
    if story.board is None:
        return None
    taken = {job.name: who for job, who in takers if job.kind is JobKind.WITH}
    return evolve(
        story.board,
        places=tuple(
            evolve(
                place,
                partner=place.partner
                and host_of.get(place.partner, taken.get(place.name, place.partner)),
            )
            for place in story.board.places
        ),
    )


def _undeclared(story: Story, performance: Performance) -> tuple[Prop, ...]:
    """Props that the story uses and does not list: who brings them must not change either."""
    used: dict[str, None] = {}
    for segment in performance.segments:
        if segment.prop:
            used[segment.prop] = None
        if segment.line is not None:
            used |= dict.fromkeys(entrance.prop for entrance in segment.line.props_in)
            used |= dict.fromkeys(segment.line.props_out)
    return tuple(Prop(name) for name in used if story.prop(name) is None)


def _replaced(
    names: tuple[str, ...], host_of: Mapping[str, str], taker: str | None
) -> tuple[str, ...]:
    """Names of those who are here; whoever takes it for the others, or they themselves."""
    if EVERYONE in names:
        return (EVERYONE,)
    here = tuple(dict.fromkeys(host_of[name] for name in names if name in host_of))
    if here:
        return here
    return (taker,) if taker is not None else names
