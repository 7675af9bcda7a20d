"""What is said of rehearsals, what keeps happening, and small parts of rhythms, by hand."""

from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from attrs import evolve

from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Lane
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Wait
from tapscore.rehearsal import differences
from tapscore.rehearsal import loudness as loudness_module
from tapscore.storyfile.lane_text import Names, lane_text, parse_lane
from tapscore.wording.about import About
from tapscore.workflow import rehearsals
from tapscore.workflow.fitting import (
    _ceil,
    _core,
    ended_like,
    filled_up,
    hyphenated,
    next_rhythm,
    retyped,
    rhythm_number,
    rhythms,
    spaced,
    way_of,
)
from tapscore.workflow.refitting import Refitted
from tapscore.workflow.rehearsals import (
    LineHeard,
    Repeated,
    _as_heard,
    _beside_each_other,
    _indented,
    _key,
    keeps_happening,
    report,
)
from tests.hill import STORY

TWO_FOUR = Metre(2, 4)
LINE = LineHeard(0, "Line 1", "Row home", "sure", 0.0, 4.0, 60, begin_sec=61.0, end_sec=65.0)


def heard(**more: Any) -> LineHeard:
    return evolve(LINE, **more)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (heard(), "at 1:01."),
        (heard(begin_sec=None), "can't tell where it was."),
        (heard(begin_sec=None, outside=True), "not in the part that was found."),
        (heard(certainty="fair", told_tempo=70), "can't tell surely; perhaps at 1:01."),
        (heard(told_tempo=70), "at 1:01; 70 beats a minute, 60 written."),
        (heard(louder=True), "at 1:01; sounded louder than the line before."),
        (heard(louder=False), "at 1:01; sounded softer than the line before."),
        (heard(swell_db=6.0), "at 1:01; sounded as if it grew."),
        (heard(swell_db=-6.0), "at 1:01; sounded as if it faded."),
        (heard(swell_db=5.9), "at 1:01."),
        (heard(waited_sec=4.0), "at 1:01."),
        (heard(wait_written_sec=4.0), "at 1:01."),
        (
            heard(waited_sec=4.0, wait_written_sec=10.0),
            "at 1:01; then a wait of 4 seconds, 10 written.",
        ),
    ],
)
def test_what_is_said_of_a_line(line: LineHeard, said: str) -> None:
    assert line.sentence == (f"Line 1, “Row home”: {said}")


def test_louder_than_the_line_before_and_than_the_middle() -> None:
    """Levels of 10, 16, 12, none, 9 dB have a middle of 11; 6 dB are a step."""
    nothing = cast(Any, SimpleNamespace(performance=SimpleNamespace(segments=[None] * 9)))
    lines = [
        heard(level_db=level, segment=at, certainty="fair")
        for at, level in enumerate((10.0, 16.0, 12.0, None, 9.0))
    ]
    found = list(_beside_each_other(lines, nothing))
    assert [line.level_db for line in found] == [-1.0, 5.0, 1.0, None, -2.0]
    assert [line.louder for line in found] == [None, True, None, None, None]
    falling = [heard(level_db=level, certainty="fair") for level in (9.0, 2.0)]
    assert [line.louder for line in _beside_each_other(falling, nothing)] == [None, False]


def _difference(code: str, segment: int = 0, **about: Any) -> Any:
    finding = Finding(code, Severity.ADVICE, about=About(**about))
    return SimpleNamespace(finding=finding, segment=segment)


def _rehearsal(*differences: Any, can_tell: bool = True) -> Any:
    return SimpleNamespace(differences=differences, can_tell=can_tell)


def test_what_keeps_happening() -> None:
    a, b, c = (_difference("told-swell", at) for at in range(3))
    assert keeps_happening([]) == ()
    assert keeps_happening([_rehearsal(a, can_tell=False)]) == ()
    found = keeps_happening([_rehearsal(b, c), _rehearsal(c), _rehearsal(a, b, c)])
    assert [(each.difference.segment, each.often) for each in found] == [(2, 3), (1, 2), (0, 1)]
    # One that can't be told counts neither as the last nor among the earlier.
    found = keeps_happening([_rehearsal(a), _rehearsal(a, b), _rehearsal(c, can_tell=False)])
    assert [(each.difference.segment, each.often) for each in found] == [(0, 2), (1, 1)]


def test_which_differences_are_the_same() -> None:
    same = _key(_difference("told-wait", 1, lasted=3, wanted=10))
    assert same == _key(_difference("told-wait", 1, lasted=9, wanted=10))
    others = [
        _difference("told-wait", 1, lasted=10, wanted=10),
        _difference("told-wait", 1, lasted=12, wanted=10),
        _difference("told-wait", 2, lasted=3, wanted=10),
        _difference("told-faster", 1, lasted=3, wanted=10),
    ]
    assert all(_key(other) != same for other in others)
    assert _key(others[0]) == _key(others[1])
    one, two = (_difference("x", way=way) for way in ("up", "down"))
    assert _key(one) != _key(two)
    one, two = (_difference("x", sounded=sounded) for sounded in ("louder", "softer"))
    assert _key(one) != _key(two)


