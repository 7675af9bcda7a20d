"""The one finder of files in ``resources/`` and ``demo_stories/``.

In an installed wheel both lie inside the package; in a checkout they stand beside it.
"""

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


class PartMissingError(FileNotFoundError):
    """A file of the program's own is not there: it was not installed, or not copied, whole."""


def _folder(inside: str, beside: str) -> Path:
    packed = _PACKAGE / inside
    return packed if packed.is_dir() else _PACKAGE.parent / beside


def resource_path(name: str) -> Path:
    """Path of a file in ``resources/``, for example ``"lane.txt"``.

    Raises PartMissingError if the installation lacks it.
    """
    path = _folder("_resources", "resources") / name
    if not path.exists():
        raise PartMissingError(f"tapscore's own file {name} is missing: install tapscore again")
    return path


def demo_stories() -> tuple[Path, ...]:
    """The story files that come with the program, in order of name; no day files."""
    found = sorted(_folder("_demo_stories", "demo_stories").glob("*.yaml"))
    return tuple(path for path in found if not path.stem.endswith(" today"))


def language_files() -> dict[str, Path]:
    """Catalogues of languages by their codes: ``CODE.po`` in ``resources/languages``.

    What lies in the folder that the environment variable ``TAPSCORE_LANGUAGES`` names counts
    before them, so that a translator can try what isn't in the program yet.
    """
    folders = [_folder("_resources", "resources") / "languages"]
    if own := os.environ.get("TAPSCORE_LANGUAGES"):
        folders.append(Path(own))
    found: dict[str, Path] = {}
    for folder in folders:
        try:
            files = [path for path in folder.iterdir() if path.suffix == ".po"]
        except OSError:
            continue  # English needs none
        found |= {path.stem: path for path in files}
    return found
