"""A file is there whole or as it was; nothing is left lying about."""

import errno
import os
import stat
from functools import partial
from pathlib import Path

import pytest

from tapscore.disc.whole import write_whole, write_whole_bytes
from tapscore.workflow.whole_files import MadeFiles, write_whole_folder


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file(tmp_path: Path) -> None:
    write_whole_bytes(tmp_path / "a.txt", b"hello")
    assert (tmp_path / "a.txt").read_bytes() == b"hello"
    assert _names(tmp_path) == ["a.txt"]


def test_a_write_that_fails_midway_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")

    def half(unfinished: Path) -> None:
        unfinished.write_bytes(b"ha")
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(OSError, match="No space left"):
        write_whole(path, half)
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a.txt"]


def test_a_full_disc_leaves_nothing_half_written(tmp_path: Path) -> None:
    """``/dev/full`` (Linux) answers every write with 'no space left', as a full disc does."""
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")

    def to_full_disc(unfinished: Path) -> None:
        unfinished.write_bytes(b"half")
        with Path("/dev/full").open("wb", buffering=0) as full:
            full.write(b"rest")

    with pytest.raises(OSError) as caught:  # noqa: PT011 - the number is looked at
        write_whole(tmp_path / "a.txt", to_full_disc)
    assert caught.value.errno == errno.ENOSPC
    assert _names(tmp_path) == []


def test_an_interruption_leaves_nothing_either(tmp_path: Path) -> None:
    def stopped(unfinished: Path) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "a.txt", stopped)
    assert _names(tmp_path) == []


def test_a_failure_when_the_file_is_put_in_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")

    def refuse(self: Path, target: Path) -> Path:
        raise PermissionError(errno.EACCES, "in use")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(PermissionError):
        write_whole_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a.txt"]


def test_a_folder_in_the_place_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "a.txt").mkdir()
    with pytest.raises(OSError):  # noqa: PT011 - which one depends on the system
        write_whole_bytes(tmp_path / "a.txt", b"new")
    assert _names(tmp_path) == ["a.txt"]


def test_no_folder(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_whole_bytes(tmp_path / "missing" / "a.txt", b"new")


@pytest.mark.skipif(os.name != "posix", reason="file modes as POSIX has them")
def test_modes_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_whole_bytes(path, b"1")
    plain = tmp_path / "plain"
    plain.write_bytes(b"")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)
    path.chmod(0o640)
    write_whole_bytes(path, b"2")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_made_files_know_their_own(tmp_path: Path) -> None:
    mine, theirs = tmp_path / "mine", tmp_path / "theirs"
    mine.write_bytes(b"1")
    theirs.write_bytes(b"2")
    MadeFiles(tmp_path).remember(mine)
    again = MadeFiles(tmp_path)
    assert again.may_replace(mine)
    assert not again.may_replace(theirs)
    assert again.may_replace(tmp_path / "not there")
    mine.write_bytes(b"changed by somebody")
    assert not again.may_replace(mine)


@pytest.mark.parametrize(
    "record", [b"", b"\xff\xfe", b"[]", b"{}", b'{"made by tapscore": 3}', b"not json"]
)
def test_a_broken_record_means_that_nothing_is_ours(tmp_path: Path, record: bytes) -> None:
    (tmp_path / ".tapscore-made.json").write_bytes(record)
    (tmp_path / "a").write_bytes(b"1")
    made = MadeFiles(tmp_path)
    assert not made.may_replace(tmp_path / "a")
    made.remember(tmp_path / "a")
    assert MadeFiles(tmp_path).may_replace(tmp_path / "a")


def test_a_folder_is_there_whole_and_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "set"

    def first(unfinished: Path) -> None:
        (unfinished / "sound").mkdir()
        (unfinished / "sound" / "a.mp3").write_bytes(b"a")
        assert not path.exists()

    write_whole_folder(path, first)
    assert (path / "sound" / "a.mp3").read_bytes() == b"a"
    write_whole_folder(path, lambda unfinished: (unfinished / "b").touch())
    assert _names(path) == ["b"]
    assert _names(tmp_path) == ["set"]


def test_a_folder_that_fails_midway_leaves_the_old_one(tmp_path: Path) -> None:
    path = tmp_path / "set"
    path.mkdir()
    (path / "old").write_bytes(b"old")

    def half(unfinished: Path) -> None:
        (unfinished / "new").write_bytes(b"ne")
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(OSError, match="No space left"):
        write_whole_folder(path, half)
    assert _names(path) == ["old"]
    assert _names(tmp_path) == ["set"]
    with pytest.raises(OSError, match="No such file"):
        write_whole_folder(tmp_path / "none" / "set", half)


def test_a_folder_somebody_changed_is_known(tmp_path: Path) -> None:
    path = tmp_path / "set"
    write_whole_folder(path, lambda unfinished: (unfinished / "a").touch())
    made = MadeFiles(tmp_path)
    assert not made.may_replace(path)
    made.remember(path)
    assert MadeFiles(tmp_path).may_replace(path)
    (path / "a").rename(path / "b")
    assert not MadeFiles(tmp_path).may_replace(path)
    (path / "b").rename(path / "a")
    assert MadeFiles(tmp_path).may_replace(path)
    (path / "notes.txt").write_text("mine")
    assert not MadeFiles(tmp_path).may_replace(path)


def test_a_program_killed_before_it_remembered_knows_its_file_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "cards.pdf"
    made = MadeFiles(tmp_path)
    made.make(path, partial(_filled, b"first"))

    def killed(_: Path, *, more: bool) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(made, "remember", killed)
    with pytest.raises(KeyboardInterrupt):
        made.make(path, partial(_filled, b"second"))
    assert path.read_bytes() == b"second"
    assert MadeFiles(tmp_path).may_replace(path)
    path.write_bytes(b"first")
    assert MadeFiles(tmp_path).may_replace(path)
    path.write_bytes(b"by somebody else")
    assert not MadeFiles(tmp_path).may_replace(path)


def test_files_whose_note_waits_for_the_next_are_known_all_the_same(tmp_path: Path) -> None:
    paths = [tmp_path / f"{name}.pdf" for name in ("a", "b", "c")]
    made = MadeFiles(tmp_path)
    for path in paths:
        made.make(path, partial(_filled, path.name.encode()), more=True)
        # as if the program ended here
        assert all(MadeFiles(tmp_path).may_replace(each) for each in paths)
    made.note()
    assert "about to be made" not in (tmp_path / ".tapscore-made.json").read_text()
    assert all(MadeFiles(tmp_path).may_replace(each) for each in paths)
    paths[0].write_bytes(b"by somebody else")
    assert not MadeFiles(tmp_path).may_replace(paths[0])


def _filled(data: bytes, path: Path) -> None:
    path.write_bytes(data)


def test_a_folder_that_cannot_take_the_others_place_leaves_it_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards" / "1.txt").write_text("old")
    replace = Path.replace

    def refuses(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise PermissionError(errno.EACCES, "somebody looks into it")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", refuses)
    with pytest.raises(PermissionError):
        write_whole_folder(tmp_path / "cards", lambda new: (new / "1.txt").touch())
    assert (tmp_path / "cards" / "1.txt").read_text() == "old"
    assert _names(tmp_path) == ["cards"]
