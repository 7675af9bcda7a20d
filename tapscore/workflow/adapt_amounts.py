"""Lines and manners made gentler or livelier by stated amounts."""

from fractions import Fraction
from itertools import pairwise

from attrs import evolve, frozen

from tapscore.model.fewer_taps import Tapped, wanted
from tapscore.model.lane import Cell, Lane, LaneEvent, Mark, TapDetail, lane_events
from tapscore.model.lane_edits import change_cells, with_marks
from tapscore.model.loudness import Loudness, Swell
from tapscore.model.manner import Manner, PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Wait
from tapscore.model.tempo import Tempo

LONGEST_SEC = Fraction(60)
"""Waits and turns are made no longer than this: some pupils answer after a minute (Munde 2012)."""


@frozen
class Amount:
    """How much changes, and how far it may go."""

    louder_steps: int
    loudest: Loudness
    loudest_unwarned: Loudness
    tempo_share: Fraction
    """What the tempo is multiplied by."""
    tempo_bound: Fraction
    """Where it stops, in beats a minute."""
    apart_sec: float
    """Gentler: taps closer than this go from between the beats, and where the beats themselves are,

    from the weak ones.  Livelier: new taps keep at least so far."""
    wait_share: Fraction = Fraction(1)
    """What waits and turns are multiplied by, up to a bound."""
    least_wait_sec: Fraction = Fraction(0)
    least_turn_sec: Fraction = Fraction(0)

    @property
    def livelier(self) -> bool:
        """Whether more happens rather than less."""
        return self.louder_steps > 0

    def under(self, ceiling: Loudness) -> "Amount":
        """The same with nothing made louder than a ceiling."""
        return evolve(
            self,
            loudest=min(self.loudest, ceiling),
            loudest_unwarned=min(self.loudest_unwarned, ceiling),
        )


def adapted_manner(manner: PartialManner, amount: Amount, *, warned: bool = False) -> PartialManner:
    """The manner with its own tempo and loudness changed; what it doesn't say stays unsaid."""
    loudness = manner.loudness
    return evolve(
        manner,
        tempo=None if manner.tempo is None else _tempo(manner.tempo, amount),
        loudness=None if loudness is None else _swell(loudness, amount, warned),
    )


def adapted_line(line: Line, manner: Manner, amount: Amount) -> Line:
    """The line adapted; ``manner`` is what holds for it in the new story, but for its own."""
    warned = line.warn_first is not None
    own = adapted_manner(line.manner, amount, warned=warned)
    if line.lane is None:
        return evolve(line, manner=own)
    whole = own.over(manner)
    lane = _lane_loudness(line.lane, amount, warned)
    lane = _density(lane, whole.metre, whole.tempo, amount)
    if not amount.livelier and not warned:
        own, lane = _softly_begun(own, lane)
    return evolve(line, manner=own, lane=lane)


def adapted_wait(wait: Wait, amount: Amount) -> Wait:
    """The wait, longer where that is asked for."""
    return evolve(wait, least_sec=_longer(wait.least_sec, amount.least_wait_sec, amount))


def adapted_offer(offer: Offer, amount: Amount) -> Offer:
    """The offering, with longer turns where that is asked for."""
    return evolve(offer, turn_sec=_longer(offer.turn_sec, amount.least_turn_sec, amount))


def _longer(seconds: Fraction, least: Fraction, amount: Amount) -> Fraction:
    """Whole seconds, up to a minute, and never shorter than before."""
    wanted = max(Fraction(round(seconds * amount.wait_share)), least)
    return max(min(wanted, LONGEST_SEC), seconds)


def _softly_begun(manner: PartialManner, lane: Lane) -> tuple[PartialManner, Lane]:
    """A line of its own loudness begins a step below it, and no line begins with an accent."""
    loudness = manner.loudness
    if loudness is not None and len(loudness) == 1 and loudness[0] >= Loudness.MEDIUM:
        manner = evolve(manner, loudness=(Loudness(loudness[0] - 1), loudness[0]))
    done = False

    def change(cell: Cell) -> Cell:
        nonlocal done
        if done or not cell.mark.tapped:
            return cell
        done = True
        return evolve(cell, accent=False)

    return manner, change_cells(lane, change)


def _tempo(tempo: Tempo, amount: Amount) -> Tempo:
    end = None if tempo.end is None else _pace(tempo.end, amount)
    return Tempo(_pace(tempo.start, amount), end)


def _pace(value: Fraction, amount: Amount) -> Fraction:
    new = Fraction(round(value * amount.tempo_share))
    if amount.livelier:
        return max(min(new, amount.tempo_bound), value)
    return min(max(new, amount.tempo_bound), value)


def _swell(swell: Swell, amount: Amount, warned: bool) -> Swell:
    levels = tuple(_level(level, amount, warned) for level in swell)
    return levels[:1] if len(set(levels)) == 1 else levels


def _level(level: Loudness, amount: Amount, warned: bool) -> Loudness:
    new = min(max(level + amount.louder_steps, Loudness.VERY_QUIET), Loudness.VERY_LOUD)
    if not amount.livelier:
        return Loudness(new)
    bound = amount.loudest if warned else amount.loudest_unwarned
    return Loudness(max(min(new, bound), level))


def _lane_loudness(lane: Lane, amount: Amount, warned: bool) -> Lane:
    def change(cell: Cell) -> Cell:
        return cell if cell.detail is None else evolve(cell, detail=cell.detail.changed(louder))

    def louder(detail: TapDetail) -> TapDetail:
        if detail.loudness is None:
            return detail
        return evolve(detail, loudness=_level(detail.loudness, amount, warned))

    return change_cells(lane, change)


def _density(lane: Lane, metre: Metre, tempo: Tempo, amount: Amount) -> Lane:
    events = lane_events(lane, metre)
    beat_sec = 60 / float(max(tempo.start, tempo.last))
    if amount.livelier:
        marks = _filled(events, beat_sec, amount.apart_sec)
    else:
        marks = _thinned(events, metre, beat_sec, amount.apart_sec)
    return with_marks(lane, marks) if marks else lane


def _thinned(
    events: tuple[LaneEvent, ...], metre: Metre, beat_sec: float, apart_sec: float
) -> dict[int, Mark]:
    """Taps that go where any two are too close: first those between beats, then on weak ones."""
    left = {number: event for number, event in enumerate(events) if event.cell.mark.tapped}
    for which in (Tapped.BEATS, Tapped.STRONG):
        gaps = [b.onset_beats - a.onset_beats for a, b in pairwise(left.values())]
        if not gaps or float(min(gaps)) * beat_sec >= apart_sec:
            break
        left = {n: event for n, event in left.items() if wanted(event, metre, which)} or left
    spoken = {Mark.SYLLABLE_TAPPED: Mark.SYLLABLE_ALONE, Mark.TAP_ALONE: Mark.REST}
    return {
        number: spoken[event.cell.mark]
        for number, event in enumerate(events)
        if event.cell.mark.tapped and number not in left
    }


def _filled(events: tuple[LaneEvent, ...], beat_sec: float, apart_sec: float) -> dict[int, Mark]:
    """Spoken syllables that get a tap, where there is room for it."""
    tapped = [float(e.onset_beats) * beat_sec for e in events if e.cell.mark.tapped]
    marks: dict[int, Mark] = {}
    for number, event in enumerate(events):
        at = float(event.onset_beats) * beat_sec
        alone = event.cell.mark is Mark.SYLLABLE_ALONE
        if alone and all(abs(at - other) >= apart_sec for other in tapped):
            marks[number] = Mark.SYLLABLE_TAPPED
            tapped.append(at)
    return marks