@pytest.mark.parametrize(
    ("often", "said"),
    [
        (1, "It."),
        (2, "Twice now: It."),
        (3, "Three times now: It."),
        (4, "Four times now: It."),
        (5, "Five times now: It."),
        (6, "6 times now: It."),
    ],
)
def test_how_often(often: int, said: str) -> None:
    finding = SimpleNamespace(said=lambda _: ("It.", ""))
    assert Repeated(cast(Any, SimpleNamespace(finding=finding)), often).message == said


def test_lines_of_a_report_are_set_in() -> None:
    assert _indented("1. ", "word " * 30)[0].startswith("1. word")
    assert all(line.startswith("   word") for line in _indented("1. ", "word " * 30)[1:])


def lane(text: str) -> Lane:
    found, problems = parse_lane(text, Names())
    assert found is not None, problems
    return found


@pytest.mark.parametrize(
    ("text", "filled"),
    [
        ("| x . x . |", "| x . x . |"),
        ("| x . x |", "| x . x . |"),
        ("x | x . . . | x |", "x | x . . . | x . . . |"),
    ],
)
def test_a_last_bar_filled_up(text: str, filled: str) -> None:
    assert lane_text(filled_up(lane(text), TWO_FOUR)) == filled


@pytest.mark.parametrize(
    ("text", "old", "ended"),
    [
        ("| x . x . |", "| x . x |", "| x . x |"),
        ("| x . x . |", "| x x |", "| x . x . |"),
        ("| x . . . |", "| x |", "| x |"),
        ("| x . x . |", "| x . . . |", "| x . x . |"),
        ("| x . x . |", None, "| x . x . |"),
        ("| x . x _ |", "| x . x |", "| x . x _ |"),
    ],
)
def test_as_short_as_before(text: str, old: str | None, ended: str) -> None:
    made = ended_like(lane(text), lane(old) if old else None, TWO_FOUR)
    assert lane_text(made) == ended


@pytest.mark.parametrize(
    ("text", "first", "steps"),
    [
        ("| x . x . |", 0, 3),
        ("| . x . x |", 1, 3),
        (". x | x . . . |", -1, 2),
        ("x . | . . x . |", -2, 5),
        ("| . . . . |", 4, 0),
    ],
)
def test_a_lane_without_the_silence_round_it(text: str, first: int, steps: int) -> None:
    at, kept = _core(lane(text))
    assert (at, len(kept)) == (first, steps)


def test_which_of_the_fits_a_lane_is() -> None:
    fits = (lane("| x x x . |"), lane("| x . x x |"))
    found = [
        way_of(fits, lane(text), TWO_FOUR)
        for text in (
            "| x x x . |",
            "| x . x x |",
            "| x s x . |",
            "| x x x . | . . . . |",
            "| x x |",
        )
    ]
    assert [(way[0], way[1].value) if way else None for way in found] == [
        *((0, "every"), (1, "every"), (0, "beats"), (0, "every"), None)
    ]


def test_the_next_rhythm_and_the_one_before() -> None:
    line = Line("up we go")
    ways = rhythms(line.words, TWO_FOUR)
    assert len(ways) > 2
    assert next_rhythm(line, TWO_FOUR).lane == ways[0]
    assert next_rhythm(line, TWO_FOUR, back=True).lane == ways[-1]
    assert rhythm_number(line, TWO_FOUR) == ""
    second = Line("up we go", ways[1])
    assert rhythm_number(second, TWO_FOUR) == f"2 of {len(ways)}"
    assert next_rhythm(second, TWO_FOUR).lane == ways[2]
    assert next_rhythm(second, TWO_FOUR, back=True).lane == ways[0]
    assert next_rhythm(Line(""), TWO_FOUR) == Line("")


@pytest.mark.parametrize(
    ("words", "typed", "made"),
    [
        ("", "lantern boat", "lan-tern boat"),
        ("", "la-ntern boat", "la-ntern boat"),
        ("lantern", "lantern boat lantern", "lantern boat lantern"),
        ("lan-tern", "lantern", "lantern"),
        ("lan-tern boat", "lantern ship", "lan-tern ship"),
        ("", "  up \t we  go ", "up we go"),
    ],
)
def test_what_is_typed_is_divided(words: str, typed: str, made: str) -> None:
    assert retyped(Line(words), typed, TWO_FOUR).words == made


def test_words_with_marks_between() -> None:
    assert spaced("up—down,in...out") == "up— down, in... out"
    assert spaced("a.m. 3,5 e.g. up.down") == "a.m. 3,5 e.g. up. down"
    assert hyphenated("lantern boat") == "lan-tern boat"
    assert [_ceil(Fraction(n, 2)) for n in (-1, 0, 1, 2, 3)] == [0, 0, 1, 1, 2]


@pytest.mark.parametrize(
    ("changed", "kept", "said"),
    [
        (0, 0, ""),
        (1, 0, "One line has a new rhythm."),
        (2, 0, "2 lines have a new rhythm."),
        (0, 1, "One made by hand stays as it is: look at its bars."),
        (3, 2, "3 lines have a new rhythm. 2 made by hand stay as they are: look at their bars."),
    ],
)
def test_what_a_change_of_metre_did(changed: int, kept: int, said: str) -> None:
    paths = tuple(("story", 0, "lines", at) for at in range(9))
    assert Refitted(STORY, paths[:changed], paths[:kept]).sentence == said


