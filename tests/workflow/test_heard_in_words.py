"""A telling of the hill (``tests/hill.py``) in words and made as told, worked out by hand.

Told a second and a half for each written one from 10 s on, but for the turns and the waits.
"""

from fractions import Fraction

import numpy as np
import pytest
from attrs import evolve

from tapscore.model import edits
from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, RefrainUse, Wait
from tapscore.rehearsal.differences import Difference
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import written_lines
from tapscore.rhythm.perform import perform
from tapscore.wording.about import About
from tapscore.workflow.listening_back import Heard
from tapscore.workflow.rehearsals import line_rows, lines_heard
from tapscore.workflow.story_as_told import as_told
from tests.hill import STORY

PERFORMANCE = perform(STORY)
STARTS = (10.0, 16.0, 40.0, 56.0, 62.0, 84.0)
LEVELS = (-20.0, -21.0, -13.0, -21.0, -20.0, -20.0)
CONFIDENCE = (0.99, 0.99, 0.99, 0.99, 0.7, 0.4)


def heard(ratio: float = 1.5, begin_sec: float = 0.0) -> Heard:
    lines = [
        ToldLine(
            written.segment,
            sure,
            start + ratio * written.taps_sec,
            np.ones(len(written.taps_sec), np.bool_),
            ratio,
            np.full(len(written.taps_sec), level),
        )
        for written, start, level, sure in zip(
            written_lines(PERFORMANCE), STARTS, LEVELS, CONFIDENCE, strict=True
        )
    ]
    return Heard(PERFORMANCE, ToldRehearsal(tuple(lines), 100.0, begin_sec=begin_sec))


def test_line_by_line() -> None:
    """The third line's taps end at 40 + 1.5 x 2 = 43; the next begins at 56.  Of these 13 s two
    silent beats of the bar take 3, as slowly as it was told."""
    said = [line.sentence for line in lines_heard(heard(begin_sec=60.0))]
    assert said == [
        "Line 1, “Here is the hill”: at 1:10; 40 beats a minute, 60 written.",
        "Line 2, “Out comes the silk”: at 1:16; 40 beats a minute, 60 written.",
        "The refrain “up we go”, “Up we go”: at 1:40; 40 beats a minute, 60 written; sounded"
        " louder than the line before; then a wait of 10 seconds, 12 written.",
        "Line 3, “Ring goes the bell”: at 1:56; 40 beats a minute, 60 written; sounded softer than"
        " the line before.",
        "The refrain “up we go”, “Up we go”: can't tell surely; perhaps at 2:02.",
        "Line 4, “Sleep”: can't tell where it was.",
    ]


def test_row_by_row() -> None:
    rows = line_rows(heard())
    assert [(row["begin_sec"], row["end_sec"], row["tempo"], row["wait_sec"]) for row in rows] == [
        (10, 14.5, 40, None),
        (16, 20.5, 40, None),
        (40, 43, 40, 10),
        (56, 60.5, 40, None),
        (62, 65, 40, None),
        (None, None, None, None),
    ]
    assert [row["sounded_louder_than_before"] for row in rows] == [
        *(None, None, True, False, None, None)
    ]
    # Against the middle of the four that are sure: -20.5 dB.
    levels = [line.level_db for line in lines_heard(heard())]
    assert levels == [0.5, -0.5, 7.5, -0.5, None, None]


def test_of_an_overloaded_recording_and_of_none_no_loudness_is_said() -> None:
    remark = Finding("sound-overloaded", Severity.ADVICE)
    loud = evolve(heard(), remarks=(remark,))
    assert all(line.level_db is None and line.louder is None for line in lines_heard(loud))
    assert lines_heard(Heard(PERFORMANCE, None)) == ()


def difference(code: str, segment: int, **about: object) -> Difference:
    here = PERFORMANCE.segments[segment]
    path = here.returned_path or here.path
    found = Finding(code, Severity.ADVICE, path, None, About(**about))  # type: ignore[arg-type]
    return Difference(found, 1.0, segment, 1.0, 2.0, as_told=True)


@pytest.mark.parametrize(
    ("code", "segment", "about", "made"),
    [
        ("told-tempo", 0, {}, ("tempo", 40)),
        ("told-no-louder", 0, {"earlier": 1, "loudness": 3}, ("loudness", (Loudness(1),))),
        ("told-much-louder", 5, {"earlier": 1, "loudness": 1}, ("loudness", (Loudness(2),))),
        ("told-much-louder", 5, {"earlier": 2, "loudness": 0}, ("loudness", (Loudness(3),))),
        ("told-much-louder", 5, {"earlier": 0, "loudness": 2}, ("loudness", (Loudness(3),))),
        ("told-much-louder", 5, {"earlier": 4, "loudness": 4}, ("loudness", (Loudness(4),))),
        ("told-wait", 4, {"lasted": 7, "wanted": 12}, ("wait", 7)),
        ("told-tempo", 3, {}, ("tempo", 40)),  # of one return of the refrain alone
        ("told-again", 0, {}, None),
    ],
)
def test_one_thing_is_made_as_told(
    code: str, segment: int, about: dict[str, object], made: tuple[str, object] | None
) -> None:
    found = difference(code, segment, **about)
    story = as_told(STORY, heard(), found)
    if made is None:
        assert story is None
        return
    assert story is not None
    item = edits.item_at(story, found.finding.path)
    what, value = made
    if what == "wait":
        assert isinstance(item, Wait)
        assert item.least_sec == value
    else:
        assert isinstance(item, Line | RefrainUse)
        told = item.manner.tempo.start if item.manner.tempo else item.manner.loudness
        assert told == value
    assert story.refrains == STORY.refrains
    # All else is as it was.
    assert edits.replace_item(story, found.finding.path, _written(found)) == STORY


def _written(found: Difference) -> Line | RefrainUse | Wait:
    item = edits.item_at(STORY, found.finding.path)
    assert isinstance(item, Line | RefrainUse | Wait)
    return item


@pytest.mark.parametrize(("sounded", "made"), [("other", (3, 1)), ("even", (1,))])
def test_a_swell_is_made_as_told(sounded: str, made: tuple[int, ...]) -> None:
    first = STORY.sections[0].items[0]
    assert isinstance(first, Line)
    swell = (Loudness(1), Loudness(3))
    grows = edits.replace_item(
        STORY,
        ("story", 0, "lines", 0),
        evolve(first, manner=evolve(first.manner, loudness=swell)),
    )
    told = evolve(heard(), performance=perform(grows))
    story = as_told(grows, told, difference("told-swell", 0, written="grows", sounded=sounded))
    assert story is not None
    line = edits.item_at(story, ("story", 0, "lines", 0))
    assert isinstance(line, Line)
    assert line.manner.loudness == tuple(map(Loudness, made))


@pytest.mark.parametrize(("ratio", "tempo"), [(1.5, 40), (0.8, 75), (0.1, 300), (9.0, 20)])
def test_all_of_it_is_made_as_told_within_what_a_tempo_may_be(ratio: float, tempo: int) -> None:
    story = as_told(STORY, heard(ratio), difference("told-tempo-whole", 0))
    assert story is not None
    assert story.manner.tempo is not None
    assert story.manner.tempo.start == Fraction(tempo)
    assert story.sections == STORY.sections
