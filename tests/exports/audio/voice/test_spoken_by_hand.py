"""Pace, places, files and limits of what is spoken: each worked out by hand."""

import io
import os
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.exports.audio.cues import cues
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, frames
from tapscore.exports.audio.spool import Spool
from tapscore.exports.audio.voice import kept_speech, library_voice, take
from tapscore.exports.audio.voice.alignment import _bands, features
from tapscore.exports.audio.voice.decode import RecordingUnusable, edited, read_recording
from tapscore.exports.audio.voice.feet import Foot
from tapscore.exports.audio.voice.kept_speech import Finished, KeptSpeech, prune
from tapscore.exports.audio.voice.program import SpokenSound, VoiceProgram
from tapscore.exports.audio.voice.recorded import _by_feet, _without_pauses
from tapscore.exports.audio.voice.recordings import find_recordings, recorded_words, words_note
from tapscore.exports.audio.voice.synthetic import SyntheticVoice
from tapscore.exports.audio.voice.take import take_remark
from tapscore.exports.audio.voice.telling import Teller
from tests.exports.audio.audio_stories import guide_performance, varied
from tests.exports.audio.voice.voices import tone, write

NOWHERE = VoiceProgram(("nowhere",), "by hand")


def hum(length_sec: float, peak: float = 0.5) -> Sound:
    now = np.arange(round(length_sec * SAMPLE_RATE_HZ)) / SAMPLE_RATE_HZ
    return (peak * np.sin(2 * np.pi * 200 * now)).astype(np.float32)


