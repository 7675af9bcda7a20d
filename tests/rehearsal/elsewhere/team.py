"""A team telling a story by another model than ``simulated/telling.py``.

There each line has a tempo of its own and taps scatter about a clock.  Here the tempo wanders
all the time, one tap leans on the one before (Wing and Kristofferson 1973: a clock's scatter and
the hands'), every adult has a habitual lag, up to a fifth of a second for one; lines are told
twice over, begun again, gone back to; hands try the board while others wait.
"""

import numpy as np
from attrs import frozen

from tapscore.rhythm.performance import Performance, PerformedTap, Segment, SegmentKind
from tests.rehearsal.simulated.telling import Telling, Touch, TrueLine, Word

STEP_DB = 4.5


@frozen
class Ways:
    """How freely they tell; shares are chances a line or a tap."""

    wander: float = 0.05
    """Standard deviation of the tempo's logarithm over a minute."""
    trend: float = 0.10
    """How much slower or faster the end may be than the beginning."""
    odd_line: float = 0.06
    left_out: float = 0.03
    twice: float = 0.03
    gone_back: float = 0.02
    begun_again: float = 0.05
    stops: float = 0.04
    missed: float = 0.025
    added: float = 0.015
    tried: float = 0.15
    late_adult: float = 0.3
    """How often one of the adults is 0.1 to 0.22 s behind."""


def told_by_team(performance: Performance, seed: int, ways: Ways | None = None) -> Telling:
    """Tell a performance once."""
    return _Team(performance, np.random.default_rng(seed), ways or Ways()).tell()


