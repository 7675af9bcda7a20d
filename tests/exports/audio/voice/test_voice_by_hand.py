"""When, how loud and how fast words are said, by hand: from tempo, room, gain and sample rate."""

import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, frames
from tapscore.exports.audio.spool import Spool
from tapscore.exports.audio.voice import kept_speech, take
from tapscore.exports.audio.voice.alignment import _warped, part_starts
from tapscore.exports.audio.voice.decode import read_recording
from tapscore.exports.audio.voice.feet import feet
from tapscore.exports.audio.voice.loudness import speech_sounds
from tapscore.exports.audio.voice.program import SpokenSound, VoiceMissing, VoiceProgram, speak
from tapscore.exports.audio.voice.recorded import placed_recording
from tapscore.exports.audio.voice.shaping import beat_frame, envelope, soften, stretched, trimmed
from tapscore.exports.audio.voice.synthetic import SyntheticVoice
from tapscore.exports.audio.voice.take import take_remark, why_not_kept
from tapscore.exports.audio.voice.telling import Speech, SpeechAt, place_before
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment
from tests.exports.audio.audio_stories import lane, story
from tests.exports.audio.voice.voices import spoken, tone, write


def told(words: str, bar: str, tempo: int) -> Segment:
    (line,) = perform(story(Line(words, lane(bar)), tempo=Tempo(Fraction(tempo)))).lines
    return line


@pytest.mark.parametrize(
    ("words", "bar", "tempo", "parts"),
    [
        # Half a beat a step: a part begins at a tapped word on a beat, if half a second has gone.
        ("go to the hill", "x.x.X.x.", 60,
         [("go", 0, 1), ("to", 1, 1), ("the", 2, 1), ("hill", 3, 0.5)]),
        ("go to the hill", "x.x.X.x.", 120,
         [("go", 0, 0.5), ("to", 0.5, 0.5), ("the", 1, 0.5), ("hill", 1.5, 0.45)]),
        ("go to the hill", "x.x.X.x.", 125, [("go to", 0, 0.96), ("the hill", 0.96, 0.9)]),
        ("go to the hill", "x.x.X.x.", 150, [("go to", 0, 0.8), ("the hill", 0.8, 0.8)]),
        # An accent begins one off the beat, too; a word that is only said, or off the beat, none.
        ("go to the hill", "xxxX....", 60, [("go to", 0, 1), ("the", 1, 0.5), ("hill", 1.5, 0.5)]),
        ("go to the hill", "xxxx....", 60, [("go to", 0, 1), ("the hill", 1, 1)]),
        ("go to the hill", "xxss....", 60, [("go to the hill", 0, 2)]),
        ("go wa-ter now", "x.xxx...", 60, [("go", 0, 1), ("water", 1, 1), ("now", 2, 0.5)]),
        ("so ma-ny", "x.xx....", 60, [("so", 0, 1), ("many", 1, 1)]),
        # Weak words before the first strong one are said just before it, 0.16 s each.
        ("in to the hill", ".sxxX...", 125, [("in to the", 0.32, 0.64), ("hill", 0.96, 0.45)]),
        ("in at the hill", ".ssxX...", 200, [("in at the hill", 0.15, 1.05)]),
        # The last words ring on for 0.45 s each, within the line: here 8 steps of 0.15 s.
        ("so", "X.......", 200, [("so", 0, 0.45)]),
        ("so ma-ny", "X.xx....", 200, [("so many", 0, 1.2)]),
        ("so", "......X.", 200, [("so", 0.9, 0.3)]),
    ],
)  # fmt: skip
def test_parts_of_a_line(
    words: str, bar: str, tempo: int, parts: list[tuple[str, float, float]]
) -> None:
    found = feet(told(words, bar, tempo))
    assert [foot.words for foot in found] == [said for said, _, _ in parts]
    assert [foot.start_sec for foot in found] == pytest.approx([at for _, at, _ in parts])
    assert [foot.room_sec for foot in found] == pytest.approx([room for _, _, room in parts])


