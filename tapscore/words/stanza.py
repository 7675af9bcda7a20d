"""Fit the lines of one section together, so that they agree in bars, pickups and endings.

One line alone often leaves two good readings; its neighbours decide.  Every line brings
its cheapest placements; chosen together, they pay for being unlike, for beginning with the
same words in another rhythm and for running into each other.  A line that returns word for
word has one rhythm.  The cheapest choice is searched by improving one line after the other.
"""

import itertools
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.fit import Fit, likely_fits
from tapscore.words.fit_costs import FitWeights, LineCosts, shipped_weights
from tapscore.words.line import SungSyllable
from tapscore.words.phrasing import phrasing_of, words_of

_FAR = 7.0
_NEAR = 4
_SWEEPS = 6
_PER_BEAT = 12

Line = tuple[SungSyllable, ...]


@frozen
class Agreement:
    """What it costs two lines to be unlike, in the unit of the fits' costs.

    ``beats``, ``slots``: beats and slots that only one of them uses (a share); ``bars``,
    ``pickup``: another number of bars, a pickup in one only; ``ending``: a beat more held at
    the end; ``opening``: the same first words in another rhythm; ``alike``: as many stressed
    syllables, standing elsewhere (a share); ``rhyme``: the last stressed syllable, which rhymes
    as a rule, elsewhere before the line's end; ``parallel``: lines built alike whose syllables
    stand elsewhere (a share); ``overlap``, ``tight``: a line's pickup begins before the last
    syllable's place, or hard behind it.
    """

    beats: float = 0.4
    slots: float = 8.0
    bars: float = 1.4
    pickup: float = 0.8
    ending: float = 0.2
    opening: float = 1.0
    alike: float = 1.0
    rhyme: float = 0.7
    parallel: float = 2.0
    overlap: float = 6.0
    tight: float = 1.5


@frozen(eq=False)
class _Candidate:
    fit: Fit
    beats: int
    slots: int
    tail_beats: float
    stresses: tuple[int, ...]
    """Where the stressed syllables begin."""
    rhyme: int | None
    """How long before the line's end the last of them begins."""


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
    spoken = [(tuple(line), wish) for line, wish in zip(lines, wanted, strict=True) if line]
    chosen = _Together(spoken, metre, known, agreement or Agreement()).best()
    found = iter(chosen)
    usual = max((fit.bars for fit in chosen), key=[fit.bars for fit in chosen].count, default=1)
    empty = Fit((), usual, Fraction(0), 0.0, metre)
    return tuple(next(found) if line else empty for line in lines)


@lru_cache(maxsize=512)
def _candidates(
    line: Line, metre: Metre, bars: int | None, weights: FitWeights
) -> tuple[_Candidate, ...]:
    fits = likely_fits(LineCosts(line, metre, weights), bars)
    far = fits[0].cost + _FAR
    heavies = phrasing_of(line).heavies
    return tuple(_candidate(fit, heavies) for fit in fits if fit.cost <= far)


