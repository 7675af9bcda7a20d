"""Read a tapped rhythm: from the seconds of taps to tempo and places on the grid.

A beam search over (tap, syllable, slot, tempo): every reading carries its own idea of the
beat, corrected a little by each tap (an alpha-beta filter), so that a tempo that drifts is
followed; what the words ask for (the costs of ``fit_costs``) settles what time leaves open.
Compare the Viterbi decoding of rhythm in Raphael (2002) and Cemgil and Kappen (2003).
"""

import math
from collections.abc import Sequence
from fractions import Fraction

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.wording.catalogue import say
from tapscore.words.fit_costs import FitWeights, LineCosts, paths, shipped_weights
from tapscore.words.grid import Grid
from tapscore.words.line import SungSyllable

_JITTER_SEC = 0.035
_DRIFT = 0.05
_PHASE_GAIN = 0.5
_PERIOD_GAIN = 0.25
_USUAL_BEAT_SEC = 0.7
_BEAT_SPREAD = 0.4
_SHORTEST_BEAT_SEC, _LONGEST_BEAT_SEC = 0.27, 2.2
_PERIODS = 45
_BEAM = 240
_MISSED = 5.0
_EXTRA = 5.0
_TEXT = 0.6
_BARS = 12


@frozen
class TappedReading:
    """One way to read the taps.

    ``beat_sec``: mean length of a felt beat; ``tempo``: felt beats a minute;
    ``downbeat_sec``: when the first downbeat falls at the mean tempo; ``places_beats``: where
    each tap lies, in felt beats from the first downbeat (None: an extra tap);
    ``syllables``: which syllable each tap says (None: extra); ``missed``: syllables without
    a tap; ``bars``; ``pace``: ``as tapped``, ``half as fast`` or ``twice as fast``;
    ``cost``: the smaller, the likelier.
    """

    beat_sec: float
    tempo: float
    downbeat_sec: float
    places_beats: tuple[Fraction | None, ...]
    syllables: tuple[int | None, ...]
    missed: tuple[int, ...]
    bars: int
    pace: str
    cost: float


@frozen
class _State:
    cost: float
    slot: int
    said: int
    at_sec: float
    step_sec: float
    before: "_State | None"
    tap: int


def read_taps(
    taps_sec: Sequence[float],
    syllables: Sequence[SungSyllable],
    metre: Metre,
    *,
    weights: FitWeights | None = None,
) -> tuple[TappedReading, ...]:
    """Readings of the taps, likeliest first, then the same taps half and twice as fast.

    ``taps_sec`` are times in rising order, one tap a syllable as a rule; taps too many and
    too few are found out.  Fewer than two taps or no syllables give no reading.
    """
    taps = sorted(taps_sec)
    if len(taps) < 2 or not syllables:
        return ()
    search = _Search(taps, syllables, metre, shipped_weights() if weights is None else weights)
    state = search.best()
    if state is None:
        return ()
    first = _reading(state, taps, len(syllables), metre)
    return (first, *_other_paces(first, metre))


