"""The page about all checks: ``python -m tapscore.checks.page`` writes it anew."""

from tapscore.checks.all_rules import ALL_GROUPS
from tapscore.checks.rule import Rule
from tapscore.model.cautions import PROP_CAUTIONS, Caution
from tapscore.model.pupil_cautions import (
    DEFERS,
    OUTDOOR_CAUTIONS,
    PLACE_CAUTIONS,
    PUPIL_CAUTIONS,
)
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

RULES_FILE = "rules.md"
CAUTIONS_FILE = "cautions.txt"
_WIDTH = 88


def rules_page() -> str:
    """What stands in ``resources/rules.md``."""
    parts = [_INTRODUCTION]
    for title, rules in ALL_GROUPS:
        parts.append(f"## {title}\n")
        parts += [_rule(rule) for rule in rules]
    return "\n".join(parts)


def _rule(rule: Rule) -> str:
    head = say(
        "{rule}, {severity}; looks at {what}.",
        rule=f"`{rule.id}`",
        severity=term(rule.severity.value),
        what=rule.looks_at,
    )
    ends = [say("- Can be mended for you: {how}", how=_lower(rule.mends))] if rule.mends else []
    ends.append(say("- Source: {source}.", source=rule.source))
    return "\n".join((f"### {rule.title}\n\n{head}\n\n{rule.why}\n", *ends, ""))


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


_INTRODUCTION = say("""\
# What tapscore looks at

tapscore looks at a story for what usually goes wrong at the board. It only points: nothing
is changed unless you say so, and nothing here is a verdict about a pupil.

- **must mend**: the story can't be used before.
- **look again**: probably not meant; if it is, accept it with a reason.
- **advice**: worth a thought.

To keep something as it is, write under `accepted:` in the story file which finding you
accept, where (the words of the line), and why:

    accepted:
      - finding: warn-before-loud
        where: Splash!
        why: the whole class waits for this and laughs

`tapscore rules NAME` shows a good and a bad example of each.
""")


def cautions_page() -> str:
    """What stands in ``resources/cautions.txt``."""
    parts = [say("CAUTIONS") + "\n", *_wrapped(DEFERS)]
    for title, cautions in (
        (say("Props"), PROP_CAUTIONS),
        (say("Pupils"), PUPIL_CAUTIONS),
        (say("Board and room"), PLACE_CAUTIONS),
        (say("Out of doors"), OUTDOOR_CAUTIONS),
    ):
        parts += ["", title.upper()]
        for caution in cautions:
            parts += ["", *_caution(caution)]
    return "\n".join(parts) + "\n"


def _caution(caution: Caution) -> list[str]:
    return [
        caution.name,
        *(f"  {line}" for line in _wrapped(caution.reminder)),
        *(f"  {line}" for line in _wrapped(say("Ask {who}.", who=caution.ask))),
        *(f"  {line}" for line in _wrapped(say("Source: {source}.", source=caution.source))),
    ]


def _wrapped(text: str) -> list[str]:
    from textwrap import wrap

    return wrap(text, _WIDTH, break_long_words=False, break_on_hyphens=False)


def _write() -> None:
    from tapscore.resources import resource_path

    home = resource_path("story.txt")
    home.with_name(RULES_FILE).write_text(rules_page(), encoding="utf-8")
    home.with_name(CAUTIONS_FILE).write_text(cautions_page(), encoding="utf-8")


if __name__ == "__main__":
    _write()
