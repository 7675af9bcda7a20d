"""How people tell a story: tempo, drift, hesitations, lines begun again or left out.

The amounts are common practice, no source: a tempo for each line, taps that scatter by 20 to
35 ms, several hands 10 to 40 ms apart, waits 0.3 to 3 times as long as written.
"""

from collections.abc import Callable

import numpy as np
from attrs import define, field, frozen
from numpy.typing import NDArray

from tapscore.rhythm.performance import Performance, Segment, SegmentKind

STEP_DB = 5.0
"""Between two steps of loudness, as tapped by hand."""


@frozen
class Touch:
    """One touch of the board."""

    sec: float
    level_db: float
    spot: str
    stroke: str
    role: str


@frozen
class Word:
    """One word that is said."""

    sec: float
    length_sec: float
    text: str


@define
class TrueLine:
    """What was done with one line."""

    segment: int
    told: bool = True
    taps_sec: tuple[float, ...] = ()
    """When each written tap was meant, its scatter included; also of a tap left out."""
    touched: tuple[bool, ...] = ()
    ratio: float = 1.0
    """Told length of a beat against the written one: above 1 is slower."""
    begun_again: bool = False
    level_db: float = 0.0
    swell_db: float = 0.0
    """Last tap against the first, as tapped."""
    also: tuple[tuple[float, ...], ...] = ()
    """The taps of other times at which the whole line was told."""

    @property
    def start_sec(self) -> float:
        return self.taps_sec[0]

    def nearest(self, found_sec: NDArray[np.float64]) -> NDArray[np.float64]:
        """Of the times it was told, the one nearest to where its taps were found."""
        every = [np.array(each) for each in (self.taps_sec, *self.also)]
        return min(every, key=lambda each: abs(float(np.median(found_sec - each))))


@define
class Telling:
    """Everything that happened."""

    lines: list[TrueLine] = field(factory=list)
    touches: list[Touch] = field(factory=list)
    words: list[Word] = field(factory=list)
    waits_sec: dict[int, float] = field(factory=dict)
    """By segment: from the last tap before to the first after."""
    length_sec: float = 0.0


@frozen
class Habits:
    """How freely it is told."""

    line_ratio_sd: float = 0.04
    odd_line: float = 0.08
    """How often a line is told a third faster or slower."""
    left_out: float = 0.03
    begun_again: float = 0.05
    hesitates: float = 0.08
    tap_left_out: float = 0.015
    tap_added: float = 0.01


STRICT = Habits(0.03, 0.0, 0.0, 0.0, 0.03, 0.01, 0.0)


def tell(performance: Performance, seed: int, habits: Habits | None = None) -> Telling:
    """Tell a performance once."""
    return _Teller(performance, np.random.default_rng(seed), habits or Habits()).tell()


