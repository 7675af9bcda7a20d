"""Taps and syllables of a line where it is told: when, how, and by whom."""

from fractions import Fraction
from math import lcm

from tapscore.model.lane import TapDetail
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Line
from tapscore.model.strokes import Stroke
from tapscore.rhythm.layout import Layout, tap_levels
from tapscore.rhythm.performance import PerformedSyllable, PerformedTap, Sounds
from tapscore.rhythm.tempo_map import TempoPiece
from tapscore.rhythm.unroll import Placed

_How = tuple[Fraction, Stroke, str | None]
"""Level, stroke and spot of a tap."""


def line_sounds(
    roles: tuple[str, ...],
    index: int,
    placed: Placed,
    line: Line,
    layout: Layout,
    piece: TempoPiece,
) -> Sounds:
    """Taps and syllables of the line ``placed``, which the performance tells as its ``index``th.

    ``piece`` is its stretch of the tempo map; ``roles`` are all there are.
    """
    onsets = _onsets(piece.start_beats, layout)
    times = piece.clock(layout.ticks_per_beat).spans(layout.ticks)
    return (
        tuple(_taps(roles, index, placed, layout, onsets, times)),
        tuple(_syllables(index, line, layout, onsets, times)),
    )


def _onsets(start: Fraction, layout: Layout) -> list[Fraction]:
    """``start`` + each event's onset, in whole numbers as far as it goes."""
    below = lcm(start.denominator, layout.ticks_per_beat)
    base = start.numerator * (below // start.denominator)
    times = below // layout.ticks_per_beat
    return [Fraction(base + begin * times, below) for begin, _ in layout.ticks]


def _taps(
    roles: tuple[str, ...],
    index: int,
    placed: Placed,
    layout: Layout,
    onsets: list[Fraction],
    times: list[tuple[float, float]],
) -> list[PerformedTap]:
    manner = placed.manner
    levels = tap_levels(layout, manner.loudness)
    usual_adults = _adults(roles, manner.by)
    taps: list[PerformedTap] = []
    for i, level in zip(layout.tapped, levels, strict=True):
        event = layout.events[i]
        stroke, spot, adults = manner.stroke, manner.spot, usual_adults
        detail = event.cell.detail
        if detail is not None:
            stroke = detail.stroke or stroke
            spot = detail.spot if detail.spot is not None else spot
            adults = _adults(roles, detail.adults) if detail.adults else adults
        onset_sec, length_sec = times[i]
        alike = level, stroke, spot
        for role in adults:
            how = alike
            if detail is not None and detail.single:
                how = _of_one(detail.of(role), alike)
            tap = PerformedTap(
                onsets[i],
                event.length_beats,
                onset_sec,
                length_sec,
                how[0],
                event.cell.accent,
                how[1],
                how[2],
                role,
                index,
                i,
                event.syllable,
            )
            taps.append(tap)
    return taps


def _of_one(own: TapDetail, alike: _How) -> _How:
    """Level, stroke and spot of one adult's tap, where others may tap it otherwise."""
    level, stroke, spot = alike
    return (
        level if own.loudness is None else Fraction(own.loudness),
        own.stroke or stroke,
        spot if own.spot is None else own.spot,
    )


def _adults(roles: tuple[str, ...], by: tuple[str, ...]) -> tuple[str, ...]:
    return roles if EVERYONE in by else tuple(dict.fromkeys(by))


def _syllables(
    index: int,
    line: Line,
    layout: Layout,
    onsets: list[Fraction],
    times: list[tuple[float, float]],
) -> list[PerformedSyllable]:
    written = line.syllables
    return [
        PerformedSyllable(
            onset, event.length_beats, *seconds, written[event.syllable], event.syllable, index
        )
        for event, onset, seconds in zip(layout.events, onsets, times, strict=True)
        if event.syllable is not None and event.syllable < len(written)
    ]
