"""At a tap's beat the cursor is on the tap's mark, whatever the width of the window."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.gui.editor.lane_layout import LaneLayout, Spacing, lay_out
from tapscore.gui.listening.cursor_painting import cursor_place
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.rhythm.perform import line_events
from tests.gui.listening.fakes import story_of

SPACING = Spacing(step=33, word_gap=11, syllable_gap=9, bar_gap=12)
FOUR = Metre(4, 4)
LINES = tuple(
    item for section in story_of().sections for item in section.items if isinstance(item, Line)
)


def layout_of(line: Line, width: float) -> LaneLayout:
    return lay_out(line, FOUR, lambda text: 12.0 * len(text), SPACING, width)


@given(st.sampled_from(LINES), st.floats(60, 1500))
def test_every_mark_is_met_at_its_beat(line: Line, width: float) -> None:
    layout = layout_of(line, width)
    events, beats = line_events(line, FOUR)
    marks = [
        (number, cell.x)
        for number, strip in enumerate(layout.strips)
        for cell in strip.cells
        if cell.event is not None or line.lane is None
    ]
    assert len(marks) == len(events)
    for event, (strip, x) in zip(events, marks, strict=True):
        found = cursor_place(layout, line, FOUR, float(event.onset_beats / beats))
        assert found[0] == strip
        assert found[1] == pytest.approx(x, abs=1e-6)


@given(st.sampled_from(LINES), st.floats(60, 1500))
def test_it_only_goes_forward_and_without_leaps(line: Line, width: float) -> None:
    layout = layout_of(line, width)
    places = [cursor_place(layout, line, FOUR, n / 500) for n in range(501)]
    assert places == sorted(places)
    for before, after in pairwise(places):
        if before[0] == after[0]:
            assert after[1] - before[1] < 15


def test_halfway_between_two_beats_is_halfway_between_their_marks() -> None:
    line = LINES[0]
    layout = layout_of(line, 1500)
    cells = layout.strips[0].cells
    first, second = cells[0].x, cells[1].x
    assert cursor_place(layout, line, FOUR, 1 / 16)[1] == pytest.approx((first + second) / 2)


def test_the_end_is_the_right_edge() -> None:
    line = LINES[0]
    layout = layout_of(line, 1500)
    assert cursor_place(layout, line, FOUR, 1.0) == (0, layout.strips[0].width)
