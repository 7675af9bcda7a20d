"""Taps of a story sound as on its own board."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.board.tap_sound import board_tap_sound
from tapscore.exports.audio.click_sound import click_sound
from tapscore.exports.audio.cue_tones import TONES, cue_tone
from tapscore.exports.audio.plan import plan
from tapscore.exports.audio.story_taps import StoryTaps, TapsAside, board_findings
from tapscore.exports.audio.tap_sound import tap_asked, tap_sound
from tapscore.model.board import Board, Named, Place, Point, Sheet
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import PerformedTap
from tapscore.workflow.export_story import export_story
from tapscore.workflow.product import Choices
from tests.exports.audio.audio_stories import lane, varied

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


def test_eight_adults_sound_unlike_and_a_ninth_as_the_first() -> None:
    names = [f"adult {n}" for n in range(9)]
    taps = StoryTaps(evolve(STORY, roles=tuple(Role(name) for name in names)))
    heard = [id(taps(_tap(role=name))[0]) for name in names]
    assert len(set(heard)) == 8
    assert heard[8] == heard[0]


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
    assert board_findings(bare) == ()  # nothing is tapped
    spoken = Line("row", lane("s..."), PartialManner(by=("one",)))
    assert board_findings(evolve(bare, sections=(Section("S", (spoken,)),))) == ()
    line = evolve(spoken, lane=lane("x..."))
    bare = evolve(bare, sections=(Section("S", (line,)),))
    (finding,) = board_findings(bare)
    assert "describes no board" in finding.message
    assert board_findings(STORY) == ()
    usual = tap_sound(tap_asked(Stroke.FINGERTIPS, Fraction(2), accent=False, length_sec=1.0))
    assert StoryTaps(bare)(_tap())[0] is usual


def test_the_sound_is_the_models_own_but_for_level_and_the_lowest_part() -> None:
    """Against board_tap_sound itself: the strongest modes above 300 Hz are the same."""
    middle = Point(SOUNDING_BOARD.width_mm / 2, SOUNDING_BOARD.depth_mm / 2)
    guide = tap_sound(
        tap_asked(Stroke.KNUCKLES, Fraction(1), accent=False, length_sec=0.3, at=middle)
    )
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


def test_for_files_the_same_sounds_are_on_the_disc_each_once() -> None:
    at_hand, aside = StoryTaps(STORY), TapsAside(STORY)
    for tap in (_tap(), _tap("edge"), _tap(role="two"), _tap(level=4)):
        (sound, gain_db), (put, other_db) = at_hand(tap), aside(tap)
        assert np.array_equal(put.samples, sound)
        assert other_db == gain_db
    longer = evolve(_tap(), length_sec=9.0)  # of a blow the length is not heard
    assert aside(longer)[0] is aside(_tap())[0]


def test_a_plan_for_files_holds_no_sound_of_a_tap() -> None:
    story = varied()
    told = perform(story)
    held = {id(p.sound) for p in plan(story, told, taps=TapsAside(story)) if p.sound is p.samples}
    common = (click_sound(downbeat=True), click_sound(downbeat=False), *map(cue_tone, TONES))
    assert held <= set(map(id, common))


@pytest.mark.parametrize("only", ["audio-guide", "rehearsal-set", "home-sound"])
def test_every_file_of_sound_puts_its_taps_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, only: str
) -> None:
    monkeypatch.setattr("tapscore.exports.audio.story_taps.tap_sound", None)
    made = export_story(varied(), tmp_path, only=(only,), choices=Choices(sound="wav"))
    assert made.made
    assert made.failures == ()
