"""What comes of a day: who does what, what nobody can do, and the cards that change."""

from collections.abc import Sequence

from attrs import frozen

from tapscore.exports.paper.steps import steps
from tapscore.model.day import Day, Telling
from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.model.wordings import joined
from tapscore.model.words import printed, quoted
from tapscore.rhythm.performance import SegmentKind
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices
from tapscore.workflow.today.amount import TOLD
from tapscore.workflow.today.card_files import CardFile, card_files
from tapscore.workflow.today.jobs import Job, JobKind
from tapscore.workflow.today.plan import (
    ChangedCards,
    Today,
    changed_cards,
    plan_today,
)
from tapscore.workflow.today.supply import papers_for_all


@frozen
class DayWish:
    """What is to be worked out."""

    story: Story
    day: Day
    choices: Choices


@frozen
class RoleToday:
    """One role today."""

    who: str
    """Adult and role."""
    hands: str
    """What she does, and on a line of its own what she takes over."""
    cards: str


@frozen
class Outcome:
    """What the dialog shows."""

    wish: DayWish
    rows: tuple[RoleToday, ...] = ()
    told: tuple[str, ...] = ()
    """How much is told today and why, what is otherwise than written, and who is near whom."""
    left: tuple[str, ...] = ()
    """Sentences on what nobody can do, with why."""
    notes: tuple[str, ...] = ()
    suggested: tuple[tuple[str, str], ...] = ()
    """Roles that somebody is suggested for who was not fixed."""
    new_cards: tuple[CardFile, ...] = ()
    not_today: bool = False
    """Whether nothing is told."""
    problem: str | None = None
    """Why nothing, or no cards, could be made."""


def work_out(wish: DayWish) -> Outcome:
    """Share a day out and make the cards that change; never raises."""
    try:
        today = plan_today(wish.story, wish.day)
        cards = changed_cards(wish.story, today, wish.choices)
        new = card_files(wish.story, cards, wish.choices)
        if today.telling is not Telling.NOT_TODAY and today.staff.hosts:
            new = (*new, *papers_for_all(wish.story, today, wish.choices))
    except (ValueError, OSError) as error:
        return Outcome(wish, problem=say("No cards were made: {why}", why=error))
    except Exception as error:
        return Outcome(
            wish, problem=say("A fault of the program stopped it: {fault}", fault=repr(error))
        )
    fixed = dict(wish.day.takes)
    return Outcome(
        wish,
        _rows(today, cards),
        told_sentences(today),
        (*(_left(today, job, why) for job, why in today.sharing.left), *at_once_sentences(today)),
        _notes(wish.story, today),
        tuple((role, who) for role, who in today.staff.adult_of if role not in fixed),
        new,
        today.telling is Telling.NOT_TODAY,
    )


def told_sentences(today: Today) -> tuple[str, ...]:
    """How much is told and why, each change, what is told, and who is near whom."""
    said: list[str] = []
    if today.telling is not Telling.WHOLE:
        said.append(f"{today.why} {TOLD[today.telling]}".strip())
    if today.telling is Telling.NOT_TODAY:
        return tuple(said)
    said += [f"{where}: {what}." for where, what in today.changes]
    if today.changes:
        said.append(say("Told today: {lines}.", lines="; ".join(told_lines(today))))
    said += [
        say(
            "{line}: {who} taps {tap} in one way, as {kept}, not as {lost}.",
            line=quoted(way.words),
            who=today.staff.taken.get(way.who, way.who),
            tap=way.tap,
            kept=way.kept,
            lost=way.lost,
        )
        for way in today.one_way
    ]
    said += [
        say("{who} is near {places}: that comes first.", who=who, places=joined(places))
        for who, places in near_whom(today)
    ]
    return tuple(said)


def at_once_sentences(today: Today) -> tuple[str, ...]:
    """Where whoever has two roles would need hands for both at one time."""
    staff = today.staff
    return tuple(
        say(
            "{adult} can't be both: {kind:tap=taps {name}|bring=brings {name}|do=does “{name}”"
            "|with=is with {name}} as {role}, but {why} as {host}. Give one of the two roles to "
            "somebody else.",
            adult=staff.taken[role],
            kind=job.kind.value,
            name=job.name,
            role=role,
            why=why,
            host=staff.host_of[role],
        )
        for role, job, why in today.at_once
    )


def told_lines(today: Today) -> tuple[str, ...]:
    """What is told today, in its order: lines by their first words, refrains, turns and waits."""
    told: list[str] = []
    for segment in today.performance.segments:
        if segment.kind is SegmentKind.WAIT:
            told.append(say("wait {length:.0f}", length=segment.length_sec))
        elif segment.kind is SegmentKind.OFFER:
            told.append(say("turns with {prop}", prop=segment.prop))
        elif segment.refrain is not None:
            if not told or told[-1] != segment.refrain:
                told.append(segment.refrain)
        elif segment.line is not None:
            told.append(printed(segment.line.words).rstrip(" ,.;:"))
    return tuple(told)


