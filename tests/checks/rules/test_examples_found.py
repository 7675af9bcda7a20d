"""What each bad example gives: where, with what in it, and what mending changes.

``tests/data/examples_found.txt`` is to be read by people: whether each place and figure is what the
example says was looked over when it was made.  After a change that is meant, write it anew
(``python -m tests.checks.rules.test_examples_found``) and look at the difference.
"""

from difflib import unified_diff
from pathlib import Path

from tapscore.checks.all_rules import mended
from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import Rule, Scene
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

KEPT = Path(__file__).parents[2] / "data" / "examples_found.txt"


_TEXTS = ("reminder", "ask")
"""Whole sentences of the cautions, which have tests of their own."""


def found_text() -> str:
    """All bad examples, one after the other."""
    return "\n".join(_of(rule, n, text) for rule in RULES for n, text in enumerate(_bad(rule), 1))


def _bad(rule: Rule) -> tuple[str, ...]:
    return (rule.bad, *rule.more_bad)


def _of(rule: Rule, number: int, text: str) -> str:
    read = read_text(text)
    assert read.story is not None
    every = check(Scene(read.story, perform(read.story)))
    found = tuple(each for each in every if each.code == rule.id)
    lines = [f"{rule.id}, bad example {number}"]
    for finding in read.placed(found):
        at = "/".join(map(str, finding.path)) or "the story"
        line = f" (line {finding.span.line})" if finding.span else ""
        data = finding.about.as_plain().items()
        told = ", ".join(f"{k}: {_shown(v)}" for k, v in data if k not in _TEXTS)
        lines.append(f"  {at}{line}: {told}")
    new = mended(read.story, found[0])
    if new is not None:
        changes = unified_diff(text.splitlines(), write_story(new).splitlines(), lineterm="", n=0)
        lines += [f"    {each}" for each in changes if each[:3] not in ("---", "+++", "@@ ")]
    return "\n".join(lines) + "\n"


def _shown(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, dict):
        return " ".join(f"{name} {each}" for name, each in value.items())
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def test_examples_are_found_as_they_were_looked_over() -> None:
    assert found_text() == KEPT.read_text(encoding="utf-8")


if __name__ == "__main__":
    KEPT.write_text(found_text(), encoding="utf-8")
