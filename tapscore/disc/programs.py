"""Programs of the computer: found where programs are installed, and started as from outside.

Packed as an app the program carries libraries of its own, and says so in its environment;
another program must not be given them.  On Windows a program without a window of its own
would open a black one.
"""

import os
import shutil
import sys
from pathlib import Path

NO_CONSOLE = 0x08000000 if sys.platform == "win32" else 0
"""``CREATE_NO_WINDOW`` (Windows' process creation flags)."""
_LIBRARIES = ("LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "DYLD_FRAMEWORK_PATH")
_OUR_OWN = ("QT_PLUGIN_PATH", "QT_QPA_PLATFORM_PLUGIN_PATH", "QML2_IMPORT_PATH", "PYTHONHOME")
_FURTHER = {"darwin": ("/opt/homebrew/bin", "/usr/local/bin")}
"""Where programs are that an app, started by a click and not in a terminal, is not told of."""


def packed() -> bool:
    """Whether this is the app without Python, in which ``sys.executable`` is the app."""
    return bool(getattr(sys, "frozen", False))


def installed_program(name: str) -> str | None:
    """The whole path of a program on the search path; None if there is none.

    What lies in the current folder does not count, though some systems look there first.
    """
    found = shutil.which(name) or shutil.which(
        name, path=os.pathsep.join(_FURTHER.get(sys.platform, ()))
    )
    if found is None:
        return None
    path = Path(found).absolute()
    return str(path) if path.parent != Path.cwd() else None


def outside() -> dict[str, str] | None:
    """The environment for another program; None where this one's own will do."""
    if not packed():
        return None
    told = dict(os.environ)
    for name in _LIBRARIES:
        before = told.pop(f"{name}_ORIG", None)  # kept by what starts the app
        told.pop(name, None)
        if before:
            told[name] = before
    for name in _OUR_OWN:
        told.pop(name, None)
    return told
