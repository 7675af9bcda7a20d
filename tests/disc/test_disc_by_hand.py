"""The order of steps when a file is written, names of unfinished ones, and what is told outside."""

import errno
import os
import re
import stat
import sys
from pathlib import Path

import numpy as np
import pytest

from tapscore.disc import ours, programs, whole
from tapscore.disc.ours import read_arrays, read_record, write_arrays, write_record
from tapscore.disc.whole import (
    NotKeptError,
    followed,
    part_name,
    runs,
    sweep,
    write_whole_bytes,
)

posix = pytest.mark.skipif(os.name != "posix", reason="folders and links as POSIX has them")


@posix
def test_contents_then_name_are_made_durable(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, told = tmp_path / "a", list[tuple[str, bool]]()
    fsync = os.fsync

    def noted(handle: int) -> None:
        kind = "folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file"
        told.append((kind, path.exists() and path.read_bytes() == b"new"))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", noted)
    write_whole_bytes(path, b"new")
    assert told == [("file", False), ("folder", True)]


@posix
def test_written_over_with_both_texts_laid_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "story.yaml"
    path.write_bytes(b"old")
    os.link(path, tmp_path / "second")
    pour, seen = whole._pour, list[dict[str, bytes]]()

    def noted(source: Path, target: Path) -> None:
        beside = [each for each in tmp_path.iterdir() if each.suffix[1:].startswith("tapscore-")]
        seen.append({each.suffix: each.read_bytes() for each in beside})
        assert all(each.name.startswith(".story.yaml.") for each in beside)
        pour(source, target)

    monkeypatch.setattr(whole, "_pour", noted)
    write_whole_bytes(path, b"new text")
    (laid,) = seen
    assert laid[".tapscore-before"] == b"old"
    assert laid[".tapscore-after"] == b"new text"
    assert {each.name for each in tmp_path.iterdir()} == {"story.yaml", "second"}


def test_what_was_poured_is_read_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source, target = tmp_path / "a", tmp_path / "b"
    source.write_bytes(b"x" * (whole._BLOCK + 5))
    target.write_bytes(b"y" * (3 * whole._BLOCK))
    whole._pour(source, target)
    assert target.read_bytes() == source.read_bytes()
    digests = iter((b"one", b"other"))
    monkeypatch.setattr(whole, "_digest", lambda _: next(digests))
    with pytest.raises(NotKeptError, match="does not give back"):
        whole._pour(source, target)


@posix
def test_forty_links_are_followed_and_no_more(tmp_path: Path) -> None:
    (tmp_path / "0").write_bytes(b"")
    for number in range(1, 42):
        (tmp_path / str(number)).symlink_to(str(number - 1))
    assert followed(tmp_path / "40") == tmp_path / "0"
    assert followed(tmp_path / "0") == tmp_path / "0"
    with pytest.raises(OSError, match="circle") as error:
        followed(tmp_path / "41")
    assert error.value.errno == errno.ELOOP


def test_how_long_a_program_is_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, waits = tmp_path / "cards.pdf", list[float]()
    path.write_bytes(b"old")

    def refused(self: Path, target: Path) -> Path:
        raise PermissionError(errno.EACCES, "Access is denied", str(target))

    monkeypatch.setattr(whole, "_HELD_OPEN", True)
    monkeypatch.setattr("time.sleep", waits.append)
    monkeypatch.setattr(Path, "replace", refused)
    with pytest.raises(PermissionError, match="another program has it open"):
        write_whole_bytes(path, b"new")
    assert waits == [0.05, 0.1, 0.2, 0.4, 0.8]


def test_a_program_that_lets_go_is_asked_no_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, waits, replace = tmp_path / "cards.pdf", list[float](), Path.replace
    path.write_bytes(b"old")

    def held_a_while(self: Path, target: Path) -> Path:
        if len(waits) < 2:
            raise PermissionError(errno.EACCES, "Access is denied", str(target))
        return replace(self, target)

    monkeypatch.setattr(whole, "_HELD_OPEN", True)
    monkeypatch.setattr("time.sleep", waits.append)
    monkeypatch.setattr(Path, "replace", held_a_while)
    write_whole_bytes(path, b"new")
    assert waits == [0.05, 0.1]
    assert [(each.name, each.read_bytes()) for each in tmp_path.iterdir()] == [
        ("cards.pdf", b"new")
    ]


@pytest.mark.parametrize(
    "name", ["story.yaml", "x" * 90 + ".tapscore", "木" * 30, ".hidden", "a.b.c"]
)
def test_names_of_what_is_unfinished(name: str) -> None:
    made = part_name(name)
    stem, suffix = Path(name).stem, Path(name).suffix
    found = re.fullmatch(r"\.(.*)\.([0-9a-f]{6})-(\d+)-[0-9a-f]{8}\.tapscore-part(\..*)?", made)
    assert found is not None
    assert os.fsencode(stem)[:60] == os.fsencode(found[1])
    assert (found[4] or "") == suffix
    assert (found[2], int(found[3])) == (whole._host(), os.getpid())
    assert whole._LEFT.fullmatch(made)
    assert part_name(name) != made


def test_programs_that_run(monkeypatch: pytest.MonkeyPatch) -> None:
    assert runs(os.getpid())
    assert not runs(999_999_999)
    assert not runs(10**30)

    def refused(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "kill", refused)
    assert runs(1), "somebody else's runs, too"


def test_what_another_computer_left_goes_after_a_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = part_name("story.yaml").replace(f".{whole._host()}-", ".000000-")
    path = tmp_path / other
    path.write_bytes(b"")
    made = path.stat().st_mtime
    monkeypatch.setattr("time.time", lambda: made + 86_399)
    sweep(tmp_path)
    assert path.exists()
    monkeypatch.setattr("time.time", lambda: made + 86_401)
    sweep(tmp_path)
    assert not path.exists()


def test_a_record_is_plain_sorted_text(tmp_path: Path) -> None:
    ours.damaged()  # what other tests left is told
    path = tmp_path / "new" / "a.json"
    write_record(path, {"b": [1, 2.5], "a": "ä"})
    assert path.read_bytes() == b'{\n "a": "\\u00e4",\n "b": [\n  1,\n  2.5\n ]\n}'
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_record(path) == {"a": "ä", "b": [1, 2.5]}
    size = path.stat().st_size
    assert read_record(path, size) != {}
    assert read_record(path, size - 1) == {}
    assert ours.damaged() == (path,)


def test_arrays_up_to_their_bound(tmp_path: Path) -> None:
    path = tmp_path / "new" / "a.npz"
    write_arrays(path, {"a": np.arange(5, dtype=np.int8)})
    size = 128 + 5  # a head of the .npy format and five bytes
    assert read_arrays(path, {"a": 1}, size) is not None
    assert read_arrays(path, {"a": 1}, size - 1) is None
    for kind in (np.bool_, np.uint8, np.complex64):
        write_arrays(path, {"a": np.ones(2, kind)})
        assert read_arrays(path, {"a": 1}) is not None
    write_arrays(path, {"a": np.array(["x"])})
    assert read_arrays(path, {"a": 1}) is None
    assert read_arrays(tmp_path / "none.npz", {"a": 1}) is None


def test_another_program_gets_no_libraries_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr("sys.frozen", raising=False)
    assert not programs.packed()
    assert programs.outside() is None
    monkeypatch.setattr("sys.frozen", True, raising=False)
    assert programs.packed()
    for name, value in (
        *(("LD_LIBRARY_PATH", "ours"), ("LD_LIBRARY_PATH_ORIG", "theirs")),
        *(("DYLD_LIBRARY_PATH", "ours"), ("DYLD_FRAMEWORK_PATH", "ours")),
        *(("DYLD_FRAMEWORK_PATH_ORIG", ""), ("QT_PLUGIN_PATH", "ours"), ("PYTHONHOME", "ours")),
        *(("QML2_IMPORT_PATH", "ours"), ("QT_QPA_PLATFORM_PLUGIN_PATH", "ours"), ("HOME", "/h")),
    ):
        monkeypatch.setenv(name, value)
    told = programs.outside()
    assert told is not None
    assert told["LD_LIBRARY_PATH"] == "theirs"
    assert told["HOME"] == "/h"
    assert {
        name for name in told if name.startswith(("LD_L", "DYLD", "QT_PL", "QML", "PYTHONHOME"))
    } == {"LD_LIBRARY_PATH"}
    assert "QT_QPA_PLATFORM_PLUGIN_PATH" not in told


@posix
def test_programs_where_an_app_is_not_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "ffmpeg"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", "")
    monkeypatch.setattr(programs, "_FURTHER", {sys.platform: ("/none", str(tmp_path))})
    assert programs.installed_program("ffmpeg") == str(program)
    assert programs.installed_program("ffmpog") is None


@posix
def test_what_is_written_over_is_durable_before_the_notes_beside_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "story.yaml"
    path.write_bytes(b"old and longer")
    os.link(path, tmp_path / "second")
    number, synced = path.stat().st_ino, list[tuple[bytes, int]]()
    fsync = os.fsync

    def noted(handle: int) -> None:
        if os.fstat(handle).st_ino == number:
            synced.append((path.read_bytes(), len(list(tmp_path.glob(".story*before")))))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", noted)
    write_whole_bytes(path, b"new")
    assert synced == [(b"new", 1)]


@posix
def test_both_notes_are_durable_before_anything_is_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A power cut in the middle of it is mended from them."""
    path = tmp_path / "story.yaml"
    path.write_bytes(b"old")
    os.link(path, tmp_path / "second")
    durable: dict[bytes, bytes] = {}
    fsync, pour, at_pouring = os.fsync, whole._pour, list[set[bytes]]()

    def noted(handle: int) -> None:
        for each in tmp_path.glob(".story.yaml.*"):
            if os.fstat(handle).st_ino == each.stat().st_ino:
                durable[each.suffix.encode()] = each.read_bytes()
        fsync(handle)

    def poured(source: Path, target: Path) -> None:
        at_pouring.append(set(durable.values()))
        pour(source, target)

    monkeypatch.setattr(os, "fsync", noted)
    monkeypatch.setattr(whole, "_pour", poured)
    write_whole_bytes(path, b"new")
    assert at_pouring == [{b"old", b"new"}]
