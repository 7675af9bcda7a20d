"""Spots, seats and places: added, renamed wherever a story says them, taken away."""

from fractions import Fraction

from attrs import evolve

from tapscore.model import furnishing
from tapscore.model.board import Board, Place
from tapscore.model.naming import rename, take_out, uses
from tapscore.model.story import Story
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

TEXT = """\
tapscore: 2
title: Rain
spot: middle
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45], door: [20, 20]}
  seats: {north: [60, 90]}
  places:
    A: {at: [45, 50], with: helper}
roles:
  leader: {seat: north}
  helper: {}
props:
  beads: {}
story:
  - section: One
    spot: middle
    lines:
      - words: Rain on the roof
        lane: "| X(middle) . x . x . . . |"
        spot: middle
        prop in: {beads: middle}
"""


def _story() -> Story:
    story = read_text(TEXT).story
    assert story is not None
    return story


def test_a_spot_is_renamed_everywhere_and_the_file_stays_sound() -> None:
    text = write_story(rename(_story(), "spot", "middle", "window"))
    assert "middle" not in text
    assert text.count("window") == TEXT.count("middle")
    found = read_text(text)
    assert found.findings == read_text(TEXT).findings


def test_what_is_used_is_said_and_can_be_replaced() -> None:
    story = _story()
    assert uses(story, "spot", "middle") == ((), ("story", 0), ("story", 0, "lines", 0))
    assert uses(story, "spot", "door") == ()
    assert uses(story, "seat", "north") == (("roles", "leader"),)
    assert uses(story, "place", "A") == ()
    without = take_out(story, "spot", "middle", "door")
    assert without.board is not None
    assert furnishing.names(without.board, "spot") == ("door",)
    assert "middle" not in write_story(without)
    assert "middle" not in write_story(take_out(story, "spot", "middle"))
    nobody = take_out(story, "seat", "north")
    assert nobody.roles[0].seat is None
    alone = take_out(story, "place", "A").board
    assert alone is not None
    assert alone.places == ()
    assert furnishing.names(alone, "seat") == ("north",)


def test_new_things_do_not_lie_on_others_and_lie_on_the_sheet() -> None:
    board = Board(Fraction(1200), Fraction(900))
    for kind in furnishing.KINDS:
        for name in "ABCDEF":
            board = furnishing.added(board, kind, name)
        points = [furnishing.found(board, kind, name) for name in "ABCDEF"]
        places = [each.at for each in points if each is not None]
        assert len(set(places)) == 6
        assert all(board.contains(at) for at in places)
    first = furnishing.found(board, "place", "A")
    assert isinstance(first, Place)
    board = furnishing.put(board, "place", evolve(first, lying=True))
    assert board.places[0].lying
    assert furnishing.names(furnishing.without(board, "spot", "A"), "spot") == tuple("BCDEF")
