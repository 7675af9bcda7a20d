"""Which things of an old list are which things of a new one."""

from collections.abc import Callable, Sequence
from difflib import SequenceMatcher

from attrs import frozen

MOST_COMPARED = 40_000
LIKE_ENOUGH = 0.4


@frozen
class Step:
    """One place of a new list, or one thing of the old list that is gone."""

    old: int | None
    """Which of the old things it is; None for a new one."""
    new: int | None
    """Which of the new things it is; None for one that is gone."""


def align(
    old_keys: Sequence[str],
    new_keys: Sequence[str],
    likeness: Callable[[int, int], float],
) -> tuple[Step, ...]:
    """Walk through both lists in step; ``likeness`` of an old and a new thing is 0 to 1.

    Equal keys are the same thing; between them, the pairing that is most alike in all.
    """
    steps: list[Step] = []
    matcher = SequenceMatcher(None, old_keys, new_keys, autojunk=False)
    for what, i1, i2, j1, j2 in matcher.get_opcodes():
        if what == "equal":
            steps += [Step(i, j) for i, j in zip(range(i1, i2), range(j1, j2), strict=True)]
        elif what == "replace":
            steps += _most_alike(range(i1, i2), range(j1, j2), likeness)
        else:
            steps += [Step(i, None) for i in range(i1, i2)]
            steps += [Step(None, j) for j in range(j1, j2)]
    return tuple(steps)


def _most_alike(olds: range, news: range, likeness: Callable[[int, int], float]) -> list[Step]:
    rows, columns = len(olds), len(news)
    if rows * columns > MOST_COMPARED:
        paired = min(rows, columns)
        return [
            *(Step(olds[i], news[i]) for i in range(paired)),
            *(Step(i, None) for i in olds[paired:]),
            *(Step(None, j) for j in news[paired:]),
        ]
    alike = [[likeness(i, j) for j in news] for i in olds]
    best = [[0.0] * (columns + 1) for _ in range(rows + 1)]
    for i in reversed(range(rows)):
        for j in reversed(range(columns)):
            paired_sum = best[i + 1][j + 1] + alike[i][j] if alike[i][j] >= LIKE_ENOUGH else 0.0
            best[i][j] = max(best[i + 1][j], best[i][j + 1], paired_sum)
    steps: list[Step] = []
    i = j = 0
    while i < rows and j < columns:
        if alike[i][j] >= LIKE_ENOUGH and best[i][j] == best[i + 1][j + 1] + alike[i][j]:
            steps.append(Step(olds[i], news[j]))
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            steps.append(Step(olds[i], None))
            i += 1
        else:
            steps.append(Step(None, news[j]))
            j += 1
    steps += [Step(old, None) for old in olds[i:]]
    steps += [Step(None, new) for new in news[j:]]
    return steps
