"""What the story's own values say of themselves."""

from fractions import Fraction

import attrs
import pytest

from tapscore.model.board import Board, Named, Place, Point
from tapscore.model.loudness import Loudness
from tapscore.model.manner import USUAL, Manner, PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Prop, Role, Section, Story
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo


def test_nearest_manner_wins_part_by_part() -> None:
    outer = Manner(Metre(6, 8), Tempo(Fraction(54)), (Loudness.LOUD,), Stroke.SWEEP, "edge", ("a",))
    inner = PartialManner(tempo=Tempo(Fraction(60)), spot="")
    assert inner.over(outer) == Manner(
        *(Metre(6, 8), Tempo(Fraction(60)), (Loudness.LOUD,), Stroke.SWEEP, "", ("a",))
    )
    assert PartialManner().over(outer) == outer
    assert PartialManner(*attrs.astuple(outer, recurse=False)).over(USUAL) == outer


def test_pupils_are_counted_from_what_there_is() -> None:
    at = Point(Fraction(100), Fraction(100))
    board = Board(Fraction(900), Fraction(900), places=(Place("A", at), Place("B", at)))
    assert Story("T").pupil_count == 1
    assert Story("T", board=board).pupil_count == 2
    assert Story("T", board=board, pupils=5).pupil_count == 5


def test_who_brings_a_prop() -> None:
    props = (Prop("beads", by="second tapper"), Prop("silk"))
    story = Story("T", roles=(Role("leader"), Role("prop handler")), props=props)
    assert story.bringer("beads") == "second tapper"
    assert story.bringer("silk") == "prop handler"
    assert Story("T", roles=(Role("anna"),), props=props).bringer("silk") == "anna"
    assert Story("T").bringer("silk") == "leader"


def test_points_of_a_board() -> None:
    board = Board(
        Fraction(1200), Fraction(900), spots=(Named("edge", Point(Fraction(1200), Fraction(0))),)
    )
    edge = board.spot("edge")
    assert edge is not None
    assert board.contains(edge)
    assert not board.contains(Point(Fraction(1201), Fraction(0)))
    assert board.seat("north") is None


def test_nothing_can_be_changed_in_place() -> None:
    for value in (Story("T"), Section("S"), Line("a"), PartialManner()):
        with pytest.raises(attrs.exceptions.FrozenInstanceError):
            value.title = "other"  # type: ignore[union-attr,misc]
