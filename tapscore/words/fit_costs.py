"""What a placement of syllables costs: weighted features and the tables made from them.

Every feature looks at one syllable and its slot, at two neighbours and their slots, or at
the line's beginning or end, so that a dynamic programme can find the cheapest placement.
The ideas are those of the textsetting literature: stress match, no long lapses, no
compression, phrase and line ends together (Hayes 2009; Halle & Lerdahl 1993).
"""

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from typing import TypeAlias

from attrs import field, frozen

from tapscore.model.metre import Metre
from tapscore.resources import resource_path
from tapscore.words.grid import LEVELS, Grid, gap_name
from tapscore.words.line import SungSyllable, Weight

_HEAVINESS = {
    Weight.CLITIC: 0.0,
    Weight.FUNCTION: 0.2,
    Weight.WEAK: 0.05,
    Weight.LIGHT: 0.5,
    Weight.LONG_FUNCTION: 0.55,
    Weight.SECONDARY: 0.5,
    Weight.CONTENT: 0.8,
    Weight.PRIMARY: 1.0,
}
_STRENGTH = {"D": 1.0, "S": 0.8, "B": 0.6, "H": 0.2, "U": 0.25, "M": 0.1, "F": 0.0}
_GAPS = {
    "fine": (1.5, 2.5),
    "step": (0.2, 0.6),
    "part": (0.6, 0.1),
    "beat": (0.9, 0.3),
    "over": (1.4, 0.9),
    "two": (2.2, 1.4),
    "more": (3.5, 3.0),
}
_PAUSES = {
    "both": {"fine": 3.0, "step": 2.0, "part": 1.2},
    "one": {"fine": 1.0, "step": 0.3},
}
_TAILS = {"fine": 1.5, "step": 0.8, "part": 0.5, "beat": 0.0, "over": 0.2, "two": 0.1, "more": 1.0}
_HEADS = {"on": 0.0, "step": 0.4, "part": 0.7, "beat": 1.2, "over": 2.5, "late": 2.0, "later": 4.0}
_BEATS = {"4": 0.0, "2": 0.5, "3": 0.6, "6": 0.6, "8": 0.4, "12": 0.8, "16": 1.2}
_DENSE = ((0.75, "sparse"), (1.1, "thin"), (1.6, "even"), (2.2, "full"), (2.8, "dense"))


def prior_weight(name: str) -> float:
    """Weight of a feature before anything is learnt; 0 for one that is not known."""
    kind, *rest = name.split(":")
    if kind == "at":
        fine = 3.0 if rest[1] == "F" else 0.0
        return fine + 2.0 * (_HEAVINESS[Weight[rest[0]]] - _STRENGTH[rest[1]]) ** 2
    if kind == "gap":
        return _GAPS[rest[3]][rest[0] == "heavy"] + (0.2 if rest[1] == "in" else 0.0)
    if kind == "pause":
        return _PAUSES[rest[0]].get(rest[1], 0.0)
    if kind == "skip":
        return {"D": 1.5, "S": 1.0, "B": 0.5}.get(rest[0], 0.0)
    if kind == "order":
        return {("in", "against"): 2.0, ("in", "level"): 0.4, ("out", "against"): 0.4}.get(
            (rest[0], rest[1]), 0.0
        )
    if kind == "tail":
        return _TAILS[rest[1]]
    if kind == "head":
        return _HEADS[rest[0]]
    if kind == "beats":
        return _BEATS.get(rest[0], 2.0)
    return 0.0


@frozen(eq=False)
class FitWeights:
    """Weights of the features by name; those not named have their prior weight."""

    learnt: Mapping[str, float] = field(factory=dict)

    def __getitem__(self, name: str) -> float:
        weight = self.learnt.get(name)
        return prior_weight(name) if weight is None else weight


@cache
def shipped_weights() -> FitWeights:
    """The learnt weights in ``resources/words/fit_weights.json``."""
    text = resource_path("words/fit_weights.json").read_text(encoding="utf-8")
    return FitWeights(json.loads(text)["weights"])


