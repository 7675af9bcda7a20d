"""The one finder of files in ``resources/`` and ``demo_stories/``.

In an installed wheel both lie inside the package; in a checkout they stand beside it.
"""

import os

TYPE_CHECKING = False  # `tapscore --help` needs no pathlib, whose import is half of Python's start
if TYPE_CHECKING:
    from pathlib import Path

_PACKAGE = os.path.dirname(os.path.realpath(__file__))  # noqa: PTH120


class PartMissingError(FileNotFoundError):
    """A file of the program's own is not there: it was not installed, or not copied, whole."""


def _folder(inside: str, beside: str) -> str:
    packed = f"{_PACKAGE}{os.sep}{inside}"
    if os.path.isdir(packed):  # noqa: PTH112
        return packed
    return f"{os.path.dirname(_PACKAGE)}{os.sep}{beside}"  # noqa: PTH120


def resource_path(name: str) -> "Path":
    """Path of a file in ``resources/``, for example ``"lane.txt"``.

    Raises PartMissingError if the installation lacks it.
    """
    from pathlib import Path

    path = Path(_folder("_resources", "resources")) / name
    if not path.exists():
        raise PartMissingError(f"tapscore's own file {name} is missing: install tapscore again")
    return path


def demo_stories() -> "tuple[Path, ...]":
    """The story files that come with the program, in order of name; no day files."""
    from pathlib import Path

    found = sorted(Path(_folder("_demo_stories", "demo_stories")).glob("*.yaml"))
    return tuple(path for path in found if not path.stem.endswith(" today"))


def language_files() -> "dict[str, Path]":
    """Catalogues of languages by their codes: ``CODE.po`` in ``resources/languages``.

    What lies in the folder that the environment variable ``TAPSCORE_LANGUAGES`` names counts
    before them, so that a translator can try what isn't in the program yet.
    """
    folders = [f"{_folder('_resources', 'resources')}{os.sep}languages"]
    if own := os.environ.get("TAPSCORE_LANGUAGES"):
        folders.append(own)
    found: dict[str, str] = {}
    for folder in folders:
        try:
            names = [name for name in os.listdir(folder) if name.endswith(".po")]  # noqa: PTH208
        except OSError:
            continue  # English needs none
        found |= {name.removesuffix(".po"): f"{folder}{os.sep}{name}" for name in names}
    if not found:
        return {}
    from pathlib import Path

    return {code: Path(file) for code, file in found.items()}