@pytest.mark.parametrize(
    ("length", "deadline", "busy", "earliest", "at"),
    [
        (1.5, 10.0, [], 0.0, 8.5),
        (1.5, 10.0, [(0.0, 4.0), (6.0, 10.0)], 0.0, 4.5),  # the latest time in the pause
        (2.0, 10.0, [(0.0, 4.04), (6.05, 10.0)], 0.0, 4.04),  # as soon as the words end
        (1.0, 10.0, [(1.5, 10.0)], 0.0, 1.0),  # nowhere free: least over the words, and latest
        (1.0, 10.0, [(0.0, 20.0)], 0.0, 9.0),
        (1.0, 30.0, [(20.0, 30.0)], 0.0, 29.0),  # not more than 8 s early
        (1.0, 30.0, [(22.0, 30.0)], 0.0, 21.0),
        (1.0, 10.0, [], 9.5, 9.5),  # no time left: at once
        (1.0, 10.0, [(5.0, 10.0)], 4.3, 4.3),
        (1.0, 10.0, [(5.0, 10.0)], 4.0, 4.0),
    ],
)
def test_when_a_cue_is_spoken(
    length: float, deadline: float, busy: list[tuple[float, float]], earliest: float, at: float
) -> None:
    assert place_before(length, deadline, busy, earliest) == pytest.approx(at)


def test_words_are_8_and_cues_11_decibels_below_a_loud_tap_and_in_the_middle() -> None:
    spool = Spool()
    one = SpeechAt(100, spool.put(np.ones(10, np.float32)))
    two = SpeechAt(-5, spool.put(np.ones(20, np.float32)))
    line, cue = speech_sounds(Speech((one,), (two,)))
    assert (line.start_frame, cue.start_frame, one.end_frame) == (100, -5, 110)
    # Each side has half the power.
    assert line.left == line.right == pytest.approx(10 ** (-8 / 20) * 0.5**0.5)
    assert cue.left == cue.right == pytest.approx(10 ** (-11 / 20) * 0.5**0.5)


@pytest.mark.parametrize(
    ("peak", "remark"),
    [(0.986, take.OVERLOADED), (0.98, ""), (0.0163, ""), (0.0155, take.SOFT)],
)
def test_what_is_said_of_a_take_s_level(peak: float, remark: str) -> None:
    """Full scale from 0.985; soft below 36 dB under it: 0.0158."""
    assert take_remark(tone(2.0, peak=peak), 2.2) == remark


@pytest.mark.parametrize(
    ("said_sec", "line_sec", "remark"),
    [
        (2.0, 1.55, take.QUICK),  # at 0.8 of its length still 1.6 s
        (2.0, 1.7, ""),
        (1.0, 2.64, ""),
        (1.0, 2.9, take.SLOW),  # 1.35 times as long it is less than half the line
    ],
)
def test_what_is_said_of_a_take_s_pace(said_sec: float, line_sec: float, remark: str) -> None:
    assert take_remark(tone(said_sec), line_sec) == remark


def test_what_is_no_take() -> None:
    """Three tenths of a second at its own rate, and a moment louder than -60 dB."""
    sound = np.zeros(8_000, np.float32)
    assert why_not_kept(sound[:2_399], 8_000) == take.TOO_SHORT
    sound[500] = 0.0011
    assert why_not_kept(sound[:2_400], 8_000) == ""
    sound[500] = -0.0009
    assert why_not_kept(sound[:2_400], 8_000) == take.NOTHING_HEARD


def burst(begin_sec: float, end_sec: float, length_sec: float = 2.0) -> np.ndarray:
    """Nothing but a hum of 200 Hz."""
    now = np.arange(round(length_sec * SAMPLE_RATE_HZ)) / SAMPLE_RATE_HZ
    hum = np.sin(2 * np.pi * 200 * now) * ((now >= begin_sec) & (now < end_sec))
    return hum.astype(np.float32)


def test_a_hundredth_of_a_second_of_silence_is_left_at_each_end() -> None:
    sound = burst(0.5, 1.0)
    assert envelope(sound)[[49, 50, 99, 100]] == pytest.approx([0, 0.5**0.5, 0.5**0.5, 0])
    cut = trimmed(sound)
    assert len(cut) == 0.52 * SAMPLE_RATE_HZ
    assert cut[480:24_000] == pytest.approx(sound[24_000:47_520])
    assert (cut[:480] == 0).all()
    # 42 dB below the loudest is silence: 0.8 %.
    for soft, kept in ((0.009, 0.72), (0.007, 0.52)):
        quiet = sound + soft * burst(1.0, 1.2)
        assert len(trimmed(quiet.astype(np.float32))) == round(kept * SAMPLE_RATE_HZ)
    assert len(trimmed(burst(0, 0.5)[:24_000])) == 24_000


def test_ends_are_faded_over_four_thousandths() -> None:
    sound = np.ones(1_000, np.float32)
    soften(sound)
    ramp = np.arange(192) / 192
    assert sound[:192] == pytest.approx(ramp)
    assert sound[-192:] == pytest.approx(ramp[::-1])
    assert (sound[192:-192] == 1).all()
    short = np.ones(4, np.float32)
    soften(short)
    assert short.tolist() == [0, 0.5, 0.5, 0]


