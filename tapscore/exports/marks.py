"""The tap marks and signs, as outlines that screen and paper share.

Every shape is a closed outline to be filled with one ink, so that it survives a
photocopier.  Coordinates run to the right and *down* (as on a screen); a sink for paper
turns them over.  Lengths are in whatever unit the caller draws in.
"""

from collections.abc import Callable, Sequence
from math import cos, pi, sin, sqrt
from typing import Protocol

from tapscore.model.strokes import Stroke

ACCENT_WIDTH = 0.62
"""Of the wedge of an accent, in sizes of the row's unit."""
STEP_SIZES = (0.34, 0.46, 0.62, 0.83, 1.10)
"""Width of a mark for each of the five steps of loudness, in sizes of the row's unit."""

_ARC = 4 / 3 * (sqrt(2) - 1)


class PathSink(Protocol):
    """What a mark draws on: a path that is filled when the mark is done."""

    def move_to(self, x: float, y: float) -> None:
        """Begin a new outline."""

    def line_to(self, x: float, y: float) -> None:
        """Go on in a straight line."""

    def curve_to(self, x1: float, y1: float, x2: float, y2: float, x: float, y: float) -> None:
        """Go on in a cubic curve with two handles."""

    def close(self) -> None:
        """Close the outline."""


def mark_size(level: float, unit: float) -> float:
    """Width of a mark of loudness ``level`` (0 to 4, between steps in a swell)."""
    bounded = min(max(level, 0.0), 4.0)
    below = min(int(bounded), 3)
    low, high = STEP_SIZES[below], STEP_SIZES[below + 1]
    return unit * (low + (bounded - below) * (high - low))


def tap_mark(sink: PathSink, stroke: Stroke, x: float, y: float, size: float) -> None:
    """Draw the mark of one tap, centred on (x, y), ``size`` wide."""
    _SHAPES[stroke](sink, x, y, size)


