"""A story's findings with those of one day: a role that nobody takes."""

from pathlib import Path

from attrs import evolve

from tapscore.checks.all_rules import TODAY_RULES
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.disc.reading import read_bounded, text_of
from tapscore.disc.reasons import reason
from tapscore.model.finding import Finding, Severity
from tapscore.rhythm.perform import perform
from tapscore.storyfile.day_file import MOST_BYTES, read_day
from tapscore.wording.about import About
from tapscore.wording.catalogue import say
from tapscore.workflow.open_story import OpenedStory


def with_day(opened: OpenedStory, path: Path) -> OpenedStory:
    """The opened story, with what the day file at ``path`` adds to its findings.

    A day file that can't be read is a finding itself; its places are told by its name.
    """
    story = opened.story
    if story is None:
        return opened
    try:
        read = read_day(text_of(read_bounded(path, MOST_BYTES)), story)
    except (OSError, UnicodeDecodeError) as error:
        about = About(case="day", path=str(path), why=reason(error))
        unread = Finding("can't-open", Severity.MUST_MEND, about=about)
        return evolve(opened, findings=(*opened.findings, unread))
    found = tuple(
        evolve(finding, about=finding.about.and_also(in_file=_place(path, finding)), span=None)
        for finding in read.findings
    )
    if read.day is not None:
        scene = Scene(story, perform(story), read.day)
        found += opened.source.placed(check(scene, TODAY_RULES))
    return evolve(opened, findings=(*opened.findings, *found))


def _place(path: Path, finding: Finding) -> str:
    return (
        say("{file}, line {line}", file=path.name, line=finding.span.line)
        if finding.span
        else path.name
    )
