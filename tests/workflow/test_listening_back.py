"""Recordings in every form a phone makes them, and the story made as it was told."""

import subprocess
from fractions import Fraction
from pathlib import Path

import mir_eval  # type: ignore[import-untyped]
import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]
from attrs import evolve
from numpy.typing import NDArray

from tapscore.exports.audio.encode import mp3_program
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.model import edits
from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, RefrainUse, Wait
from tapscore.model.wordings import clock
from tapscore.rehearsal.bands import BandLevels, levels_of
from tapscore.rehearsal.candidates import candidates_in
from tapscore.rehearsal.detector import learned_detector
from tapscore.rehearsal.differences import Difference
from tapscore.rehearsal.recording import blocks_of, look_into
from tapscore.rehearsal.told import ToldRehearsal
from tapscore.wording.about import About
from tapscore.workflow import listening_back
from tapscore.workflow.listening_back import (
    Heard,
    ListeningStopped,
    Trim,
    hear,
    listen_back,
)
from tapscore.workflow.rehearsals import keeps_happening, lines_heard, report
from tapscore.workflow.story_as_told import as_told
from tests.rehearsal.rehearsals import Rehearsed, demo, levels, rehearsed
from tests.rehearsal.simulated.recording import write
from tests.rehearsal.simulated.wood import RATE_HZ


@pytest.fixture(scope="module")
def walk() -> Rehearsed:
    return rehearsed("the-rainy-walk", "L0", 7)


@pytest.fixture(scope="module")
def walked(walk: Rehearsed) -> Heard:
    return hear(walk.story, levels(walk.sound))


def _codes(heard: Heard) -> list[str]:
    return [remark.code for remark in heard.remarks]


def _likely_sec(heard: BandLevels) -> NDArray[np.float64]:
    found = candidates_in(heard)
    return found.sec[learned_detector().log_odds(found.features) > 1]


@pytest.mark.parametrize("codec", ["mp3", "m4a", "ogg", "3gp"])
def test_every_kind_of_file_has_the_same_taps(walk: Rehearsed, tmp_path: Path, codec: str) -> None:
    """By the measure of mir_eval (50 ms), in half a minute of a telling."""
    part = walk.sound[: 30 * RATE_HZ]
    recording = look_into(write(part, tmp_path / "a rehearsal", codec))
    assert (recording.is_video, recording.telephone) == (False, False)
    assert recording.length_sec == pytest.approx(30, abs=0.2)
    taps = _likely_sec(levels(part))
    again = _likely_sec(levels_of(blocks_of(recording)))
    score, _, _ = mir_eval.onset.f_measure(taps, again, window=0.05)
    assert len(taps) > 20
    assert score > 0.9


@pytest.mark.parametrize("codec", ["wav", "amr"])
def test_a_file_is_listened_to(walk: Rehearsed, tmp_path: Path, codec: str) -> None:
    path = write(walk.sound, tmp_path / "a rehearsal", codec)
    shares: list[float] = []
    heard = listen_back(walk.story, path, going=shares.append)
    assert heard.can_tell
    assert shares == sorted(shares)
    assert ("sound-telephone" in _codes(heard)) == (codec == "amr")
    assert not list(tmp_path.glob("*.tmp"))
    assert len(list(tmp_path.iterdir())) == 1


