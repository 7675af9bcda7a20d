"""What a placement of syllables costs: learnt weights, and the tables made from them."""

import itertools
import json
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache
from typing import TypeAlias

from attrs import field, frozen

from tapscore.model.metre import Metre
from tapscore.resources import resource_path
from tapscore.words.fit_features import (
    BEATS,
    HEADS,
    HEAVINESS,
    RISES,
    Ending,
    LineFeatures,
    Named,
    head_number,
)
from tapscore.words.grid import FINE, GAPS, KINDS, Grid, gap_number, rise
from tapscore.words.line import SungSyllable, Weight

TURNED = 25.0
"""What it costs that a word's stressed syllable stands weaker than its neighbour: so much that
it happens only where no placement is without it."""

_FINE = 1.0
"""What a syllable on half a step costs at least; the training has none, so no weight is learnt."""

_STRENGTH = {"D": 1.0, "S": 0.8, "B": 0.6, "H": 0.2, "U": 0.25, "M": 0.1, "F": 0.0}
_GAP_COSTS = {
    "fine": (1.5, 2.5),
    "step": (0.2, 0.6),
    "part": (0.6, 0.1),
    "beat": (0.9, 0.3),
    "over": (1.4, 0.9),
    "two": (2.2, 1.4),
    "three": (3.5, 3.0),
    "more": (3.5, 3.0),
}
_PAUSES = {
    "both": {"fine": 6.0, "step": 4.0, "part": 2.4},
    "one": {"fine": 2.5, "step": 1.0, "part": 0.4},
}
_TAILS = {"fine": 1.5, "step": 0.8, "part": 0.5, "over": 0.2, "two": 0.1, "three": 1.0, "more": 1.0}
_HEAD_COSTS = {"step": 0.4, "part": 0.7, "beat": 1.2, "over": 2.5, "two": 2.5, "late": 2.0}
_HEAD_COSTS["later"] = 4.0
_BEAT_COSTS = {"4": 0.0, "2": 0.5, "3": 0.6, "6": 0.6, "8": 0.4, "12": 0.8, "16": 1.2}
_ORDER = {("in", "against"): 2.0, ("in", "level"): 0.4, ("out", "against"): 0.4}


def prior_weight(name: str) -> float:
    """Weight of a feature before anything is learnt; 0 for one that is not known."""
    kind, *rest = name.split(":")
    if kind == "at" and len(rest) == 2:
        fine = _FINE if rest[1] == "F" else 0.0
        return fine + 2.0 * (HEAVINESS[Weight[rest[0]]] - _STRENGTH[rest[1]]) ** 2
    if kind == "gap":
        return _GAP_COSTS[rest[3]][rest[0] == "heavy"] + (0.2 if rest[1] == "in" else 0.0)
    if kind == "pause":
        return _PAUSES[rest[0]].get(rest[1], 0.0)
    if kind == "skip" and len(rest) == 1:
        return {"D": 1.5, "S": 1.0, "B": 0.5}[rest[0]]
    if kind == "rise" and len(rest) == 3 and rest[1] != "even":
        against = rest[2] == ("up" if rest[1] == "falls" else "down")
        how = "against" if against else "level" if rest[2] == "level" else "with"
        return _ORDER.get((rest[0], how), 0.0)
    if kind == "tail":
        return _TAILS.get(rest[2], 0.0)
    if kind == "head":
        return _HEAD_COSTS.get(rest[1], 0.0)
    if kind == "beats" and len(rest) == 1:
        return _BEAT_COSTS.get(rest[0], 2.0)
    return 0.0


@frozen(eq=False)
class FitWeights:
    """Weights of the features by name; those not named have their prior weight."""

    learnt: Mapping[str, float] = field(factory=dict)
    _rows: dict[tuple[str, Ending], tuple[float, ...] | None] = field(factory=dict, init=False)

    def __getitem__(self, name: str) -> float:
        weight = self.learnt.get(name)
        return prior_weight(name) if weight is None else weight

    def row(self, named: Named) -> tuple[float, ...] | None:
        """Weights for each ending of a name; None where all are 0."""
        try:
            return self._rows[named]
        except KeyError:
            start, ends = named
            found = tuple(self[f"{start}:{end}"] if end else 0.0 for end in ends)
            row = self._rows[named] = found if any(found) else None
            return row

    def total(self, names: Iterable[Named], size: int) -> list[float]:
        """Summed weights of several names, one for each of ``size`` endings."""
        rows = [row for row in map(self.row, names) if row is not None]
        return [sum(column) for column in zip(*rows, strict=True)] if rows else [0.0] * size


@cache
def shipped_weights() -> FitWeights:
    """The learnt weights in ``resources/words/fit_weights.json``."""
    text = resource_path("words/fit_weights.json").read_text(encoding="utf-8")
    return FitWeights(json.loads(text)["weights"])


