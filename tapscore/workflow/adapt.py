"""A copy of a story that is gentler, livelier or shorter, with every change listed.

The copy keeps the words and the shape.  How far anything may go is stated in ``BOUNDS``.
"""

from collections import Counter
from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.checks.accepting import NOT_NEEDED
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.checks.setting import setting_of
from tapscore.model.accepted import Acceptance
from tapscore.model.comfort import ADVISED_WAIT_SEC
from tapscore.model.edits import replace_item
from tapscore.model.fewer_taps import Tapped
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane
from tapscore.model.loudness import Loudness, swell_words
from tapscore.model.manner import USUAL, PartialManner
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.tempo import tempo_words
from tapscore.model.walk import line_at, said_before, written_items
from tapscore.rhythm.perform import perform
from tapscore.rhythm.unroll import unroll
from tapscore.wording.catalogue import say
from tapscore.workflow.adapt_amounts import (
    Amount,
    adapted_line,
    adapted_manner,
    adapted_offer,
    adapted_wait,
)
from tapscore.workflow.shorten import shortened
from tapscore.workflow.thinning import thinned


class CopyWay(Enum):
    """How a copy differs; the value is the word used in commands and titles."""

    GENTLER = "gentler"
    LIVELIER = "livelier"
    SHORT = "short"


@frozen
class CopyChange:
    """One thing that differs in the copy."""

    where: str
    """``Line 4``, ``The refrain “row home”``, ``The story``."""
    what: str
    """``tempo 46 instead of 54``."""


@frozen
class Adapted:
    """The copy and all that was changed in it."""

    story: Story
    changes: tuple[CopyChange, ...]

    @property
    def said(self) -> tuple[str, ...]:
        """What changed, all that changed in one place together, in the story's order."""
        places: dict[str, list[str]] = {}
        for change in self.changes:
            places.setdefault(change.where, []).append(change.what)
        return tuple(
            f"{where}: {'; '.join(_counted(changed))}" for where, changed in places.items()
        )


AMOUNTS = {
    CopyWay.GENTLER: Amount(
        louder_steps=-1,
        loudest=Loudness.VERY_LOUD,
        loudest_unwarned=Loudness.VERY_LOUD,
        tempo_share=Fraction(6, 7),
        tempo_bound=Fraction(40),
        apart_sec=1.1,
        wait_share=Fraction(3, 2),
        least_wait_sec=ADVISED_WAIT_SEC,
        least_turn_sec=Fraction(45),
    ),
    CopyWay.LIVELIER: Amount(
        louder_steps=1,
        loudest=Loudness.LOUD,
        loudest_unwarned=Loudness.MEDIUM,
        tempo_share=Fraction(7, 6),
        tempo_bound=Fraction(90),
        apart_sec=0.25,
    ),
}
BOUNDS = {
    CopyWay.GENTLER: (
        say(
            "Fewer taps: where they come closer than 1.1 seconds, those between the beats are "
            "only spoken, and where the beats are as close, those on weak beats too. Waits and "
            "turns half as long again, waits at least 20 seconds, turns at least 45, up to a "
            "minute. Softer beginnings: without a warning no line begins with an accent, and "
            "one of its own loudness begins a step below it. Everything one step quieter, down "
            "to very quiet; a seventh slower, down to 40 beats a minute. Words and props stay."
        )
    ),
    CopyWay.LIVELIER: (
        say(
            "Everything one step louder, up to medium, or with a warning up to loud, and never "
            "above your ceiling; a sixth faster, up to 90 beats a minute; spoken syllables are "
            "tapped too where taps stay 0.25 seconds apart. Words, waits, turns and props stay."
        )
    ),
    CopyWay.SHORT: (
        say(
            "The first and the last section stay, and between them one: the one with the prop "
            "that the ending takes away, or the first with a refrain. Props that no longer "
            "come are taken out of the list."
        )
    ),
}


def adapt(story: Story, way: CopyWay, tapped: Tapped | None = None) -> Adapted:
    """A copy of ``story``; the same story always gives the same copy.

    ``tapped``: which syllables of the copy are tapped, if that should change, too.
    """
    if way is CopyWay.SHORT:
        short, changes = shortened(story)
        made = Adapted(short, tuple(CopyChange(*change) for change in changes))
    else:
        made = _by_amount(story, AMOUNTS[way])
    if tapped is not None:
        made = _with_taps(made, tapped)
    title = f"{story.title} ({way.value})"
    needless = _needless(made.story) - _needless(story)
    kept = tuple(each for each in made.story.accepted if each not in needless)
    return Adapted(
        evolve(made.story, title=title, accepted=kept),
        (
            CopyChange(say("The story"), say("is called “{title}”", title=title)),
            *made.changes,
            *(
                CopyChange(
                    say("Accepted “{finding}”", finding=each.finding),
                    say("left out, as it is no longer found"),
                )
                for each in made.story.accepted
                if each in needless
            ),
        ),
    )


def _with_taps(made: Adapted, tapped: Tapped) -> Adapted:
    def has_taps(path: StoryPath) -> bool:
        line = line_at(made.story, path)  # silence on the board is meant, too
        return line is not None and line.lane is not None and _tap_count(line.lane) > 0

    story, paths = thinned(made.story, tapped, has_taps)
    numbers = {each.path: each.number for each in unroll(made.story)}
    changes = []
    for path in paths:
        old, new = line_at(made.story, path), line_at(story, path)
        if old is not None and new is not None:
            changes += _line_changes(_name(path, numbers), old, new)
    return Adapted(story, (*made.changes, *changes))


