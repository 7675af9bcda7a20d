"""The whole set in a folder: levels, tags, chapters, and stopping."""

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from tapscore.exports.audio import encode, sound_file
from tapscore.exports.audio.encode import AudioFormat, EncoderMissing, mp3_program
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.sound_file import open_sound_file
from tapscore.exports.audio.tags import Chapter, Tags, chapters, ffmetadata
from tapscore.exports.audio.versions.rehearsal_set import SetReport, rehearsal_set
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.workflow.product import SOUNDS
from tests.exports.audio.audio_stories import samples
from tests.exports.audio.versions.test_versions import told

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154"
    "789c63f8ffff3f0005fe02fea7352d1c0000000049454e44ae426082"
)
CHAPTERS = (Chapter(0.0, 0.5, "Dawn = ; # \\ 1"), Chapter(0.5, 1.0, "D\u00fcsk"))
TAGS = Tags("Whole: t", "The Mill", "second tapper", 3, CHAPTERS, PNG)


def _ffmpeg(*words: str) -> str:
    run = subprocess.run(
        [mp3_program(), "-hide_banner", *words], capture_output=True, text=True, check=True
    )
    return run.stderr + run.stdout


def _written(path: Path, kind: AudioFormat, tags: Tags = TAGS) -> None:
    t = np.arange(48_000) / 48_000
    wave = np.rint(9_000 * np.sin(2 * np.pi * 440 * t)).astype(np.int16)
    with open_sound_file(path, kind, tags) as write:
        for start in range(0, 48_000, 10_000):
            write(np.stack([wave[start : start + 10_000]] * 2, axis=1))


@pytest.mark.parametrize("kind", SOUNDS)
def test_tags_and_chapters_read_back_by_ffmpeg(kind: AudioFormat, tmp_path: Path) -> None:
    path = tmp_path / f"a.{kind}"
    _written(path, kind)
    said = _ffmpeg("-i", str(path), "-f", "null", "-").split("Output #0")[0]
    pairs = {(key.lower(), value) for key, value in re.findall(r"(?m)^\s+(\w+)\s*: (.*)$", said)}
    tagged = {("title", "Whole: t"), ("album", "The Mill"), ("artist", "second tapper")}
    assert tagged <= pairs
    if kind != "wav":
        starts = re.findall(r"Chapter #0:\d+: start ([\d.]+)", said)
        assert [float(start) for start in starts] == pytest.approx([0.0, 0.5], abs=0.01)
        assert "attached pic" in said
        assert all(f": {chapter.title}" in said for chapter in CHAPTERS)
    _ffmpeg("-i", str(path), "-map", "0:a", str(tmp_path / "back.wav"))
    assert len(samples(tmp_path / "back.wav")) / 48_000 == pytest.approx(1.0, abs=0.08)


@pytest.mark.parametrize("kind", ["mp3", "m4a", "ogg", "flac"])
def test_tags_and_cover_read_back_by_mutagen(kind: AudioFormat, tmp_path: Path) -> None:
    import base64

    import mutagen

    path = tmp_path / f"a.{kind}"
    _written(path, kind)
    found = mutagen.File(path)
    if kind == "mp3":
        assert str(found["TIT2"]) == "Whole: t"
        assert str(found["TPE1"]) == "second tapper"
        heard = sorted(found.tags.getall("CHAP"), key=lambda frame: frame.start_time)
        assert [(frame.start_time, frame.end_time) for frame in heard] == [(0, 500), (500, 1000)]
        assert [str(frame.sub_frames["TIT2"]) for frame in heard] == [c.title for c in CHAPTERS]
        assert found.tags.getall("APIC")[0].data == PNG
    elif kind == "m4a":
        assert found["\xa9nam"] == ["Whole: t"]
        assert bytes(found["covr"][0]) == PNG
    elif kind == "flac":
        assert found["title"] == ["Whole: t"]
        assert found.pictures[0].data == PNG
    else:
        assert found["artist"] == ["second tapper"]
        block = base64.b64decode(found["metadata_block_picture"][0])
        assert block.endswith(PNG)


@pytest.mark.parametrize("kind", ["mp3", "ogg", "flac", "wav"])
def test_without_ffmpeg_all_but_m4a_is_still_written(
    kind: AudioFormat, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import soundfile  # type: ignore[import-untyped]

    def missing() -> str:
        raise EncoderMissing("install ffmpeg")

    monkeypatch.setattr(sound_file, "mp3_program", missing)
    path = tmp_path / f"a.{kind}"
    _written(path, kind)
    with soundfile.SoundFile(path) as file:
        assert file.title == "Whole: t"
        assert file.frames / 48_000 == pytest.approx(1.0, abs=0.08)
    with pytest.raises(EncoderMissing, match="M4A"):
        _written(tmp_path / "a.m4a", "m4a")


def test_a_name_with_signs_of_its_own_is_written(tmp_path: Path) -> None:
    path = tmp_path / "-i %d a:b.mp3"
    _written(path, "mp3")
    assert path.stat().st_size > 1_000


def test_metadata_breaks_no_line() -> None:
    text = ffmetadata(Tags("a\nb=c;[CHAPTER]", "x\0y", chapters=(Chapter(0, 1, "d"),)))
    assert text.splitlines()[1:3] == ["title=a b\\=c\\;[CHAPTER]", "album=x y"]
    assert text.count("\n[CHAPTER]\n") == 1


def test_chapters_are_the_sections_without_gaps() -> None:
    performance = perform(told(), count_in_bars=2)
    found = chapters(performance, 99.0)
    assert [chapter.title for chapter in found] == ["Dawn <1>", "Dusk"]
    assert found[0].start_sec == 0
    assert found[0].end_sec == found[1].start_sec
    assert found[1].end_sec == 99
    second = next(s for s in performance.segments if s.section == "Dusk")
    assert found[1].start_sec == second.start_sec


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, SetReport, list[float]]:
    folder = tmp_path_factory.mktemp("set")
    shares: list[float] = []
    return folder, rehearsal_set(told(), folder, format="wav", progress=shares.append), shares


