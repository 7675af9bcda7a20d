"""Who taps which spot, and which spots are tapped while a prop is on the board."""

from collections.abc import Iterator

from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import Scene, once_a_scene
from tapscore.model.story import Entrance
from tapscore.rhythm.performance import Segment


@once_a_scene
def tapped_spots(scene: Scene) -> dict[tuple[str, str], list[HeardLine]]:
    """Roles and spots, with the lines in which that role taps that spot."""
    tapped: dict[tuple[str, str], list[HeardLine]] = {}
    for told in scene.written:
        for pair in told.facts.role_spots:
            tapped.setdefault(pair, []).append(told)
    return tapped


def spots_with_props(scene: Scene) -> Iterator[tuple[Entrance, Segment, tuple[str, ...]]]:
    """Every prop that is set down, where that is written, and the spots tapped meanwhile.

    A prop comes before its line is tapped and goes before the line that takes it away.
    """
    there: dict[str, dict[str, None]] = {}
    every: dict[object, tuple[Entrance, Segment, dict[str, None]]] = {}
    for segment in scene.performance.segments:
        line = segment.line
        if line is None:
            continue
        for prop in line.props_out:
            there.pop(prop, None)
        for entrance in line.props_in:
            there.pop(entrance.prop, None)
            if entrance.at is not None:  # in a refrain, at each of its returns
                key = (segment.path, entrance.prop)
                there[entrance.prop] = every.setdefault(key, (entrance, segment, {}))[2]
        for spots in there.values():
            spots.update((tap.spot, None) for tap in segment.taps if tap.spot is not None)
    for entrance, segment, spots in every.values():
        yield entrance, segment, tuple(spots)