LOUDER = (0, 2, 1)
"""How loud a syllable of each stress is in its word; none, primary, secondary."""


def turned(one: SungSyllable, two: SungSyllable) -> int | None:
    """Which of ``RISES`` between two neighbours puts the louder one on the weaker slot."""
    first, second = LOUDER[one.stress], LOUDER[two.stress]
    if one.last or first == second:
        return None
    return RISES.index("up" if first > second else "down")


Paths: TypeAlias = tuple[tuple[tuple[int, int, float], ...], ...]
"""For every slot (counted from ``grid.first``) the slots after it: slot, class of the move
(``len(RISES)`` times its number in ``GAPS`` plus its number in ``RISES``), cost of the beats
that pass between."""


@lru_cache(maxsize=256)
def paths(grid: Grid, longest: int, weights: FitWeights) -> Paths:
    """All moves of at most ``longest`` slots on a grid; to half a step only from its beginning."""
    kinds = grid.kinds()
    halves = grid.per_beat == 2 * grid.metre.steps_per_beat
    skips = dict(zip(BEATS, _skips(grid.metre, weights), strict=True))
    rows = []
    for start, first in enumerate(kinds):
        passed = 0.0
        row = []
        for end in range(start + 1, min(len(kinds), start + longest + 1)):
            if halves and kinds[end] == FINE and end > start + 1:
                continue
            gap = gap_number(grid.metre, grid.per_beat, end - start)
            row.append((end, len(RISES) * gap + rise(first, kinds[end]), passed))
            passed += skips.get(kinds[end], 0.0)
        rows.append(tuple(row))
    return tuple(rows)


@lru_cache(maxsize=64)
def _skips(metre: Metre, weights: FitWeights) -> tuple[float, ...]:
    time = "c" if metre.compound else "w" if metre.beats == 3 else "s"
    beats = tuple(BEATS)
    return tuple(weights.total([("skip", beats), (f"skip:{time}", beats)], len(beats)))


class LineCosts:
    """Costs of one line in one metre, made once and laid on grids of any number of bars."""

    def __init__(
        self, syllables: Sequence[SungSyllable], metre: Metre, weights: FitWeights
    ) -> None:
        self.syllables = tuple(syllables)
        self._line = LineFeatures.of(self.syllables, metre)
        self.metre = metre
        self.weights = weights
        self.count = count = len(syllables)
        line, total = self._line, weights.total
        self._nodes = [
            dict(zip(KINDS, total(line.node(at), len(KINDS)), strict=True)) for at in range(count)
        ]
        self._gaps = [total(line.gap(at), len(GAPS)) for at in range(count - 1)]
        self._rises = [total(line.rise(at), len(RISES)) for at in range(count - 1)]
        for at, (one, two) in enumerate(itertools.pairwise(syllables)):
            against = turned(one, two)
            if against is not None:
                self._rises[at][against] += TURNED
        self._head = total(line.head(), len(HEADS))

    def size(self, bars: int) -> float:
        """Cost of the number of bars."""
        return sum(self.weights[name] for name in self._line.size(bars))

    def nodes(self, grid: Grid) -> list[list[float]]:
        """Cost of every syllable on every slot, without the line's beginning and end."""
        kinds = grid.kinds()
        found = [[costs[kind] for kind in kinds] for costs in self._nodes]
        if grid.middle is not None:
            for at, row in enumerate(found):
                names = self._line.middle(at, grid.bars)
                row[grid.middle - grid.first] += sum(self.weights[name] for name in names)
        return found

    def heads(self, grid: Grid) -> list[float]:
        """Cost of beginning on every slot."""
        return [
            self._head[head_number(grid.metre, grid.per_beat, slot)]
            for slot in range(grid.first, grid.last)
        ]

    def tails(self, grid: Grid) -> list[float]:
        """Cost of the last syllable on every slot."""
        costs = self.weights.total(self._line.tail(grid.bars), len(GAPS))
        return [
            costs[gap_number(grid.metre, grid.per_beat, grid.last - slot)]
            for slot in range(grid.first, grid.last)
        ]

    def jumps(self, bars: int | None) -> list[list[float]]:
        """Cost of every class of move (see ``Paths``) from each syllable to the next one.

        ``bars``: how long the line is; None where that is not yet known.
        """
        found = []
        rate = None if bars is None else self._line.rate(bars)
        for at, (gaps, rises) in enumerate(zip(self._gaps, self._rises, strict=True)):
            paced = gaps
            if rate is not None:
                more = self.weights.total(self._line.paced(at, rate), len(GAPS))
                paced = [one + two for one, two in zip(gaps, more, strict=True)]
            found.append([gap + up for gap in paced for up in rises])
        return found
