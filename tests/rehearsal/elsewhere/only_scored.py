"""A third way of making rehearsals, small, on which nothing is learned or chosen: only scored.

The board is a hollow that answers in pulses (a comb with a dull return) under a few tones that
die away in two stages; the room is single echoes that grow denser; adults follow one who leads,
correcting a part of their lead or lag at each tap (Vorberg and Wing 1996), and draw out the end of
every line; the tempo of a line leans on that of the line before.
"""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from scipy.signal import butter, fftconvolve, lfilter, sosfilt  # type: ignore[import-untyped]

from tapscore.rehearsal.bands import levels_of
from tapscore.rehearsal.recording import blocks_of, look_into
from tapscore.rehearsal.written import written_lines
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tests.rehearsal.elsewhere.contact import RATE_HZ, Sound
from tests.rehearsal.elsewhere.place import FILES, Place, write_file
from tests.rehearsal.elsewhere.sets import whole_stories
from tests.rehearsal.simulated.recording import SPEECH_DB
from tests.rehearsal.simulated.sets import LEVELS, Made
from tests.rehearsal.simulated.stories import KEPT_APART, a_story
from tests.rehearsal.simulated.telling import Telling, Touch, TrueLine, Word
from tests.rehearsal.simulated.voices import Voice

_STEP_DB = 3.5
_LEFT_OUT, _BEGUN_AGAIN, _MISSED, _ODD = 0.02, 0.04, 0.02, 0.06


def only_scored(count: int, first: int = 0) -> Iterator[Made]:
    """Lines that nothing is learned from; every third a story that comes with the program."""
    for n in range(first, first + count):
        seed = 700_000 + n
        rng = np.random.default_rng(seed)
        file = list(FILES)[int(rng.integers(len(FILES)))]
        spoken = Place("any hand", "a hollow", LEVELS[n % 5], seed, file)
        every = whole_stories() if n % 3 == 1 else [a_story(seed, KEPT_APART)]
        performance = perform(every[int(rng.integers(len(every)))])
        telling = _Following(performance, rng).told()
        with tempfile.TemporaryDirectory() as folder:
            path = write_file(_recorded(telling, spoken, rng), Path(folder) / "it", spoken.file)
            levels = levels_of(blocks_of(look_into(path)))
        yield Made(spoken, written_lines(performance), telling, levels)


class _Following:
    def __init__(self, performance: Performance, rng: np.random.Generator) -> None:
        self._segments, self._rng = performance.segments, rng
        self._now = float(rng.uniform(1, 6))
        self._general, self._leaning = float(rng.normal(0, 0.1)), 0.0
        self._clock = float(rng.uniform(0.02, 0.045))
        self._drawn_out = float(rng.uniform(0.0, 0.25))
        roles = sorted({tap.role for each in self._segments for tap in each.taps})
        self._usual = {role: float(rng.normal(0.01, 0.015)) for role in roles}
        self._behind = dict(self._usual)
        self._telling = Telling()

    def told(self) -> Telling:
        for at, segment in enumerate(self._segments):
            if segment.kind is SegmentKind.LINE:
                self._line(at, segment)
            else:
                usual = segment.length_sec if segment.kind is SegmentKind.WAIT else 4.0
                self._now += float(self._rng.gamma(3, min(usual, 20) / 3)) + 0.3
        self._telling.length_sec = self._now + float(self._rng.uniform(0.5, 5))
        self._telling.touches.sort(key=lambda touch: touch.sec)
        return self._telling

    def _line(self, at: int, segment: Segment) -> None:
        rng = self._rng
        line = TrueLine(at)
        self._telling.lines.append(line)
        times = sorted({tap.onset_sec for tap in segment.taps})
        if times and rng.random() < _LEFT_OUT:
            line.told = False
            return
        self._leaning = 0.6 * self._leaning + float(rng.normal(0, 0.03))
        pace = self._general + self._leaning
        if rng.random() < _ODD:
            pace += float(rng.choice([-1, 1])) * float(rng.uniform(0.25, 0.4))
        if len(times) > 3 and rng.random() < _BEGUN_AGAIN:
            line.begun_again = True
            self._once(segment, times[: int(rng.integers(2, len(times)))], pace)
            self._now += float(rng.gamma(2, 0.6)) + 0.4
        places, touched, levels = self._once(segment, times, pace)
        line.taps_sec, line.touched = tuple(places), tuple(touched)
        if times:
            line.level_db, line.swell_db = float(np.median(levels)), levels[-1] - levels[0]
        if len(times) > 1:
            line.ratio = float(np.polyfit(times, places, 1)[0])

    def _once(
        self, segment: Segment, times: list[float], pace: float
    ) -> tuple[list[float], list[bool], list[float]]:
        rng, begin, clock = self._rng, self._now, self._now
        places, touched, levels = [], [], []
        before, ratio = segment.start_sec, float(np.exp(pace))
        for number, sec in enumerate(times):
            slow = 1 + (self._drawn_out if number == len(times) - 1 > 1 else 0.0)
            gap = (sec - before) * ratio * slow
            clock += gap * float(np.exp(rng.normal(0, self._clock)))
            before, found = sec, []
            for tap in (tap for tap in segment.taps if tap.onset_sec == sec):
                behind = self._behind[tap.role]
                self._behind[tap.role] += 0.4 * (self._usual[tap.role] - behind) + float(
                    rng.normal(0, 0.012)
                )
                if rng.random() > _MISSED:
                    found.append(max(clock + behind, 0.05))
                    db = _STEP_DB * (float(tap.level) - 2) + 2 * tap.accent + rng.normal(0, 2)
                    touch = Touch(found[-1], float(db), tap.spot or "", tap.stroke.value, tap.role)
                    self._telling.touches.append(touch)
                    levels.append(float(db))
            places.append(min(found, default=clock))
            touched.append(bool(found))
        rest = segment.start_sec + segment.length_sec - before
        self._now = clock + rest * ratio * float(np.exp(rng.normal(0, 0.1)))
        words = "".join(
            each.syllable.text + (" " if each.syllable.ends_word else "")
            for each in segment.syllables
            if not times or each.onset_sec <= times[-1]
        )
        if words.strip():
            length = max(clock - begin, 0.5) + 0.3
            self._telling.words.append(Word(begin + float(rng.normal(0, 0.05)), length, words))
        return places, touched, levels or [0.0]


