"""Findings that the teacher accepts: kept out of the list, counted, and taken up again.

An acceptance needs a reason.  One that nothing needs any more is itself a finding.
"""

from collections.abc import Collection

from attrs import evolve, frozen

from tapscore.checks.places import place_name, same_place
from tapscore.model.accepted import Acceptance
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
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


def sorted_out(
    story: Story,
    findings: tuple[Finding, ...],
    run: Collection[str],
    known: Collection[str],
) -> Checked:
    """Findings without those that are accepted, and with those about acceptances.

    ``run`` are the ids of the rules that were run, ``known`` those there are.
    """
    if not story.accepted:
        return Checked(findings)
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