class _Search:
    def __init__(
        self,
        taps: Sequence[float],
        syllables: Sequence[SungSyllable],
        metre: Metre,
        weights: FitWeights,
    ) -> None:
        self._taps = taps
        self._count = len(syllables)
        per_beat = metre.steps_per_beat
        bars = max(_BARS, 2 * len(taps) // metre.beats + 1)
        self._grid = Grid(metre, bars, per_beat, -per_beat)
        costs = LineCosts(syllables, metre, weights)
        self._paths = paths(self._grid, 4 * per_beat, weights)
        self._jumps = costs.jumps(None)
        self._nodes = costs.nodes(self._grid)
        self._heads = costs.heads(self._grid)

    def best(self) -> _State | None:
        """The cheapest reading of all taps, or None."""
        states: list[_State] = []
        for tap in range(len(self._taps)):
            grown = [self._grow(state, tap) for state in states]
            following = [state for some in grown for state in some]
            if tap < 3 and tap < max(1, len(self._taps) // 3):
                following += self._begin(tap)
            states = _kept(following)
        missing = [
            (state.cost + _MISSED * (self._count - 1 - state.said), at)
            for at, state in enumerate(states)
        ]
        return states[min(missing)[1]] if missing else None

    def _begin(self, tap: int) -> list[_State]:
        """First tapped syllable: on the first beats or in the pickup, in any tempo."""
        found = []
        grid = self._grid
        head = self._heads
        span = math.log(_LONGEST_BEAT_SEC / _SHORTEST_BEAT_SEC)
        for said in range(min(2, self._count)):
            for slot in range(grid.first, grid.per_beat + 1):
                cost = _EXTRA * tap + _MISSED * said
                cost += _TEXT * (self._nodes[said][slot - grid.first] + head[slot - grid.first])
                for number in range(_PERIODS):
                    beat = _SHORTEST_BEAT_SEC * math.exp(span * number / (_PERIODS - 1))
                    odd = math.log(beat / _USUAL_BEAT_SEC) / _BEAT_SPREAD
                    found.append(
                        _State(
                            cost + odd * odd / 2,
                            slot,
                            said,
                            self._taps[tap],
                            beat / grid.per_beat,
                            None,
                            tap,
                        )
                    )
        return found

    def _grow(self, state: _State, tap: int) -> list[_State]:
        """The tap is extra, or says the next syllable, or the one after."""
        found = [
            _State(
                state.cost + _EXTRA,
                state.slot,
                state.said,
                state.at_sec,
                state.step_sec,
                state.before,
                state.tap,
            )
        ]
        passed = self._taps[tap] - state.at_sec
        for skipped in (0, 1):
            said = state.said + 1 + skipped
            if said < self._count:
                found += self._placed(state, tap, said, passed, skipped)
        return found

    def _placed(
        self, state: _State, tap: int, said: int, passed: float, skipped: int
    ) -> list[_State]:
        found = []
        jump = self._jumps[said - 1 - skipped]
        nodes = self._nodes[said]
        step = state.step_sec
        guess = passed / step
        for target, kind, between in self._paths[state.slot - self._grid.first]:
            slots = target + self._grid.first - state.slot
            if abs(slots - guess) > 1.3 or slots <= skipped:
                continue
            off = passed - slots * step
            spread = math.sqrt(_JITTER_SEC**2 * 1.5 + (_DRIFT * slots * step) ** 2)
            cost = off * off / (2 * spread * spread) + math.log(spread / step)
            move = 0.0 if skipped else between + jump[kind]
            cost += _TEXT * (move + nodes[target]) + _MISSED * skipped
            found.append(
                _State(
                    state.cost + cost,
                    target + self._grid.first,
                    said,
                    self._taps[tap] - (1 - _PHASE_GAIN) * off,
                    step + _PERIOD_GAIN * off / slots,
                    state,
                    tap,
                )
            )
        return found


def _kept(states: Sequence[_State]) -> list[_State]:
    """The cheapest of those that are alike, and of these the cheapest."""
    best: dict[tuple[int, int, int, int], _State] = {}
    for state in states:
        key = (state.said, state.slot, state.tap, round(30 * math.log(state.step_sec)))
        held = best.get(key)
        if held is None or state.cost < held.cost:
            best[key] = state
    return sorted(best.values(), key=lambda state: state.cost)[:_BEAM]


def _reading(last: _State, taps: Sequence[float], count: int, metre: Metre) -> TappedReading:
    slots: dict[int, int] = {}
    said: dict[int, int] = {}
    state: _State | None = last
    while state is not None:
        slots[state.tap] = state.slot
        said[state.tap] = state.said
        state = state.before
    per_beat = metre.steps_per_beat
    places = tuple(
        Fraction(slots[tap], per_beat) if tap in slots else None for tap in range(len(taps))
    )
    beat, downbeat = _line_through(
        [(float(place), taps[tap]) for tap, place in enumerate(places) if place is not None]
    )
    used = set(said.values())
    end = max(place for place in places if place is not None)
    return TappedReading(
        beat,
        60.0 / beat,
        downbeat,
        places,
        tuple(said.get(tap) for tap in range(len(taps))),
        tuple(at for at in range(count) if at not in used),
        max(1, math.floor(end / metre.beats) + 1),
        say("as tapped"),
        last.cost,
    )


def _line_through(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Least-squares beat length and time of beat 0 of (beats, seconds) points."""
    count = len(points)
    mean_beat = sum(beat for beat, _ in points) / count
    mean_sec = sum(sec for _, sec in points) / count
    spread = sum((beat - mean_beat) ** 2 for beat, _ in points)
    if spread == 0:
        return _USUAL_BEAT_SEC, mean_sec
    slope = sum((beat - mean_beat) * (sec - mean_sec) for beat, sec in points) / spread
    slope = max(slope, 1e-3)
    return slope, mean_sec - slope * mean_beat


def _other_paces(first: TappedReading, metre: Metre) -> list[TappedReading]:
    """The same taps with beats half as fast and twice as fast."""
    found = []
    for pace, factor in (
        (say("half as fast"), Fraction(1, 2)),
        (say("twice as fast"), Fraction(2)),
    ):
        places = tuple(None if place is None else place * factor for place in first.places_beats)
        beat = first.beat_sec / float(factor)
        end = max(place for place in places if place is not None)
        found.append(
            TappedReading(
                beat,
                60.0 / beat,
                first.downbeat_sec,
                places,
                first.syllables,
                first.missed,
                max(1, math.floor(end / metre.beats) + 1),
                pace,
                first.cost + abs(math.log(beat / _USUAL_BEAT_SEC)) / _BEAT_SPREAD + 1.0,
            )
        )
    return sorted(found, key=lambda reading: reading.cost)