class _Team:
    def __init__(self, performance: Performance, rng: np.random.Generator, ways: Ways) -> None:
        self._segments = performance.segments
        self._rng = rng
        self._ways = ways
        self._now = float(rng.uniform(1, 8))
        self._pace = float(np.exp(rng.normal(0, 0.10)))
        self._trend = float(rng.uniform(-1, 1)) * ways.trend
        self._wandering = 0.0
        self._clock_sec = float(rng.uniform(0.010, 0.025))
        self._hands_sec = float(rng.uniform(0.006, 0.015))
        roles = sorted({tap.role for segment in self._segments for tap in segment.taps})
        self._lag_sec = {role: float(rng.normal(0, 0.012)) for role in roles}
        if len(roles) > 1 and rng.random() < ways.late_adult:
            self._lag_sec[roles[int(rng.integers(len(roles)))]] = float(rng.uniform(0.10, 0.22))
        self._role_db = {role: float(rng.normal(0, 1.5)) for role in roles}
        self._scatter_db = float(rng.uniform(1, 3))
        self._lines: dict[int, TrueLine] = {}
        self.telling = Telling()

    def tell(self) -> Telling:
        lines = [at for at, each in enumerate(self._segments) if each.kind is SegmentKind.LINE]
        gone_back = False
        for at, segment in enumerate(self._segments):
            if segment.kind is not SegmentKind.LINE:
                self._pause(segment)
                continue
            self._line(at, segment)
            told = [line for line in lines if line <= at]
            if not gone_back and len(told) > 2 and self._rng.random() < self._ways.gone_back:
                gone_back = True
                self._now += float(self._rng.uniform(1, 4))
                for again in told[-2:]:
                    self._line(again, self._segments[again], again=True)
        self.telling.lines = [self._lines[at] for at in sorted(self._lines)]
        self.telling.length_sec = self._now + float(self._rng.uniform(0.5, 6))
        self.telling.touches.sort(key=lambda touch: touch.sec)
        return self.telling

    def _pause(self, segment: Segment) -> None:
        written = segment.length_sec if segment.kind is SegmentKind.WAIT else 4.0
        begin = self._now
        self._now += float(written * np.clip(np.exp(self._rng.normal(-0.2, 0.6)), 0.25, 3.0))
        roles = list(self._lag_sec)
        if roles and self._now - begin > 2 and self._rng.random() < self._ways.tried:
            sec = begin + 0.6
            for _ in range(int(self._rng.integers(1, 4))):
                sec += float(self._rng.uniform(0.15, 0.8))
                if sec < self._now - 0.5:
                    role = roles[int(self._rng.integers(len(roles)))]
                    self._touch(sec, float(self._rng.normal(-5, 3)), "", "", role)

    def _line(self, at: int, segment: Segment, *, again: bool = False) -> None:
        rng, ways = self._rng, self._ways
        line = self._lines.setdefault(at, TrueLine(at))
        if not segment.taps:
            self._now += segment.length_sec * self._ratio()
            return
        if not again and rng.random() < ways.left_out:
            line.told = False
            return
        own = float(np.exp(rng.normal(0, 0.02)))
        if rng.random() < ways.odd_line:
            own *= float(rng.uniform(1.25, 1.6)) ** float(rng.choice([-1, 1]))
        self._now += float(rng.exponential(0.15))
        taps = len({tap.onset_sec for tap in segment.taps})
        if taps > 3 and rng.random() < ways.begun_again:
            line.begun_again = True
            self._once(segment, own, int(rng.integers(2, taps)))
            self._now += float(rng.uniform(0.5, 2.5))
        self._written(line, self._once(segment, own, taps), again)
        if not again and rng.random() < ways.twice:
            self._now += float(rng.uniform(0.2, 2.0))
            self._written(line, self._once(segment, own, taps), again=True)

    def _written(self, line: TrueLine, once: TrueLine, again: bool) -> None:
        """What is told last is the line; what was told before stands beside it."""
        if again and line.told and line.taps_sec:
            line.also = (*line.also, line.taps_sec)
        line.told = True
        line.taps_sec, line.touched, line.ratio = once.taps_sec, once.touched, once.ratio
        line.level_db, line.swell_db = once.level_db, once.swell_db

    def _ratio(self) -> float:
        whole = max(self._segments[-1].start_sec, 1.0)
        return self._pace * float(np.exp(self._wandering + self._trend * self._now / whole))

    def _once(self, segment: Segment, own: float, count: int) -> TrueLine:
        """Tell a line, or its first taps."""
        rng = self._rng
        times = sorted({tap.onset_sec for tap in segment.taps})[:count]
        begin, written, clock = self._now, segment.start_sec, self._now
        meant, touched, levels = [], [], []
        stop = int(rng.integers(1, len(times))) if len(times) > 3 else 0
        stops = rng.random() < self._ways.stops
        for number, sec in enumerate(times):
            gap = sec - written
            clock += self._passed(gap) * own
            if number:
                clock += float(rng.normal(0, self._clock_sec)) * min(gap / 0.5, 1.5)
            if stops and number == stop:
                clock += float(rng.uniform(0.3, 1.2))
            written = sec
            place = clock + float(rng.normal(0, self._hands_sec))
            taps = [tap for tap in segment.taps if tap.onset_sec == sec]
            places = self._hands(taps, place)
            # where the first hand comes down; others follow it
            meant.append(min(places, default=place))
            touched.append(bool(places))
            levels.append(STEP_DB * (float(taps[0].level) - 2) + 2 * taps[0].accent)
        self._say(segment, begin, clock - begin, times, count)
        rest = segment.start_sec + segment.length_sec - times[-1]
        whole = len(times) == len({tap.onset_sec for tap in segment.taps})
        self._now = clock + (self._passed(rest) * own if whole else 0.3)
        ratio = float(np.polyfit(times, meant, 1)[0]) if len(times) > 1 else 1.0
        return TrueLine(
            0, True, tuple(meant), tuple(touched), ratio, False,
            float(np.median(levels)), levels[-1] - levels[0],
        )  # fmt: skip

    def _passed(self, gap_sec: float) -> float:
        """How long a written time lasts now; the tempo wanders meanwhile."""
        pull = float(np.exp(-gap_sec / 25))
        scatter = self._ways.wander * float(np.sqrt(1 - pull**2))
        self._wandering = pull * self._wandering + float(self._rng.normal(0, scatter))
        return gap_sec * self._ratio()

    def _hands(self, taps: list[PerformedTap], place: float) -> list[float]:
        """Where each adult's hand comes down; what is missed is none."""
        places = []
        for tap in taps:
            if self._rng.random() < self._ways.missed:
                continue
            sec = place + self._lag_sec[tap.role] + float(self._rng.normal(0, 0.008))
            db = STEP_DB * (float(tap.level) - 2) + 2 * tap.accent + self._role_db[tap.role]
            db += float(self._rng.normal(0, self._scatter_db))
            self._touch(sec, db, tap.spot or "", tap.stroke.value, tap.role)
            places.append(sec)
            if self._rng.random() < self._ways.added:
                more = sec + float(self._rng.uniform(0.1, 0.5))
                self._touch(more, db - 2, tap.spot or "", tap.stroke.value, tap.role)
        return places

    def _touch(self, sec: float, level_db: float, spot: str, stroke: str, role: str) -> None:
        self.telling.touches.append(Touch(max(sec, 0.05), level_db, spot, stroke, role))

    def _say(
        self, segment: Segment, begin: float, tapped_sec: float, times: list[float], count: int
    ) -> None:
        """The whole line in one breath, stretched to about where its taps are."""
        if not segment.syllables:
            return
        text = ""
        for each in segment.syllables:
            text += each.syllable.text + (" " if each.syllable.ends_word else "")
        words = text.split()
        whole = len({tap.onset_sec for tap in segment.taps})
        words = words[: max(round(len(words) * count / whole), 1)]
        start = begin + float(self._rng.normal(-0.05, 0.08))
        length = max(tapped_sec, 0.4) + float(self._rng.uniform(0.2, 0.6))
        # in two or three breaths, so that words keep near their taps
        parts = max(min(len(words) // 3, 4), 1)
        size = -(-len(words) // parts)
        for number in range(0, len(words), size):
            share = number / len(words)
            part = words[number : number + size]
            self.telling.words.append(
                Word(start + share * length, length * len(part) / len(words), " ".join(part))
            )