@pytest.mark.parametrize(
    ("words_a_sec", "wanted", "asked", "length"),
    [
        (160, 100, [160], 100),
        (160, 102, [160], 102),  # two in a hundred are near enough, and are drawn out
        (160, 103, [160, 156], 103),
        (160, 99, [160], 99),
        (160, 98, [160, 164], 98),
        (160, 50, [160, 320], 50),
        (160, 200, [160, 100], 160),  # no slower than 100, and silence follows
        (160, 20, [160, 400], 34),  # no faster than 400, then squeezed by 15 in a hundred
        (160, 35, [160, 400], 35),
        (160, 80, [160, 200], 80),
    ],
)
def test_the_rate_that_is_asked_for(
    words_a_sec: int, wanted: int, asked: list[int], length: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A voice that takes a hundred hundredths of a second at a rate of 160, and half at 320."""
    speaker = SyntheticVoice(NOWHERE)
    rates: list[int] = []

    def said(text: str, voice: str, words_a_minute: int) -> Sound:
        rates.append(words_a_minute)
        return hum(round(100 * words_a_sec / words_a_minute) / 100)

    monkeypatch.setattr(speaker, "_said", said)
    made = speaker._paced("up", round(wanted / 100 * SAMPLE_RATE_HZ))
    assert rates == asked
    assert len(made) == pytest.approx(length / 100 * SAMPLE_RATE_HZ, abs=1)


class Says:
    """A voice of a second for each cue, and none for lines."""

    def line(self, _: object) -> None:
        return None

    def cue(self, text: str) -> Sound:
        return hum(1.0)


def test_when_cues_are_spoken() -> None:
    """0.35 s after a wait's tone; others end as what they announce begins; 0.12 s after each."""
    performance = guide_performance(varied())
    teller = Teller({}, {}, Says(), spool=Spool())  # type: ignore[arg-type]
    spoken = teller.speech(performance).cues
    told = sorted(cues(performance), key=lambda cue: (cue.segment, cue.onset_beats))
    free, at = 0.0, []
    for segment in sorted({cue.segment for cue in told}):
        start = performance.segments[segment].start_sec
        here = [cue.kind.name in ("WAIT", "OFFER") for cue in told if cue.segment == segment]
        for is_here in (False, True):
            count = here.count(is_here)
            if count:
                first = max(start + 0.35 if is_here else start - 1.12 * count, free)
                at += [first + 1.12 * n for n in range(count)]
                free = first + 1.12 * count
    assert [each.start_frame / SAMPLE_RATE_HZ for each in spoken] == pytest.approx(at, abs=1e-4)


def test_bands_are_triangles_as_wide_as_hearing_spaces_them() -> None:
    """24 between 120 and 6,000 Hz, even on the mel scale (O'Shaughnessy 1987)."""
    mel = 2595 * np.log10(1 + np.array([120.0, 6_000]) / 700)
    edges = 700 * (10 ** (np.linspace(mel[0], mel[1], 26) / 2595) - 1)
    hz = np.arange(769) * 48_000 / 1_536
    by_hand = [np.interp(hz, edges[at : at + 3], [0, 1, 0]) for at in range(24)]
    assert _bands(1_536) == pytest.approx(np.array(by_hand), abs=1e-9)


def test_a_sound_is_described_every_fiftieth_of_a_second() -> None:
    sound = np.random.default_rng(3).normal(0, 0.1, frames(1.009)).astype(np.float32)
    sound[frames(0.5) :] *= 0.001
    rows = features(sound)
    assert rows.shape == (50, 24)
    assert rows.mean(axis=0) == pytest.approx(np.zeros(24), abs=1e-9)
    assert rows.std(axis=0) == pytest.approx(np.ones(24), abs=1e-4)
    assert (rows[:23] > 0).all()
    assert (rows[26:] < 0).all()
    # What is 60 dB softer lies under a floor of 40 dB below the loudest: nearly even.
    assert np.ptp(rows[26:]) < 0.2
    assert features(sound[:10]).shape == (1, 24)


def test_a_part_without_its_pauses() -> None:
    part = np.concatenate([hum(0.2, 0.005), hum(0.5), hum(0.2, 0.009)])
    # 34 dB below the loudest is a pause: 0.02 of it, here 0.01.
    assert len(_without_pauses(part)) == frames(0.52)
    louder = np.concatenate([hum(0.2, 0.005), hum(0.5), hum(0.2, 0.012)])
    assert len(_without_pauses(louder)) == frames(0.72 - 0.01)
    # What would be shorter than 0.06 s stays as it is.
    assert len(_without_pauses(np.concatenate([hum(0.2, 0.005), hum(0.03), hum(0.2, 0.005)]))) == (
        frames(0.43)
    )


@pytest.mark.parametrize(
    ("room_sec", "slower", "lasts"),
    [(1.0, 1, 1.0), (0.6, 1, 0.7), (2.0, 1, 1.5), (2.0, 2, 2.0), (9.0, 2, 3.0), (1.0, 2, 1.4)],
)
def test_a_part_is_quickened_by_three_tenths_and_slowed_by_half(
    room_sec: float, slower: float, lasts: float
) -> None:
    feet = (Foot("one", 1.0, room_sec, 1), Foot("two", 1.0 + room_sec, room_sec, 1))
    made = _by_feet(feet, hum(2.0), slower, (0, SAMPLE_RATE_HZ))
    assert len(made.sound) == pytest.approx(
        SAMPLE_RATE_HZ * (max(lasts, room_sec) + lasts), abs=frames(0.05)
    )
    assert made.start_frame == pytest.approx(SAMPLE_RATE_HZ, abs=frames(0.03))


@pytest.mark.parametrize(
    ("noise", "said_sec", "line_sec", "remark"),
    [
        (0.07, 2.0, 2.2, take.NOISY),  # 17 dB below 0.5
        (0.056, 2.0, 2.6, ""),  # 19 dB
        (0.0, 1.0, 2.78, take.SLOW),
        (0.0, 1.0, 2.6, ""),
        (0.0, 2.0, 1.66, ""),
        (0.0, 2.0, 1.57, take.QUICK),
    ],
)
def test_noise_and_pace_of_a_take(
    noise: float, said_sec: float, line_sec: float, remark: str
) -> None:
    still = hum(0.5, noise)
    assert take_remark(np.concatenate([still, hum(said_sec), still]), line_sec) == remark


def test_a_recording_is_cut_to_its_words_with_20_ms_around_them() -> None:
    """38 dB below its loudest moment is breath; below -70 dB all of it is silence."""
    for soft, length in ((0.0085, 0.54), (0.0095, 0.9)):
        sound = np.concatenate([hum(0.2, soft), hum(0.5), hum(0.2, soft)])
        assert len(edited(sound)) == pytest.approx(length * SAMPLE_RATE_HZ, abs=frames(0.041))
    sound = np.concatenate([np.zeros(9_600, np.float32), hum(0.5), np.zeros(14_400, np.float32)])
    cut = edited(sound)
    assert len(cut) == pytest.approx(frames(0.54), abs=frames(0.011))
    assert np.abs(cut).max() == pytest.approx(0.5, rel=0.01)
    assert len(edited(hum(0.5, 0.000_33))) > 0
    assert len(edited(hum(0.5, 0.000_30))) == 0


@pytest.mark.parametrize(("full", "remarks"), [(48, 0), (52, 1)])
def test_a_recording_of_which_a_thousandth_is_at_full_scale_is_overloaded(
    full: int, remarks: int, tmp_path: Path
) -> None:
    sound = hum(1.0)
    sound[1_000 : 1_000 + full] = 1.0
    write(tmp_path / "01.wav", sound, SAMPLE_RATE_HZ, "FLOAT")
    found = read_recording(tmp_path / "01.wav").remarks
    assert ["overloaded" in each for each in found] == [True] * remarks


@pytest.mark.parametrize(("rate_hz", "remarks"), [(15_999, 1), (16_000, 0)])
def test_from_which_rate_on_a_recording_is_no_telephone_s(
    rate_hz: int, remarks: int, tmp_path: Path
) -> None:
    write(tmp_path / "01.wav", tone(0.5, rate_hz), rate_hz)
    said = read_recording(tmp_path / "01.wav").remarks
    assert ["(15.999 kHz)" in each for each in said] == [True] * remarks
    with pytest.raises(RecordingUnusable, match="no file"):
        read_recording(tmp_path)


@pytest.mark.parametrize(
    ("other", "heard"), [(-0.5, 0.25), (-0.56, 0.22), (-0.6, 1.0), (-1.0, 1.0), (-1.3, 1.3)]
)
def test_sides_that_would_cancel_are_heard_by_the_louder_one(
    other: float, heard: float, tmp_path: Path
) -> None:
    """Where together they hold less than a fifth of the louder one's power: 0.447 of its level."""
    from tapscore.exports.audio.voice.decode import _one_channel

    one = hum(0.2)
    made = _one_channel(np.stack([one, np.float32(other) * one], axis=1))
    together = (1 + other) / 2
    by_hand = together if together**2 >= 0.2 * max(1, other**2) else (1 if -other <= 1 else other)
    assert made == pytest.approx(by_hand * one, abs=1e-6)


def test_which_recording_is_for_which_line(tmp_path: Path) -> None:
    """By the words that are noted; a name counts where nothing is, or for words said twice."""
    lines = {"01": "Up, up!", "02": "Home", "03": "up up", "04": "Down"}
    noted = {"01.wav": "home", "02.wav": "Hill", "3.wav": "Up UP", "x.wav": "up up", "y.wav": "no"}
    for name in (*noted, "04.MP3", "4.wav", "z.opus"):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / "words recorded.txt").write_text(words_note(noted) + "no tab\n")
    assert recorded_words(tmp_path) == noted
    assert words_note({"b": "2", "a": "1"}) == "a\t1\nb\t2\n"
    found = find_recordings(tmp_path, lines)
    assert {name: path.name for name, path in found.files.items()} == {
        "01": "x.wav",
        "02": "01.wav",
        "03": "3.wav",
        "04": "04.MP3",
    }
    assert (found.missing, found.unmatched, found.other_words) == ((), ("y.wav", "z.opus"), {})
    less = find_recordings(tmp_path, {"02": "Home again", "05": "no"})
    assert {name: path.name for name, path in less.files.items()} == {"05": "y.wav"}
    assert less.other_words == {"02": "Hill"}
    assert less.missing == ("02",)
    assert recorded_words(None) == recorded_words(tmp_path / "none") == {}


