"""The page about all checks: ``python -m tapscore.checks.page`` writes it anew."""

from tapscore.checks.registry import ALL_GROUPS
from tapscore.checks.rule import Rule
from tapscore.model.cautions import PROP_CAUTIONS, Caution
from tapscore.model.pupil_cautions import DEFERS, PLACE_CAUTIONS, PUPIL_CAUTIONS

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
    mends = f"- Can be mended for you: {_lower(rule.mends)}\n" if rule.mends else ""
    return (
        f"### {rule.title}\n\n`{rule.id}`, {rule.severity.value}; looks at {rule.looks_at}.\n\n"
        f"{rule.why}\n\n{mends}- Source: {rule.source}.\n"
    )


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


_INTRODUCTION = """\
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
"""


def cautions_page() -> str:
    """What stands in ``resources/cautions.txt``."""
    parts = ["CAUTIONS\n", *_wrapped(DEFERS)]
    for title, cautions in (
        ("Props", PROP_CAUTIONS),
        ("Pupils", PUPIL_CAUTIONS),
        ("Board and room", PLACE_CAUTIONS),
    ):
        parts += ["", title.upper()]
        for caution in cautions:
            parts += ["", *_caution(caution)]
    return "\n".join(parts) + "\n"


def _caution(caution: Caution) -> list[str]:
    return [
        caution.name,
        *(f"  {line}" for line in _wrapped(caution.reminder)),
        *(f"  {line}" for line in _wrapped(f"Ask {caution.ask}.")),
        *(f"  {line}" for line in _wrapped(f"Source: {caution.source}.")),
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