def test_the_beat_is_the_first_rise_within_three_tenths() -> None:
    assert beat_frame(burst(0.12, 1.0)) == frames(0.12)
    assert beat_frame(burst(0.05, 0.1) + burst(0.2, 1)) == frames(0.05)
    assert beat_frame(burst(0.31, 1.0)) == 0
    # Half of the highest is its beginning, less isn't.
    assert beat_frame(0.4 * burst(0.05, 0.1) + burst(0.2, 0.29)) == frames(0.2)
    assert beat_frame(0.6 * burst(0.05, 0.1) + burst(0.2, 0.29)) == frames(0.05)


def test_a_recording_is_quickened_by_a_fifth_and_slowed_by_a_third_at_most() -> None:
    """A line of 4 words a second apart lasts 3.5 s; half as fast a version may stretch twice."""
    line = told("go to the hill", "x.x.X.x.", 60)
    for said_sec, speed, lasts in (
        (3.5, 1, 3.5),
        (4.0, 1, 3.5),
        (5.0, 1, 4.0),
        (2.0, 1, 2.7),
        (2.0, 2, 1.6),  # room for 3.5, and no slower than 1.35 / 2 ... nor quicker than 0.8 / 2
    ):
        sound = burst(0, said_sec, said_sec)
        made = placed_recording(line, sound, Fraction(speed))
        assert made is not None
        wanted = lasts if speed == 1 else 2.0 * 1.35 / 2
        assert len(made.sound) == pytest.approx(wanted * SAMPLE_RATE_HZ, abs=1)
        assert made.start_frame == -beat_frame(made.sound)
    assert placed_recording(line, burst(0, 0, 0), Fraction(1)) is None


def test_parts_of_a_recording_each_meet_their_tap() -> None:
    """Four bursts that come too late and too long are each begun on a beat, and never overlap."""
    line = told("go to the hill", "x.x.X.x.", 60)
    sound = sum(burst(at, at + 0.8, 5.0) for at in (0.1, 1.3, 2.6, 3.9))
    assert isinstance(sound, np.ndarray)
    starts = (0, frames(1.2), frames(2.5), frames(3.8))
    made = placed_recording(line, sound.astype(np.float32), Fraction(1), starts)
    assert made is not None
    loud = envelope(made.sound) > 0.1
    begins = np.flatnonzero(np.diff(loud.astype(int), prepend=0) > 0) * 0.01
    begins += made.start_frame / SAMPLE_RATE_HZ
    assert begins[:4] == pytest.approx([0, 1, 2, 3], abs=0.03)


@pytest.mark.parametrize(
    ("speed", "longest_sec"), [(Fraction(1), 1.5), (Fraction(1, 2), 3.0), (Fraction(5, 4), 1.2)]
)
def test_a_part_is_slowed_by_half_and_more_in_a_slower_version(
    speed: Fraction, longest_sec: float
) -> None:
    """Of two parts of a second each the first has four seconds' room."""
    line = told("one two", "x...x...", 30)
    sound = np.concatenate([burst(0, 1, 1), burst(0, 1, 1)])
    made = placed_recording(line, sound, speed, (0, SAMPLE_RATE_HZ))
    assert made is not None
    loud = envelope(made.sound) > 0.05
    assert float(np.argmin(loud[5:]) + 5) * 0.01 == pytest.approx(longest_sec, abs=0.1)


def test_stretching_to_nothing_or_the_same() -> None:
    sound = burst(0, 1, 1)
    assert len(stretched(sound, 0)) == len(stretched(sound, -3)) == 0
    assert stretched(sound, len(sound)) is not None
    assert (stretched(sound, len(sound)) == sound).all()


def test_parts_are_not_believed_where_one_is_far_longer_than_it_should_be() -> None:
    """A high and a low sound of a second each; recorded, the second takes a fiftieth of a second
    more or all the rest."""
    rng = np.random.default_rng(1)
    high = np.diff(rng.normal(0, 0.1, SAMPLE_RATE_HZ + 1)).astype(np.float32)
    spoken_sound = np.concatenate([high, burst(0, 1, 1)])
    starts = (0, SAMPLE_RATE_HZ)
    same = part_starts(spoken_sound, spoken_sound, starts)
    assert same is not None
    assert same[0] == 0
    assert same[1] == pytest.approx(SAMPLE_RATE_HZ, abs=frames(0.04))
    later = np.concatenate([high, high[: frames(0.4)], burst(0, 1, 1)])
    found = part_starts(later, spoken_sound, starts)
    assert found is not None
    assert found[1] == pytest.approx(frames(1.4), abs=frames(0.06))
    assert part_starts(later, spoken_sound, ()) is None
    assert part_starts(np.tile(high, 16), spoken_sound, starts) is None
    assert part_starts(high[: frames(0.079)], spoken_sound, starts) is None