def fingertips(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw three dots, as fingertips land."""
    radius = size * 0.23
    for dx, dy in ((-0.27, 0.17), (0.0, -0.25), (0.27, 0.17)):
        ellipse(sink, x + dx * size, y + dy * size, radius, radius)


def flat_hand(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw a rounded slab."""
    rounded(sink, x - size / 2, y - size * 0.29, size, size * 0.58, size * 0.2)


def knuckles(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw a diamond."""
    half = size / 2
    polygon(sink, ((x, y - half), (x + half, y), (x, y + half), (x - half, y)))


def heel_of_hand(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw a half disc, flat side up."""
    radius = size / 2
    top = y - radius / 2
    handle = radius * _ARC
    sink.move_to(x - radius, top)
    sink.line_to(x + radius, top)
    sink.curve_to(x + radius, top + handle, x + handle, top + radius, x, top + radius)
    sink.curve_to(x - handle, top + radius, x - radius, top + handle, x - radius, top)
    sink.close()


def scratch(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw a short zigzag."""
    tall, thick = size * 0.27, size * 0.21
    middle = [(x + size * (i / 4 - 0.5), y + (tall if i % 2 == 0 else -tall)) for i in range(5)]
    upper = [(px, py - thick) for px, py in middle]
    lower = [(px, py + thick) for px, py in reversed(middle)]
    polygon(sink, (*upper, *lower))


def sweep(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw an arc with a head."""
    foot, middle, thick = y + size * 0.19, size * 0.35, size * 0.09
    left = x - size * 0.06
    ends = pi, 2 * pi
    outside = _arc_points(left, foot, middle + thick, *ends)
    inside = _arc_points(left, foot, middle - thick, *reversed(ends))
    tip, half = left + middle, size * 0.21
    head = ((tip + half, foot), (tip, foot + size * 0.3), (tip - half, foot))
    polygon(sink, (*outside, *head, *inside))


def whole_tap(
    sink: PathSink,
    stroke: Stroke,
    x: float,
    y: float,
    size: float,
    *,
    unit: float,
    accent: bool = False,
    tail: float | None = None,
) -> None:
    """Draw a tap with the wedge of its accent and the tail of a held one, to where it ends.

    ``unit`` is the row's size, by which wedge and tail are measured.
    """
    tap_mark(sink, stroke, x, y, size)
    if accent:
        accent_wedge(sink, x, y - size / 2 - unit * 0.06, unit * ACCENT_WIDTH)
    if tail is not None and tail - (x + size / 2) > unit * 0.25:
        hold_tail(sink, x + size / 2 + unit * 0.1, tail, y, max(unit * 0.09, 1))


def accent_wedge(sink: PathSink, x: float, y: float, size: float) -> None:
    """Draw the wedge of an accent, ``size`` wide and open to the left, its foot at ``y``.

    The sign of common notation for a tap with more weight; a short bar would mean holding.
    """
    left, right, top = x - size / 2, x + size / 2, y - size * 0.36
    middle, thick = (top + y) / 2, size * 0.11
    tip = ((right, middle - thick / 2), (right, middle + thick / 2))
    lower = ((left, y), (left, y - thick), (right - 2.6 * thick, middle))
    upper = ((left, top + thick), (left, top))
    polygon(sink, (*tip, *lower, *upper))


def hold_tail(sink: PathSink, x0: float, x1: float, y: float, thick: float) -> None:
    """Draw the tail of a tap that is held from ``x0`` to ``x1``."""
    if x1 > x0:
        rounded(sink, x0, y - thick / 2, x1 - x0, thick, thick / 2)


def hairpin_share(level: float) -> float:
    """How much of a hairpin's full height a loudness (0 to 4) takes; silence is not nothing."""
    return 0.1 + 0.9 * level / 4


def hairpin(
    sink: PathSink, points: Sequence[tuple[float, float]], foot: float, thinnest: float
) -> None:
    """Draw a swell's hairpin standing on ``foot``; ``points`` are (x, height), left to right."""
    if len(points) < 2:
        return
    outline = [(points[0][0], foot)]
    outline += [(x, foot - max(height, thinnest)) for x, height in points]
    outline.append((points[-1][0], foot))
    polygon(sink, outline)


def tempo_ticks(
    sink: PathSink, x0: float, x1: float, y: float, height: float, *, slowing: bool
) -> None:
    """Draw ticks between ``x0`` and ``x1``, spreading apart for slowing, closing for quickening."""
    width = x1 - x0
    count = max(min(int(width / (height * 1.1)), 14), 3)
    thick = height * 0.28
    for i in range(count):
        share = i / (count - 1)
        place = share**1.8 if slowing else 1 - (1 - share) ** 1.8
        polygon(sink, _box(x0 + place * (width - thick), y, thick, height))


def rounded(sink: PathSink, x: float, y: float, width: float, height: float, radius: float) -> None:
    """Draw a box with round corners; (x, y) is its top left corner."""
    r = min(radius, width / 2, height / 2)
    k = r * (1 - _ARC)
    right, foot = x + width, y + height
    sink.move_to(x + r, y)
    sink.line_to(right - r, y)
    sink.curve_to(right - k, y, right, y + k, right, y + r)
    sink.line_to(right, foot - r)
    sink.curve_to(right, foot - k, right - k, foot, right - r, foot)
    sink.line_to(x + r, foot)
    sink.curve_to(x + k, foot, x, foot - k, x, foot - r)
    sink.line_to(x, y + r)
    sink.curve_to(x, y + k, x + k, y, x + r, y)
    sink.close()


def ellipse(sink: PathSink, x: float, y: float, rx: float, ry: float) -> None:
    """Draw an ellipse centred on (x, y)."""
    kx, ky = rx * _ARC, ry * _ARC
    sink.move_to(x + rx, y)
    sink.curve_to(x + rx, y + ky, x + kx, y + ry, x, y + ry)
    sink.curve_to(x - kx, y + ry, x - rx, y + ky, x - rx, y)
    sink.curve_to(x - rx, y - ky, x - kx, y - ry, x, y - ry)
    sink.curve_to(x + kx, y - ry, x + rx, y - ky, x + rx, y)
    sink.close()


def polygon(sink: PathSink, points: Sequence[tuple[float, float]]) -> None:
    """Draw straight lines through ``points`` and back to the first."""
    sink.move_to(*points[0])
    for x, y in points[1:]:
        sink.line_to(x, y)
    sink.close()


def _arc_points(
    x: float, y: float, radius: float, start: float, end: float
) -> list[tuple[float, float]]:
    count = 14
    angles = (start + (end - start) * i / count for i in range(count + 1))
    return [(x + radius * cos(angle), y + radius * sin(angle)) for angle in angles]


def _box(x: float, y: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


_SHAPES: dict[Stroke, Callable[[PathSink, float, float, float], None]] = {
    Stroke.FINGERTIPS: fingertips,
    Stroke.FLAT_HAND: flat_hand,
    Stroke.KNUCKLES: knuckles,
    Stroke.HEEL_OF_HAND: heel_of_hand,
    Stroke.SCRATCH: scratch,
    Stroke.SWEEP: sweep,
}
