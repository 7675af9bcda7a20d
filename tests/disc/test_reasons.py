"""The system's words alone: numbers and paths are said beside them, or not at all."""

import errno
import os
from pathlib import Path

import pytest

from tapscore.disc.reasons import reason


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file") as caught:
        (tmp_path / "gone").read_bytes()
    assert reason(caught.value) == os.strerror(errno.ENOENT)


def test_errors_that_the_system_did_not_make_say_what_they_say() -> None:
    assert reason(OSError("notes in it are not saved yet")) == "notes in it are not saved yet"
    assert reason(ValueError("too long")) == "too long"
    assert reason(OSError(errno.EACCES, "Permission denied", "/home/k")) == "Permission denied"
