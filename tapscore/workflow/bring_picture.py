"""A picture from anywhere brought beside the story, where stories look for their pictures."""

from pathlib import Path

from tapscore.disc.reading import read_bounded
from tapscore.disc.whole import write_whole_bytes
from tapscore.exports.own_pictures import MOST_BYTES, OwnPictures
from tapscore.exports.photo_data import PhotoDataError, without_photo_data
from tapscore.wording.catalogue import say

PICTURE_ENDINGS = (".png", ".jpg", ".jpeg", ".heic", ".heif")


class PictureUnusableError(Exception):
    """Why a picture is not taken, in a sentence or two."""


def pictures_beside(story_file: Path | None) -> tuple[str, ...]:
    """Names of the pictures in a story's folder."""
    if story_file is None:
        return ()
    try:
        names = [path.name for path in story_file.parent.iterdir()]
    except OSError:
        return ()
    return tuple(sorted(name for name in names if name.lower().endswith(PICTURE_ENDINGS)))


def bring_picture(source: Path, story_file: Path) -> str:
    """Copy a picture into the story's folder, unless it lies there; gives its name there.

    The copy is without where and when it was taken.

    Another file of that name stays as it is, and the copy is called by a number.
    Raises PictureUnusableError, and OSError where it can't be copied.
    """
    unusable = OwnPictures(source.parent).why_not(source.name)
    if unusable:
        raise PictureUnusableError(f"{unusable.message} {unusable.remedy}")
    data = read_bounded(source, MOST_BYTES)
    if source.parent.absolute() != story_file.parent.absolute():
        try:
            data = without_photo_data(data)
        except PhotoDataError as error:
            raise PictureUnusableError(
                say("{name} can't be taken, because {why}.", name=source.name, why=error)
            ) from error
    folder = story_file.parent
    for number in range(1, 1000):
        name = source.name if number == 1 else f"{source.stem} {number}{source.suffix}"
        there = folder / name
        if not there.exists():
            write_whole_bytes(there, data)
            return name
        if there.is_file() and read_bounded(there, MOST_BYTES) == data:
            return name
    raise PictureUnusableError(
        say("There are too many pictures called {source} already.", source=source.name)
    )