class _Teller:
    def __init__(self, performance: Performance, rng: np.random.Generator, habits: Habits) -> None:
        self._performance = performance
        self._rng = rng
        self._habits = habits
        self._now = float(rng.uniform(0.5, 5.0))
        self._general = float(np.exp(rng.normal(0, 0.09)))
        self._jitter_sec = float(rng.uniform(0.020, 0.035))
        self._hands_sec = float(rng.uniform(0.005, 0.018))
        self._spread_db = float(rng.uniform(1, 3.5))
        self._waiting = float(rng.uniform(0.5, 1.2))
        self.telling = Telling()

    def tell(self) -> Telling:
        for index, segment in enumerate(self._performance.segments):
            if segment.kind is SegmentKind.LINE:
                self._line(index, segment)
            elif segment.kind is SegmentKind.WAIT:
                self._now += self._wait(segment.length_sec)
            else:
                self._now += float(self._rng.uniform(2, 8))
        self._measure_waits()
        self.telling.length_sec = self._now + float(self._rng.uniform(0.5, 4))
        self.telling.touches.sort(key=lambda touch: touch.sec)
        return self.telling

    def _wait(self, written_sec: float) -> float:
        ratio = np.exp(self._rng.uniform(np.log(0.3), np.log(3)))
        return float(written_sec * min(max(ratio * self._waiting, 0.3), 3.0))

    def _measure_waits(self) -> None:
        told = {line.segment: line for line in self.telling.lines if line.told and line.taps_sec}
        segments = self._performance.segments
        for index, segment in enumerate(segments):
            if segment.kind is SegmentKind.WAIT and {index - 1, index + 1} <= told.keys():
                before, after = told[index - 1], told[index + 1]
                self.telling.waits_sec[index] = after.taps_sec[0] - before.taps_sec[-1]

    def _line(self, index: int, segment: Segment) -> None:
        rng, habits = self._rng, self._habits
        line = TrueLine(index)
        self.telling.lines.append(line)
        if rng.random() < habits.left_out:
            line.told = False
            return
        ratio = self._general * float(np.exp(rng.normal(0, habits.line_ratio_sd)))
        if rng.random() < habits.odd_line:
            ratio *= float(rng.choice([1.35, 1 / 1.35]))
        if rng.random() < habits.hesitates:
            self._now += 0.4 + float(rng.exponential(1.2))
        times = sorted({tap.onset_sec for tap in segment.taps})
        if len(times) > 3 and rng.random() < habits.begun_again:
            line.begun_again = True
            count = int(rng.integers(2, len(times)))
            until = self._once(segment, times, ratio, count, None)
            self._now = until + float(rng.uniform(0.6, 2.0))
        self._now = self._once(segment, times, ratio, len(times), line)

    def _once(
        self,
        segment: Segment,
        times: list[float],
        ratio: float,
        count: int,
        line: TrueLine | None,
    ) -> float:
        """Tell a line, or its first taps; gives when it is over."""
        rng, habits = self._rng, self._habits
        length = segment.length_sec
        drift = float(rng.normal(0, 0.015))
        slow = 0.0
        pauses = dict.fromkeys(range(len(times)), 0.0)
        if len(times) > 4 and rng.random() < habits.hesitates / 3:
            pauses[int(rng.integers(1, len(times)))] = float(rng.uniform(0.2, 0.9))

        def at(sec: float) -> float:
            share = (sec - segment.start_sec) / max(length, 1e-6)
            return self._now + ratio * (sec - segment.start_sec) * (1 + drift * share)

        base_db = float(rng.normal(0, 1.2))
        levels: list[float] = []
        meant: list[float] = []
        touched: list[bool] = []
        for number, sec in enumerate(times[:count]):
            slow += pauses[number]
            place = at(sec) + slow + float(rng.normal(0, self._jitter_sec))
            taps = [tap for tap in segment.taps if tap.onset_sec == sec]
            touch = rng.random() >= habits.tap_left_out
            meant.append(place)
            touched.append(bool(touch))
            step_db = STEP_DB * (float(taps[0].level) - 2) + 2.5 * taps[0].accent
            levels.append(base_db + step_db)
            if not touch:
                continue
            for tap in taps:
                own = float(rng.normal(0, self._hands_sec)) if len(taps) > 1 else 0.0
                level = base_db + step_db + float(rng.normal(0, self._spread_db))
                self.telling.touches.append(
                    Touch(place + own, level, tap.spot or "", tap.stroke.value, tap.role)
                )
            if rng.random() < habits.tap_added:
                extra = place + float(rng.uniform(0.1, 0.25)) * ratio
                self.telling.touches.append(
                    Touch(extra, base_db + step_db - 3, taps[0].spot or "", "", taps[0].role)
                )
        last = times[count - 1] if times else segment.start_sec + length
        self._say(segment, at, last if count < len(times) else None)
        if line is not None:
            line.taps_sec, line.touched = tuple(meant), tuple(touched)
            line.level_db = float(np.median(levels)) if levels else 0.0
            line.swell_db = levels[-1] - levels[0] if levels else 0.0
            if len(times) > 1:
                line.ratio = float(np.polyfit(times, meant, 1)[0])
        until = segment.start_sec + length if count == len(times) else last + 0.2
        return at(until) + slow

    def _say(self, segment: Segment, at: Callable[[float], float], last_sec: float | None) -> None:
        starts: list[tuple[float, str]] = []
        inside = False
        for syllable in segment.syllables:
            if last_sec is not None and syllable.onset_sec > last_sec:
                break
            text = syllable.syllable.text
            if inside:
                starts[-1] = (starts[-1][0], starts[-1][1] + text)
            else:
                starts.append((syllable.onset_sec, text))
            inside = not syllable.syllable.ends_word
        ends = [sec for sec, _ in starts[1:]] + [segment.start_sec + segment.length_sec]
        for (sec, text), end in zip(starts, ends, strict=True):
            begin = at(sec) + float(self._rng.normal(-0.03, 0.03))
            room = min(max(at(end) - at(sec), 0.12), 0.9)
            self.telling.words.append(Word(begin, room, text))
