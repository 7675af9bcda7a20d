"""The whole guide, as a file: what an independent ear finds in it."""

import math
import re
import subprocess
from collections.abc import Callable
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio import encode
from tapscore.exports.audio.encode import EncoderMissing, NoSuchProgram, mp3_program
from tapscore.exports.audio.guide import AudioReport, GuideCancelled, audio_guide
from tapscore.exports.audio.voice.decode import RecordingUnusable, read_recording
from tapscore.model.board import Board, Named, Point
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Story
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.workflow.product import SOUNDS
from tests.exports.audio.audio_stories import (
    found_onsets_sec,
    guide_performance,
    lane,
    samples,
    story,
    varied,
)


def _made(told: Story, path: Path) -> AudioReport:
    (kind,) = (known for known in SOUNDS if path.suffix == f".{known}")
    return audio_guide(told, guide_performance(told), path, format=kind)


@pytest.mark.parametrize("stroke", Stroke)
@pytest.mark.parametrize("loudness", [Loudness.QUIET, Loudness.VERY_LOUD])
def test_taps_are_heard_when_they_are_played(
    stroke: Stroke, loudness: Loudness, tmp_path: Path
) -> None:
    told = story(
        Line("a", lane("tx..x.t.", "x..xt...", pickup="t")),  # on clicks and between them
        Line("b", lane("x.t...xx"), PartialManner(tempo=Tempo(Fraction(50), Fraction(31)))),
        tempo=Tempo(Fraction(47)),
        stroke=stroke,
        loudness=(loudness,),
        heading="",  # no bell
    )
    performance = guide_performance(told)
    _made(told, tmp_path / "a.wav")
    heard = np.array(found_onsets_sec(samples(tmp_path / "a.wav")))
    for tap in performance.taps:
        assert np.abs(heard - tap.onset_sec).min() < 0.005
    expected = np.array(
        [tap.onset_sec for tap in performance.taps] + [beat.onset_sec for beat in performance.beats]
    )
    if stroke not in (Stroke.SCRATCH, Stroke.SWEEP):  # these have a grain that is heard too
        assert all(np.abs(expected - second).min() < 0.005 for second in heard)


def test_first_frame_of_a_tap_is_its_second_rounded(tmp_path: Path) -> None:
    told = story(Line("", lane("...t....")), tempo=Tempo(Fraction(97)), heading="")
    performance = perform(told)
    audio_guide(told, performance, tmp_path / "a.wav", format="wav")
    sound = np.abs(samples(tmp_path / "a.wav").sum(axis=1))
    onset = performance.taps[0].onset_sec * 48_000
    between = slice(round(onset) - 4_000, round(onset) + 200)
    first = between.start + np.flatnonzero(sound[between] > 1e-3)[0]
    assert round(onset) <= first <= round(onset) + 10


def test_steps_of_loudness_keep_their_distance(tmp_path: Path) -> None:
    lines = [
        Line("a", lane("...t...."), PartialManner(loudness=(loudness,))) for loudness in Loudness
    ]
    told = story(*lines, stroke=Stroke.KNUCKLES)
    performance = guide_performance(told)
    _made(told, tmp_path / "a.wav")
    sound = samples(tmp_path / "a.wav")
    heard_db = []
    for tap in performance.taps:
        start = round(tap.onset_sec * 48_000)
        power = np.square(sound[start : start + 9_600]).sum()
        heard_db.append(10 * math.log10(power))
    # 5 dB a step by weighted loudness; by plain energy a little less or more.
    assert np.diff(heard_db) == pytest.approx([5.0] * 4, abs=1.5)


@pytest.mark.parametrize("everyone", [1, 6])
def test_nothing_clips_however_many_tap(everyone: int, tmp_path: Path) -> None:
    roles = tuple(f"adult {i}" for i in range(everyone))
    told = story(
        Line("a", lane("XXXXXXXX", "XXXXXXXX")),
        roles=roles,
        by=("everyone",),
        loudness=(Loudness.VERY_LOUD,),
        tempo=Tempo(Fraction(200)),
    )
    report = _made(told, tmp_path / "a.wav")
    peak = np.abs(samples(tmp_path / "a.wav")).max()
    assert peak <= 10 ** (-1 / 20) + 1e-4
    assert report.true_peak_dbtp <= -1 + 1e-6
    assert report.integrated_lufs <= -18 + 1e-6
    assert report.true_peak_dbtp == pytest.approx(-1, abs=1e-6) or (
        report.integrated_lufs == pytest.approx(-18, abs=1e-6)
    )


