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


def _told(line: Line, metre: Metre) -> list[tuple[object, ...]]:
    return [
        (c.cell.mark.value, c.event, c.syllable, c.onset_beats, c.bar, c.on_beat, c.strong)
        for c in columns(line, metre)
    ]


def test_a_pickup_counts_back_from_the_bar_line() -> None:
    """6/8: the pickup of four steps begins two steps into its bar; its second is on the beat."""
    lane, _ = parse_lane("s t . x | X _ sx . . t |", Names())
    third = Fraction(1, 3)
    assert _told(Line("a b c d", lane), Metre(6, 8)) == [
        ("s", 0, 0, Fraction(0), 0, False, False),
        ("t", 1, None, third, 0, True, False),
        (".", None, None, 2 * third, 0, False, False),
        ("x", 2, 1, Fraction(1), 0, False, False),
        ("x", 3, 2, 4 * third, 1, True, True),
        ("_", None, None, 5 * third, 1, False, False),
        ("s", 4, 3, Fraction(2), 1, False, False),
        ("x", 5, 4, Fraction(13, 6), 1, False, False),
        (".", None, None, 7 * third, 1, True, False),
        (".", None, None, 8 * third, 1, False, False),
        ("t", 6, None, Fraction(3), 1, False, False),
    ]


def test_no_word_is_lost_without_a_rhythm_or_room() -> None:
    half = Fraction(1, 2)
    assert _told(Line("a b c d e"), Metre(2, 4)) == [
        ("s", i, i, i * half, 1 + i // 4, False, False) for i in range(5)
    ]
    lane, _ = parse_lane("| x . |", Names())
    found = columns(Line("a b c", lane), Metre(2, 4))
    assert [(c.syllable, c.event, c.onset_beats, c.silent) for c in found] == [
        (0, 0, 0, False),
        (None, None, half, True),
        (1, None, None, True),
        (2, None, None, True),
    ]
