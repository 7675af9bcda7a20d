"""Columns are the lane's events with the silence between, and no word is lost."""

from fractions import Fraction

from hypothesis import given

from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.rhythm.columns import columns
from tapscore.rhythm.layout import line_layout
from tapscore.storyfile.lane_text import Names, parse_lane
from tests.exports.paper.paper_strategies import lines

FOUR = Metre(4, 4)


@given(lines)
def test_columns_are_the_events_with_the_silence_between(line: Line) -> None:
    found = columns(line, FOUR)
    layout = line_layout(line, FOUR)
    begun = [each for each in found if each.event is not None]
    assert [each.event for each in begun] == list(range(len(layout.events)))
    for each, event in zip(begun, layout.events, strict=True):
        assert (each.onset_beats, each.bar) == (event.onset_beats, event.bar)
        assert each.syllable == event.syllable
        assert each.cell == event.cell
    timed = [each for each in found if each.onset_beats is not None]
    if line.lane is not None:
        lasts = sum(Fraction(1, FOUR.steps_per_beat * each.parts) for each in timed)
        assert lasts == layout.beats
    said = [each.syllable for each in found if each.syllable is not None]
    assert said[: len(line.syllables)] == list(range(len(line.syllables)))


def test_beats_and_bars_are_known() -> None:
    written, _ = parse_lane("| X . x _ | xx . . . |", Names())
    found = columns(Line("one two three four", written), FOUR)
    beats = "yes no yes no", "yes no no yes no"
    assert [each.on_beat for each in found] == [w == "yes" for b in beats for w in b.split()]
    assert [each.strong for each in found].count(True) == 2
    assert found[5].parts == 2
    assert found[5].onset_beats == Fraction(9, 4)