@pytest.mark.parametrize("suffix", ["wav", "mp3"])
def test_levels_agree_with_ebur128_of_ffmpeg(suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"a.{suffix}"
    report = _made(varied(), path)
    said = _ffmpeg("-i", str(path), "-af", "ebur128=peak=true", "-f", "null", "-")
    summary = said[said.index("Summary:") :]
    loudness = re.search(r"I:\s+(-?[\d.]+) LUFS", summary)
    peak = re.search(r"Peak:\s+(-?[\d.]+) dBFS", summary)
    assert loudness is not None
    assert peak is not None
    assert float(loudness[1]) == pytest.approx(report.integrated_lufs, abs=0.3)
    assert float(peak[1]) == pytest.approx(report.true_peak_dbtp, abs=0.3 if suffix == "wav" else 1)
    assert float(peak[1]) <= -0.9
    assert report.true_peak_dbtp == pytest.approx(-1 if suffix == "wav" else -2, abs=1e-6)


def _ffmpeg(*words: str) -> str:
    run = subprocess.run(
        [mp3_program(), "-hide_banner", *words], capture_output=True, text=True, check=True
    )
    return run.stderr + run.stdout


def test_mp3_is_whole_and_has_a_title(tmp_path: Path) -> None:
    path = tmp_path / "a.mp3"
    report = _made(varied(), path)
    tags = _ffmpeg("-i", str(path), "-f", "ffmetadata", "-")
    assert "title=The L\u00f6ng Tale" in tags
    ends_ms = [int(line.removeprefix("END=")) for line in tags.splitlines() if "END=" in line]
    assert ends_ms[-1] == pytest.approx(1000 * report.length_sec, abs=60)
    _ffmpeg("-i", str(path), str(tmp_path / "back.wav"))
    back = samples(tmp_path / "back.wav")
    assert len(back) / 48_000 == pytest.approx(report.length_sec, abs=0.06)
    heard = np.array(found_onsets_sec(back))
    for tap in guide_performance(varied()).taps:
        assert np.abs(heard - tap.onset_sec).min() < 0.005


def test_wav_has_a_title_and_the_stated_length(tmp_path: Path) -> None:
    import soundfile  # type: ignore[import-untyped]

    told = varied()
    report = _made(told, tmp_path / "a.wav")
    with soundfile.SoundFile(tmp_path / "a.wav") as file:
        assert file.title == told.title
        assert (file.samplerate, file.channels, file.subtype) == (48_000, 2, "PCM_16")
        assert file.frames / 48_000 == report.length_sec
    assert report.length_sec >= guide_performance(told).length_sec
    assert report.taps == len(guide_performance(told).taps)


def test_the_same_story_gives_the_same_bytes(tmp_path: Path) -> None:
    _made(varied(), tmp_path / "a.wav")
    _made(varied(), tmp_path / "b.wav")
    assert (tmp_path / "a.wav").read_bytes() == (tmp_path / "b.wav").read_bytes()


@pytest.mark.parametrize("kind", ["wav", "mp3"])
def test_an_open_file_will_do(kind: encode.AudioFormat, tmp_path: Path) -> None:
    told = varied()
    held = BytesIO()
    audio_guide(told, guide_performance(told), held, format=kind)
    _made(told, tmp_path / f"a.{kind}")
    assert held.getvalue() == (tmp_path / f"a.{kind}").read_bytes()


def test_waits_are_silent_after_their_tone(tmp_path: Path) -> None:
    told = varied()
    performance = guide_performance(told)
    _made(told, tmp_path / "a.wav")
    sound = samples(tmp_path / "a.wav")
    offer = performance.segments[4]
    start = round((offer.start_sec + 2.5) * 48_000)
    end = round((offer.start_sec + 3.9) * 48_000)
    assert not sound[start:end].any()
    assert sound[round(offer.start_sec * 48_000) : start].any()


def test_an_empty_story_is_a_moment_of_silence(tmp_path: Path) -> None:
    for kind in ("wav", "mp3"):
        report = _made(Story(""), tmp_path / f"a.{kind}")
        assert report == AudioReport(0.5, -math.inf, -math.inf, 0.0, 48_000, 0)
    assert not samples(tmp_path / "a.wav").any()


def test_progress_rises_from_0_to_1(tmp_path: Path) -> None:
    told = varied()
    for kind in ("wav", "mp3"):
        shares: list[float] = []
        audio_guide(
            told,
            guide_performance(told),
            tmp_path / f"a.{kind}",
            format=kind,
            progress=shares.append,
        )
        assert shares == sorted(shares)
        assert len(shares) > 10
        assert 0 < shares[0] < 0.1
        assert shares[-1] == 1


def _after(calls: int) -> Callable[[], bool]:
    left = iter(range(calls))
    return lambda: next(left, None) is None


@pytest.mark.parametrize("kind", ["wav", "mp3"])
@pytest.mark.parametrize("calls", [0, 3, 30])
def test_cancelling_leaves_nothing(kind: encode.AudioFormat, calls: int, tmp_path: Path) -> None:
    told = varied()
    path = tmp_path / "a"
    held = BytesIO(b"before")
    for out in (path, held):
        with pytest.raises(GuideCancelled):
            audio_guide(told, guide_performance(told), out, format=kind, cancelled=_after(calls))
    assert path.read_bytes() == b""
    assert held.getvalue() == b""
    assert list(tmp_path.iterdir()) == [path]


def test_cancelling_when_all_is_mixed_saves_the_encoding(tmp_path: Path) -> None:
    told = varied()
    shares = [0.0]
    with pytest.raises(GuideCancelled):
        audio_guide(
            told,
            guide_performance(told),
            tmp_path / "a.mp3",
            format="mp3",
            progress=shares.append,
            cancelled=lambda: shares[-1] > 0.7999,
        )
    assert shares[-1] == pytest.approx(0.8)


def test_missing_ffmpeg_is_said_plainly_and_mp3_still_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import imageio_ffmpeg  # type: ignore[import-untyped]

    def missing() -> str:
        raise RuntimeError("no ffmpeg exe could be found")

    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", missing)
    with pytest.raises(EncoderMissing, match="install ffmpeg") as caught:
        _made(varied(), tmp_path / "a.m4a")
    assert isinstance(caught.value, OSError)
    assert "M4A" in str(caught.value)
    assert not (tmp_path / "a.m4a").exists()
    for kind in ("wav", "mp3", "ogg", "flac"):
        assert _made(varied(), tmp_path / f"a.{kind}").taps == 14


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full disk to try")
@pytest.mark.parametrize("kind", ["wav", "mp3"])
def test_a_full_disk_is_an_os_error(kind: encode.AudioFormat) -> None:
    told = varied()
    with pytest.raises(OSError, match=r"disc is full|No space left"):
        audio_guide(told, guide_performance(told), Path("/dev/full"), format=kind)


def test_an_unwritable_place_is_an_os_error_and_harms_nothing(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file"):
        _made(varied(), tmp_path / "nowhere" / "a.wav")
    assert not list(tmp_path.iterdir())


def test_adults_are_heard_from_the_leaders_seat(tmp_path: Path) -> None:
    seats = {"north": (600, 900), "east": (1200, 450), "west": (0, 450)}
    board = Board(
        Fraction(1200),
        Fraction(900),
        seats=tuple(Named(n, Point(Fraction(x), Fraction(y))) for n, (x, y) in seats.items()),
    )
    for seat in ("east", "west"):
        told = Story(
            "t",
            board=board,
            roles=(Role("leader", "north"), Role("helper", seat)),
            sections=story(Line("", lane("...t...."), PartialManner(by=("helper",)))).sections,
        )
        performance = perform(told)
        audio_guide(told, performance, tmp_path / "a.wav", format="wav")
        start = round(performance.taps[0].onset_sec * 48_000)
        left, right = np.square(samples(tmp_path / "a.wav")[start : start + 9_600]).sum(axis=0)
        # The leader sits in the north and looks south: the east is to the left.
        apart_db = 10 * math.log10(left / right) * (1 if seat == "east" else -1)
        assert 2 < apart_db < 8


def test_an_ffmpeg_that_the_environment_names_rightly_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "ffmpeg"
    own.write_text("#!/bin/sh\n")
    own.chmod(0o755)
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", str(own))
    assert mp3_program() == str(own)


@pytest.mark.parametrize("named", ["nowhere/ffmpeg", "a folder", "no program"])
def test_an_ffmpeg_that_the_environment_names_wrongly_is_said(
    named: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a folder").mkdir()
    (tmp_path / "no program").write_text("words")
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", str(tmp_path / named))
    with pytest.raises(NoSuchProgram, match=r"IMAGEIO_FFMPEG_EXE .*take the variable away"):
        mp3_program()
    recording = tmp_path / "line.m4a"
    recording.write_bytes(b"\0" * 99)
    with pytest.raises(RecordingUnusable, match=r"line\.m4a: .*IMAGEIO_FFMPEG_EXE"):
        read_recording(recording)