def _candidate(fit: Fit, heavies: Sequence[int] = ()) -> _Candidate:
    onsets = [int(onset * _PER_BEAT) for onset in fit.onsets_beats]
    places = [onset for onset in onsets if onset >= 0]
    slots = sum(1 << place for place in set(places))
    beats = sum(1 << (place // _PER_BEAT) for place in set(places) if place % _PER_BEAT == 0)
    tail = float(fit.bars * fit.metre.beats - fit.onsets_beats[-1])
    stresses = tuple(onsets[at] for at in heavies)
    rhyme = fit.bars * fit.metre.beats * _PER_BEAT - stresses[-1] if stresses else None
    return _Candidate(fit, beats, slots, tail, stresses, rhyme)


def _unlike(one: int, two: int) -> float:
    both = (one | two).bit_count()
    return 1.0 - (one & two).bit_count() / both if both else 0.0


def _same_opening(one: Line, two: Line) -> int:
    """How many syllables two lines begin alike with, whole words."""
    same = 0
    for at, (a, b) in enumerate(zip(one, two, strict=False)):
        if a.text.casefold() != b.text.casefold() or a.last != b.last:
            break
        same = at + 1 if a.last else same
    return same if same > 1 else 0


def _parallel(one: Line, two: Line) -> int:
    """How much two lines are built alike: words as long, and half of them the same (1), or words
    that return in the same places (3: *up, up, up goes the kite*, *tug, tug, tug on the string*).
    """
    if [s.last for s in one] != [s.last for s in two]:
        return 0
    ones, twos = words_of(one)[0], words_of(two)[0]
    built = [words.index(word) for words in (ones, twos) for word in words]
    half = len(ones)
    if built[:half] != built[half:]:
        return 0
    if len(set(ones)) < half:
        return 3
    same = sum(a == b for a, b in zip(ones, twos, strict=True))
    return int(2 * same >= half)


class _Together:
    """The joint choice for the lines of a stanza; equal lines share one choice."""

    def __init__(
        self,
        spoken: Sequence[tuple[Line, int | None]],
        metre: Metre,
        weights: FitWeights,
        agreement: Agreement,
    ) -> None:
        distinct = list(dict.fromkeys(spoken))
        self._lines = [line for line, _ in spoken]
        self._of = [distinct.index(one) for one in spoken]
        self._pools = [_candidates(line, metre, wish, weights) for line, wish in distinct]
        self._cost = agreement
        self._known: dict[tuple[int, int, int, int], float] = {}
        places = range(len(spoken))
        self._near = [
            [other for other in places[max(0, at - _NEAR) : at + _NEAR + 1] if other != at]
            for at in places
        ]
        self._parallel = self._built_alike([line for line, _ in spoken])
        self._kin: list[list[int]] = [[] for _ in distinct]
        for one, two in self._parallel:
            self._kin[one] += [two] if one != two else []
        self._shares: dict[tuple[int, ...], float] = {}
        self._openings = [[_same_opening(one, two) for two, _ in distinct] for one, _ in distinct]

    def _built_alike(self, lines: Sequence[Line]) -> dict[tuple[int, int], int]:
        """How much pools with lines near each other are built alike; those that aren't left out."""
        found: dict[tuple[int, int], int] = {}
        for at, near in enumerate(self._near):
            for other in near:
                pair = self._of[at], self._of[other]
                if pair not in found:
                    found[pair] = found[pair[::-1]] = _parallel(lines[at], lines[other])
        return {pair: much for pair, much in found.items() if much}

    def best(self) -> list[Fit]:
        """The fits of the cheapest choice found."""
        if not self._pools:
            return []
        best: list[int] = []
        best_cost = float("inf")
        for choice in self._starts():
            self._improve(choice)
            cost = self._total(choice)
            if cost < best_cost - 1e-9:
                best, best_cost = choice, cost
        return [self._pools[pool][best[pool]].fit for pool in self._of]

    def _starts(self) -> list[list[int]]:
        """Every line's best alone; the best with so many bars, or with a pickup or without."""
        counts = sorted({one.fit.bars for pool in self._pools for one in pool})
        starts = [[0] * len(self._pools)]
        for bars in counts if len(counts) > 1 else []:
            starts.append([_first(pool, bars, None) for pool in self._pools])
        for lifted in (False, True):
            starts.append([_first(pool, None, lifted) for pool in self._pools])
        return starts

    def _improve(self, choice: list[int]) -> None:
        for _ in range(_SWEEPS):
            changed = False
            for number, pool in enumerate(self._pools):
                places = [at for at, of in enumerate(self._of) if of == number]
                costs = []
                for option in range(len(pool)):
                    trial = [*choice[:number], option, *choice[number + 1 :]]
                    costs.append(sum(self._line(trial, at) for at in places))
                least = costs.index(min(costs))
                if costs[least] < costs[choice[number]] - 1e-9:
                    choice[number] = least
                    changed = True
            changed = self._improve_alike(choice) or changed
            if not changed:
                return

    def _improve_alike(self, choice: list[int]) -> bool:
        """Move lines built alike to where one of them is: one by one they hold each other back."""
        changed = False
        for number, kin in enumerate(self._kin):
            one = self._pools[number][choice[number]]
            trial = list(choice)
            for other in kin:
                trial[other] = _same_layout(self._pools[other], one, choice[other])
            if trial == choice:
                continue
            moved = [at for at, of in enumerate(self._of) if trial[of] != choice[of]]
            touched = {near for at in moved for near in (at, *self._near[at])}
            if self._total(trial, touched) < self._total(choice, touched) - 1e-9:
                choice[:] = trial
                changed = True
        return changed

    def _total(self, choice: Sequence[int], places: Iterable[int] | None = None) -> float:
        total = 0.0
        for at in range(len(self._of)) if places is None else places:
            pool = self._of[at]
            own = self._pools[pool][choice[pool]].fit.cost
            total += own + (self._line(choice, at) - own) / 2
        return total

    def _line(self, choice: Sequence[int], at: int) -> float:
        """What a line's choice costs, with what it costs beside its neighbours."""
        of = self._of
        now = self._pools[of[at]][choice[of[at]]]
        near = self._near[at]
        cost = now.fit.cost
        for other in near:
            cost += self._unlike(of[at], choice[of[at]], of[other], choice[of[other]]) / len(near)
        alike = [of[other] for other in near if (of[at], of[other]) in self._parallel]
        for other in alike:
            much = self._parallel[of[at], other] * self._cost.parallel
            cost += much * self._share(of[at], choice[of[at]], other, choice[other]) / len(alike)
        if at:
            cost += self._joint(self._pools[of[at - 1]][choice[of[at - 1]]], now)
        if at + 1 < len(of):
            cost += self._joint(now, self._pools[of[at + 1]][choice[of[at + 1]]])
        return cost

    def _unlike(self, one: int, option: int, two: int, other: int) -> float:
        key = (one, option, two, other)
        cost = self._known.get(key)
        if cost is None:
            pair = self._pools[one][option], self._pools[two][other]
            cost = self._known[key] = self._difference(*pair, self._openings[one][two])
        return cost

    def _share(self, *key: int) -> float:
        """The share of the syllables that stand elsewhere: pool, option, another pool, option."""
        share = self._shares.get(key)
        if share is None:
            one, option, two, other = key
            pair = self._pools[one][option], self._pools[two][other]
            share = self._shares[key] = _elsewhere(*pair)
        return share

    def _difference(self, one: _Candidate, two: _Candidate, opening: int) -> float:
        known = self._cost
        cost = known.beats * _unlike(one.beats, two.beats)
        cost += known.slots * _unlike(one.slots, two.slots)
        if one.fit.bars != two.fit.bars:
            cost += known.bars
        if (one.fit.pickup_beats > 0) != (two.fit.pickup_beats > 0):
            cost += known.pickup
        if one.rhyme != two.rhyme and None not in (one.rhyme, two.rhyme):
            cost += known.rhyme
        if len(one.stresses) == len(two.stresses) > 0:
            apart = sum(a != b for a, b in zip(one.stresses, two.stresses, strict=True))
            cost += known.alike * apart / len(one.stresses)
        if opening:
            onsets = itertools.islice(
                zip(one.fit.onsets_beats, two.fit.onsets_beats, strict=False), opening
            )
            cost += known.opening * sum(a != b for a, b in onsets) / opening
        return cost + known.ending * min(2.0, abs(one.tail_beats - two.tail_beats))

    def _joint(self, one: _Candidate, following: _Candidate) -> float:
        """What it costs if a line's end and the next one's pickup come too near each other."""
        room = one.tail_beats - float(following.fit.pickup_beats)
        if room <= 0:
            return self._cost.overlap
        return self._cost.tight if room < 0.3 else 0.0


def _elsewhere(one: _Candidate, two: _Candidate) -> float:
    """The share of the syllables that stand elsewhere in the other line."""
    onsets = one.fit.onsets_beats
    return sum(a != b for a, b in zip(onsets, two.fit.onsets_beats, strict=True)) / len(onsets)


def _same_layout(pool: tuple[_Candidate, ...], one: _Candidate, otherwise: int) -> int:
    heard = one.fit.bars, one.fit.onsets_beats
    same = (n for n, other in enumerate(pool) if (other.fit.bars, other.fit.onsets_beats) == heard)
    return next(same, otherwise)


def _first(pool: tuple[_Candidate, ...], bars: int | None, lifted: bool | None) -> int:
    for at, candidate in enumerate(pool):
        right_bars = bars is None or candidate.fit.bars == bars
        if right_bars and (lifted is None or (candidate.fit.pickup_beats > 0) == lifted):
            return at
    return 0
