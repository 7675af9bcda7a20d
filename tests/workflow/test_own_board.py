"""Learning from one's own board: a minute of taps, simulated."""

from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.model.strokes import Stroke
from tapscore.rehearsal.candidates import candidates_in
from tapscore.rehearsal.detector import learned_detector
from tapscore.workflow.own_board import (
    OwnBoard,
    TapGroup,
    how_to_tap,
    keep_own_board,
    learn_own_board,
    own_detector,
    own_readings,
    tap_groups,
)
from tests.rehearsal.rehearsals import demo, levels, rehearsed
from tests.rehearsal.simulated.recording import write
from tests.rehearsal.simulated.wood import RATE_HZ, board_of

STORY = demo("the-lantern-boat")
GROUPS = tap_groups(STORY)


def _minute(path: Path, left_out: int = 0) -> Path:
    """Every group three times, the second spot 12 dB softer than the others."""
    rng = np.random.default_rng(3)
    strike = board_of("nails", rng)
    sound = rng.normal(0, 1e-3, (3 * len(GROUPS) + 4) * RATE_HZ)
    for number, group in enumerate(GROUPS[: len(GROUPS) - left_out]):
        for time in range(3):
            at = round((1 + 3 * number + time + rng.normal(0, 0.04)) * RATE_HZ)
            made = strike(group.spot, group.stroke.value)
            made *= 0.1 if group.spot == GROUPS[len(GROUPS) // 4].spot else 0.4
            sound[at : at + len(made)] += made
    return write(sound, path, "m4a")


@pytest.fixture(scope="module")
def learned(tmp_path_factory: pytest.TempPathFactory) -> OwnBoard:
    return learn_own_board(STORY, _minute(tmp_path_factory.mktemp("own") / "taps"))


def test_every_struck_stroke_of_the_story_at_every_spot() -> None:
    assert STORY.board is not None
    assert {group.spot for group in GROUPS} == {spot.name for spot in STORY.board.spots}
    assert all(group.words in how_to_tap(STORY) for group in GROUPS)
    assert not any(group.stroke.value in ("scratch", "sweep") for group in GROUPS)


def test_taps_of_this_board_are_told_better_and_levels_follow(learned: OwnBoard) -> None:
    own = learned
    readings = dict(own.readings)
    soft = GROUPS[len(GROUPS) // 4].spot
    assert min(readings, key=lambda spot: readings[spot]) == soft
    assert max(readings.values()) == 1.0
    strike, rng = board_of("nails", np.random.default_rng(3)), np.random.default_rng(8)
    sound = rng.normal(0, 1e-3, 12 * RATE_HZ)
    times = 1 + np.arange(20) * 0.5
    for sec in times:
        made, at = strike("middle", "fingertips"), round(sec * RATE_HZ)
        sound[at : at + len(made)] += 0.3 * made
    found = candidates_in(levels(sound))
    taps = np.abs(found.sec[:, None] - times).min(axis=1) < 0.03
    before = learned_detector().log_odds(found.features)[taps].mean()
    assert own.detector.log_odds(found.features)[taps].mean() > before


def test_it_is_kept_as_numbers_and_forgotten(tmp_path: Path, learned: OwnBoard) -> None:
    own = learned
    file = tmp_path / "kept" / "taps.json"
    file.parent.mkdir()
    keep_own_board(own, file)
    again = own_detector(file)
    assert again is not None
    assert np.allclose(again.weights, own.detector.weights, atol=1e-5)
    assert own_readings(file) == own.readings
    assert file.stat().st_size < 10_000
    file.write_text('{"weights": [1, 2]}')
    assert own_detector(file) is None
    assert own_readings(file) == ()
    file.write_text('{"readings": [["middle", 0.5], ["edge", "loud"], ["rim", -1], 3]}')
    assert own_readings(file) == (("middle", 0.5),)


def test_another_recording_is_not_learned_from(tmp_path: Path) -> None:
    path = write(rehearsed("the-lantern-boat", "L0", 7).sound, tmp_path / "rehearsal", "wav")
    with pytest.raises(RecordingUnusable, match="are wanted"):
        learn_own_board(STORY, path)


def test_too_few_taps_say_what_to_tap(tmp_path: Path) -> None:
    with pytest.raises(RecordingUnusable, match="are wanted"):
        learn_own_board(STORY, _minute(tmp_path / "taps", left_out=len(GROUPS) // 2))


def test_readings_are_of_each_spots_first_stroke_as_pressures() -> None:
    """20 dB softer is a tenth of the pressure (ISO 80000-8: 20 lg of a ratio of pressures)."""
    first, second = Stroke.FINGERTIPS, Stroke.KNUCKLES
    groups = (*(TapGroup("a", each) for each in (first, second)), TapGroup("b", first))
    own = OwnBoard(learned_detector(), groups, (-30.0, -4.0, -10.0))
    assert own.readings == (("a", 0.1), ("b", 1.0))
