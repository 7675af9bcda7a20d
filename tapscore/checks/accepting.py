"""Findings that the teacher accepts: kept out of the list, counted, and taken up again.

An acceptance needs a reason.  One that nothing needs any more is itself a finding.

Its place is named in words.  A line is named by its own, whatever its number: it may be
moved, others may come and go before it, and its hyphens may change.  If its words change it
is another line.
"""

from collections.abc import Collection

from attrs import evolve, frozen

from tapscore.checks.facts import plain
from tapscore.model.accepted import Acceptance
from tapscore.model.edits import item_at
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Line, Offer, RefrainUse, Story, Wait
from tapscore.model.walk import said_before
from tapscore.model.words import printed
from tapscore.storyfile.near import nearest
from tapscore.wording.about import About

NOT_NEEDED = "accepted-not-needed"


@frozen
class AcceptedFinding:
    """A finding that is not shown, and why."""

    finding: Finding
    why: str


@frozen
class Checked:
    """What the rules found: to be looked at, and accepted."""

    findings: tuple[Finding, ...]
    accepted: tuple[AcceptedFinding, ...] = ()


def accept(story: Story, finding: Finding, why: str) -> Story:
    """The story with a finding accepted.

    Raises ValueError without a reason, and for what must be mended.
    """
    if not why.strip():
        raise ValueError("a finding is accepted with a reason")
    if finding.must_mend:
        raise ValueError(f"{finding.code} must be mended and can't be accepted")
    acceptance = Acceptance(finding.code, " ".join(why.split()), place_name(story, finding.path))
    return evolve(story, accepted=(*story.accepted, acceptance))


def not_accepted(story: Story, finding: Finding) -> Story:
    """The story with a finding accepted no more; it is looked at again."""
    index = _acceptance(story, finding)
    if index is None:
        return story
    return evolve(story, accepted=(*story.accepted[:index], *story.accepted[index + 1 :]))


def sorted_out(
    story: Story,
    findings: tuple[Finding, ...],
    run: Collection[str],
    known: Collection[str],
) -> Checked:
    """Findings without those that are accepted, and with those about acceptances.

    ``run`` are the ids of the rules that were run, ``known`` those there are.
    """
    shown: list[Finding] = []
    accepted: list[AcceptedFinding] = []
    used: set[int] = set()
    for finding in findings:
        index = _acceptance(story, finding)
        if index is None or finding.must_mend:
            shown.append(finding)
        else:
            used.add(index)
            accepted.append(AcceptedFinding(finding, story.accepted[index].why))
    must_mend = {finding.code for finding in findings if finding.must_mend}
    for index, acceptance in enumerate(story.accepted):
        if acceptance.finding not in known:
            shown.append(_unknown(index, acceptance, known))
        elif index not in used and acceptance.finding in run:
            shown.append(_unneeded(index, acceptance, acceptance.finding in must_mend))
    return Checked(tuple(shown), tuple(accepted))


def _acceptance(story: Story, finding: Finding) -> int | None:
    place = place_name(story, finding.path)
    for index, each in enumerate(story.accepted):
        if each.finding == finding.code and (each.where is None or same_place(each.where, place)):
            return index
    return None


def _unknown(index: int, acceptance: Acceptance, known: Collection[str]) -> Finding:
    check = acceptance.finding
    return Finding(
        "accepted-unknown",
        Severity.LOOK_AGAIN,
        path=("accepted", index, "finding"),
        about=About(check=check, near=nearest(check, known)),
    )


def _unneeded(index: int, acceptance: Acceptance, must_mend: bool) -> Finding:
    return Finding(
        "accepted-must-mend" if must_mend else NOT_NEEDED,
        Severity.LOOK_AGAIN if must_mend else Severity.ADVICE,
        path=("accepted", index),
        about=About(check=acceptance.finding, where=acceptance.where),
    )


def place_name(story: Story, path: StoryPath) -> str | None:
    """A place in words, such as ``Splash!`` or ``wait after Splash!``; None for the story."""
    match path:
        case ("story", int(section), "lines", int(), *_):
            return _item_name(story, path[:4], story.sections[section].title or "the story")
        case ("story", int(section), *_) if section < len(story.sections):
            return f"section {story.sections[section].title}"
        case ("refrains", str(name), int(), *_):
            return _item_name(story, path[:3], name)
        case ("refrains", str(name)):
            return f"refrain {name}"
        case ("props", str(name), "cautions", str(caution)):
            return f"prop {name}, {caution}"
        case (("props" | "roles") as kind, str(name), *_):
            return f"{kind[:-1]} {name}"
        case ("board", *_):
            return "board"
    return None


def same_place(one: str | None, other: str | None) -> bool:
    """Whether two names mean one place: marks, hyphens and capitals don't matter."""
    return _bare(one) == _bare(other)


def _bare(name: str | None) -> str | None:
    return None if name is None else plain(name) or name.strip()


def _item_name(story: Story, path: StoryPath, home: str) -> str:
    try:
        item = item_at(story, path)
    except KeyError:
        return home
    if isinstance(item, Line) and item.words:
        return printed(item.words)
    before = said_before(story, path) or f"the start of {home}"
    what = "line"
    if isinstance(item, Wait):
        what = "wait"
    elif isinstance(item, Offer):
        what = f"turns with {item.prop}"
    elif isinstance(item, RefrainUse):
        what = f"refrain {item.name}"
    elif isinstance(item, Line):
        what = "tapping"
    return f"{what} after {before}"
