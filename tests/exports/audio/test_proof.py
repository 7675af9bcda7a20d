"""A guide with a hole in it is not handed out."""

from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.encode import to_frames
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.proof import GuideUnfit, Proof
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound
from tapscore.workflow.export_story import export_story
from tapscore.workflow.product import Choices
from tests.exports.audio.audio_stories import varied

SEC = SAMPLE_RATE_HZ


def _tap(count: int = 4000, level: float = 0.1) -> Sound:
    return (level * np.sin(np.arange(count) / 5)).astype(np.float32)


def _placed(at_sec: float, sound: Sound) -> PlacedSound:
    return PlacedSound(round(at_sec * SEC), sound, 0.7, 0.7)


@pytest.mark.parametrize(
    ("value", "what"),
    [(np.nan, "can't be worked out"), (np.inf, "can't be"), (1e6, "far too loud")],
)
def test_a_sound_that_is_none(value: float, what: str) -> None:
    sound = _tap()
    sound[77] = value
    with pytest.raises(GuideUnfit, match=rf"at 1:01\.5.*{what}"):
        Proof([_placed(0, _tap()), _placed(61.5, sound)])


def test_a_silent_sound_and_one_that_is_not_to_be_heard() -> None:
    with pytest.raises(GuideUnfit, match="is silent"):
        Proof([_placed(0, np.zeros(100, np.float32))])
    with pytest.raises(GuideUnfit, match="is silent"):
        Proof([_placed(0, np.zeros(0, np.float32))])
    for left, right in ((0.5, 0.0), (0.0, 0.5), (0.0, -0.5)):
        with pytest.raises(GuideUnfit, match="is silent"):
            Proof([PlacedSound(0, np.zeros(100, np.float32), left, right)])
    Proof([PlacedSound(0, np.zeros(100, np.float32), 0.0, 0.0)])


@pytest.mark.parametrize("block", [100, 441, 65_536, 1_000_000])
def test_every_sound_is_looked_for_in_what_was_written(block: int) -> None:
    sounds = [_placed(at, _tap()) for at in (0.0, 0.5, 1.0, 1.8)]
    mixed = np.zeros((2, 2 * SEC), np.float32)
    for placed in sounds:
        mixed[:, placed.start_frame : placed.end_frame] += placed.samples * 0.7
    for lost in (None, sounds[2]):
        if lost is not None:
            mixed[:, lost.start_frame : lost.end_frame] = 0
        proof = Proof(sounds)
        for start in range(0, mixed.shape[1], block):
            proof.add(to_frames(mixed[:, start : start + block], 1.0))
        if lost is None:
            proof.end()
        else:
            with pytest.raises(GuideUnfit, match=r"at 0:01\.0 there would be silence"):
                proof.end()


def test_a_guide_that_breaks_off() -> None:
    proof = Proof([_placed(0, _tap()), _placed(1.5, _tap())])
    proof.add(to_frames(np.full((2, SEC), 0.1, np.float32), 1.0))
    with pytest.raises(GuideUnfit, match=r"at 0:01\.5"):
        proof.end()


@pytest.mark.parametrize("only", ["audio-guide", "rehearsal-set"])
def test_an_export_says_so_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, only: str
) -> None:
    def broken(*_: object, **__: object) -> Sound:
        return np.full(1000, np.nan, np.float32)

    monkeypatch.setattr("tapscore.exports.audio.story_taps.made_sound", broken)
    made = export_story(varied(), tmp_path, only=(only,), choices=Choices(sound="wav"))
    assert not made.made
    assert "was not made: the sound at" in made.failures[0]
    assert [path for path in tmp_path.iterdir() if not path.name.startswith(".")] == []
