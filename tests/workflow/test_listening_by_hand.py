"""What is made of a recording before and after it is listened to, by hand and without sound."""

from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from attrs import define, field

from tapscore.model.finding import Finding, Severity
from tapscore.model.wordings import clock
from tapscore.rehearsal import between, candidates, detector, differences, listen
from tapscore.rhythm.perform import perform
from tapscore.workflow import listening_back
from tapscore.workflow.listening_back import (
    Heard,
    ListeningStopped,
    Trim,
    _busiest,
    _last_telling,
    hear,
    listen_back,
)
from tests.hill import STORY


def _line(start: float = 0.0, length: float = 20.0) -> Any:
    return SimpleNamespace(start_sec=start, length_sec=length)


@define
class _Levels:
    length_sec: float
    loudest_db: float = -20.0
    clipped: float = 0.0

    def between(self, begin: float, end: float) -> "_Levels":
        return _Levels(end - begin)


@pytest.fixture
def _taps(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tap each second from 500 to 599; in the first half what is hardly one, oftener."""
    sec = np.concatenate([np.arange(0, 400, 0.5), np.arange(500, 600)])
    odds = np.where(sec < 450, 1.0, 1.5)
    found = SimpleNamespace(sec=sec, features=odds)
    monkeypatch.setattr(candidates, "candidates_in", lambda _: found)
    known = SimpleNamespace(log_odds=lambda features: features)
    monkeypatch.setattr(detector, "learned_detector", lambda: known)


@pytest.mark.usefixtures("_taps")
@pytest.mark.parametrize(
    ("length", "start", "part"),
    [
        # A story of 120 s: 20 minutes or more are cut to twice the story and three minutes.
        (1199.0, None, 1199.0),
        # All taps lie between 180 and 500 s from the beginning of 420 s; 340 is in the middle.
        (1200.0, 340.0, 420.0),
    ],
)
def test_the_busiest_part(length: float, start: float | None, part: float) -> None:
    remarks: list[Finding] = []
    levels: Any = _Levels(length)
    found, begin = _busiest(levels, (_line(), _line(100.0)), 7.0, remarks)
    assert found.length_sec == part
    assert begin == 7.0 + (start or 0)
    assert [each.code for each in remarks] == (["told-trimmed"] if start else [])
    if start:
        about = remarks[0].about
        assert (about["length"], about["begin"], about["end"]) == (
            *(clock(length), clock(347.0), clock(767.0)),
        )


@pytest.mark.usefixtures("_taps")
def test_of_a_long_story_two_and_a_half_times() -> None:
    lines = (_line(), _line(580.0))
    for length, cut in ((1499.0, False), (1500.0, True)):
        levels: Any = _Levels(length)
        found, _ = _busiest(levels, lines, 0.0, [])
        assert (found is not levels) is cut
        assert found.length_sec == (1380.0 if cut else length)


@define
class _Told:
    sure: int
    can_tell: bool = True
    begin_sec: float = 0.0
    length_sec: float = 50.0
    name: str = ""
    lines: list[Any] = field(init=False)
    span: range = range(2, 20)

    def __attrs_post_init__(self) -> None:
        self.lines = [
            SimpleNamespace(sure=at < self.sure, start_sec=2.0 * at, end_sec=2.0 * at + 1)
            for at in range(20)
        ]

    @property
    def mostly(self) -> bool:
        return self.can_tell


@pytest.mark.usefixtures("_taps")
@pytest.mark.parametrize(
    ("first", "twice", "later", "cuts", "begin"),
    [
        (_Told(10), False, [], [], 3.0),
        # A later one counts with seven tenths as many sure lines, the last one that does.
        (_Told(10), False, [_Told(7)], [60.0], 63.0),
        (_Told(10), False, [_Told(6)], [60.0], 3.0),
        (_Told(10), False, [_Told(10, False)], [60.0], 3.0),
        (_Told(10), False, [_Told(9), _Told(8)], [60.0, 90.0], 93.0),
        (_Told(10), False, [_Told(7), _Told(5)], [60.0, 90.0], 93.0),
        (_Told(10), False, [_Told(7), _Told(4)], [60.0, 90.0], 63.0),
        # Where nothing can be told it is listened to once more without lines begun again.
        (_Told(4, False), True, [_Told(3, False), _Told(3)], [60.0], 63.0),
        (_Told(4), True, [_Told(3)], [60.0], 63.0),
    ],
)
def test_the_last_whole_telling(
    monkeypatch: pytest.MonkeyPatch,
    first: _Told,
    twice: bool,
    later: list[_Told],
    cuts: list[float],
    begin: float,
) -> None:
    answers = [first, *later]
    lines: Any = ("line",)
    asked: list[Any] = []

    def answer(levels: Any, lines: Any, **named: Any) -> Any:
        asked.append((levels.length_sec, named.get("begun_again", True)))
        return answers.pop(0)

    def others(once: Any, said: Any, every: Any, odds: Any) -> list[float]:
        assert said == lines
        assert once.begin_sec == 3.0
        assert len(every.sec) == len(odds) == 900
        return cuts

    monkeypatch.setattr(listen, "listen", answer)
    monkeypatch.setattr(between, "other_tellings", others)
    monkeypatch.setattr(between, "seems_told_twice", lambda said, odds: twice and said == lines)
    remarks: list[Finding] = []
    levels: Any = _Levels(200.0)
    best = _last_telling(levels, lines, 3.0, remarks, lambda _: None, None)
    assert best.begin_sec == begin
    again = [(200.0, False)] if twice and not first.can_tell else []
    assert asked == [(200.0, True), *again, *((200.0 - cut, True) for cut in cuts)]
    assert [each.code for each in remarks] == (["told-twice"] if begin > 3 else [])
    if remarks:
        assert remarks[0].about["begin"] == clock(begin + 4)
        assert remarks[0].about["end"] == clock(begin + 39)


@pytest.mark.usefixtures("_taps")
@pytest.mark.parametrize(
    ("rest", "later", "begin"),
    [([], [], 3.0), ([45.0], [_Told(3)], 48.0), ([45.0], [_Told(9, False)], 3.0)],
)
def test_of_two_tellings_one_is_told_where_the_other_is_not_found(
    monkeypatch: pytest.MonkeyPatch, rest: list[float], later: list[_Told], begin: float
) -> None:
    """Nothing can be told of both; listened to without lines begun again, one is found."""
    answers = [_Told(0, False), _Told(4), *later]
    monkeypatch.setattr(listen, "listen", lambda *_, **__: answers.pop(0))
    monkeypatch.setattr(between, "other_tellings", lambda *_: [])
    monkeypatch.setattr(between, "seems_told_twice", lambda *_: True)
    monkeypatch.setattr(between, "rest_after", lambda once: rest if once.sure == 4 else [99.0])
    remarks: list[Finding] = []
    levels: Any = _Levels(200.0)
    best = _last_telling(levels, ("line",), 3.0, remarks, lambda _: None, None)  # type: ignore[arg-type]
    assert best.begin_sec == begin
    assert best.can_tell
    (remark,) = remarks
    assert (remark.about["begin"], remark.about["end"]) == (clock(begin + 4), clock(begin + 39))


@pytest.mark.usefixtures("_taps")
@pytest.mark.parametrize(
    ("can_tell", "twice", "cuts", "begin"),
    [
        (False, True, [], 77.0),
        (False, True, [60.0], 60.0),
        (False, False, [], 0.0),
        (True, True, [], 0.0),
    ],
)
def test_where_no_stretch_is_left_over_two_tellings_are_parted_half_way(
    monkeypatch: pytest.MonkeyPatch, can_tell: bool, twice: bool, cuts: list[float], begin: float
) -> None:
    answers = [_Told(3, can_tell), *([_Told(9, False)] if twice and not can_tell else []), _Told(9)]
    monkeypatch.setattr(listen, "listen", lambda *_, **__: answers.pop(0))
    monkeypatch.setattr(between, "other_tellings", lambda *_: cuts)
    monkeypatch.setattr(between, "seems_told_twice", lambda *_: twice)
    monkeypatch.setattr(between, "halfway", lambda *_: [77.0])
    levels: Any = _Levels(200.0)
    assert _last_telling(levels, ("line",), 0.0, [], lambda _: None, None).begin_sec == begin  # type: ignore[arg-type]


def _found(code: str) -> Any:
    return SimpleNamespace(finding=Finding(code, Severity.ADVICE))


@pytest.mark.parametrize(
    ("loudest", "clipped", "sure", "remarks", "found"),
    [
        (-75.1, 0.0, True, ["told-silent"], []),
        (-75.0, 0.0, True, [], ["told-swell", "told-wait", "told-no-louder"]),
        (-9.0, 0.01, True, [], ["told-swell", "told-wait", "told-no-louder"]),
        (-9.0, 0.011, True, ["sound-overloaded"], ["told-wait"]),
        (-9.0, 0.011, False, ["told-cant-tell", "sound-overloaded"], ["told-wait"]),
        (-9.0, 0.0, None, ["told-some"], ["told-swell", "told-wait", "told-no-louder"]),
    ],
)
def test_what_is_said_of_a_recording(
    monkeypatch: pytest.MonkeyPatch,
    loudest: float,
    clipped: float,
    sure: bool | None,
    remarks: list[str],
    found: list[str],
) -> None:
    told = SimpleNamespace(
        can_tell=sure is not False,
        mostly=bool(sure),
        lines=[SimpleNamespace(sure=at < 2) for at in range(5)],
        span=range(999),
    )
    monkeypatch.setattr(listening_back, "_last_telling", lambda *_: told)
    every = tuple(_found(code) for code in ("told-swell", "told-wait", "told-no-louder"))
    monkeypatch.setattr(differences, "differences", lambda *_: every)
    levels: Any = _Levels(60.0, loudest, clipped)
    heard = hear(STORY, levels)
    assert [each.code for each in heard.remarks] == remarks
    assert [each.finding.code for each in heard.differences] == found
    assert heard.overloaded is ("sound-overloaded" in remarks)
    assert heard.can_tell is (sure is not False and bool(found))
    for code, lines in (("told-cant-tell", 5), ("told-some", 999)):
        if code in remarks:
            assert heard.remarks[0].about["sure"] == 2
            assert heard.remarks[0].about["lines"] == lines


def test_nothing_to_look_for() -> None:
    from attrs import evolve

    heard = hear(evolve(STORY, sections=()), _Levels(60.0))  # type: ignore[arg-type]
    assert isinstance(heard, Heard)
    assert [each.code for each in heard.remarks] == ["told-no-lines"]
    assert not heard.can_tell


@pytest.mark.parametrize(
    ("length", "trim", "shares"),
    [
        # Two blocks of ten seconds: of 40 s, of as long as is listened at most, of what is cut out.
        (40.0, Trim(), [0.125, 0.25, 1.0]),
        (None, Trim(), [10 / 1200, 20 / 1200, 1.0]),
        (40.0, Trim(20.0), [0.25, 0.5, 1.0]),
        (40.0, Trim(10.0, 20.0), [0.5, 0.5, 1.0]),
        (40.0, Trim(10.0, 10.0), [0.5, 0.5, 1.0]),
    ],
)
def test_how_far_it_is(
    monkeypatch: pytest.MonkeyPatch, length: float | None, trim: Trim, shares: list[float]
) -> None:
    """Half of it is to read, the other half to find the story."""
    from tapscore.rehearsal import bands, recording

    found = SimpleNamespace(
        length_sec=length, is_video=length is None, telephone=True, rate_hz=8000
    )
    monkeypatch.setattr(recording, "look_into", lambda _: found)
    asked: list[Any] = []

    def blocks(_: Any, begin: float, end: float | None) -> list[Any]:
        asked.append((begin, end))
        return [np.zeros((1, 160_000))] * 2

    monkeypatch.setattr(recording, "blocks_of", blocks)
    monkeypatch.setattr(bands, "levels_of", list)

    def found_in(story: Any, levels: Any, begin: float, *, going: Any, **_: Any) -> Heard:
        asked.append((len(levels), begin))
        going(1.0)
        return Heard(performance, None)

    performance = perform(STORY)
    monkeypatch.setattr(listening_back, "hear", found_in)
    told: list[float] = []
    heard = listen_back(STORY, Path("a.wav"), trim, going=told.append)
    assert told == pytest.approx(shares)
    assert asked == [(trim.begin_sec, trim.end_sec), (2, trim.begin_sec)]
    codes = [each.code for each in heard.remarks]
    assert codes == [*(["sound-video"] if length is None else []), "sound-telephone"]
    assert heard.remarks[-1].about["khz"] == 8
    # Nobody waits any more: while it is read, and while it is looked through.
    for after in (0, 2):
        left = iter([False] * after + [True] * 9)
        with pytest.raises(ListeningStopped):
            listen_back(STORY, Path("a.wav"), trim, stopped=partial(next, left))
