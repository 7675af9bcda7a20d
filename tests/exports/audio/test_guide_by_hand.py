"""How a guide is proved, counted and covered, and what makes a tap's colour, worked out by hand."""

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager
from fractions import Fraction
from math import pi
from pathlib import Path
from typing import BinaryIO

import numpy as np
import pytest
from numpy.typing import NDArray

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.exports.audio import cover, guide, tap_sound
from tapscore.exports.audio.encode import AudioFormat, to_frames
from tapscore.exports.audio.guide import AudioReport, audio_guide
from tapscore.exports.audio.mix import mixed_blocks
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.proof import GuideUnfit, Proof
from tapscore.exports.audio.sound import HIGH_PASS_A, HIGH_PASS_B, SHELF_A, SHELF_B, level
from tapscore.exports.audio.sound_file import written_into
from tapscore.exports.audio.tags import Tags
from tapscore.exports.paper.fonts import BOLD
from tapscore.model.board import Point
from tapscore.model.story import Line
from tapscore.model.strokes import Stroke
from tapscore.rhythm.perform import perform
from tests.exports.audio.audio_stories import guide_performance, lane, samples, story, varied

RATE = 48_000


# --- the proof


def proved(
    sound: NDArray[np.float32], start: int = 0, written: NDArray[np.float32] | None = None
) -> None:
    """Prove a guide of two seconds with one sound in it, or with something else ``written``."""
    heard = np.zeros((2, 2 * RATE), np.float32)
    put = sound if written is None else written
    heard[:, start : start + len(put)] = put
    proof = Proof([PlacedSound(start, sound, 1.0, 1.0)])
    for begin in range(0, heard.shape[1], 7_000):
        proof.add(to_frames(heard[:, begin : begin + 7_000], 1.0))
    proof.end()


def loud(count: int) -> NDArray[np.float32]:
    return np.full(count, 0.1, np.float32)


@pytest.mark.parametrize(
    ("breath_sec", "fit"), [(0.0, True), (0.23, True), (0.26, False), (0.5, False)]
)
def test_a_line_may_begin_with_a_breath_of_a_quarter_second(breath_sec: float, fit: bool) -> None:
    sound = loud(RATE)
    sound[: round(breath_sec * RATE)] = 0
    if fit:
        proved(sound)
        return
    with pytest.raises(GuideUnfit, match=r"at 0:00\.0 there would be silence"):
        proved(sound)


def test_sound_after_it_or_before_it_is_not_it() -> None:
    """Windows are of a hundredth of a second: 480 frames."""
    tap, nothing = loud(480), np.zeros(480, np.float32)
    proved(tap, 4_800)
    with pytest.raises(GuideUnfit, match=r"at 0:00\.1"):
        proved(tap, 4_800, nothing)
    heard = np.zeros((2, RATE), np.float32)
    heard[:, :4_800] = 0.1
    heard[:, 5_280:] = 0.1
    proof = Proof([PlacedSound(4_800, tap, 1.0, 1.0)])
    proof.add(to_frames(heard, 1.0))
    with pytest.raises(GuideUnfit, match="silence"):
        proof.end()
    one = Proof([PlacedSound(4_800, tap, 0.0, 1.0)])
    heard[:, 4_900] = 0.1
    one.add(to_frames(heard, 1.0))
    one.end()


@pytest.mark.parametrize(("height", "fit"), [(9_999.0, True), (10_000.0, False)])
def test_how_loud_a_sound_may_be(height: float, fit: bool) -> None:
    sounds = [PlacedSound(90 * RATE, np.array([0.0, -height], np.float32), 1.0, 1.0)]
    if fit:
        Proof(sounds)
        return
    with pytest.raises(GuideUnfit, match=r"at 1:30\.0 is far too loud"):
        Proof(sounds)


def test_a_sound_near_the_end_of_what_is_written_is_looked_for_there() -> None:
    """The last window is a short one, and what begins before the first frame ends in it."""
    proved(loud(100), 2 * RATE - 100)
    with pytest.raises(GuideUnfit, match=r"at 0:02\.0 there would be silence"):
        proved(loud(100), 2 * RATE - 100, loud(0))


def test_factors_that_are_no_numbers_are_told() -> None:
    with pytest.raises(GuideUnfit, match="can't be worked out"):
        Proof([PlacedSound(0, loud(480), np.inf, 1.0)])


# --- the guide