@pytest.mark.parametrize(
    ("ages_days", "most_bytes", "kept"),
    [
        ([1, 2, 3], 300, [1, 2, 3]),
        ([1, 2, 3], 299, [1, 2]),
        ([1, 2, 3], 100, [1]),
        ([1, 59, 61], 300, [1, 59]),
        ([61, 62, 63], 300, []),
    ],
)
def test_what_is_kept_of_100_bytes_each(
    ages_days: list[int], most_bytes: int, kept: list[int], tmp_path: Path
) -> None:
    """Nothing older than 60 days; of the rest the newest, as many as there is room for."""
    for days in ages_days:
        path = tmp_path / f"{days}.npz"
        path.write_bytes(bytes(100))
        os.utime(path, (time.time(), time.time() - days * 86_400))
    (tmp_path / "other.txt").write_bytes(bytes(999))
    prune(tmp_path, most_bytes)
    assert sorted(int(path.stem) for path in tmp_path.glob("*.npz")) == kept
    assert (tmp_path / "other.txt").exists()


@pytest.mark.parametrize(("rate_hz", "again"), [(7_999, 2), (8_000, 1), (96_000, 1), (96_001, 2)])
def test_what_was_said_is_kept_at_a_rate_that_can_be(
    rate_hz: int, again: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        asked.append(text)
        return SpokenSound(np.array([1, -2], np.int16), rate_hz)

    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path))
    monkeypatch.setattr(kept_speech, "speak", says)
    (tmp_path / "old.npz").write_bytes(b"of long ago")
    os.utime(tmp_path / "old.npz", (1.0, 1.0))
    for _ in range(2):
        said = KeptSpeech(NOWHERE).say("up", voice="en", words_a_minute=160)
        assert (said.samples.tolist(), said.rate_hz) == ([1, -2], rate_hz)
    assert len(asked) == again
    assert len(list(tmp_path.glob("*.npz"))) == 1  # what is old went as something was kept
    made = []

    def make() -> Finished:
        made.append(1)
        return Finished(-7, np.array([0.5, 0.25], np.float32))

    for _ in range(2):
        done = KeptSpeech(NOWHERE).finished(("a", 1), make)
        assert (done.start_frame, done.sound.tolist()) == (-7, [0.5, 0.25])
    assert len(made) == 1


def test_a_voice_s_head_is_that_of_a_sound_file() -> None:
    samples = np.array([1, -2, 300], "<i2")
    head = library_voice._head(22_050, samples.nbytes)
    assert len(head) == 44
    assert head[4:8] == (36 + 6).to_bytes(4, "little")
    read, rate_hz = soundfile.read(io.BytesIO(head + samples.tobytes()), dtype="int16")
    assert (read.tolist(), rate_hz) == ([1, -2, 300], 22_050)
    assert soundfile.info(io.BytesIO(head + samples.tobytes())).channels == 1
