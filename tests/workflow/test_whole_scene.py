"""Mirror or turn the whole scene: what is said of it, felt, heard and shared out goes with it."""

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.facade import BoardTap, felt_levels, felt_map
from tapscore.board.suggest import suggestions
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.exports.audio.plan import pans
from tapscore.model.board import HEADINGS, Board, Named, Place
from tapscore.model.story import Role, Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.workflow.today.beside import near_pupils
from tests.board.boards import TWO_PLACES, at, moved

TEXT = """\
tapscore: 2
title: T
metre: 6/8
tempo: 54
spot: one
by: leader
comfort: {stage: on the board}
props: {beads: {what: beads}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        prop in: {beads: two}
      - words: Row the lan-tern
        lane: "| X(loud, flat hand) . x(one) X . x(two) |"
        by: [leader, helper]
        spot: two
      - words: Row the lan-tern
        lane: "| X x(one) x(two) X . x(helper) |"
        by: third
"""
WIDE, DEEP = 1200, 900
# In whole centimetres off the diagonals, so that no two sides are equally near.
inside = st.builds(
    lambda x, y: at(10 * x + 1, 10 * y + 3), st.integers(0, WIDE // 10), st.integers(0, DEEP // 10)
)
scenes = st.builds(
    lambda spots, seats, places: Board(
        Fraction(WIDE),
        Fraction(DEEP),
        spots=tuple(Named(name, p) for name, p in zip(("one", "two"), spots, strict=True)),
        seats=tuple(Named(f"seat {i}", p) for i, p in enumerate(seats)),
        places=tuple(Place("ABC"[i], p, lying, head) for i, (p, lying, head) in enumerate(places)),
    ),
    st.tuples(inside, inside),
    st.tuples(inside, inside, inside),
    st.lists(st.tuples(inside, st.booleans(), st.sampled_from(HEADINGS)), max_size=3),
)


def told_on(board: Board) -> Story:
    """The story on a board, three adults at its seats."""
    story = read_text(TEXT).story
    assert story is not None
    roles = tuple(Role(n, f"seat {i}") for i, n in enumerate(("leader", "helper", "third")))
    return evolve(story, board=board, roles=roles)


def said_of(story: Story) -> Counter[tuple[object, ...]]:
    """Which findings there are, and where."""
    found = check(Scene(story, perform(story)))
    return Counter((each.code, each.severity, each.path) for each in found)


@settings(max_examples=40)
@given(scenes, st.sampled_from(["mirror", "turn"]))
def test_the_same_is_found_in_a_mirrored_or_turned_scene(board: Board, how: str) -> None:
    assert said_of(told_on(moved(board, how))) == said_of(told_on(board))


def test_scenes_are_told_apart() -> None:
    """Something is found in some scene, so that the property above says something."""
    far = Board(
        Fraction(WIDE),
        Fraction(DEEP),
        spots=(Named("one", at(1190, 10)), Named("two", at(300, 450))),
        seats=(
            Named("seat 0", at(0, 900)),
            Named("seat 1", at(0, 0)),
            Named("seat 2", at(1200, 9)),
        ),
        places=(Place("A", at(300, 450), lying=True, head="west"),),
    )
    codes = {code for code, *_ in said_of(told_on(far))}
    assert {"spots-in-reach", "hands-clear-of-pupils", "bodies-on-the-sheet"} <= codes


@given(scenes)
def test_stereo_is_mirrored_with_the_scene_and_stays_in_a_turned_room(board: Board) -> None:
    """It is heard as from the leader's seat, so that a room that is turned sounds the same."""
    here = pans(told_on(board))
    mirrored = pans(told_on(moved(board, "mirror")))
    turned = pans(told_on(moved(board, "turn")))
    assert mirrored == pytest.approx({name: -pan for name, pan in here.items()})
    assert turned == pytest.approx(here)


def test_left_is_left() -> None:
    """The leader in the south looks north: who sits in the west is heard on the left."""
    seats = (
        Named("seat 0", at(600, 0)),
        Named("seat 1", at(0, 450)),
        Named("seat 2", at(1200, 450)),
    )
    heard = pans(told_on(Board(Fraction(WIDE), Fraction(DEEP), seats=seats)))
    assert heard["helper"] < 0 < heard["third"]
    assert heard["leader"] == pytest.approx(0)


@given(scenes, st.sampled_from(["mirror", "turn"]))
def test_whoever_is_near_stays_near(board: Board, how: str) -> None:
    names = ("leader", "helper", "third")
    here = _apart_mm(board, dict(near_pupils(told_on(board), names)))
    after = moved(board, how)
    assert _apart_mm(after, dict(near_pupils(told_on(after), names))) == pytest.approx(here)


def _apart_mm(board: Board, near: dict[str, str]) -> float:
    """How far all adults are from the pupils they are near, together: ties are no matter."""
    seats = {name: board.seat(f"seat {i}") for i, name in enumerate(("leader", "helper", "third"))}
    places = {place.name: place.at for place in board.places}
    return sum(seat.distance_mm(places[a]) for a, who in near.items() if (seat := seats[who]))


UNEVEN = evolve(
    TWO_PLACES,
    spots=(Named("one", at(250, 200)), Named("two", at(900, 700))),
    places=(Place("A", at(350, 600)), Place("B", at(900, 350), lying=True, head="north")),
)


@pytest.mark.parametrize("how", ["mirror", "turn"])
def test_what_is_felt_goes_with_the_scene(how: str) -> None:
    after = moved(UNEVEN, how)

    def levels(board: Board) -> tuple[tuple[float, ...], ...]:
        taps = [BoardTap(spot.at, Stroke.FLAT_HAND, Fraction(2)) for spot in board.spots]
        return felt_levels(board, taps).level_db

    assert np.array(levels(after)) == pytest.approx(np.array(levels(UNEVEN)), abs=0.3)
    here, there = (felt_map(board, Stroke.FLAT_HAND, Fraction(2), "A") for board in (UNEVEN, after))
    assert here is not None
    assert there is not None
    wanted = here.level_db[:, ::-1] if how == "mirror" else np.rot90(here.level_db, -1)
    assert np.median(np.abs(there.level_db - wanted)) < 0.3


def test_where_to_tap_is_mirrored() -> None:
    places = (Place("A", at(200, 300)), Place("B", at(250, 600)))
    board = evolve(UNEVEN, places=places)
    (said,) = suggestions(board, Stroke.FLAT_HAND, Fraction(2))
    (mirrored,) = suggestions(moved(board, "mirror"), Stroke.FLAT_HAND, Fraction(2))
    assert said == "Near the right edge both places get about the same."
    assert mirrored == "Near the left edge both places get about the same."
