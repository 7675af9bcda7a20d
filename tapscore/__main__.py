"""Start tapscore: the editor, or a command."""

import errno
import gc
import os
import sys

from tapscore.cli.terminal import guard_streams
from tapscore.resources import PartMissingError
from tapscore.wording.catalogue import say, translations, trouble

TYPE_CHECKING = False  # as in the catalogue: importing pathlib takes half of Python's own start
if TYPE_CHECKING:
    from pathlib import Path
    from typing import NoReturn

_SIGNS_OF_PATTERNS = "*?[~$%"
"""In a name, where the shell leaves it to programs to look for what fits: click does."""


def main() -> None:
    """Run the command line; without a command the editor opens."""
    guard_streams()
    try:
        _run()
        print(end="", flush=True)
    except OSError as error:
        if error.errno != errno.ENOSPC:
            raise
        print(
            say("There is no room left on the disc: what was printed breaks off. Make room first."),
            file=sys.stderr,
        )
        sys.stdout = None  # what it still holds would be tried again
        sys.exit(2)


def _run() -> None:
    if trouble():
        print(trouble(), file=sys.stderr)
    if sys.argv[1:] in (["--help"], ["-h"]) and translations() is None:
        from tapscore.cli.first_page import first_page

        print(first_page())
        return
    gc.disable()  # what a start makes stays; the command begins collecting again
    try:
        if _is_plain_check(sys.argv[1:]):
            from tapscore.cli.at_once import check_at_once

            _leave(check_at_once(sys.argv[2]))
        from tapscore.cli import app

        app.main(obj=open_editor, prog_name="tapscore")
    except PartMissingError as error:
        print(f"{error}.", file=sys.stderr)
        sys.exit(2)
    finally:
        if "PySide6" not in sys.modules:
            gc.freeze()  # no last search for cycles in all that goes: an eighth of a short check


def _leave(code: int) -> "NoReturn":
    """End at once: taking apart all that a start has made takes a tenth of a short check.

    Only for what has no thread, no file open and nothing to tidy up.
    """
    print(end="", flush=True)
    print(end="", file=sys.stderr, flush=True)
    os._exit(code)


def _is_plain_check(arguments: list[str]) -> bool:
    """Whether a check is all that is asked for, which needs no list of options."""
    if len(arguments) != 2 or arguments[0] != "check" or arguments[1].startswith("-"):
        return False
    return os.name != "nt" or not any(sign in arguments[1] for sign in _SIGNS_OF_PATTERNS)


def open_editor(file: "Path | None") -> int:
    """Open the editor; 2 if there is no screen, or ``file`` can't be opened."""
    if sys.platform == "linux" and not _has_screen():
        print(
            say("There is no screen here to open the editor on. See tapscore --help."),
            file=sys.stderr,
        )
        return 2
    try:
        from tapscore.gui.app import run_editor
    except ImportError as error:
        missing = str(error).split(":")[0]
        print(
            say(
                "The editor can't be opened: {missing} is missing on this computer, or a part of "
                "tapscore is. Install that library, or tapscore again; the commands work without "
                "(tapscore --help).",
                missing=missing,
            ),
            file=sys.stderr,
        )
        return 2
    return run_editor(file)


def _has_screen() -> bool:
    """Whether Qt will find one: where an X display doesn't answer, it would end the program."""
    if os.environ.get("WAYLAND_DISPLAY") or os.environ.get("QT_QPA_PLATFORM"):
        return True
    if not os.environ.get("DISPLAY"):
        return False
    import ctypes

    try:
        library = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # a missing library is told of by its own sentence
    library.xcb_connect.restype = ctypes.c_void_p
    library.xcb_connection_has_error.argtypes = library.xcb_disconnect.argtypes = [ctypes.c_void_p]
    display = library.xcb_connect(None, None)
    answers = not library.xcb_connection_has_error(display)
    library.xcb_disconnect(display)
    return answers


if __name__ == "__main__":
    main()