def test_a_dead_side_a_video_and_clipping(
    walk: Rehearsed, walked: Heard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sides = np.stack([walk.sound, np.zeros_like(walk.sound)], axis=1)
    soundfile.write(tmp_path / "side.wav", sides, RATE_HZ)
    assert listen_back(walk.story, tmp_path / "side.wav").can_tell
    soundfile.write(tmp_path / "loud.wav", np.clip(walk.sound * 60, -1, 1), RATE_HZ)
    loud = listen_back(walk.story, tmp_path / "loud.wav")
    assert "sound-overloaded" in _codes(loud)
    assert not any("loud" in each.finding.code for each in loud.differences)
    soundfile.write(tmp_path / "side.wav", sides[: 5 * RATE_HZ], RATE_HZ)
    command = [mp3_program(), "-v", "error", "-f", "lavfi", "-i", "color=s=64x64:r=5", "-i"]
    command += [str(tmp_path / "side.wav"), "-shortest", str(tmp_path / "film.mp4")]
    subprocess.run(command, check=True)
    monkeypatch.setattr(listening_back, "hear", lambda *_, **__: evolve(walked, remarks=()))
    assert _codes(listen_back(walk.story, tmp_path / "film.mp4")) == ["sound-video"]


def test_what_is_no_recording_says_so(walk: Rehearsed, tmp_path: Path) -> None:
    (tmp_path / "empty.m4a").touch()
    (tmp_path / "words.mp3").write_text("This is no sound at all. " * 50)
    picture = ["-f", "lavfi", "-i", "color=red:size=64x64:duration=2", str(tmp_path / "mute.mp4")]
    subprocess.run([mp3_program(), "-v", "error", *picture], check=True)
    for name, part in (
        ("empty.m4a", "is empty"),
        ("words.mp3", "broken, or no sound file. Send it from the phone again, or choose another"),
        ("mute.mp4", "a video without sound. Record the sound alone, or choose another"),
        ("gone.wav", "can't be read"),
        (".", "is no file"),
    ):
        with pytest.raises(RecordingUnusable, match=part):
            listen_back(walk.story, tmp_path / name)
    soundfile.write(tmp_path / "short.wav", np.zeros(8000), RATE_HZ)
    with pytest.raises(RecordingUnusable, match="not even 2 seconds"):
        listen_back(walk.story, tmp_path / "short.wav")


def test_a_file_that_breaks_off_gives_what_is_there(walk: Rehearsed, tmp_path: Path) -> None:
    path = write(walk.sound, tmp_path / "whole", "mp3")
    data = path.read_bytes()
    path.write_bytes(data[: len(data) * 2 // 3])
    heard = listen_back(walk.story, path)
    assert heard.can_tell
    assert "told-part" in _codes(heard)


def test_silence_and_another_story_cannot_be_told(walk: Rehearsed, tmp_path: Path) -> None:
    silent = hear(walk.story, levels(np.zeros(20 * RATE_HZ)))
    assert _codes(silent) == ["told-silent"]
    other = hear(demo("the-bread-van"), levels(walk.sound))
    assert _codes(other)[0] == "told-cant-tell"
    assert other.differences == ()
    assert all(line.begin_sec is None for line in lines_heard(other))


def test_a_story_without_taps_says_so(walk: Rehearsed) -> None:
    plain = evolve(walk.story, sections=())
    assert _codes(hear(plain, levels(walk.sound))) == ["told-no-lines"]


def test_half_a_rehearsal_is_told_for_what_it_is(walk: Rehearsed) -> None:
    until = walk.telling.lines[6].taps_sec[-1] + 1
    heard = hear(walk.story, levels(walk.sound[: round(until * RATE_HZ)]))
    assert heard.can_tell
    (part,) = (each for each in heard.remarks if each.code == "told-part")
    first, last = (clock(walk.telling.lines[at].taps_sec[at and -1]) for at in (0, 6))
    assert part.message.startswith("Only a part of the story was found in this recording: line 1 ")
    assert part.message.endswith(f", from {first} to {last}.")
    assert [line.outside for line in lines_heard(heard)] == [at > 6 for at in range(11)]
    assert "not in the part that was found" in lines_heard(heard)[-1].sentence
    assert not any(each.finding.code == "told-left-out" for each in heard.differences)


def test_of_two_rehearsals_the_last_is_looked_at(walk: Rehearsed) -> None:
    heard = hear(walk.story, levels(np.concatenate([walk.sound, walk.sound])))
    assert "told-twice" in _codes(heard)
    assert heard.told is not None
    first = lines_heard(heard)[0].begin_sec
    assert first is not None
    assert first > len(walk.sound) / RATE_HZ


def test_trimmed_times_count_from_the_files_beginning(walk: Rehearsed, tmp_path: Path) -> None:
    path = write(walk.sound, tmp_path / "whole", "wav")
    whole = listen_back(walk.story, path)
    part = listen_back(walk.story, path, Trim(walk.telling.lines[3].taps_sec[0] - 1.5, None))
    begins = [line.begin_sec for line in lines_heard(whole)]
    again = [line.begin_sec for line in lines_heard(part)]
    assert part.can_tell
    both = [(a, b) for a, b in zip(again, begins, strict=True) if a is not None and b is not None]
    assert len(both) > 4
    assert all(abs(a - b) < 0.1 for a, b in both)


def test_of_a_long_recording_the_busiest_part_is_looked_at(walk: Rehearsed) -> None:
    own = levels(walk.sound)
    hush = np.tile(np.percentile(own.db, 10, axis=0).astype(np.float32), (130_000, 1))
    hush += np.random.default_rng(0).normal(0, 1, hush.shape).astype(np.float32)
    long = BandLevels(
        np.concatenate([hush, own.db, hush]), 1300.0 + own.length_sec, 0.0, own.loudest_db
    )
    heard = hear(walk.story, long)
    assert "told-trimmed" in _codes(heard)
    assert heard.can_tell
    assert lines_heard(heard)[0].begin_sec == pytest.approx(
        650 + walk.telling.lines[0].taps_sec[0], abs=0.3
    )


def test_stopping_stops(walk: Rehearsed, tmp_path: Path) -> None:
    path = write(walk.sound, tmp_path / "whole", "wav")
    with pytest.raises(ListeningStopped):
        listen_back(walk.story, path, stopped=lambda: True)


def _difference(heard: Heard, code: str, segment: int, **about: object) -> Difference:
    here = heard.performance.segments[segment]
    path = here.returned_path or here.path
    finding = Finding(code, Severity.ADVICE, path, None, About(**about))  # type: ignore[arg-type]
    return Difference(finding, 1.0, segment, 1.0, 2.0, as_told=True)


def test_a_line_is_made_as_told_and_nothing_else(walk: Rehearsed, walked: Heard) -> None:
    told = walked.told
    assert told is not None
    slow = tuple(evolve(line, ratio=1.25) for line in told.lines)
    heard = evolve(walked, told=evolve(told, lines=slow))
    story = as_told(walk.story, heard, _difference(heard, "told-tempo", 0))
    assert story is not None
    line = edits.item_at(story, ("story", 0, "lines", 0))
    assert isinstance(line, Line)
    assert line.manner.tempo is not None
    assert line.manner.tempo.start == 64
    assert edits.item_at(story, ("story", 0, "lines", 1)) is walk.story.sections[0].items[1]
    whole = as_told(walk.story, heard, _difference(heard, "told-tempo-whole", 0))
    assert whole is not None
    assert whole.manner.tempo is not None
    assert whole.manner.tempo.start == 64


def test_a_refrain_is_changed_in_its_return_alone(walk: Rehearsed, walked: Heard) -> None:
    difference = _difference(walked, "told-no-louder", 2, earlier=1, loudness=3)
    story = as_told(walk.story, walked, difference)
    assert story is not None
    assert story.refrains == walk.story.refrains
    use = edits.item_at(story, ("story", 0, "lines", 2))
    assert isinstance(use, RefrainUse)
    assert use.manner.loudness == (Loudness.QUIET,)


def test_a_wait_is_made_as_told(walk: Rehearsed, walked: Heard) -> None:
    difference = _difference(walked, "told-wait", 3, lasted=4, wanted=10)
    story = as_told(walk.story, walked, difference)
    assert story is not None
    wait = edits.item_at(story, ("story", 0, "lines", 3))
    assert isinstance(wait, Wait)
    assert wait.least_sec == Fraction(4)


def test_a_line_that_has_gone_since_is_left(walk: Rehearsed, walked: Heard) -> None:
    shorter = evolve(walk.story, sections=walk.story.sections[:1])
    assert as_told(shorter, walked, _difference(walked, "told-no-louder", 11, earlier=1)) is None


def test_what_keeps_happening_comes_first(walked: Heard) -> None:
    often = _difference(walked, "told-wait", 3, line=None, time=0, lasted=4, wanted=10)
    once = _difference(walked, "told-tempo-whole", 0, share="third", way="faster")
    told = evolve(walked, differences=(once, often))
    before = evolve(walked, differences=(often,))
    unlike = evolve(
        walked,
        differences=(_difference(walked, "told-wait", 3, line=None, lasted=30, wanted=10),),
    )
    found = keeps_happening([before, unlike, told])
    assert [each.often for each in found] == [2, 1]
    assert found[0].difference is often
    assert keeps_happening([]) == ()


def test_the_report_has_no_names(walk: Rehearsed, walked: Heard) -> None:
    text = report(walk.story, [walked])
    assert "Line by line:" in text
    assert "Boots on" in text
    for role in walk.story.role_names:
        assert role not in text


def test_told_without_lines_cannot_tell() -> None:
    assert not ToldRehearsal((), 10.0).can_tell