def _needless(story: Story) -> set[Acceptance]:
    """Acceptances that nothing needs."""
    if not story.accepted:
        return set()
    found = check(Scene(story, perform(story)))
    places = [f.path[1] for f in found if f.code == NOT_NEEDED]
    return {story.accepted[place] for place in places if isinstance(place, int)}


def _by_amount(story: Story, amount: Amount) -> Adapted:
    changes: list[CopyChange] = []
    amount = amount.under(setting_of(story).comfort.loudest)
    base = evolve(
        story.manner,
        tempo=story.manner.tempo or USUAL.tempo,
        loudness=story.manner.loudness or USUAL.loudness,
    )
    new = evolve(story, manner=adapted_manner(base, amount))
    changes += _manner_changes(say("The story"), base, new.manner)
    sections = tuple(
        evolve(each, manner=adapted_manner(each.manner, amount)) for each in story.sections
    )
    new = evolve(new, sections=sections)
    for old, section in zip(story.sections, sections, strict=True):
        changes += _manner_changes(
            say("The section “{title}”", title=old.title), old.manner, section.manner
        )
    manners = {each.path: each.manner for each in unroll(new)}
    numbers = {each.path: each.number for each in unroll(story)}
    for path, item in written_items(story):
        if isinstance(item, Line):
            line = adapted_line(item, manners.get(path, USUAL), amount)
            if line != item:
                new = replace_item(new, path, line)
                changes += _line_changes(_name(path, numbers), item, line)
        elif isinstance(item, Wait) and (wait := adapted_wait(item, amount)) != item:
            new = replace_item(new, path, wait)
            where = say(
                "The wait after “{words}”", words=said_before(story, path) or say("the start")
            )
            what = say(
                "{now:1 second|# seconds} instead of {before}",
                now=wait.least_sec,
                before=item.least_sec,
            )
            changes.append(CopyChange(where, what))
        elif isinstance(item, Offer) and (offer := adapted_offer(item, amount)) != item:
            new = replace_item(new, path, offer)
            turns = say(
                "{now:1 second|# seconds} instead of {before}",
                now=offer.turn_sec,
                before=item.turn_sec,
            )
            changes.append(CopyChange(say("Turns with “{prop}”", prop=item.prop), turns))
        elif isinstance(item, RefrainUse):
            manner = adapted_manner(item.manner, amount)
            if manner != item.manner:
                new = replace_item(new, path, evolve(item, manner=manner))
                where = say("The return of “{name}”", name=item.name)
                changes += _manner_changes(where, item.manner, manner)
    return Adapted(new, tuple(changes))


def _name(path: StoryPath, numbers: dict[StoryPath, int | None]) -> str:
    match path:
        case ("refrains", str(name), int(index)):
            return say("Line {number} of the refrain “{refrain}”", number=index + 1, refrain=name)
    return say("Line {number}", number=numbers.get(path) or "?")


def _counted(changed: Sequence[str]) -> list[str]:
    """Each change once: two returns of a refrain have waits of one name after them."""
    return [
        what if count == 1 else say("{what} ({count} times)", what=what, count=count)
        for what, count in Counter(changed).items()
    ]


def _line_changes(where: str, old: Line, new: Line) -> list[CopyChange]:
    changes = _manner_changes(where, old.manner, new.manner)
    if old.lane is not None and new.lane is not None and old.lane != new.lane:
        before, after = _tap_count(old.lane), _tap_count(new.lane)
        if before != after:
            changes.append(
                CopyChange(
                    where,
                    say("{after:1 tap|# taps} instead of {before}", after=after, before=before),
                )
            )
        if _single_loudness(old.lane) != _single_loudness(new.lane):
            changes.append(CopyChange(where, say("loudness of single taps, by one step")))
        if _begins_strongly(old.lane) and not _begins_strongly(new.lane):
            changes.append(CopyChange(where, say("begins without an accent")))
    return changes


def _single_loudness(lane: Lane) -> list[Loudness]:
    details = (cell.detail for bar in lane.all_bars for step in bar for cell in step)
    every = (own for each in details if each for own in each.each)
    return [own.loudness for own in every if own.loudness is not None]


def _begins_strongly(lane: Lane) -> bool:
    cells = (cell for bar in lane.all_bars for step in bar for cell in step)
    return next((cell.accent for cell in cells if cell.mark.tapped), False)


def _tap_count(lane: Lane) -> int:
    return sum(cell.mark.tapped for bar in lane.all_bars for step in bar for cell in step)


def _manner_changes(where: str, old: PartialManner, new: PartialManner) -> list[CopyChange]:
    changes: list[CopyChange] = []
    if old.tempo is not None and new.tempo is not None and old.tempo != new.tempo:
        what = say(
            "tempo {now} instead of {before}",
            now=tempo_words(new.tempo),
            before=tempo_words(old.tempo),
        )
        changes.append(CopyChange(where, what))
    if old.loudness is not None and new.loudness is not None and old.loudness != new.loudness:
        what = say(
            "{now} instead of {before}",
            now=swell_words(new.loudness),
            before=swell_words(old.loudness),
        )
        changes.append(CopyChange(where, what))
    return changes
