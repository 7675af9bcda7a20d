"""The areas of learning that lines name cover the prime ones."""

from collections.abc import Iterator

from tapscore.checks.rule import Rule, Scene, Trouble
from tapscore.checks.whole_example import whole_story
from tapscore.model.curriculum import EYFS_AREAS, PRIME_AREAS
from tapscore.model.finding import Severity


def areas_covered(scene: Scene) -> dict[str, tuple[str, ...]]:
    """Every area that some line names, with the lines that do: ``("Line 1", "Line 4")``."""
    covered: dict[str, list[str]] = {}
    for told in scene.written:
        for area in told.line.areas:
            covered.setdefault(area, []).append(told.subject)
    return {area: tuple(lines) for area, lines in covered.items()}


def _find(scene: Scene) -> Iterator[Trouble]:
    covered = [area for area in areas_covered(scene) if area in EYFS_AREAS]
    gaps = [area for area in PRIME_AREAS if area not in covered]
    if covered and gaps:
        yield Trouble(
            ("story",),
            f"Lines name {_and(covered)}, but none names {_and(gaps, 'or')}.",
            "Look whether a line does it already; `areas:` of a line may name two. Gaps are "
            "no fault: another story may fill them.",
        )


def _and(names: list[str], word: str = "and") -> str:
    quoted = [f"“{name}”" for name in names]
    return f" {word} ".join(filter(None, (", ".join(quoted[:-1]), quoted[-1])))


_ALL = (
    "        areas: [Communication and Language, Physical Development]\n"
    "        do: hold up the picture of the hill\n"
)

RULE = Rule(
    id="areas-spread",
    title="The prime areas are all there",
    why="Where lines name areas of learning, the term's plan can be read from the story. Naming "
    "none is as good.",
    source="Statutory framework for the early years foundation stage (DfE): three prime areas",
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(
        ("        do: hold up the picture of the hill\n", _ALL),
        (
            "        prop in: {bell: middle}\n",
            '        areas: "Personal, Social and Emotional Development"\n'
            "        prop in: {bell: middle}\n",
        ),
    ),
    bad=whole_story(("        do: hold up the picture of the hill\n", _ALL)),
)
