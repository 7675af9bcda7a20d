"""What lies beside a story and belongs to it: recordings, day, pictures; putting it away."""

import errno
import shutil
import stat
from functools import partial
from pathlib import Path

from attrs import frozen

from tapscore.disc.reading import NotAFileError, read_bounded
from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole_bytes
from tapscore.exports.own_pictures import MOST_BYTES, OwnPictures, named_pictures
from tapscore.exports.photo_data import PhotoDataError, without_photo_data
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.my_stories import ARCHIVE
from tapscore.workflow.names import STORY_ENDINGS
from tapscore.workflow.of_one_name import DAY, RECORDINGS, take_apart
from tapscore.workflow.recordings_beside import recordings_beside, recordings_folder
from tapscore.workflow.today.day_beside import day_lying, day_path
from tapscore.workflow.whole_files import write_whole_folder


@frozen
class Belongings:
    """Files beside a story; those there are."""

    recordings: Path | None
    day: Path | None
    pictures: tuple[Path, ...]


def belongings(path: Path, story: Story | None) -> Belongings:
    """What belongs to the story at ``path``; only pictures in its own folder count."""
    recordings, day = recordings_beside(path), day_lying(path)
    names = picture_names(story) if story else ()
    pictures = (path.with_name(name) for name in names if Path(name).name == name)
    return Belongings(
        recordings if recordings.is_dir() else None,
        day if day.is_file() else None,
        tuple(each for each in pictures if each.is_file()),
    )


def picture_names(story: Story) -> tuple[str, ...]:
    """The picture files that a story names, each once."""
    return tuple(dict.fromkeys(name for _, name in named_pictures(story)))


def bring_along(
    source: Path, target: Path, story: Story, *, recordings: bool = False
) -> tuple[str, ...]:
    """Copy what a copy of the story at ``source`` needs beside it; says what was done and not.

    ``story`` is the copy, saved at ``target``.  Pictures come where it lies in another folder,
    recordings if wished.  Nothing there is replaced.
    """
    has = belongings(source, story)
    said: list[str] = []
    if source.parent.absolute() != target.parent.absolute():
        for picture in has.pictures:
            said.append(_brought(picture, target.with_name(picture.name)))
    if recordings and has.recordings is not None:
        there = recordings_folder(target)
        if there.exists():
            said.append(say("{there} was there already and is as it was.", there=there.name))
        else:
            try:
                write_whole_folder(there, partial(_copied_into, has.recordings))
                said.append(say("Copied {there}.", there=there.name))
            except OSError as error:
                said.append(
                    say(
                        "{there} was not copied: {why}.",
                        there=there.name,
                        why=reason(error),
                    )
                )
    return tuple(said)


def _brought(picture: Path, there: Path) -> str:
    """Copy a picture without where and when it was taken; what came of it in a sentence."""
    name = there.name
    try:
        data = read_bounded(picture, MOST_BYTES)
        plain = without_photo_data(data)
        if not there.exists():
            write_whole_bytes(there, plain)
            unusable = OwnPictures(there.parent).why_not(name)
            if unusable:
                return say("Copied {name}. {why}", name=name, why=unusable.message)
            if plain == data:
                return say("Copied the picture {name}.", name=name)
            return say("Copied the picture {name}, without where and when it was taken.", name=name)
        if read_bounded(there, MOST_BYTES) in (data, plain):
            return say("The picture {name} is there already.", name=name)
        return say(
            "Another picture {name} is there already and is as it was: look at it.", name=name
        )
    except (OSError, PhotoDataError) as error:
        why = reason(error)
        return say("The picture {name} was not copied: {why}.", name=name, why=why)


def _copied_into(source: Path, unfinished: Path) -> None:
    for each in sorted(source.iterdir()):
        if each.is_file() and not each.name.startswith("."):
            shutil.copyfile(each, unfinished / each.name)


def archive(path: Path, story: Story | None = None) -> Path:
    """Move a story with recordings and day file into the folder ``Archive`` beside it.

    Pictures are copied, as other stories may use them, too.  Nothing there is replaced: a
    name that is taken gets a number.  Gives where the story is now.  Raises OSError, with
    everything where it was.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise NotAFileError(errno.EINVAL, say("it is not a story file"), str(path))
    folder = path.parent / ARCHIVE
    folder.mkdir(exist_ok=True)
    there = _free(folder, path)
    has = belongings(path, story)
    moves = [(path, there)]
    if has.recordings is not None:
        own = take_apart(recordings_folder(path), RECORDINGS)
        moves.append((own, recordings_folder(there)))
    if has.day is not None:
        moves.append((take_apart(day_path(path), DAY), day_path(there)))
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
        if not any(p.exists() for p in (*_of_a_name(each), recordings_folder(each), day_path(each)))
    )


def _of_a_name(path: Path) -> tuple[Path, ...]:
    return tuple(path.with_name(f"{path.stem}{ending}") for ending in STORY_ENDINGS)