@pytest.mark.parametrize(
    ("format", "half", "written"), [("wav", 0.4, 1.0), ("flac", 0.4, 1.0), ("mp3", 0.4, 0.8)]
)
def test_how_far_it_is(format: AudioFormat, half: float, written: float, tmp_path: Path) -> None:
    """Four tenths are measuring; the encoder of a lossy file has a fifth after the last block."""
    shares: list[float] = []
    performance = guide_performance(varied())
    report = audio_guide(
        varied(), performance, tmp_path / "g", format=format, progress=shares.append
    )
    blocks = -(-round(report.length_sec * RATE) // 65_536)
    assert len(shares) == 2 * blocks + 1
    assert shares[blocks - 1] == pytest.approx(half)
    assert shares[2 * blocks - 1] == pytest.approx(written)
    assert shares[-1] == 1.0
    first = 65_536 / (report.length_sec * RATE)
    assert shares[0] == pytest.approx(0.4 * first)
    assert shares[blocks] == pytest.approx(half + (written - half) * first)


def test_what_is_reported_of_a_guide(tmp_path: Path) -> None:
    told = story(Line("one", lane("X.......")), heading="")
    performance = perform(told, count_in_bars=1)
    report = audio_guide(told, performance, tmp_path / "g.wav", format="wav")
    assert isinstance(report, AudioReport)
    assert report.sample_rate_hz == RATE
    assert report.taps == 1
    assert report.length_sec == pytest.approx(performance.length_sec + 0.5, abs=1e-4)
    found = samples(tmp_path / "g.wav")
    assert len(found) == round(report.length_sec * RATE)
    assert 20 * np.log10(np.abs(found).max()) <= report.true_peak_dbtp + 0.01
    assert report.true_peak_dbtp <= -1 + 1e-6


def test_what_a_guide_s_file_says_of_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its title, its picture, and chapters to the file's own end."""
    told: list[Tags] = []

    def note(out: BinaryIO, kind: AudioFormat, tags: Tags) -> AbstractContextManager[object]:
        told.append(tags)
        return written_into(out, kind, tags)

    monkeypatch.setattr(guide, "written_into", note)
    late = PlacedSound(20 * RATE, loud(RATE), 0.5, 0.5)
    performance = guide_performance(varied())
    audio_guide(
        *(varied(), performance, tmp_path / "g.wav"), format="wav", spoken=[late], cover_png=b"png"
    )
    end_sec = max(performance.length_sec + 0.5, 21.0)
    (tags,) = told
    assert (tags.title, tags.story, tags.cover_png) == (varied().title, varied().title, b"png")
    assert (tags.role, tags.track) == ("", None)
    (chapter,) = tags.chapters
    assert (chapter.start_sec, chapter.title) == (0, "Evening")
    assert chapter.end_sec == pytest.approx(end_sec, abs=1e-4)


def test_a_guide_with_a_hole_is_not_handed_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def without_end(
        sounds: Sequence[PlacedSound], length_frames: int
    ) -> Iterator[NDArray[np.float32]]:
        for count, block in enumerate(mixed_blocks(sounds, length_frames)):
            yield block if count < 3 else 0 * block

    monkeypatch.setattr(guide, "mixed_blocks", without_end)
    with pytest.raises(GuideUnfit, match="silence where there should be sound"):
        audio_guide(varied(), guide_performance(varied()), tmp_path / "g.wav", format="wav")
    assert (tmp_path / "g.wav").read_bytes() == b""


def test_words_that_last_longer_than_the_story_are_heard_to_their_end(tmp_path: Path) -> None:
    told = story(Line("one", lane("X.......")), heading="")
    performance = perform(told)
    late = PlacedSound(round(performance.length_sec * RATE), loud(RATE), 0.5, 0.5)
    report = audio_guide(told, performance, tmp_path / "g.wav", format="wav", spoken=[late])
    assert report.length_sec == pytest.approx(performance.length_sec + 1.0, abs=1e-4)
    assert np.abs(samples(tmp_path / "g.wav")[-100:]).min() > 0


# --- a tap's colour


@pytest.mark.parametrize(
    ("place", "x", "y"),
    [(0, 11, -38), (1, 25, 50), (2, -67, -26)],
)
def test_where_each_hand_lands(place: int, x: int, y: int) -> None:
    """40 mm from the spot at 5 radians, each further hand 16 mm and 2.4 radians on:
    cos 5 = .284, sin 5 = -.959; 56 mm at 7.4: .438, .899; 72 mm at 9.8: -.930, -.367."""
    board = SOUNDING_BOARD
    at = Point(Fraction(300), Fraction(200))
    assert tap_sound._hand(board, at, place) == Point(Fraction(300 + x), Fraction(200 + y))
    middle = Point(board.width_mm / 2, board.depth_mm / 2)
    assert tap_sound._hand(board, None, place) == Point(middle.x_mm + x, middle.y_mm + y)


def response(corner_hz: float, hz: float) -> float:
    """How much of a tone is above a corner, by the filter, once it has settled."""
    tone = np.sin(2 * pi * hz * np.arange(RATE) / RATE)
    return float(np.abs(tap_sound._above(tone, corner_hz)[RATE // 2 :]).max())


def test_low_parts_are_weakened_by_a_filter_of_the_first_order() -> None:
    """Half the power at its corner, a tenth of the height at a tenth of it, all far above."""
    assert response(300, 300) == pytest.approx(1 / np.sqrt(2), abs=0.02)
    assert response(300, 30) == pytest.approx(0.1, abs=0.01)
    assert response(300, 6_000) == pytest.approx(1, abs=0.03)


def test_loud_taps_are_brighter_by_twelve_decibels_at_most() -> None:
    def at(hz: float, share: float) -> float:
        tone = np.sin(2 * pi * hz * np.arange(RATE) / RATE)
        return float(np.abs(tap_sound._for_a_phone(tone, share)[RATE // 2 :]).max())

    assert 20 * np.log10(at(9_000, 1.0) / at(9_000, 0.0)) == pytest.approx(12, abs=0.6)
    assert 20 * np.log10(at(9_000, 0.5) / at(9_000, 0.0)) == pytest.approx(6, abs=0.5)
    assert 20 * np.log10(at(90, 1.0) / at(90, 0.0)) < 3


def tap(stroke: Stroke, loudness: str, length_sec: float = 0.0) -> NDArray[np.float32]:
    asked = tap_sound.tap_asked(stroke, Fraction(loudness), accent=False, length_sec=length_sec)
    return tap_sound.tap_sound(asked)


def test_a_shade_of_sound_every_quarter_step() -> None:
    same = tap(Stroke.FLAT_HAND, "2")
    assert tap(Stroke.FLAT_HAND, "2.1") is same
    assert tap(Stroke.FLAT_HAND, "2.2") is tap(Stroke.FLAT_HAND, "2.25")
    assert tap(Stroke.FLAT_HAND, "2.25") is not same
    assert len(same) <= round(0.32 * RATE)


@pytest.mark.parametrize(
    ("length_sec", "heard_sec"), [(0.0, 0.08), (0.083, 0.08), (0.5, 0.5), (0.5049, 0.5), (99, 6.0)]
)
def test_how_long_a_rub_is_heard(length_sec: float, heard_sec: float) -> None:
    sound = tap(Stroke.SWEEP, "1", length_sec)
    assert len(sound) / RATE == pytest.approx(heard_sec, abs=0.0051)
    assert not sound.flags.writeable
    assert abs(sound[-1]) < 1e-4


# --- the cover


def test_titles_have_three_lines_at_most_and_the_largest_letters() -> None:
    short, font = cover._fitted("The Mill")
    assert short == "The Mill"
    assert getattr(font, "size", None) == 128
    longer, smaller = cover._fitted("The very long story of the old mill by the river and the moon")
    assert len(longer.splitlines()) == 3
    assert getattr(smaller, "size", 0) < 128
    longest, smallest = cover._fitted("many words again " * 30)
    assert len(longest.splitlines()) == 3
    assert longest.endswith(" ...")
    assert getattr(smallest, "size", None) == 64
    wide = cover._cut("w" * 200, cover._font(BOLD, 64))
    assert cover._font(BOLD, 64).getlength(wide) <= 1200 - 2 * 96
    assert cover._font(BOLD, 64).getlength(wide + "w") > 1200 - 2 * 96
    assert cover._cut("", cover._font(BOLD, 64)) == ""
    full, font = cover._fitted("w" * 25 + " " + "w" * 25 + " " + "w" * 20 + " w" * 25)
    assert full.endswith(" ...")
    assert all(font.getlength(line) <= 1200 - 2 * 96 for line in full.splitlines())


@pytest.mark.parametrize("hz", [40.0, 200.0, 1_000.0, 4_000.0, 12_000.0])
def test_sounds_are_brought_to_one_loudness_as_the_ear_weighs_them(hz: float) -> None:
    """BS.1770-5's weighting by scipy, on its own coefficients: the loudest tenth of a second of
    a tone at any pitch has the energy of a quarter of full scale after it."""
    from scipy import signal  # type: ignore[import-untyped]

    _, shelf = signal.freqz(SHELF_B, SHELF_A, worN=[hz], fs=RATE)
    _, high_pass = signal.freqz(HIGH_PASS_B, HIGH_PASS_A, worN=[hz], fs=RATE)
    weight = float(abs(shelf[0] * high_pass[0]))
    swell = np.clip(np.minimum(np.arange(RATE), np.arange(RATE)[::-1]) / (RATE / 4), 0, 1)
    tone = np.sin(2 * pi * hz * np.arange(RATE) / RATE) * swell
    made = level(0.01 * tone)
    assert np.abs(made).max() * weight / np.sqrt(2) == pytest.approx(0.25, rel=0.01)


def test_what_rings_after_a_knock_counts_and_nothing_before_it() -> None:
    """Bursts, weighted by scipy's filters: the tenth of a second with the most energy."""
    from scipy import signal

    rng = np.random.default_rng(4)
    for begin in (0, RATE // 3, RATE - 2_000):
        burst = np.zeros(RATE)
        burst[begin:] = np.cumsum(rng.standard_normal(RATE - begin)) * 0.01
        weighted = signal.lfilter(SHELF_B, SHELF_A, np.pad(burst, (0, RATE)))
        weighted = signal.lfilter(HIGH_PASS_B, HIGH_PASS_A, weighted)
        energy = np.cumsum(np.square(np.pad(weighted, (RATE // 10, 0))))
        most = (energy[RATE // 10 :] - energy[: -RATE // 10]).max() / (RATE // 10)
        assert level(burst) == pytest.approx(burst * 0.25 / np.sqrt(most), rel=1e-3)