def test_all_files_are_there_and_nothing_else(made: tuple[Path, SetReport, list[float]]) -> None:
    folder, report, shares = made
    assert sorted(p.name for p in (folder / "sound").iterdir()) == sorted(report.files)
    assert sorted(p.name for p in folder.iterdir()) == ["index.html", "sound"]
    assert shares == sorted(shares)
    assert shares[-1] == 1
    total = sum(len(samples(folder / "sound" / name)) for name in report.files) / 48_000
    assert total == pytest.approx(report.length_sec)


def test_nothing_clips_and_levels_agree_with_ebur128_of_ffmpeg(
    made: tuple[Path, SetReport, list[float]],
) -> None:
    folder, report, _ = made
    peaks = []
    for name in report.files:
        path = folder / "sound" / name
        said = _ffmpeg("-i", str(path), "-af", "ebur128=peak=true", "-f", "null", "-")
        summary = said[said.index("Summary:") :]
        peak = re.search(r"Peak:\s+(-?[\d.]+) dBFS", summary)
        assert peak is not None
        peaks.append(float(peak[1]))
        if name == "whole.wav":
            loudness = re.search(r"I:\s+(-?[\d.]+) LUFS", summary)
            assert loudness is not None
            assert float(loudness[1]) == pytest.approx(report.integrated_lufs, abs=0.3)
    assert max(peaks) <= -0.9
    assert max(peaks) == pytest.approx(report.true_peak_dbtp, abs=0.3)


def test_one_gain_for_all(made: tuple[Path, SetReport, list[float]]) -> None:
    """A tap of the leader's is as loud in her own part as in the whole story."""
    folder, _, _ = made
    whole = samples(folder / "sound" / "whole.wav")
    part = samples(folder / "sound" / "part-1.wav")
    performance = perform(told(), count_in_bars=2)
    tap = next(tap for tap in performance.taps if tap.role == "leader")
    start = round(tap.onset_sec * 48_000)
    first, second = whole[start : start + 2_000], part[start : start + 2_000]
    assert np.abs(first).max() > 0.05
    assert np.abs(first - second).max() < 1e-4  # two steps of sixteen bits


def _after(calls: int) -> Callable[[], bool]:
    left = iter(range(calls))
    return lambda: next(left, None) is None


@pytest.mark.parametrize("calls", [0, 4, 14, 20])
def test_stopping_ends_all_work_before_it_is_told(calls: int, tmp_path: Path) -> None:
    with pytest.raises(GuideCancelled):
        rehearsal_set(told(), tmp_path, cancelled=_after(calls))
    import threading

    assert not [t for t in threading.enumerate() if t.name.startswith("rehearsal")]
    before = {path: path.stat().st_size for path in tmp_path.rglob("*.mp3")}
    assert {path: path.stat().st_size for path in tmp_path.rglob("*.mp3")} == before
    assert not (tmp_path / "index.html").exists()


def test_an_error_in_one_file_is_passed_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "program").write_text("#!/bin/sh\necho No space left on device >&2\nexit 1\n")
    (tmp_path / "program").chmod(0o755)
    monkeypatch.setattr(sound_file, "mp3_program", lambda: str(tmp_path / "program"))
    (tmp_path / "set").mkdir()
    with pytest.raises(OSError, match="disc is full"):
        rehearsal_set(told(), tmp_path / "set")


def test_m4a_without_ffmpeg_is_told_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import imageio_ffmpeg  # type: ignore[import-untyped]

    def missing() -> str:
        raise RuntimeError("no ffmpeg exe could be found")

    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", missing)
    with pytest.raises(EncoderMissing, match="ffmpeg"):
        rehearsal_set(told(), tmp_path, format="m4a")
    assert not list(tmp_path.iterdir())
    report = rehearsal_set(told(), tmp_path, format="flac")
    assert [finding.code for finding in report.findings] == ["encoder-missing"]


def test_an_empty_story_has_a_silent_file_and_a_page(tmp_path: Path) -> None:
    report = rehearsal_set(Story(""), tmp_path)
    assert report.files == ("whole.mp3",)
    assert (tmp_path / "index.html").is_file()


def test_the_page_is_data_and_needs_no_network(made: tuple[Path, SetReport, list[float]]) -> None:
    folder, report, _ = made
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"(src|href)\s*=\s*[\"']?(https?:)?//", page)
    assert "http" not in page.replace("data:font", "")
    (line,) = re.findall(r"const entries = (.*);\n", page)
    entries = json.loads(line)
    assert [entry["source"] for entry in entries] == [f"sound/{name}" for name in report.files]
    assert all((folder / entry["source"]).is_file() for entry in entries)
    assert encode.lossy("wav") is False
