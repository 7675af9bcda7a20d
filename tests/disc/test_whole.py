"""A file keeps its place, its names and its rights, whatever becomes of the writing.

Outside: what POSIX says of rename() (the new file takes the place in one step; a link is not
followed), link() and open(O_NONBLOCK) on a pipe (The Open Group Base Specifications, Issue 7).
"""

import errno
import os
import stat
from pathlib import Path

import pytest

from tapscore.disc import whole
from tapscore.disc.reading import NotAFileError, TooLargeError, read_bounded
from tapscore.disc.whole import (
    NotKeptError,
    finish_interrupted,
    part_name,
    sweep,
    write_whole,
    write_whole_bytes,
)

posix = pytest.mark.skipif(os.name != "posix", reason="links, owners and pipes as POSIX has them")


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@posix
def test_a_link_stays_a_link_and_its_file_is_written(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    real = tmp_path / "far" / "story.yaml"
    real.write_bytes(b"old")
    near = tmp_path / "near.yaml"
    near.symlink_to(Path("far") / "story.yaml")
    write_whole_bytes(near, b"new")
    assert near.is_symlink()
    assert real.read_bytes() == b"new"
    assert _names(tmp_path / "far") == ["story.yaml"]


@posix
def test_a_link_to_nothing_yet_and_one_to_itself(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to("b")
    write_whole_bytes(tmp_path / "a", b"new")
    assert (tmp_path / "b").read_bytes() == b"new"
    (tmp_path / "round").symlink_to("round")
    with pytest.raises(OSError, match="circle"):
        write_whole_bytes(tmp_path / "round", b"new")


@posix
def test_a_second_name_sees_what_was_written(tmp_path: Path) -> None:
    first, second = tmp_path / "a.yaml", tmp_path / "b.yaml"
    first.write_bytes(b"old and longer than the new")
    os.link(first, second)
    for text in (b"new", b"newer, and longer than what stood there before"):
        write_whole_bytes(first, text)
        assert second.read_bytes() == text
        assert first.stat().st_ino == second.stat().st_ino
    assert _names(tmp_path) == ["a.yaml", "b.yaml"]


@posix
def test_a_write_protected_file_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    path.chmod(0o444)
    with pytest.raises(PermissionError, match="write-protected"):
        write_whole_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


@posix
def test_an_owner_that_cannot_be_given_is_kept_by_writing_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As in a shared folder: the file is a colleague's, and chown() is refused."""
    path = tmp_path / "a"
    path.write_bytes(b"old")
    number = path.stat().st_ino
    real_stat = Path.stat

    def a_colleagues(self: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = real_stat(self, follow_symlinks=follow_symlinks)
        if self != path:
            return found
        return os.stat_result((*found[:4], found.st_uid + 1, *found[5:]))

    def refused(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "stat", a_colleagues)
    monkeypatch.setattr(os, "chown", refused)
    write_whole_bytes(path, b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_ino == number
    assert _names(tmp_path) == ["a"]


@posix
def test_a_disc_that_refuses_modes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    path.chmod(0o600)

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "chmod", refused)
    monkeypatch.setattr(os, "chmod", refused)
    write_whole_bytes(path, b"new")
    write_whole_bytes(tmp_path / "b", b"new")
    assert path.read_bytes() == (tmp_path / "b").read_bytes() == b"new"


@posix
@pytest.mark.skipif(not hasattr(os, "setxattr"), reason="no extended attributes")
def test_attributes_stay(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    try:
        os.setxattr(path, "user.note", b"mine")
    except OSError:
        pytest.skip("this disc keeps no attributes")
    write_whole_bytes(path, b"new")
    assert os.getxattr(path, "user.note") == b"mine"


@posix
def test_attributes_go_from_the_old_file_to_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a disc that keeps them, which a test's may not: what the system guards stays out."""
    path = tmp_path / "a"
    path.write_bytes(b"old")
    kept = {str(path): {"user.note": b"mine", "security.label": b"theirs"}}
    given: list[tuple[bool, str, bytes]] = []
    monkeypatch.setattr(os, "listxattr", lambda of: list(kept[str(of)]), raising=False)
    monkeypatch.setattr(os, "getxattr", lambda of, name: kept[str(of)][name], raising=False)
    monkeypatch.setattr(
        os,
        "setxattr",
        lambda to, name, value: given.append((Path(to).read_bytes() == b"new", name, value)),
        raising=False,
    )
    write_whole_bytes(path, b"new")
    assert given == [(True, "user.note", b"mine")]
    assert path.read_bytes() == b"new"


def test_nothing_new_may_stand_in_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Root may write anywhere, so the refusal is played."""
    path = tmp_path / "a"
    path.write_bytes(b"old")
    real = os.open

    def no_new(name: Path, flags: int, mode: int = 0o777) -> int:
        if flags & os.O_CREAT and Path(name).parent == tmp_path:
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(name, flags, mode)

    monkeypatch.setattr(os, "open", no_new)
    write_whole_bytes(path, b"new")
    assert path.read_bytes() == b"new"
    with pytest.raises(PermissionError):
        write_whole_bytes(tmp_path / "b", b"new")


@posix
def test_who_saves_after_a_power_cut_leaves_nothing_of_it_behind(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"a ne old text")
    for end, text in ((whole._BEFORE, b"the old text"), (whole._AFTER, b"a new one")):
        whole._beside(path, end).write_bytes(text)
    write_whole_bytes(path, b"newer")
    assert _names(tmp_path) == ["a"]
    assert path.read_bytes() == b"newer"


@posix
@pytest.mark.parametrize("end", range(9))
def test_a_power_cut_while_writing_over_is_mended(tmp_path: Path, end: int) -> None:
    path, old, new = tmp_path / "a", b"the old text", b"a new one"
    before, after = (whole._beside(path, end) for end in (whole._BEFORE, whole._AFTER))
    path.write_bytes(new[:end] + old[end:])
    before.write_bytes(old)
    after.write_bytes(new)
    assert finish_interrupted(path)
    assert path.read_bytes() == new
    assert _names(tmp_path) == ["a"]
    assert not finish_interrupted(path)


def test_what_somebody_wrote_since_a_power_cut_stays(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"by somebody else")
    whole._beside(path, whole._BEFORE).write_bytes(b"old")
    whole._beside(path, whole._AFTER).write_bytes(b"new")
    assert not finish_interrupted(path)
    assert path.read_bytes() == b"by somebody else"
    assert _names(tmp_path) == ["a"]


@posix
def test_a_write_over_that_fails_puts_the_old_text_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old text")
    os.link(path, tmp_path / "b")

    def full(source: Path, target: Path) -> None:
        with target.open("rb+") as file:
            file.write(b"new")
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(whole, "_pour", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole_bytes(path, b"new text, longer")
    assert path.read_bytes() == b"old text"
    assert _names(tmp_path) == ["a", "b"]


def test_a_disc_that_gives_something_else_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    monkeypatch.setattr(whole, "_fill", lambda at, data: at.write_bytes(data[:-1]))
    with pytest.raises(NotKeptError):
        write_whole_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


def test_a_check_that_fails_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")

    def wrong(unfinished: Path) -> None:
        assert unfinished.read_bytes() == b"new"
        raise ValueError("not as it should be")

    with pytest.raises(ValueError, match="not as it should be"):
        write_whole(path, lambda unfinished: _ignore(unfinished.write_bytes(b"new")), check=wrong)
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


def _ignore(_: object) -> None:
    return None


@posix
def test_leftovers_of_killed_programs_go_and_those_of_running_ones_stay(tmp_path: Path) -> None:
    mine = part_name("story.yaml")
    gone = mine.replace(f"-{os.getpid()}-", "-999999999-")
    strange = ".story.tapscore-part.yaml"
    elsewhere = mine.replace(mine.split(".")[2][:6], "000000", 1)
    for name in (mine, gone, strange, elsewhere):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / part_name("set").replace(f"-{os.getpid()}-", "-999999999-")).mkdir()
    sweep(tmp_path)
    assert _names(tmp_path) == sorted([mine, strange, elsewhere])
    os.utime(tmp_path / elsewhere, (0, 0))
    write_whole_bytes(tmp_path / "another.yaml", b"new")
    assert _names(tmp_path) == sorted([mine, strange, "another.yaml"]), "whoever writes clears up"


def test_names_as_long_as_names_may_be(tmp_path: Path) -> None:
    for name in ("x" * 240 + ".yaml", "木" * 80 + ".yaml"):
        write_whole_bytes(tmp_path / name, b"new")
        assert (tmp_path / name).read_bytes() == b"new"


@posix
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    with pytest.raises(NotAFileError, match="pipe"):
        read_bounded(pipe)
    with pytest.raises(NotAFileError):
        write_whole_bytes(pipe, b"new")
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    with pytest.raises(NotAFileError):
        read_bounded(Path("/dev/zero"))
    with pytest.raises(IsADirectoryError):
        read_bounded(tmp_path)


def test_a_file_is_read_up_to_its_bound(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    assert read_bounded(tmp_path / "a", 5) == b"12345"
    with pytest.raises(TooLargeError, match="larger than 4 bytes"):
        read_bounded(tmp_path / "a", 4)


@pytest.mark.parametrize("held", [2, 99])
def test_a_file_that_another_program_has_open(
    held: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows does not replace what is open elsewhere; a scanner lets go, a viewer does not."""
    path = tmp_path / "cards.pdf"
    path.write_bytes(b"old")
    tries: list[Path] = []
    replace = Path.replace

    def refused(self: Path, target: Path) -> Path:
        tries.append(self)
        if len(tries) <= held:
            raise PermissionError(errno.EACCES, "Access is denied", str(self))
        return replace(self, target)

    monkeypatch.setattr(whole, "_HELD_OPEN", True)
    monkeypatch.setattr(whole, "_LET_GO_SEC", (0.0, 0.0, 0.0))
    monkeypatch.setattr(Path, "replace", refused)
    if held < 4:
        write_whole_bytes(path, b"new")
        assert path.read_bytes() == b"new"
    else:
        with pytest.raises(PermissionError, match="close it there"):
            write_whole_bytes(path, b"new")
        assert path.read_bytes() == b"old"
    assert [each.name for each in tmp_path.iterdir()] == ["cards.pdf"]


@posix
def test_a_new_file_may_be_read_and_written_by_whom_the_umask_lets(tmp_path: Path) -> None:
    """As POSIX has it for open(): 0666 without what the mask takes away, and never executable."""
    before = os.umask(0)
    try:
        for mask, mode in ((0, 0o666), (0o022, 0o644), (0o077, 0o600)):
            os.umask(mask)
            path = tmp_path / f"{mask}"
            write_whole_bytes(path, b"new")
            assert stat.S_IMODE(path.stat().st_mode) == mode
            path.chmod(0o640)
            write_whole_bytes(path, b"newer")
            assert stat.S_IMODE(path.stat().st_mode) == 0o640
    finally:
        os.umask(before)


def test_more_than_64_mb_is_read_only_if_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "a"
    with path.open("wb") as file:
        file.truncate(64_000_001)
    with pytest.raises(TooLargeError, match="larger than 64 MB"):
        read_bounded(path)


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="open files as Linux lists them")
def test_what_was_read_is_closed_again(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")

    def opened() -> int:
        return len(list(Path("/proc/self/fd").iterdir()))

    before = opened()
    for _ in range(3):
        assert read_bounded(tmp_path / "a") == b"12345"
        with pytest.raises(IsADirectoryError):
            read_bounded(tmp_path)
        with pytest.raises(TooLargeError):
            read_bounded(tmp_path / "a", 1)
    assert opened() == before