def near_whom(today: Today) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each adult, with the role if there is one, and the places she is near."""
    taken = today.staff.taken
    places: dict[str, list[str]] = {}
    for place, who in today.near:
        adult = taken.get(who, who)
        places.setdefault(f"{adult} ({who})" if adult != who else who, []).append(place)
    return tuple((who, tuple(near)) for who, near in places.items())


def _rows(today: Today, cards: tuple[ChangedCards, ...]) -> tuple[RoleToday, ...]:
    staff = today.staff
    changed = {each.role: each for each in cards}
    rows: list[RoleToday] = []
    for role, adult in staff.adult_of:
        who = f"{adult}: {role}" if adult != role else role
        host = staff.host_of[role]
        if host != role:
            rows.append(
                RoleToday(who, say("as well as {host}", host=host), say("with {host}", host=host))
            )
            continue
        taken = [job for job, taker in today.sharing.takers if taker == role]
        over = [_over(job) for job in taken]
        said = [_hands(today, role, [job.name for job in taken if job.kind is JobKind.BRING])]
        if over:
            said.append(say("Takes over: {jobs}", jobs="; ".join(over)))
        hands = "\n".join(filter(None, said)) or say("hands free")
        rows.append(RoleToday(who, hands, _cards(changed.get(role))))
    for role in staff.away:
        shared = any(role in job.roles for job, _ in today.sharing.takers)
        rows.append(
            RoleToday(
                say("nobody: {role}", role=role),
                say("shared out among the others") if shared else "",
                "",
            )
        )
    rows += [RoleToday(adult, say("free to help"), "") for adult in staff.free]
    return tuple(rows)


def _hands(today: Today, role: str, taken_over: Sequence[str]) -> str:
    """What a role does; props that are ``taken_over`` are said with the rest of that."""
    lines = 0
    returns: dict[str, set[int]] = {}
    brings: dict[str, None] = {}
    for step in steps(today.performance):
        if any(tap.role == role for segment in step.lines for tap in segment.taps):
            if step.refrain is None:
                lines += 1
            else:
                returns.setdefault(step.refrain, set()).add(step.refrain_time)
        for segment in step.lines:
            if segment.line is not None:
                brings |= {each.prop: None for each in segment.line.props_in}
    own = [prop for prop in brings if today.story.bringer(prop) == role]
    own = [prop for prop in own if prop not in taken_over]
    taps = [say("{lines:1 line|# lines}", lines=lines)] if lines else []
    taps += [
        say("the refrain {refrain} {times:once|# times}", refrain=refrain, times=len(times))
        for refrain, times in returns.items()
    ]
    said = [say("taps {taps:and}", taps=tuple(taps))] if taps else []
    if own:
        said.append(say("brings {props:list}", props=tuple(own)))
    return "; ".join(said)


def _over(job: Job) -> str:
    if job.kind is JobKind.WITH:
        return say("is with {job}", job=job.name)
    if job.kind is JobKind.DO:
        return say("does “{job}”", job=job.name)
    return f"{'taps' if job.kind is JobKind.TAP else 'brings'} {job.name}"


def _cards(changed: ChangedCards | None) -> str:
    if changed is None or not changed.new:
        return say("as they are")
    sides = say("{sides:1 side|# sides}", sides=len(changed.new))
    return f"{sides}: {', '.join(changed.names)}" if changed.names else sides


def _left(today: Today, job: Job, why: str) -> str:
    words = _words(today, job.paths) if job.kind is JobKind.TAP else ""
    if words:
        return f"{job.sentence.rstrip('.')}: {words} {why}."
    return say("{sentence} Why: {why}.", sentence=job.sentence, why=why)


def _words(today: Today, paths: tuple[StoryPath, ...]) -> str:
    lines = {segment.path: segment.line for segment in today.performance.lines}
    return ", ".join(quoted(line.words) for path in paths if (line := lines.get(path)))


def _notes(story: Story, today: Today) -> tuple[str, ...]:
    staff = today.staff
    notes: list[str] = []
    adults, roles = len(staff.hosts), len(story.role_names)
    if staff.away:
        notes.append(
            say(
                "{adults:1 adult|# adults} for {roles} roles: nobody is {away}.",
                adults=adults,
                roles=roles,
                away=joined(staff.away, "or"),
            )
        )
    if today.voice is not None:
        notes.append(
            say(
                "Nobody leads: {taken} taps least and speaks: give them the cue sheet.",
                taken=staff.taken[today.voice],
            )
        )
    if staff.free:
        notes.append(say("Without a role: {names:list}.", names=tuple(staff.free)))
    return tuple(notes)
