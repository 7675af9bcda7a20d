"""Where the recordings of a story's lines lie: in a folder of its own beside it.

``mill.yaml`` has ``mill recordings``.  Where ``mill.tapscore`` lies in the same folder, each has
its own: ``mill.yaml recordings`` and ``mill.tapscore recordings``.  What was kept in a folder
that was both's stays for both, until one of them is recorded anew: then that one gets a copy.
"""

import shutil
from contextlib import suppress
from pathlib import Path

from tapscore.workflow.names import STORY_ENDINGS
from tapscore.workflow.whole_files import write_whole_folder

_END = " recordings"


def recordings_folder(story_file: Path) -> Path:
    """Where recordings of this story are put; it need not be there."""
    named = _named(story_file)
    return named if named.is_dir() or twins(story_file) else _plain(story_file)


def recordings_beside(story_file: Path) -> Path:
    """Where recordings of this story are looked for."""
    return lying_in(recordings_folder(story_file))


def lying_in(folder: Path) -> Path:
    """Where what is looked for in a folder of ``recordings_folder`` lies as yet."""
    shared = _shared(folder)
    return folder if shared is None else shared


def take_apart(folder: Path) -> Path:
    """Have what was kept for several stories in ``folder``, too, which is one story's alone.

    Gives where the recordings are by now.  Raises OSError, with nothing changed.
    """
    shared = _shared(folder)
    if shared is None:
        return folder
    story_file = folder.with_name(folder.name.removesuffix(_END))
    if all(_named(each).is_dir() for each in twins(story_file)):
        shared.rename(folder)
    else:
        write_whole_folder(folder, lambda unfinished: _copied(shared, unfinished))
    return folder


def keep_for_twin(story_file: Path) -> None:
    """Before a new story of this name is written: recordings stay with the one that was there."""
    others = [each for each in twins(story_file) if not _named(each).is_dir()]
    if len(others) != 1:
        return
    with suppress(OSError):  # both hear what is there, then, until one is recorded anew
        _plain(story_file).rename(_named(others[0]))


def twins(story_file: Path) -> tuple[Path, ...]:
    """Other stories beside it that are called the same but for the ending."""
    names = (story_file.with_name(f"{story_file.stem}{ending}") for ending in STORY_ENDINGS)
    return tuple(each for each in names if each.name != story_file.name and each.is_file())


def _shared(folder: Path) -> Path | None:
    """The folder that a story's own one is to be made from; None where there is none."""
    named = folder.name.removesuffix(_END)
    if folder.is_dir() or not named.endswith(STORY_ENDINGS):
        return None
    plain = _plain(folder.with_name(named))
    return plain if plain.is_dir() else None


def _plain(story_file: Path) -> Path:
    return story_file.with_name(f"{story_file.stem}{_END}")


def _named(story_file: Path) -> Path:
    return story_file.with_name(f"{story_file.name}{_END}")


def _copied(source: Path, unfinished: Path) -> None:
    shutil.copytree(source, unfinished, dirs_exist_ok=True)