def _board(rng: np.random.Generator) -> Callable[[], Sound]:
    time = np.arange(RATE_HZ // 2) / RATE_HZ
    delay, back = int(rng.integers(30, 220)), float(rng.uniform(0.3, 0.85))
    comb = np.zeros(delay + 2)
    comb[[0, delay, delay + 1]] = 1, -back / 2, -back / 2
    hz = float(rng.uniform(60, 240)) * np.r_[1, 1.52, 2.35, 3.07, 4.4]
    first, later = rng.uniform(0.01, 0.04), rng.uniform(0.06, 0.25)
    stages = 0.75 * np.exp(-time / first) + 0.25 * np.exp(-time / later)
    hardness_hz, ringing = float(np.exp(rng.uniform(6.2, 8.4))), rng.uniform(0.3, 1.5)

    def strike() -> Sound:
        push = rng.normal(0, 1, 64) * np.hanning(64)
        dull_hz = min(hardness_hz * float(np.exp(rng.normal(0, 0.2))), 7_500)
        dull = butter(1, dull_hz, fs=RATE_HZ, output="sos")
        sound = lfilter([1.0], comb, np.r_[sosfilt(dull, push), np.zeros(len(time) - 64)])
        sound /= float(np.abs(sound).max())
        strong = ringing * rng.uniform(0.3, 1, len(hz)) / np.arange(1, len(hz) + 1)
        sound = sound + stages * (strong @ np.sin(2 * np.pi * hz[:, None] * time))
        whole: Sound = sound / float(np.abs(sound).max())
        return whole

    return strike


def _recorded(telling: Telling, spoken: Place, rng: np.random.Generator) -> Sound:
    count = round(RATE_HZ * (telling.length_sec + 1))
    strike, taps, loud = _board(rng), np.zeros(count), []
    for touch in telling.touches:
        made = strike() * 10 ** (touch.level_db / 20)
        at = round(touch.sec * RATE_HZ)
        taps[at : at + len(made)] += made[: max(count - at, 0)]
        loud.append(float(np.square(made[:320]).mean()))
    tap_power = float(np.median(loud)) if loud else 0.1
    echoes = np.zeros(RATE_HZ)
    echoes[0] = 1.0
    frames_at = np.sort(rng.uniform(0.003, 1.0, 600) ** 0.5 * (RATE_HZ - 1)).astype(int)
    echoes[frames_at] += rng.normal(0, 1, 600) * np.exp(
        -frames_at / RATE_HZ / rng.uniform(0.04, 0.15)
    )
    whole = taps + rng.uniform(0, 0.05) * fftconvolve(taps, echoes)[:count]
    wanted_db = SPEECH_DB[spoken.level]
    if wanted_db is not None and telling.words:
        voice, speech = Voice(rng), np.zeros(count)
        for word in telling.words:
            said = voice.say(word.text, word.length_sec)
            at_frame = max(round(word.sec * RATE_HZ), 0)
            said = said[: max(count - at_frame, 0)]
            speech[at_frame : at_frame + len(said)] += said
        speech = fftconvolve(speech, echoes)[:count]
        frames = np.square(speech[: count // 320 * 320]).reshape(-1, 320).mean(axis=1)
        strong = float(np.percentile(frames[frames > frames.max() * 1e-5], 95))
        whole = whole + speech * np.sqrt(tap_power / strong) * 10 ** (wanted_db / 20)
    hiss = lfilter([0.1], [1, -0.9], rng.normal(0, 1, count))
    whole = whole + hiss * np.sqrt(tap_power) * 10 ** (rng.uniform(-45, -22) / 20)
    whole = whole / float(np.percentile(np.abs(whole), 99.9)) * rng.uniform(0.1, 0.9)
    limited: Sound = np.tanh(whole)
    return limited
