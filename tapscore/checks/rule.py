"""What a rule is."""

from collections.abc import Callable, Iterator

from attrs import frozen

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance

NO_SOURCE = "common practice, no source"
HOUSE_RULE = "house rule"


@frozen
class Scene:
    """What a rule looks at."""

    story: Story
    performance: Performance


@frozen
class Trouble:
    """One thing a rule found: where, what, and what to do."""

    path: StoryPath
    message: str
    remedy: str


@frozen
class Rule:
    """One check, with why it is there and an example of each side that tests run."""

    id: str
    title: str
    why: str
    source: str
    severity: Severity
    find: Callable[[Scene], Iterator[Trouble]]
    good: str
    """A story file in which the rule finds nothing."""
    bad: str
    """A story file in which it finds something, and no other rule does."""

    def findings(self, scene: Scene) -> Iterator[Finding]:
        """Everything the rule finds, as findings."""
        for trouble in self.find(scene):
            yield Finding(self.id, self.severity, trouble.message, trouble.remedy, trouble.path)


def example(lines: str, *, metre: str = "6/8", extra: str = "") -> str:
    """A small story file around some lines, for a rule's examples."""
    body = "".join(f"      {line}\n" for line in lines.strip("\n").split("\n"))
    return (
        f"tapscore: 1\ntitle: Example\nmetre: {metre}\n{extra}"
        f"story:\n  - section: One\n    lines:\n{body}"
    )
