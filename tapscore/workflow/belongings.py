"""What lies beside a story and belongs to it: recordings, day, pictures; putting it away."""

import shutil
from pathlib import Path

from attrs import frozen

from tapscore.model.story import Story
from tapscore.workflow.my_stories import ARCHIVE, recordings_folder
from tapscore.workflow.today.day_beside import day_path


@frozen
class Belongings:
    """Files beside a story; those there are."""

    recordings: Path | None
    day: Path | None
    pictures: tuple[Path, ...]


def belongings(path: Path, story: Story | None) -> Belongings:
    """What belongs to the story at ``path``; only pictures in its own folder count."""
    recordings, day = recordings_folder(path), day_path(path)
    names = picture_names(story) if story else ()
    pictures = (path.with_name(name) for name in names if Path(name).name == name)
    return Belongings(
        recordings if recordings.is_dir() else None,
        day if day.is_file() else None,
        tuple(each for each in pictures if each.is_file()),
    )


def picture_names(story: Story) -> tuple[str, ...]:
    """The picture files that a story names, each once."""
    named = (
        story.picture,
        story.board.picture if story.board else None,
        *(prop.picture for prop in story.props),
    )
    return tuple(dict.fromkeys(filter(None, named)))


def archive(path: Path, story: Story | None = None) -> Path:
    """Move a story with recordings and day file into the folder ``Archive`` beside it.

    Pictures are copied, as other stories may use them, too.  Nothing there is replaced: a
    name that is taken gets a number.  Gives where the story is now.  Raises OSError, with
    everything where it was.
    """
    folder = path.parent / ARCHIVE
    folder.mkdir(exist_ok=True)
    there = _free(folder, path)
    has = belongings(path, story)
    moves = [(path, there)]
    if has.recordings is not None:
        moves.append((has.recordings, recordings_folder(there)))
    if has.day is not None:
        moves.append((has.day, day_path(there)))
    done: list[tuple[Path, Path]] = []
    try:
        for picture in has.pictures:
            if not (folder / picture.name).exists():
                shutil.copyfile(picture, folder / picture.name)
        for source, target in moves:
            source.rename(target)
            done.append((source, target))
    except OSError:
        for source, target in reversed(done):
            target.rename(source)
        raise
    return there


def _free(folder: Path, path: Path) -> Path:
    names = (path.stem, *(f"{path.stem} {number}" for number in range(2, 1000)))
    free = (folder / f"{name}{path.suffix}" for name in names)
    return next(
        each
        for each in free
        if not any(p.exists() for p in (each, recordings_folder(each), day_path(each)))
    )
