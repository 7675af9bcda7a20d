"""Lines and cues spoken in a performance, and what is said of what could not be."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.cues import CueKind, cues
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.voice import kept_speech, telling
from tapscore.exports.audio.voice.program import SpokenSound, VoiceMissing, VoiceProgram
from tapscore.exports.audio.voice.telling import EARLIEST_SEC, Teller, place_before, teller
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import SegmentKind
from tests.exports.audio.audio_stories import guide_performance, varied
from tests.exports.audio.voice.voices import spoken, tone, write
from tests.hill import STORY


@pytest.fixture(autouse=True)
def _hum(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A voice that hums, whatever is installed."""

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        return spoken(text, words_a_minute)

    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(kept_speech, "speak", says)
    monkeypatch.setattr(telling, "voice_program", lambda: VoiceProgram(("nowhere",), "test"))


def _teller(told: Story, recordings: Path | None = None) -> Teller:
    return teller(perform(told), told.language, recordings)


def test_words_for_cues_are_short_and_say_the_nominal_length() -> None:
    said = {cue.kind: cue.said for cue in cues(guide_performance(varied()))}
    assert said[CueKind.SECTION] == "Evening"
    assert said[CueKind.PROPS_IN] == "beads in"
    assert said[CueKind.PROPS_OUT] == "beads out"
    assert said[CueKind.WARN_FIRST] == "louder next: leader warns"
    assert said[CueKind.WAIT] == "wait, at least 5 seconds"
    assert said[CueKind.OFFER].startswith("offer beads, 1 turn of 30 seconds")


def test_cues_are_spoken_before_what_they_announce_and_waits_stay_silent_after() -> None:
    told = varied()
    performance = guide_performance(told)
    speech = _teller(told).speech(performance)
    assert len(speech.lines) == len([s for s in performance.lines if s.syllables])
    assert len(speech.cues) == len(cues(performance))
    for before, after in zip(speech.cues, speech.cues[1:], strict=False):
        assert before.end_frame <= after.start_frame
    warn = next(c for c in cues(performance) if c.kind is CueKind.WARN_FIRST)
    line = performance.segments[warn.segment]
    ends = [cue.end_frame / SAMPLE_RATE_HZ for cue in speech.cues]
    assert any(line.start_sec - 9 < end <= line.start_sec for end in ends)
    wait = next(s for s in performance.segments if s.kind is SegmentKind.WAIT)
    spoken_here = [
        cue
        for cue in speech.cues
        if wait.start_sec < cue.start_frame / SAMPLE_RATE_HZ < wait.start_sec + 1
    ]
    assert len(spoken_here) == 1


@given(
    st.floats(0.2, 5),
    st.floats(0, 60),
    st.lists(st.tuples(st.floats(0, 60), st.floats(0.1, 5)), max_size=6),
    st.floats(0, 60),
)
def test_a_place_before_is_in_time_wherever_that_can_be(
    length: float, deadline: float, spans: list[tuple[float, float]], earliest: float
) -> None:
    busy = [(begin, begin + long) for begin, long in spans]
    at = place_before(length, deadline, busy, earliest)
    assert at >= earliest - 1e-9
    if deadline - length > earliest:
        assert at + length <= deadline + 1e-9
        assert at >= deadline - length - EARLIEST_SEC - 1e-9


def test_a_pause_in_the_words_is_used() -> None:
    busy = [(0.0, 4.0), (6.0, 10.0)]
    assert place_before(1.5, 10.0, busy) == pytest.approx(4.5, abs=0.51)
    assert place_before(1.5, 10.0, []) == 8.5
    assert place_before(3.0, 2.0, [], 0.0) == 0.0


def test_recordings_come_before_the_voice_and_missing_ones_are_listed(tmp_path: Path) -> None:
    told = varied()
    folder = tmp_path / "recordings"
    folder.mkdir()
    write(folder / "1.wav", tone(1.0), 48_000)
    (folder / "02.mp3").write_bytes(b"broken" * 99)
    write(folder / "99.wav", tone(1.0), 48_000)
    made = _teller(told, folder)
    said = {finding.code: finding.message for finding in made.findings}
    assert set(made.recorded) == {"01"}
    assert "02.mp3 is broken" in said["recording-unusable"]
    assert said["recordings-missing"] == "There is no recording of: \u201c03\u201d."
    assert "99.wav" in said["recording-unmatched"]
    assert len(made.speech(perform(told)).lines) == 3
    assert all(finding.remedy for finding in made.findings)


def test_without_a_program_recordings_are_still_heard_and_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(telling, "voice_program", lambda: None)
    told = varied()
    silent = _teller(told)
    assert [finding.code for finding in silent.findings] == ["voice-missing"]
    assert "espeak-ng was not found" in silent.findings[0].message
    speech = silent.speech(perform(told))
    assert speech.lines == speech.cues == ()
    write(tmp_path / "02.wav", tone(1.0), 48_000)
    assert len(_teller(told, tmp_path).speech(perform(told)).lines) == 1


def test_a_program_that_fails_is_told_once_and_the_rest_made(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        raise VoiceMissing("It could not speak.")

    monkeypatch.setattr(kept_speech, "speak", fails)
    made = _teller(varied())
    assert made.speech(perform(varied())).lines == ()
    assert [finding.code for finding in made.findings] == ["voice-failed"]


def test_a_refrain_is_the_same_sound_at_each_return() -> None:
    performance = perform(STORY, longest_offer_sec=Fraction(10))
    lines = _teller(STORY).speech(performance).lines
    assert len(lines) == len(performance.lines)
    said = [(at, segment.path[:2]) for at, segment in enumerate(performance.lines)]
    first, again = (at for at, path in said if path == ("refrains", "up we go"))
    assert lines[first].sound is lines[again].sound
    assert len({id(line.sound) for line in lines}) == len(lines) - 1
