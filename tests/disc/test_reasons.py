"""The system's words alone: numbers and paths are said beside them, or not at all."""

import errno
import os
from pathlib import Path

import pytest

from tapscore.disc.reasons import reason


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file") as caught:
        (tmp_path / "gone").read_bytes()
    assert reason(caught.value) == "there is no such file or folder"


def test_errors_that_the_system_did_not_make_say_what_they_say() -> None:
    assert reason(OSError("notes in it are not saved yet")) == "notes in it are not saved yet"
    assert reason(ValueError("too long")) == "too long"
    own = PermissionError(errno.EACCES, "the file is write-protected", "/home/k")
    assert reason(own) == "the file is write-protected"


def test_what_the_system_says_is_said_in_plain_words() -> None:
    def of(number: int) -> str:
        return reason(OSError(number, os.strerror(number), "/home/k"))

    assert of(errno.ENOSPC) == "the disc is full"
    assert of(errno.EACCES) == of(errno.EPERM) == "the computer doesn't let you"
    assert of(errno.ECHILD) == os.strerror(errno.ECHILD)  # what hardly comes is left as it is
    with pytest.raises(UnicodeDecodeError) as caught:
        b"\xff".decode("utf-8")
    assert reason(caught.value) == "it is not plain text (UTF-8)"
