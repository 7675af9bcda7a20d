"""What is said of a telling, and what is not."""

import re
from collections.abc import Callable, Mapping

import numpy as np
import pytest
from attrs import evolve

from tapscore.rehearsal.differences import Difference, _word_at, _words_at, differences, share_word
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.storyfile.read import read_text
from tapscore.wording.text import Surface

STORY = """tapscore: 2
title: The Pond
metre: 4/4
tempo: 60
roles: {leader: {}, beat-keeper: {}}
refrains:
  hop:
    - words: Hop, hop, in we go
      lane: "| X . X . x x X . |"
story:
  - section: One
    lines:
      - words: Down by the pond where the green frogs sit,
        lane: "| X x x X x x X x | X . . . . . . . |"
      - words: one lit-tle frog be-gan to sing,
        lane: "| X x x X x x X x | . . . . . . . . |"
      - refrain: hop
      - wait: 10
      - words: splash went the oth-er, down, down, down,
        lane: "| X x x X x X x X | . . . . . . . . |"
        loudness: loud
      - words: soft-er and soft-er and soft-er still,
        lane: "| X x x X x x X x | X . . . . . . . |"
        loudness: loud to very quiet
      - refrain: hop
"""


def _performance() -> Performance:
    story = read_text(STORY).story
    assert story is not None
    return perform(story)


PERFORMANCE = _performance()
LINES = written_lines(PERFORMANCE)
Change = Callable[[ToldLine], ToldLine]


def _told(changes: Mapping[int, Change] | None = None, *, words: bool = True) -> ToldRehearsal:
    """The story told as written, but for some of its lines (by their place from 0)."""
    made = [_as_written(line) for line in LINES]
    for at, change in (changes or {}).items():
        made[at] = change(made[at])
    return ToldRehearsal(tuple(made), 60.0, words)


def _as_written(line: WrittenLine) -> ToldLine:
    sec = 2 + line.start_sec + line.taps_sec
    return ToldLine(line.segment, 0.98, sec, np.ones(len(sec), bool), 1.0, 5 * line.steps)


def _retimed(ratio: float) -> Change:
    return lambda line: evolve(
        line, ratio=ratio, taps_sec=line.taps_sec[0] + ratio * (line.taps_sec - line.taps_sec[0])
    )


def _louder(db: float) -> Change:
    return lambda line: evolve(line, level_db=line.level_db + db)


def _lost(line: ToldLine) -> ToldLine:
    return ToldLine(line.segment, 0.0, np.zeros(0), np.zeros(0, bool))


def _said(told: ToldRehearsal) -> list[str]:
    return [each.finding.message for each in differences(PERFORMANCE, LINES, told)]


def _codes(told: ToldRehearsal) -> list[str]:
    return [each.finding.code for each in differences(PERFORMANCE, LINES, told)]


def test_a_telling_as_written_has_nothing_said() -> None:
    assert _said(_told()) == []


def test_a_line_that_went_faster() -> None:
    (sentence,) = _said(_told({1: _retimed(0.74)}))
    assert sentence == "Line 2 went a third faster than the rest."


def test_a_line_that_went_slower_is_offered_as_told() -> None:
    (found,) = differences(PERFORMANCE, LINES, _told({1: _retimed(1.4)}))
    assert found.finding.message == "Line 2 went a quarter slower than the rest."
    assert "43 beats a minute" in found.finding.remedy
    assert found.as_told


@pytest.mark.parametrize("ratio", [0.84, 0.9, 1.1, 1.19])
def test_less_than_a_fifth_is_not_said(ratio: float) -> None:
    assert _said(_told({1: _retimed(ratio)})) == []


def test_a_pause_inside_a_line_is_said_as_one_and_not_as_tempo() -> None:
    def stopped(line: ToldLine) -> ToldLine:
        late = np.where(np.arange(len(line.taps_sec)) >= 3, 1.2, 0.0)
        return evolve(_retimed(0.8)(line), taps_sec=_retimed(0.8)(line).taps_sec + late)

    (found,) = differences(PERFORMANCE, LINES, _told({1: stopped}))
    assert found.finding.message == "Inside line 2 there was a pause before “frog”."
    assert found.finding.remedy.startswith("Practise this line as a loop if it was not meant.")
    assert not found.as_told


def test_a_pause_within_a_word_is_said_with_the_whole_word() -> None:
    line = PERFORMANCE.segments[1]
    said = [(_word_at(line, at), _words_at(line, at)) for at in range(8)]
    assert said[0] == (("one", True), "one")
    assert said[1] == (("little", True), "lit")
    assert said[2] == (("little", False), "tle")
    assert said[7] == (("sing", True), "sing")

    def stopped(line: ToldLine) -> ToldLine:
        return evolve(line, taps_sec=line.taps_sec + np.where(np.arange(8) >= 2, 1.2, 0.0))

    assert _said(_told({1: stopped})) == ["Inside line 2 there was a pause within “little”."]


