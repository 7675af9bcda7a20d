"""Open a story file and find everything there is to find in it."""

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from tapscore.disc.reading import NotAFileError
from tapscore.disc.reasons import reason
from tapscore.disc.whole import finish_interrupted
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText, read_file
from tapscore.storyfile.story_findings import located, story_findings
from tapscore.wording.about import About

if TYPE_CHECKING:
    from tapscore.checks.accepting import AcceptedFinding, Checked

_LEANT_ON = (("metre",), ("tempo",))
"""Without these the rules would speak of another rhythm than the teacher's."""
_HEAD_BYTES = 64_000
_NO_STORY_FOR_RULES = frozenset({"too-long-told", "line-too-long", "too-many"})


@frozen
class OpenedStory:
    """A story with its text and every finding, in the text's order."""

    path: Path
    source: StoryText
    findings: tuple[Finding, ...]
    accepted: "tuple[AcceptedFinding, ...]" = ()
    """What was found and is meant to be so."""

    @property
    def story(self) -> Story | None:
        """The story, None where the file can't be read."""
        return self.source.story

    @property
    def must_mend(self) -> tuple[Finding, ...]:
        """The findings that stand in the way of using the story."""
        return tuple(finding for finding in self.findings if finding.must_mend)


def title_of(path: Path) -> str:
    """A story file's title, without reading the story; its name where that tells nothing.

    Raises OSError where there is no file.
    """
    import yaml

    with path.open("rb") as file:
        head = file.read(_HEAD_BYTES).decode("utf-8-sig", "replace")
    line = next((line for line in head.splitlines() if line.startswith("title:")), "")
    with suppress(yaml.YAMLError, AttributeError):
        title = yaml.safe_load(line).get("title")
        if isinstance(title, str) and title.strip():
            return " ".join(title.split())
    return path.stem


def open_story(path: Path, *, felt: bool = False, full: bool = False) -> OpenedStory:
    """Read and check ``path``; a file that can't be opened gives a finding, not an error.

    ``felt`` asks for what the board's model finds as well, ``full`` for a second opinion on the
    metre.
    """
    with suppress(OSError):
        finish_interrupted(path)
    try:
        source = read_file(path)
    except OSError as error:
        finding = Finding("can't-open", Severity.MUST_MEND, about=_why_not(path, error))
        return OpenedStory(path, StoryText("", None, None, ()), (finding,))
    found = checked(source, felt=felt, full=full)
    return OpenedStory(path, source, found.findings, found.accepted)


def checked(source: StoryText, *, felt: bool = False, full: bool = False) -> "Checked":
    """All findings, those that are accepted apart; ``felt`` as in ``open_story``."""
    from tapscore.checks.accepting import Checked
    from tapscore.checks.holding_back import one_of_a_kind

    if source.story is None:
        return Checked(source.findings)
    found = _by_rules(source.story, source.findings, felt=felt, full=full)
    placed = source.placed((*source.findings, *found.findings))
    return Checked(one_of_a_kind(placed), _accepted(found, source.placed))


def checked_story(story: Story, *, felt: bool = False, full: bool = False) -> "Checked":
    """All findings for a story as it is now, without its text being written.

    Places are those in the text that each thing was read from.
    """
    from tapscore.checks.accepting import Checked
    from tapscore.checks.holding_back import one_of_a_kind

    read = story_findings(story)
    found = _by_rules(story, read, felt=felt, full=full)
    placed = located(story, (*read, *found.findings))
    return Checked(one_of_a_kind(placed), _accepted(found, partial(located, story)))


def _accepted(
    found: "Checked", placed: Callable[[tuple[Finding, ...]], tuple[Finding, ...]]
) -> "tuple[AcceptedFinding, ...]":
    return tuple(
        evolve(each, finding=finding)
        for each in found.accepted
        for finding in placed((each.finding,))
    )


def _by_rules(story: Story, read: tuple[Finding, ...], *, felt: bool, full: bool) -> "Checked":
    """What the rules find; nothing where the reader found what leaves them without a story."""
    from tapscore.checks.accepting import Checked

    if any(_rules_out(finding) for finding in read):
        return Checked(())
    from tapscore.checks.holding_back import rules_to_run, without_follow_on
    from tapscore.checks.registry import RULES, check_story
    from tapscore.checks.rule import Scene
    from tapscore.rhythm.perform import perform

    wanted = RULES
    if felt or full:
        from tapscore.checks.all_rules import FELT_RULES, FULL_RULES

        wanted += (*(FELT_RULES if felt else ()), *(FULL_RULES if full else ()))
    rules = rules_to_run(story, wanted)
    found = check_story(Scene(story, perform(story)), rules)
    return Checked(without_follow_on(found.findings, read), found.accepted)


def _rules_out(finding: Finding) -> bool:
    """Whether a finding of the reader leaves the rules without the story they look at."""
    return finding.path[-1:] in _LEANT_ON or finding.code in _NO_STORY_FOR_RULES


def _why_not(path: Path, error: OSError) -> About:
    case, near = "other", None
    if isinstance(error, FileNotFoundError):
        from tapscore.storyfile.near import nearest
        from tapscore.workflow.names import STORY_ENDINGS

        there = path.parent.iterdir() if path.parent.is_dir() else ()
        beside = sorted(p.name for p in there if p.suffix in STORY_ENDINGS and p.name != path.name)
        case, near = "missing", nearest(path.name, beside)
    elif isinstance(error, IsADirectoryError):
        case = "folder"
    elif isinstance(error, PermissionError):
        case = "right"
    elif isinstance(error, NotAFileError):
        case = "device"
    return About(case=case, path=str(path), near=near, why=reason(error))


def metre_opinion(story: Story) -> tuple[Finding, ...]:
    """A second opinion on the metre of the whole story, by music21."""
    from tapscore.checks.all_rules import FULL_RULES
    from tapscore.checks.registry import check_story
    from tapscore.checks.rule import Scene
    from tapscore.rhythm.perform import perform

    return located(story, check_story(Scene(story, perform(story)), FULL_RULES).findings)
