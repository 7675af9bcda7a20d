"""What is not said: what only follows from a line that can't be read, and the same thing twice."""

from attrs import evolve

from tapscore.checks.rule import EachLine, EachPair, Rule
from tapscore.model.finding import Finding, StoryPath
from tapscore.model.story import Story, Unread
from tapscore.model.walk import item_path, written_items
from tapscore.wording.about import About

GENERAL = ("stage",)
"""What is said with the first finding that has it and holds for all: once is enough."""
_LEANT_ON = ("words", "lane", "metre", "tempo")
_BESIDES = (*GENERAL, "more_here")


def same_finding(one: Finding, other: Finding) -> bool:
    """Whether two findings are one, whatever is said with them besides."""
    bare = (
        About(**{name: value for name, value in each.about.items() if name not in _BESIDES})
        for each in (one, other)
    )
    return one.path == other.path and next(bare) == next(bare)


def rules_to_run(story: Story, rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """The rules that can be trusted: a line that can't be read leaves those about lines alone."""
    if not any(isinstance(item, Unread) for _, item in written_items(story)):
        return rules
    return tuple(rule for rule in rules if isinstance(rule.find, EachLine | EachPair))


def without_follow_on(found: tuple[Finding, ...], read: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What the rules found, but for lines in which the reader found what must be mended.

    The line after such a one is left alone too, for it may follow on what is not there.
    """
    broken = {path for each in read if (path := item_path(each.path)) and _breaks(each, path)}
    after = {(*path[:-1], path[-1] + 1) for path in broken if isinstance(path[-1], int)}
    quiet = broken | after
    return tuple(each for each in found if item_path(each.path) not in quiet)


def _breaks(finding: Finding, path: StoryPath) -> bool:
    """Whether it leaves the rules without what is said or tapped in that line."""
    rest = finding.path[len(path) :]
    return finding.must_mend and (not rest or rest[0] in _LEANT_ON)


def one_of_a_kind(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """At most one finding of a kind in a line, with how many more there are of it.

    Hazards are all named, each with whom to ask.  What is general is said the first time only.
    """
    first: dict[tuple[str, StoryPath], int] = {}
    kept: list[Finding] = []
    more: dict[int, int] = {}
    general: set[str] = set()
    for finding in findings:
        path = item_path(finding.path)
        key = (finding.code, path or ())
        if path is not None and "caution" not in finding.about and key in first:
            more[first[key]] = more.get(first[key], 0) + 1
            continue
        first.setdefault(key, len(kept))
        kept.append(_said_once(finding, general))
    for index, count in more.items():
        kept[index] = evolve(kept[index], about=kept[index].about.and_also(more_here=count))
    return tuple(kept)


def _said_once(finding: Finding, general: set[str]) -> Finding:
    for name in GENERAL:
        if name in finding.about and finding.about[name] and finding.code in _WITH_GENERAL:
            if name in general:
                finding = evolve(finding, about=finding.about.and_also(**{name: None}))
            general.add(name)
    return finding


_WITH_GENERAL = ("warn-before-loud", "no-sudden-tap", "loud-not-long")
