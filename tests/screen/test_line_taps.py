"""Taps of a line as touches of the board."""

from fractions import Fraction

from tapscore.model.board import Point
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.screen.line_taps import taps_of_line, usual_stroke
from tapscore.storyfile.read import read_text

STORY = """tapscore: 2
title: T
metre: 4/4
loudness: quiet
by: one
board:
  size_cm: [120, 90]
  spots: {middle: [60, 45]}
  seats: {north: [60, 90]}
  places: {A: {at: [40, 50]}, B: {at: [85, 50]}}
roles: {one: {seat: north}, two: {}}
story:
  - section: S
    lines:
      - {words: one two three four, lane: "| X x x . |", spot: middle}
      - {words: one two three four, lane: "| x x x x |", stroke: flat hand, by: [one, two]}
      - wait: 10
"""


def read() -> Story:
    story = read_text(STORY).story
    assert story is not None
    return story


def test_alike_taps_are_counted_together() -> None:
    taps = taps_of_line(read(), ("story", 0, "lines", 0))
    assert [(t.where, t.count, t.tap.accent) for t in taps] == [
        ("middle", 1, True),
        ("middle", 2, False),
    ]
    assert all(t.tap.at == Point(Fraction(600), Fraction(450)) for t in taps)
    assert usual_stroke(taps) == (Stroke.FINGERTIPS, Fraction(1))


def test_without_a_spot_a_hand_reaches_in_from_its_seat() -> None:
    taps = taps_of_line(read(), ("story", 0, "lines", 1))
    by_where = {t.where: t.tap.at for t in taps}
    assert by_where["by the seat north"] == Point(Fraction(600), Fraction(750))
    assert by_where["in the middle"] == Point(Fraction(600), Fraction(450))
    assert sum(t.count for t in taps) == 8


def test_no_taps_in_a_wait() -> None:
    assert taps_of_line(read(), ("story", 0, "lines", 2)) == ()
    assert usual_stroke(()) == (Stroke.FINGERTIPS, Fraction(2))


def test_rubs_are_as_long_as_they_last_in_tenths_of_a_second() -> None:
    text = STORY.replace("metre: 4/4", "metre: 2/4\ntempo: 240").replace(
        'lane: "| X x x . |", spot: middle',
        'lane: "| X _ _ _ . . . . . . . . . . . x |", stroke: sweep, spot: middle',
    )
    story = read_text(text.replace("one two three four", "one two", 1)).story
    assert story is not None
    lengths = [alike.tap.length_sec for alike in taps_of_line(story, ("story", 0, "lines", 0))]
    assert lengths == [0.5, 0.1], "the second 0.125 s"


def test_a_refrain_s_line_is_as_it_is_heard_first() -> None:
    text = (
        STORY.split("story:", maxsplit=1)[0]
        + """refrains:
  home:
    - {words: one two, lane: "| x x . . |"}
story:
  - section: S
    lines:
      - {refrain: home, loudness: very quiet}
      - {refrain: home, loudness: loud}
"""
    )
    story = read_text(text).story
    assert story is not None
    (taps,) = taps_of_line(story, ("refrains", "home", 0))
    assert (taps.count, taps.tap.level) == (2, Fraction(0))