def is_heavy(weight: Weight) -> bool:
    """Whether a syllable of this weight may be drawn out."""
    return weight in (Weight.SECONDARY, Weight.CONTENT, Weight.PRIMARY)


PairType: TypeAlias = tuple[str, str, str, str]
"""Class of two neighbours: weight of the first, same word, which leads, pause between."""


def pair_type(first: SungSyllable, second: SungSyllable) -> PairType:
    """Class of two neighbours in a line."""
    lead = _HEAVINESS[first.weight] - _HEAVINESS[second.weight]
    relation = "falls" if lead > 0.15 else "rises" if lead < -0.15 else "even"
    inside = "out" if first.last else "in"
    heavy = is_heavy(first.weight)
    pause = ""
    if first.pause:
        pause = "both" if heavy and is_heavy(second.weight) else "one"
    return ("heavy" if heavy else "light", inside, relation, pause)


@frozen
class Role:
    """What the slot costs of a syllable depend on: its weight and its place in the line.

    ``run`` names the stretch of lighter syllables it stands in, as ``between:3:2`` (the
    second of three between two heavy ones), ``lead`` or ``trail`` at the line's ends; of a
    heavy syllable it tells whether heavy ones stand next to it (``stack:01``: one follows).
    """

    weight: Weight
    run: str


def roles(syllables: Sequence[SungSyllable]) -> list[Role]:
    """The role of every syllable of a line."""
    heavy = [is_heavy(syllable.weight) for syllable in syllables]
    count = len(heavy)
    found: list[Role] = []
    for at, syllable in enumerate(syllables):
        if heavy[at]:
            before = at > 0 and heavy[at - 1]
            after = at + 1 < count and heavy[at + 1]
            run = f"stack:{int(before)}{int(after)}"
        else:
            start = at
            while start and not heavy[start - 1]:
                start -= 1
            end = at + 1
            while end < count and not heavy[end]:
                end += 1
            place = "lead" if start == 0 else "trail" if end == count else "between"
            run = f"{place}:{min(end - start, 5)}:{min(at - start, 4)}"
        found.append(Role(syllable.weight, run))
    return found


def node_names(role: Role, metre: Metre, kind: str) -> list[str]:
    """Features of one syllable on one slot."""
    time = "c" if metre.compound else "s"
    on_beat = "on" if kind in "DSB" else "off"
    load = "heavy" if is_heavy(role.weight) else "light"
    names = [
        f"at:{role.weight.name}:{kind}",
        f"run:{time}:{role.run}:{on_beat}",
        f"in:{metre}:{load}:{kind}",
    ]
    if kind in "DSB":
        names.append(f"beat:{role.run}:{kind}")
    return names


def edge_names(pair: PairType, metre: Metre, per_beat: int, kinds: str) -> list[str]:
    """Features of two neighbours; ``kinds`` are the slots from the first's to the second's."""
    heavy, inside, relation, pause = pair
    time = "c" if metre.compound else "s"
    size = gap_name(metre, per_beat, len(kinds) - 1)
    names = [f"gap:{heavy}:{inside}:{time}:{size}", f"pace:{metre}:{heavy}:{size}"]
    if pause:
        names.append(f"pause:{pause}:{size}")
    names += [f"skip:{kind}" for kind in kinds[1:-1] if kind in "DSB"]
    rise = LEVELS[kinds[-1]] - LEVELS[kinds[0]]
    if relation != "even":
        against = rise > 0 if relation == "falls" else rise < 0
        if against:
            names.append(f"order:{inside}:against")
        elif rise == 0:
            names.append(f"order:{inside}:level")
    return names


def head_names(grid: Grid, slot: int, weight: Weight) -> list[str]:
    """Features of the slot that a line begins on."""
    if slot == 0:
        size = "on"
    elif slot > 0:
        size = "late" if slot <= grid.per_beat else "later"
    else:
        size = gap_name(grid.metre, grid.per_beat, -slot)
        size = {"fine": "step", "two": "over", "more": "over"}.get(size, size)
    return [f"head:{size}", f"start:{weight.name}:{size}"]


