"""A process of its own that speaks the language nobody speaks; it is fixed when one starts."""

import os
from functools import cache
from pathlib import Path

from tests.wording.pseudo import CODE, catalogue

ROOT = Path(__file__).parents[3]
_made_once = cache(catalogue)


def speaking(folder: Path) -> dict[str, str]:
    """The environment of such a process, with its catalogue and its own files in ``folder``."""
    (folder / f"{CODE}.po").write_text(_made_once(), encoding="utf-8")
    return {
        **os.environ,
        "TAPSCORE_LANGUAGE": CODE,
        "TAPSCORE_LANGUAGES": str(folder),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "XDG_CONFIG_HOME": str(folder / "config"),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_STATE_HOME": str(folder / "state"),
        "PYTHONPATH": str(ROOT),
        "PYTHONIOENCODING": "utf-8",
    }
