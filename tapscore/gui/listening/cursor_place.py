"""Where on the screen a place in a line's time is.  No Qt here."""

from functools import lru_cache

from tapscore.gui.editor.lane_layout import LaneLayout
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.rhythm.perform import line_events


def cursor_place(layout: LaneLayout, line: Line, metre: Metre, share: float) -> tuple[int, float]:
    """Strip, and pixels from its left edge, for a share (0 to 1) of the line's felt beats.

    At the moment of a tap it is just where the tap's cell is; between two cells it is as
    far on the way as the beat is.  Rest after the last cell is its right edge.
    """
    beats = share * _line_beats(line, metre)
    onset = 0.0
    for number, strip in enumerate(layout.strips):
        for index, cell in enumerate(strip.cells):
            lasts = 1 / (metre.steps_per_beat * cell.column.parts)
            if beats < onset + lasts:
                ends = strip.cells[index + 1].x if index + 1 < len(strip.cells) else strip.width
                way = max(beats - onset, 0.0) / lasts
                return number, cell.x + way * (ends - cell.x)
            onset += lasts
    last = len(layout.strips) - 1
    return max(last, 0), layout.strips[last].width if layout.strips else 0.0


@lru_cache(maxsize=256)
def _line_beats(line: Line, metre: Metre) -> float:
    return float(line_events(line, metre)[1])