def test_all_of_it_slower_is_one_sentence() -> None:
    told = _told(dict.fromkeys(range(len(LINES)), _retimed(1.35)))
    assert "All of it went a quarter slower than written." in _said(told)
    assert "told-tempo" not in _codes(told)


def test_a_short_wait_in_whole_seconds() -> None:
    told = _told()
    early = [
        evolve(line, taps_sec=line.taps_sec - (6.0 if at > 2 else 0.0))
        for at, line in enumerate(told.lines)
    ]
    (sentence,) = _said(evolve(told, lines=tuple(early)))
    assert sentence == (
        "The wait after the refrain “hop”, the first time, lasted 4 seconds; 10 are written."
    )


def test_a_line_that_sounded_no_louder() -> None:
    (sentence,) = _said(_told({3: _louder(-10.0)}))
    assert "Line 3 sounded no louder than the refrain “hop” before it" in sentence
    assert "written loud, after quiet" in sentence


def test_a_line_that_sounded_much_louder_comes_first() -> None:
    told = _told({1: _louder(14.0), 3: _retimed(0.7)})
    assert _codes(told)[0] == "told-much-louder"


def test_a_swell_that_went_the_other_way() -> None:
    told = _told({4: lambda line: evolve(line, level_db=line.level_db[::-1])})
    assert "told-swell" in _codes(told)
    assert any("did the opposite" in sentence for sentence in _said(told))


def test_a_line_left_out_is_a_question() -> None:
    (sentence,) = _said(_told({1: _lost}))
    assert sentence == "Line 2 could not be found. Was it left out?"


def test_a_line_left_out_among_unsure_ones_is_not_asked_about() -> None:
    unsure = {0: lambda line: evolve(line, confidence=0.5), 1: _lost}
    assert "told-left-out" not in _codes(_told(unsure))


def _without_a_tap(line: ToldLine) -> ToldLine:
    heard = line.heard.copy()
    heard[3] = False
    return evolve(line, heard=heard, level_db=np.where(heard, line.level_db, np.nan))


def test_one_missing_tap_is_said_only_where_nobody_speaks() -> None:
    assert _said(_told({1: _without_a_tap})) == []
    (sentence,) = _said(_told({1: _without_a_tap}, words=False))
    assert sentence == "In line 2 no tap could be heard on “frog”."


def test_of_unsure_lines_nothing_is_said() -> None:
    def unsure(line: ToldLine) -> ToldLine:
        return evolve(_louder(20.0)(_retimed(0.6)(line)), confidence=0.84)

    assert _said(_told({1: unsure})) == []


def test_too_few_sure_lines_say_nothing_at_all() -> None:
    told = _told({at: lambda line: evolve(line, confidence=0.5) for at in (0, 1, 2, 3)})
    assert not told.can_tell
    assert _said(evolve(told, lines=(_retimed(0.5)(told.lines[0]), *told.lines[1:]))) == []


def test_half_a_rehearsal_is_looked_at_for_itself() -> None:
    told = _told({4: _lost, 5: _lost, 1: _retimed(0.7)})
    assert told.can_tell
    assert told.span == range(4)
    assert _codes(told) == ["told-tempo"]


def test_at_most_five_worst_first_and_never_a_person_or_a_number_of_them() -> None:
    told = _told(
        {
            0: _retimed(0.6),
            1: _lost,
            2: _louder(15.0),
            3: lambda line: evolve(_louder(-25.0)(line), begun_before_sec=1.0),
            4: lambda line: evolve(line, level_db=line.level_db[::-1], ratio=1.5),
        },
        words=False,
    )
    found = differences(PERFORMANCE, LINES, told)
    assert len(found) == 5
    weights = [each.weight for each in found]
    assert weights == sorted(weights, reverse=True)
    for each in found:
        _no_person(each)


def _no_person(found: Difference) -> None:
    for surface in Surface:
        text = " ".join(found.finding.said(surface))
        assert not re.search(r"leader|beat-keeper|adult|%|score|\bplace \d|worst|best", text)


def test_words_for_shares() -> None:
    paces = {0.5: "slow", 0.68: "third", 0.75: "quarter", 0.79: "fifth"}
    paces |= {1.22: "fifth", 1.25: "quarter", 1.35: "third", 1.5: "half", 2.0: "twice"}
    assert {pace: share_word(pace) for pace in paces} == paces
