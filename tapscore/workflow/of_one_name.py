"""Where what lies beside a story is, by its name, when stories differ in the ending alone.

``mill.yaml`` has ``mill recordings`` and ``mill today.yaml``.  Where ``mill.tapscore`` lies in
the same folder, each has its own: ``mill.yaml recordings`` and ``mill.tapscore recordings``,
``mill.yaml today.yaml`` and ``mill.tapscore today.yaml``.  What was kept when it was both's
stays for both, until it is changed for one of them: then that one gets a copy.
"""

import shutil
from contextlib import suppress
from functools import partial
from pathlib import Path

from tapscore.disc.whole import write_whole
from tapscore.workflow.names import STORY_ENDINGS
from tapscore.workflow.whole_files import write_whole_folder

RECORDINGS, DAY = " recordings", " today.yaml"


def own_path(story_file: Path, end: str) -> Path:
    """Where this story's is put; it need not be there."""
    named = _named(story_file, end)
    return named if named.exists() or twins(story_file) else _plain(story_file, end)


def lying_at(own: Path, end: str) -> Path:
    """Where what is looked for at a path of ``own_path`` lies as yet."""
    shared = _shared(own, end)
    return own if shared is None else shared


def take_apart(own: Path, end: str) -> Path:
    """Have what was kept for several stories at ``own``, too, which is one story's alone.

    Gives where it is by now.  Raises OSError, with nothing changed.
    """
    shared = _shared(own, end)
    if shared is None:
        return own
    story_file = own.with_name(own.name.removesuffix(end))
    if all(_named(each, end).exists() for each in twins(story_file)):
        shared.rename(own)
    elif shared.is_dir():
        write_whole_folder(own, partial(_copied, shared))
    else:
        write_whole(own, partial(_copied, shared))
    return own


def keep_for_twin(story_file: Path) -> None:
    """Before a new story of this name is written: what lies there stays with the one there was."""
    for end in (RECORDINGS, DAY):
        others = [each for each in twins(story_file) if not _named(each, end).exists()]
        if len(others) == 1:
            with suppress(OSError):  # both have what is there, then, until it is changed for one
                _plain(story_file, end).rename(_named(others[0], end))


def twins(story_file: Path) -> tuple[Path, ...]:
    """Other stories beside it that are called the same but for the ending."""
    names = (story_file.with_name(f"{story_file.stem}{ending}") for ending in STORY_ENDINGS)
    return tuple(each for each in names if each.name != story_file.name and each.is_file())


def _shared(own: Path, end: str) -> Path | None:
    """What a story's own is to be made from; None where there is none."""
    named = own.name.removesuffix(end)
    if own.exists() or not named.endswith(STORY_ENDINGS):
        return None
    plain = _plain(own.with_name(named), end)
    return plain if plain.exists() else None


def _plain(story_file: Path, end: str) -> Path:
    return story_file.with_name(f"{story_file.stem}{end}")


def _named(story_file: Path, end: str) -> Path:
    return story_file.with_name(f"{story_file.name}{end}")


def _copied(source: Path, unfinished: Path) -> None:
    if source.is_dir():
        shutil.copytree(source, unfinished, dirs_exist_ok=True)
    else:
        shutil.copy2(source, unfinished)
