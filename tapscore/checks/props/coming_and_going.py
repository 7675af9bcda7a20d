"""The props on the board at every moment of the story."""

from collections.abc import Iterator
from enum import Enum

from attrs import frozen

from tapscore.checks.rule import Scene, once_a_scene
from tapscore.model.finding import StoryPath
from tapscore.rhythm.performance import Segment, SegmentKind


class Move(Enum):
    """What goes wrong with a prop's coming and going."""

    STAYS = "stays"
    OFFERED_BEFORE = "offered before it comes"
    LEAVES_BEFORE = "leaves before it comes"
    COMES_AGAIN = "comes while it is there"


@frozen
class PropMove:
    """A prop where its coming and going doesn't add up."""

    prop: str
    move: Move
    path: StoryPath
    segment: Segment


@once_a_scene
def prop_moves(scene: Scene) -> tuple[PropMove, ...]:
    """All such places, in the order of the telling; a refrain's place once."""
    return tuple(_all_moves(scene))


def _all_moves(scene: Scene) -> Iterator[PropMove]:
    there: dict[str, Segment] = {}
    seen = set()
    for segment in scene.performance.segments:
        line = segment.line
        if line is not None and not line.props_in and not line.props_out:
            continue
        for found in _moves(segment, there):
            key = (found.prop, found.move, found.path)
            if key not in seen:
                seen.add(key)
                yield found
    for prop, segment in there.items():
        yield PropMove(prop, Move.STAYS, (*segment.path, "prop in"), segment)


def _moves(segment: Segment, there: dict[str, Segment]) -> Iterator[PropMove]:
    path = segment.path
    if segment.kind is SegmentKind.OFFER and segment.prop is not None:
        if segment.prop not in there:
            yield PropMove(segment.prop, Move.OFFERED_BEFORE, (*path, "offer"), segment)
        return
    if segment.line is None:
        return
    for prop in segment.line.props_out:
        if there.pop(prop, None) is None:
            yield PropMove(prop, Move.LEAVES_BEFORE, (*path, "prop out"), segment)
    for entrance in segment.line.props_in:
        if entrance.prop in there:
            yield PropMove(entrance.prop, Move.COMES_AGAIN, (*path, "prop in"), segment)
        there[entrance.prop] = segment


@once_a_scene
def props_there(scene: Scene) -> tuple[tuple[Segment, frozenset[str]], ...]:
    """Every segment with the props that are on the board in it; what is offered is there too."""
    there: frozenset[str] = frozenset()
    found: list[tuple[Segment, frozenset[str]]] = []
    for segment in scene.performance.segments:
        line = segment.line
        if line is None:
            found.append((segment, there | {segment.prop} if segment.prop else there))
            continue
        if line.props_in:
            there = there.union(entrance.prop for entrance in line.props_in)
        found.append((segment, there))
        if line.props_out:
            there = there.difference(line.props_out)
    return tuple(found)
