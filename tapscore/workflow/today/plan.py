"""The whole of today: staff, what is left, a suggestion, and the cards that change."""

from collections.abc import Iterator

from attrs import frozen

from tapscore.exports.paper.drawing import Page
from tapscore.model.day import Day, Staff, Telling, staff_of, with_pupils_here
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices
from tapscore.workflow.shorten import Listed
from tapscore.workflow.today.amount import suggested
from tapscore.workflow.today.arranged import LeftOut, arranged, voice_today, ways_left_out
from tapscore.workflow.today.beside import near_pupils
from tapscore.workflow.today.hands import hands_of, why_not
from tapscore.workflow.today.jobs import Job, jobs_left
from tapscore.workflow.today.sharing import Sharing
from tapscore.workflow.today.telling import told_today


@frozen
class ChangedCards:
    """What one adult's cards lose and gain today."""

    role: str
    adult: str
    new: tuple[Page, ...]
    """Sides to print."""
    kept: int
    """Sides that stay as they are."""

    @property
    def names(self) -> tuple[str, ...]:
        """The new cards by their bookmarks."""
        return tuple(dict.fromkeys(name for page in self.new for name in page.bookmarks))


@frozen
class Today:
    """A plan for the day."""

    staff: Staff
    """With those who stand in for a whole role."""
    stand_ins: tuple[tuple[str, str], ...]
    """Role and who, so far without a role, takes it whole: no card changes."""
    left: tuple[Job, ...]
    """What nobody does before anything is shared out."""
    sharing: Sharing
    story: Story
    """The story as it is told today."""
    performance: Performance
    voice: str | None
    """Who speaks the words and warns if the leader is away."""
    telling: Telling = Telling.WHOLE
    why: str = ""
    """Why so much is told, in a sentence."""
    changes: tuple[Listed, ...] = ()
    """What is told otherwise than it is written."""
    near: tuple[tuple[str, str], ...] = ()
    """Each pupil's place and who is near, by role or, without one, by name."""
    at_once: tuple[tuple[str, Job, str], ...] = ()
    """What whoever has two roles can't do as the second of them, and why, as her first."""
    one_way: tuple[LeftOut, ...] = ()
    """Taps that two make differently and that fall to one."""

    @property
    def changed(self) -> bool:
        """Whether anybody takes over anything."""
        return bool(self.sharing.takers)


def plan_today(story: Story, day: Day) -> Today:
    """Set today's staff against the story, tell as much as they can, and share out what is left."""
    story = with_pupils_here(story, day)
    performance = perform(story)
    staff, stand_ins = _with_stand_ins(story, performance, staff_of(story, day))
    adults = len({*day.here, *(adult for _, adult in staff.adult_of)})
    telling, why = suggested(story, staff, adults)
    if day.tell is not None:
        telling, why = day.tell, say("As you chose.")
    host_of = staff.host_of
    told = told_today(story, host_of, telling)
    performance = perform(told.story)
    arranged_story = arranged(told.story, performance, host_of, told.sharing.takers)
    if telling is Telling.LIGHTER and not told.changes and day.tell is None:
        telling, why = Telling.WHOLE, ""
    leads = story.leader in staff.taken
    voice = None if leads else voice_today(told.story, performance, host_of)
    return Today(
        staff,
        stand_ins,
        told.left,
        told.sharing,
        arranged_story,
        perform(arranged_story),
        voice,
        telling,
        why,
        told.changes,
        near_pupils(arranged_story, staff.hosts, staff.free),
        tuple(_at_once(told.story, performance, host_of)),
        ways_left_out(told.story, performance, host_of, told.sharing.takers),
    )


def _at_once(
    story: Story, performance: Performance, host_of: dict[str, str]
) -> Iterator[tuple[str, Job, str]]:
    """Jobs of a second role that its adult has no hand for while she is in her first."""
    for role, host in host_of.items():
        if role == host:
            continue
        others = {each: of for each, of in host_of.items() if each != role}
        hands = hands_of(story, performance, others)
        for job in jobs_left(story, performance, others):
            why = why_not(story, hands, host, job) if role in job.roles else None
            if why:
                yield role, job, why


def changed_cards(story: Story, today: Today, choices: Choices) -> tuple[ChangedCards, ...]:
    """The part sheets or cards of each adult that are not among those they have already.

    Raises ValueError for cards that can't be made so.
    """
    before = perform(story)
    if today.telling is Telling.NOT_TODAY:
        return ()
    taken = today.staff.taken
    made: list[ChangedCards] = []
    for role in today.staff.hosts:
        new = _pages(today.story, today.performance, role, choices)
        had = {page.blocks for page in _pages(story, before, role, choices)}
        fresh = tuple(page for page in new if page.blocks not in had)
        made.append(ChangedCards(role, taken[role], fresh, len(new) - len(fresh)))
    return tuple(made)


def _pages(story: Story, performance: Performance, role: str, choices: Choices) -> tuple[Page, ...]:
    """One adult's part sheets, or her cards if the choices want them."""
    from tapscore.exports.own_pictures import OwnPictures
    from tapscore.exports.paper.cue_cards import card_pages
    from tapscore.exports.paper.part_sheets import part_pages

    distance, margin = choices.distance_m, choices.margin_mm
    if choices.by_heart:
        return card_pages(
            story,
            performance,
            role,
            paper=choices.card_paper,
            distance_m=distance,
            margin_mm=margin,
        )
    return part_pages(
        story,
        performance,
        role,
        paper=choices.part_paper,
        distance_m=distance,
        margin_mm=margin,
        pictures=OwnPictures(choices.beside),
        language=choices.part_language,
    )


def printing_findings(choices: Choices) -> tuple[Finding, ...]:
    """What to look at on the paper and sheets that are chosen.

    Raises ValueError for a number of cards on a sheet there is none of.
    """
    from tapscore.exports.paper.imposition import cut_findings
    from tapscore.exports.paper.pages import paper
    from tapscore.exports.paper.print_findings import margin_findings

    if not choices.by_heart:
        part = paper(choices.part_paper or "A4", landscape=True, margin_mm=choices.margin_mm)
        return margin_findings(part)
    card = paper(choices.card_paper, landscape=True, margin_mm=choices.margin_mm)
    edges = margin_findings(card)
    return (*edges, *cut_findings(card, choices.per_sheet, choices.other_paper))


def _with_stand_ins(
    story: Story, performance: Performance, staff: Staff
) -> tuple[Staff, tuple[tuple[str, str], ...]]:
    """Adults without a role take those that are away.

    The leader's first, then those beside a pupil, then the busiest.
    """
    free, away, taken = list(staff.free), list(staff.away), list(staff.adult_of)
    stand_ins: list[tuple[str, str]] = []
    leader = story.leader
    beside = {place.partner for place in story.board.places} if story.board else set()
    while free and away:
        here = [role for role, _ in taken]
        missing = jobs_left(story, performance, here)
        work = {role: sum(tap.role == role for tap in performance.taps) for role in away}
        counts = {
            role: (role in beside, sum(role in job.roles for job in missing), work[role])
            for role in away
        }
        role = leader if leader in away else max(away, key=lambda name: counts[name])
        away.remove(role)
        stand_ins.append((role, free.pop(0)))
        taken.append(stand_ins[-1])
    order = {role: i for i, role in enumerate(story.role_names)}
    taken.sort(key=lambda pair: order[pair[0]])
    return Staff(tuple(taken), tuple(free), tuple(away)), tuple(stand_ins)