@pytest.mark.parametrize(
    ("language", "voice"), [(None, "en-gb"), ("en-AU", "en-gb"), ("cy-GB", "cy-gb")]
)
def test_who_says_what_and_how_fast(
    language: str | None, voice: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Words in the story's voice, with a breath between parts; cues always in another, at 170."""
    asked: list[tuple[str, str, int]] = []

    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        asked.append((text, voice, words_a_minute))
        return spoken(text, words_a_minute)

    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(tmp_path))
    monkeypatch.setattr(kept_speech, "speak", says)
    speaker = SyntheticVoice(VoiceProgram(("nowhere",), "by hand"), language)
    line = told("go, to the hill", "x.x.X.x.", 60)
    sound, starts = speaker.plain(line)
    assert asked == [
        ("go,", voice, 160), ("to,", voice, 160), ("the,", voice, 160), ("hill", voice, 160)
    ]  # fmt: skip
    assert starts == tuple(n * len(sound) // 4 for n in range(4))
    asked.clear()
    assert len(speaker.cue("beads in")) > 0
    assert asked == [("beads in", "en-gb+f3", 170)]
    assert len(speaker.cue("!")) == 0
    assert len(asked) == 1


def test_what_one_side_has_and_what_the_other_has_are_both_heard(tmp_path: Path) -> None:
    """Left for a second, right for the next: the mean of both, and not the louder one alone."""
    sides = np.stack([burst(0, 1), 0.9 * burst(1, 2)], axis=1)
    write(tmp_path / "01.wav", sides.astype(np.float32), SAMPLE_RATE_HZ)
    heard = envelope(read_recording(tmp_path / "01.wav").sound)
    assert len(heard) == pytest.approx(200, abs=3)
    assert heard[150] == pytest.approx(0.9 * heard[50], rel=0.05)


SAYS = """
import sys
open({noted!r}, "w").write(repr((sys.argv[1:], sys.stdin.buffer.read())))
sys.stdout.buffer.write({out!r})
"""


def a_program(tmp_path: Path, out: bytes) -> VoiceProgram:
    said = SAYS.format(noted=str(tmp_path / "noted"), out=out)
    return VoiceProgram((sys.executable, "-c", said), "by hand")


def test_what_a_program_is_asked_and_what_it_gives(tmp_path: Path) -> None:
    """A WAV file's head of 44 bytes, the rate at 24; samples of two bytes, the last cut off."""
    head = bytes(24) + (22_050).to_bytes(4, "little") + bytes(16)
    program = a_program(tmp_path, head + b"\x01\x00\xff\xff\x03\x02\x07")
    said = speak(program, "up we go", voice="en-gb+f3", words_a_minute=170)
    assert (said.samples.tolist(), said.rate_hz) == ([1, -1, 515], 22_050)
    noted = (tmp_path / "noted").read_text()
    assert noted == repr(
        (["-b", "1", "-v", "en-gb+f3", "-s", "170", "-z", "--stdin", "--stdout"], b"up we go")
    )
    with pytest.raises(VoiceMissing, match="no voice for “xx”"):
        speak(a_program(tmp_path, head), "up", voice="xx", words_a_minute=170)
    fails = VoiceProgram((sys.executable, "-c", "raise SystemExit(1)"), "by hand")
    with pytest.raises(VoiceMissing, match="could not speak “up” with its voice “cy”"):
        speak(fails, "up", voice="cy", words_a_minute=170)
    (tmp_path / "noted").unlink()
    for voice in ("../cy", "-cy", "cy gb", ""):
        with pytest.raises(VoiceMissing, match="is no language"):
            speak(program, "up", voice=voice, words_a_minute=170)
    assert not (tmp_path / "noted").exists()


@pytest.mark.parametrize(
    ("first", "second", "beside"),
    [
        ([0, 1, 2], [0, 0, 1, 2, 2], [0, 2, 3]),
        ([0.1, 0.2, 5, 6], [0, 5, 6], [0, 0, 1, 2]),
        ([0.1, 5.1, 6.1, 9.2], [0, 5, 5, 6, 7, 9], [0, 1, 3, 5]),
        ([3.0, 4.0], [3.5], [0, 0]),
    ],
)
def test_rows_lie_beside_those_that_are_most_like_them(
    first: list[float], second: list[float], beside: list[int]
) -> None:
    one, two = (np.array(each, np.float64)[:, None] for each in (first, second))
    # The first part begins at the beginning, whatever lies there.
    assert _warped(one, two)[1:] == beside[1:]
