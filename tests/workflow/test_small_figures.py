"""Small figures of the workflow at their edges, by hand."""

import os
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve

from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke
from tapscore.rehearsal.detector import Detector, learned_detector
from tapscore.workflow.fitting import _is_strong, _none_hidden
from tapscore.workflow.keeping.versions import versions_folder
from tapscore.workflow.known_story import KnownStory
from tapscore.workflow.listening_back import changed_since
from tapscore.workflow.own_board import (
    OwnBoard,
    TapGroup,
    keep_own_board,
    own_detector,
    own_readings,
    tap_groups,
)
from tests.hill import STORY


@pytest.mark.parametrize(
    ("sec", "words"),
    [
        (None, ""),
        ((230.0, 540.0), "4 to 9 minutes"),
        ((91.0, 149.0), "about 2 min"),
        ((29.0, 31.0), "about 1 min"),
        ((5.0, 91.0), "1 to 2 minutes"),
    ],
)
def test_how_long_a_story_of_the_list_lasts(sec: tuple[float, float] | None, words: str) -> None:
    assert KnownStory(Path("a.yaml"), "A", likely_sec=sec).length_words == words


def test_words_are_sought_in_what_is_known_of_a_story() -> None:
    hill = KnownStory(
        Path("to the hill.yaml"), "The Hill", term="Spring", class_name="Willow", words="up we go"
    )
    assert all(map(hill.has, ("", "hill", "HILL spring", "willow go", "to the", "up we")))
    assert not any(map(hill.has, ("hill autumn", "boat", "go boat")))


def test_a_story_that_was_saved_a_minute_after_its_recording(tmp_path: Path) -> None:
    story, recording = tmp_path / "a.yaml", tmp_path / "a.wav"
    for path in (story, recording):
        path.touch()
    for later, told in ((61, True), (60, False), (-500, False)):
        os.utime(recording, (1_000_000, 1_000_000))
        os.utime(story, (1_000_000 + later, 1_000_000 + later))
        found = changed_since(story, recording)
        assert (found is not None and found.code == "told-changed") is told
    assert changed_since(None, recording) is None
    assert changed_since(story, tmp_path / "gone.wav") is None


def test_where_earlier_versions_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPSCORE_VERSIONS", str(tmp_path / "own"))
    assert versions_folder() == tmp_path / "own"
    monkeypatch.setenv("TAPSCORE_VERSIONS", "")
    assert versions_folder().parts[-2:] == ("tapscore", "earlier versions")


GROUPS = tuple(TapGroup(spot, stroke) for spot, stroke in (
    ("low", Stroke.FINGERTIPS), ("low", Stroke.KNUCKLES), ("rim", Stroke.FINGERTIPS)
))  # fmt: skip


def test_what_taps_sound_like_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    size = len(learned_detector().weights)
    numbers = [np.arange(1, size + 1, dtype=np.float32) * scale for scale in (0.5, 2.0, -3.0)]
    own = OwnBoard(
        Detector(numbers[0], numbers[1], numbers[2], 1.25), GROUPS, (-30.0, -20.0, -14.0)
    )
    keep_own_board(own, tmp_path / "taps.json")
    again = own_detector(tmp_path / "taps.json")
    assert again is not None
    assert again.middle.tolist() == numbers[0].tolist()
    assert again.spread.tolist() == numbers[1].tolist()
    assert again.weights.tolist() == numbers[2].tolist()
    assert again.bias == 1.25
    # The first stroke at each spot: 16 dB softer than the loudest is 0.158 of it.
    assert own_readings(tmp_path / "taps.json") == (("low", 0.158), ("rim", 1.0))


@pytest.mark.parametrize(
    ("metre", "strong"),
    [
        # The first beat, and the middle one where a bar halves; no other.
        (Metre(4, 4), [0, 2]),
        (Metre(2, 4), [0, 1]),
        (Metre(3, 4), [0]),
        (Metre(6, 8), [0, 1]),
        (Metre(12, 8), [0, 2]),
    ],
)
def test_which_beats_are_accented(metre: Metre, strong: list[int]) -> None:
    assert [beat for beat in range(metre.beats) if _is_strong(Fraction(beat), metre)] == strong
    assert not _is_strong(Fraction(1, metre.steps_per_beat), metre)


@pytest.mark.parametrize(
    ("accents", "downbeats", "made"),
    [
        ("X..X", "X..X", "X..X"),
        ("X...", "X...", "X..."),
        # A single one after a row of plain taps: the first downbeat is as strong, or none is.
        (".....X", "X....X", "X....X"),
        (".....X", ".....X", "......"),
        ("......", "X.....", "......"),
    ],
)
def test_no_single_accent_after_a_row_of_plain_taps(
    accents: str, downbeats: str, made: str
) -> None:
    strong, first = ([sign == "X" for sign in each] for each in (accents, downbeats))
    assert _none_hidden(strong, first) == [sign == "X" for sign in made]


def test_what_is_tapped_to_learn_a_board() -> None:
    assert [(each.spot, each.stroke) for each in tap_groups(STORY)] == [
        *(("middle", Stroke.FINGERTIPS), ("low", Stroke.FINGERTIPS))
    ]
    (only,) = tap_groups(evolve(STORY, board=None, sections=()))
    assert only.stroke is Stroke.FINGERTIPS
    assert only.spot not in ("middle", "low")
