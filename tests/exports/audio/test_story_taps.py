"""Taps of a story sound as on its own board."""

from fractions import Fraction

import numpy as np
from attrs import evolve

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.board.tap_sound import board_tap_sound
from tapscore.exports.audio.story_taps import StoryTaps, board_findings
from tapscore.exports.audio.tap_sound import tap_sound
from tapscore.model.board import Board, Named, Place, Point, Sheet
from tapscore.model.story import Role, Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.performance import PerformedTap

BOARD = Board(
    Fraction(1200),
    Fraction(900),
    Sheet("birch", Fraction(4), 3, "long"),
    spots=(
        Named("edge", Point(Fraction(100), Fraction(100))),
        Named("middle", Point(Fraction(600), Fraction(450))),
    ),
    seats=(Named("north", Point(Fraction(600), Fraction(900))),),
    places=(Place("A", Point(Fraction(400), Fraction(500))),),
)
STORY = Story("T", roles=(Role("one", seat="north"), Role("two")), board=BOARD)


def _tap(spot: str | None = "middle", role: str = "one", level: int = 2) -> PerformedTap:
    beats = Fraction(0), Fraction(1)
    return PerformedTap(
        *beats, 0.0, 1.0, Fraction(level), False, Stroke.FINGERTIPS, spot, role, 0, 0, None
    )


def test_the_spot_changes_the_colour_and_not_the_loudness() -> None:
    taps = StoryTaps(STORY)
    middle, edge = taps(_tap("middle")), taps(_tap("edge"))
    assert not np.array_equal(middle[0], edge[0])
    assert middle[1] == edge[1]
    assert taps(_tap("middle"))[0] is middle[0]


def test_two_adults_on_one_spot_have_their_hands_beside_one_another() -> None:
    taps = StoryTaps(STORY)
    assert not np.array_equal(taps(_tap(role="one"))[0], taps(_tap(role="two"))[0])


def test_without_a_spot_the_seat_counts() -> None:
    taps = StoryTaps(STORY)
    assert not np.array_equal(taps(_tap(None, "one"))[0], taps(_tap("middle", "one"))[0])


def test_pupils_and_the_sheet_change_the_sound() -> None:
    for other in (
        evolve(BOARD, places=()),
        evolve(BOARD, sheet=Sheet("birch", Fraction(9), 7, "long")),
    ):
        heard = StoryTaps(evolve(STORY, board=other))(_tap())[0]
        assert not np.array_equal(heard, StoryTaps(STORY)(_tap())[0])


def test_gap_and_names_do_not() -> None:
    alike = evolve(BOARD, gap_mm=Fraction(20), seats=())
    assert StoryTaps(evolve(STORY, board=alike))(_tap())[0] is StoryTaps(STORY)(_tap())[0]


def test_a_story_without_a_board_says_what_is_heard() -> None:
    bare = evolve(STORY, board=None)
    (finding,) = board_findings(bare)
    assert "describes no board" in finding.message
    assert board_findings(STORY) == ()
    usual = tap_sound(Stroke.FINGERTIPS, Fraction(2), accent=False, length_sec=1.0)
    assert StoryTaps(bare)(_tap())[0] is usual


def test_the_sound_is_the_models_own_but_for_level_and_the_lowest_part() -> None:
    """Against board_tap_sound itself: the strongest modes above 300 Hz are the same."""
    middle = Point(SOUNDING_BOARD.width_mm / 2, SOUNDING_BOARD.depth_mm / 2)
    guide = tap_sound(Stroke.KNUCKLES, Fraction(1), accent=False, length_sec=0.3, at=middle)
    hz = np.arange(24_001)
    found = np.abs(np.fft.rfft(guide, 48_000))
    strongest = hz[found[300:].argmax() + 300]
    near = (
        Point(middle.x_mm + x, middle.y_mm + y) for x in (-40, 0, 40) for y in (-80, -40, 0, 40)
    )
    peaks = [
        300 + np.abs(np.fft.rfft(sound, 48_000))[300:].argmax()
        for at in near
        if (
            sound := board_tap_sound(
                None, Stroke.KNUCKLES, Fraction(1), at, accent=False, length_sec=0.3
            )
        )
        is not None
    ]
    assert min(abs(strongest - peak) for peak in peaks) <= 4
