"""Tempo maps for tests, from plain numbers."""

from collections.abc import Iterable
from fractions import Fraction

from tapscore.rhythm.tempo_map import TempoMap, TempoMapMaker


def tempo_map(passages: Iterable[tuple[Fraction, Fraction, Fraction]]) -> TempoMap:
    """Passages of (beats, seconds of the first beat, of the last), one after the other."""
    maker = TempoMapMaker()
    for passage in passages:
        maker.add(*passage)
    return maker.made()
