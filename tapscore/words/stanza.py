"""Fit the lines of one section together, so that they agree in bars, pickups and endings.

One line alone often leaves two good readings; its neighbours decide.  Every line brings
its cheapest placements; chosen together, they pay for being unlike and for running into
each other, and the cheapest choice is searched by improving one line after the other.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.fit import Fit, fit_line, likely_bars
from tapscore.words.fit_costs import FitWeights, shipped_weights
from tapscore.words.line import SungSyllable

_CANDIDATES = 16
_NEAR = 4
_SWEEPS = 6
_PER_BEAT = 12


@frozen
class Agreement:
    """What it costs two lines to be unlike, in the unit of the fits' costs."""

    beats: float = 3.0
    slots: float = 4.0
    bars: float = 4.0
    pickup: float = 0.7
    ending: float = 1.0
    overlap: float = 6.0
    tight: float = 1.5


@frozen
class _Candidate:
    fit: Fit
    beats: int
    slots: int
    tail_beats: float


def fit_stanza(
    lines: Sequence[Sequence[SungSyllable]],
    metre: Metre,
    *,
    bars: int | Sequence[int | None] | None = None,
    weights: FitWeights | None = None,
    agreement: Agreement | None = None,
) -> tuple[Fit, ...]:
    """One fit a line, in order; a line without syllables gets an empty fit.

    ``bars`` may fix the number of bars of all lines or of each.
    """
    known = shipped_weights() if weights is None else weights
    wanted = [bars] * len(lines) if bars is None or isinstance(bars, int) else list(bars)
    pools = [
        _candidates(tuple(line), metre, wish, known)
        for line, wish in zip(lines, wanted, strict=True)
        if line
    ]
    chosen = _chosen(pools, metre, Agreement() if agreement is None else agreement)
    found = iter(chosen)
    usual = max((fit.bars for fit in chosen), key=[fit.bars for fit in chosen].count, default=1)
    empty = Fit((), usual, Fraction(0), 0.0, metre)
    return tuple(next(found) if line else empty for line in lines)


@lru_cache(maxsize=512)
def _candidates(
    line: tuple[SungSyllable, ...], metre: Metre, bars: int | None, weights: FitWeights
) -> tuple[_Candidate, ...]:
    choices = [bars] if bars is not None else likely_bars(len(line), metre)
    each = max(4, _CANDIDATES // len(choices)) if len(line) <= 40 else 1
    fits: list[Fit] = []
    for choice in choices:
        fits += fit_line(line, metre, bars=choice, alternatives=each, weights=weights)
    fits.sort(key=lambda fit: fit.cost)
    return tuple(_candidate(fit) for fit in fits)


def _candidate(fit: Fit) -> _Candidate:
    places = [int(onset * _PER_BEAT) for onset in fit.onsets_beats if onset >= 0]
    slots = sum(1 << place for place in places)
    beats = sum(1 << (place // _PER_BEAT) for place in places if place % _PER_BEAT == 0)
    tail = float(fit.bars * fit.metre.beats - fit.onsets_beats[-1])
    return _Candidate(fit, beats, slots, tail)


def _unlike(one: int, two: int) -> float:
    both = (one | two).bit_count()
    return 1.0 - (one & two).bit_count() / both if both else 0.0


def difference(one: _Candidate, two: _Candidate, agreement: Agreement) -> float:
    """What two lines' placements cost for being unlike."""
    cost = agreement.beats * _unlike(one.beats, two.beats)
    cost += agreement.slots * _unlike(one.slots, two.slots)
    if one.fit.bars != two.fit.bars:
        cost += agreement.bars
    if (one.fit.pickup_beats > 0) != (two.fit.pickup_beats > 0):
        cost += agreement.pickup
    return cost + agreement.ending * min(2.0, abs(one.tail_beats - two.tail_beats))


def joint(one: _Candidate, following: _Candidate, agreement: Agreement) -> float:
    """What it costs if a line's end and the next one's pickup come too near each other."""
    room = one.tail_beats - float(following.fit.pickup_beats)
    if room <= 0:
        return agreement.overlap
    return agreement.tight if room < 0.3 else 0.0


def _chosen(
    pools: Sequence[tuple[_Candidate, ...]], metre: Metre, agreement: Agreement
) -> list[Fit]:
    if not pools:
        return []
    best: list[int] = []
    best_cost = float("inf")
    for start in _starts(pools, metre):
        choice = list(start)
        _improve(pools, choice, agreement)
        cost = _total(pools, choice, agreement)
        if cost < best_cost - 1e-9:
            best, best_cost = choice, cost
    return [pool[at].fit for pool, at in zip(pools, best, strict=True)]


def _starts(pools: Sequence[tuple[_Candidate, ...]], metre: Metre) -> list[list[int]]:
    """Where to begin: every line's best alone; the best with so many bars or that pickup."""
    counts = sorted({candidate.fit.bars for pool in pools for candidate in pool})
    starts = [[0] * len(pools)]
    for bars in counts if len(counts) > 1 else []:
        starts.append([_first(pool, bars, None) for pool in pools])
    for lifted in (False, True):
        starts.append([_first(pool, None, lifted) for pool in pools])
    del metre
    return starts


def _first(pool: tuple[_Candidate, ...], bars: int | None, lifted: bool | None) -> int:
    for at, candidate in enumerate(pool):
        right_bars = bars is None or candidate.fit.bars == bars
        if right_bars and (lifted is None or (candidate.fit.pickup_beats > 0) == lifted):
            return at
    return 0


def _line_cost(
    pools: Sequence[tuple[_Candidate, ...]],
    choice: Sequence[int],
    line: int,
    option: int,
    agreement: Agreement,
) -> float:
    candidate = pools[line][option]
    near = [
        other
        for other in range(max(0, line - _NEAR), min(len(pools), line + _NEAR + 1))
        if other != line
    ]
    cost = candidate.fit.cost
    for other in near:
        cost += difference(candidate, pools[other][choice[other]], agreement) / len(near)
    if line:
        cost += joint(pools[line - 1][choice[line - 1]], candidate, agreement)
    if line + 1 < len(pools):
        cost += joint(candidate, pools[line + 1][choice[line + 1]], agreement)
    return cost


def _improve(
    pools: Sequence[tuple[_Candidate, ...]], choice: list[int], agreement: Agreement
) -> None:
    for _ in range(_SWEEPS):
        changed = False
        for line, pool in enumerate(pools):
            costs = [
                _line_cost(pools, choice, line, option, agreement) for option in range(len(pool))
            ]
            least = costs.index(min(costs))
            if costs[least] < costs[choice[line]] - 1e-9:
                choice[line] = least
                changed = True
        if not changed:
            return


def _total(
    pools: Sequence[tuple[_Candidate, ...]], choice: Sequence[int], agreement: Agreement
) -> float:
    total = 0.0
    for line in range(len(pools)):
        own = pools[line][choice[line]].fit.cost
        total += own + (_line_cost(pools, choice, line, choice[line], agreement) - own) / 2
    return total