def tail_names(grid: Grid, slot: int, weight: Weight) -> list[str]:
    """Features of how long the last syllable lasts."""
    size = gap_name(grid.metre, grid.per_beat, grid.last - slot)
    beats = min(grid.metre.beats * grid.bars, 9)
    heavy = "heavy" if weight >= Weight.LIGHT else "light"
    return [f"tail:{heavy}:{size}", f"rest:{beats}:{size}"]


def size_names(metre: Metre, bars: int, count: int) -> list[str]:
    """Features of the line's length: felt beats in all, and syllables a beat."""
    beats = bars * metre.beats
    rate = count / beats
    dense = next((name for limit, name in _DENSE if rate < limit), "crammed")
    time = "c" if metre.compound else "s"
    size = str(beats) if beats <= 8 or beats in (12, 16) else "more"
    return [f"beats:{size}", f"rate:{time}:{dense}", f"bars:{min(bars, 5)}"]


def features(syllables: Sequence[SungSyllable], slots: Sequence[int], grid: Grid) -> Counter[str]:
    """All features of a placement, counted; its cost is their weighted sum."""
    kinds = grid.kinds()
    found: Counter[str] = Counter(size_names(grid.metre, grid.bars, len(syllables)))
    for role, slot in zip(roles(syllables), slots, strict=True):
        found.update(node_names(role, grid.metre, kinds[slot - grid.first]))
    for at in range(len(slots) - 1):
        span = kinds[slots[at] - grid.first : slots[at + 1] - grid.first + 1]
        pair = pair_type(syllables[at], syllables[at + 1])
        found.update(edge_names(pair, grid.metre, grid.per_beat, span))
    found.update(head_names(grid, slots[0], syllables[0].weight))
    found.update(tail_names(grid, slots[-1], syllables[-1].weight))
    return found


def cost_of(found: Counter[str], weights: FitWeights) -> float:
    """Weighted sum of counted features."""
    return sum(weights[name] * count for name, count in found.items())


Moves = tuple[tuple[tuple[int, float], ...], ...]
"""For every slot (counted from ``grid.first``) the slots after it and what going there costs."""


@lru_cache(maxsize=512)
def moves(grid: Grid, pair: PairType, longest: int, weights: FitWeights) -> Moves:
    """Costs of all pairs of slots at most ``longest`` apart, for one class of neighbours."""
    kinds = grid.kinds()
    cycle = grid.metre.beats * grid.per_beat
    known: dict[tuple[int, int], float] = {}
    rows = []
    for start in range(len(kinds)):
        row = []
        for end in range(start + 1, min(len(kinds), start + longest + 1)):
            key = (start % cycle, end - start)
            cost = known.get(key)
            if cost is None:
                names = edge_names(pair, grid.metre, grid.per_beat, kinds[start : end + 1])
                cost = known[key] = sum(weights[name] for name in names)
            row.append((end, cost))
        rows.append(tuple(row))
    return tuple(rows)


@lru_cache(maxsize=2048)
def node_costs(grid: Grid, role: Role, weights: FitWeights) -> tuple[float, ...]:
    """Cost of one role on every slot."""
    by_kind = {
        kind: sum(weights[name] for name in node_names(role, grid.metre, kind))
        for kind in set(grid.kinds())
    }
    return tuple(by_kind[kind] for kind in grid.kinds())


@lru_cache(maxsize=512)
def head_costs(grid: Grid, weight: Weight, weights: FitWeights) -> tuple[float, ...]:
    """Cost of beginning on every slot."""
    return tuple(
        sum(weights[name] for name in head_names(grid, slot, weight))
        for slot in range(grid.first, grid.last)
    )


@lru_cache(maxsize=512)
def tail_costs(grid: Grid, weight: Weight, weights: FitWeights) -> tuple[float, ...]:
    """Cost of ending on every slot."""
    return tuple(
        sum(weights[name] for name in tail_names(grid, slot, weight))
        for slot in range(grid.first, grid.last)
    )
