"""Programs of the computer, found where programs are installed."""

import shutil
from pathlib import Path


def installed_program(name: str) -> str | None:
    """The whole path of a program on the search path; None if there is none.

    What lies in the current folder does not count, though some systems look there first.
    """
    found = shutil.which(name)
    if found is None:
        return None
    path = Path(found).absolute()
    return str(path) if path.parent != Path.cwd() else None