def _told_twice_as_fast(segments: list[Any], ratio: float = 0.5) -> Any:
    told = SimpleNamespace(lines=[SimpleNamespace(sure=True, ratio=ratio)])
    return SimpleNamespace(told=told, performance=SimpleNamespace(segments=segments))


@pytest.mark.parametrize(
    ("begin", "between", "waited"),
    [
        # Written: taps end at 4, the next begin at 17; 10 of the 13 seconds are the wait, and 3 the
        # line's own rests, which last 1.5 where all is told twice as fast.
        (72.0, [Wait(Fraction(10))], 5.5),
        (66.0, [Wait(Fraction(10))], 0.0),
        (72.0, [Wait(Fraction(10)), Wait(Fraction(1))], None),
        (72.0, ["no wait"], None),
        (72.0, [], None),
    ],
)
def test_how_long_a_wait_lasted(begin: float, between: list[Any], waited: float | None) -> None:
    segments = [SimpleNamespace(item=item, length_sec=10.0) for item in between]
    whole = _told_twice_as_fast([None, *segments, None])
    after = heard(
        segment=len(between) + 1, begin_sec=begin, written_begin_sec=17.0, written_end_sec=21.0
    )
    first, last = _beside_each_other([LINE, after], whole)
    assert first.waited_sec == waited
    assert first.wait_written_sec == (None if waited is None else 10.0)
    assert last.waited_sec is None
    first, _ = _beside_each_other([heard(certainty="fair"), after], whole)
    assert first.waited_sec is None
    first, _ = _beside_each_other([LINE, evolve(after, certainty="fair")], whole)
    assert first.waited_sec is None


@pytest.mark.parametrize(
    ("loudness", "sure", "overloaded", "taps", "level", "swell", "tempo"),
    [
        ((2, 3), True, False, 3, 7.0, 4.0, 70),
        ((2,), True, False, 3, 7.0, None, 70),
        ((2, 3), False, False, 3, None, None, 70),
        ((2, 3), True, True, 3, None, None, 70),
        ((2, 3), True, False, 2, 7.0, 4.0, None),
    ],
)
def test_a_line_as_it_was_heard(
    monkeypatch: pytest.MonkeyPatch,
    loudness: tuple[int, ...],
    sure: bool,
    overloaded: bool,
    taps: int,
    level: float | None,
    swell: float | None,
    tempo: int | None,
) -> None:
    """Times are those of the file, which begins 60 s before the part that was looked at."""
    monkeypatch.setattr(differences, "told_tempo", lambda *_: (70, None))
    monkeypatch.setattr(loudness_module, "line_level", lambda _: SimpleNamespace(middle_db=7.0))
    monkeypatch.setattr(loudness_module, "swelling", lambda _: SimpleNamespace(db=4.0))
    segment = SimpleNamespace(manner=SimpleNamespace(loudness=loudness))
    whole = SimpleNamespace(
        told=SimpleNamespace(begin_sec=60.0),
        performance=SimpleNamespace(segments=[segment]),
        overloaded=overloaded,
    )
    line = SimpleNamespace(
        segment=0,
        sure=sure,
        certainty=SimpleNamespace(value="sure"),
        start_sec=2.0,
        end_sec=5.0,
        ratio=1.0,
        heard=np.array([True] * taps + [False] * 3),
    )
    found = _as_heard(LINE, cast(Any, line), cast(Any, whole))
    assert (found.begin_sec, found.end_sec) == (62.0, 65.0)
    assert (found.level_db, found.swell_db, found.told_tempo) == (level, swell, tempo)


def _plain(remark: str, *, can_tell: bool = True) -> Any:
    said = SimpleNamespace(message=remark, remedy="Do.")
    told = SimpleNamespace(begin_sec=0.0)
    return SimpleNamespace(remarks=[said], can_tell=can_tell, differences=(), told=told)


def test_a_report_of_several_rehearsals(monkeypatch: pytest.MonkeyPatch) -> None:
    """The last first, each with its number where there are several."""
    monkeypatch.setattr(rehearsals, "lines_heard", lambda _: ())
    nothing = rehearsals.NOTHING_DIFFERENT
    lines = "Line by line:"
    assert report(STORY, [_plain("A.")]).splitlines() == [
        *(STORY.title, "", "A. Do.", "", nothing, "", lines)
    ]
    three = [_plain("A."), _plain("B.", can_tell=False), _plain("C.")]
    assert report(STORY, three).splitlines() == [
        *(STORY.title, "", "Rehearsal 3", "", "C. Do.", "", nothing, "", lines, ""),
        *("Rehearsal 2", "", "B. Do.", "", "Rehearsal 1", "", "A. Do.", "", nothing, "", lines),
    ]
    assert report(STORY, [_plain("A."), _plain("B.", can_tell=False)]).splitlines()[2:6] == [
        *("Rehearsal 2", "", "B. Do.", "")
    ]
