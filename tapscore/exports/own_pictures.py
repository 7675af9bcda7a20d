"""The teacher's own pictures beside the story: read within bounds, made small, without their data.

A photo carries where and when it was taken: only its pixels go into paper.
"""

import warnings
from collections.abc import Iterator
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import field, frozen

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items
from tapscore.wording.about import About

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 30_000_000
"""A larger file is not read: a phone's photo has 2 to 12 MB."""
MOST_PIXELS = 100_000_000
SIDE_PX = 900
"""The longer side on paper: 300 dots an inch at 76 mm."""
PAGE_SIDE_PX = 2000
"""The longer side of a picture that fills a page: 180 dots an inch at 280 mm."""
FORMATS = ("PNG", "JPEG", "HEIF")


@frozen
class OwnPicture:
    """A picture ready to be printed."""

    jpeg: bytes = field(repr=False)
    width_px: int
    height_px: int


def named_pictures(story: Story) -> Iterator[tuple[StoryPath, str]]:
    """Every picture file that a story names, with where it does."""
    named: list[tuple[StoryPath, str | None]] = [(("picture",), story.picture)]
    named += [(("props", prop.name, "picture"), prop.picture) for prop in story.props]
    if story.board:
        named.append((("board", "picture"), story.board.picture))
    named += [
        ((*path, "picture"), item.picture)
        for path, item in written_items(story)
        if isinstance(item, Line)
    ]
    yield from ((path, name) for path, name in named if name)


class UnusableError(Exception):
    """Why a picture can't be used: ``missing``, ``elsewhere``, ``large`` or ``broken``."""


@frozen
class OwnPictures:
    """Pictures in the folder of a story; none at all where there is no folder."""

    folder: Path | None = None

    def of(self, name: str | None, side_px: int = SIDE_PX) -> OwnPicture | None:
        """The picture of that name, None where there is none that can be used."""
        if not name or self.folder is None:
            return None
        try:
            return self._read(name, side_px)
        except UnusableError:
            return None

    def why_not(self, name: str) -> Finding | None:
        """Why the picture of that name can't be used; None where it can."""
        return self._why_not(("picture",), name)

    def findings(self, story: Story) -> tuple[Finding, ...]:
        """The pictures a story names that can't be used, and why."""
        found = (self._why_not(path, name) for path, name in named_pictures(story))
        return tuple(finding for finding in found if finding)

    def _why_not(self, path: StoryPath, name: str) -> Finding | None:
        if self.folder is None:
            return None
        try:
            self._read(name, SIDE_PX)
        except UnusableError as error:
            about = About(name=name, why=str(error), most_mb=MOST_BYTES / 1e6)
            return Finding("own-picture", Severity.LOOK_AGAIN, path=path, about=about)
        return None

    def _read(self, name: str, side_px: int) -> OwnPicture:
        assert self.folder is not None
        if Path(name).name != name:
            raise UnusableError("elsewhere")
        path = self.folder / name
        try:
            stat = path.stat()
            if not path.is_file():
                raise UnusableError("missing")
        except OSError:
            raise UnusableError("missing") from None
        if stat.st_size > MOST_BYTES:
            raise UnusableError("large")
        made = _made(path, side_px, stat.st_mtime_ns, stat.st_size)
        if isinstance(made, str):
            raise UnusableError(made)
        return made


NO_PICTURES = OwnPictures()


@lru_cache(maxsize=64)
def _made(path: Path, side_px: int, changed_ns: int, size: int) -> OwnPicture | str:  # noqa: ARG001
    """The picture, or why not; kept as long as the file stays as it is."""
    from PIL import Image, ImageOps

    _know_heif()
    try:
        # Damaged notes in a whole picture are no matter.
        with (
            warnings.catch_warnings(action="ignore"),
            Image.open(path, formats=FORMATS) as opened,
        ):
            if opened.width * opened.height > MOST_PIXELS:
                return "large"
            opened.draft("RGB", (side_px, side_px))
            picture = _on_white(ImageOps.exif_transpose(opened))
    except (OSError, ValueError, SyntaxError, ZeroDivisionError, Image.DecompressionBombError):
        return "broken"
    picture.thumbnail((side_px, side_px))
    out = BytesIO()
    picture.save(out, "JPEG", quality=85)
    return OwnPicture(out.getvalue(), picture.width, picture.height)


def _on_white(picture: "Image") -> "Image":
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        ground = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(ground, clear).convert("RGB")
    return picture.convert("RGB")


def _know_heif() -> None:
    """Let the library read the format of many phones."""
    from pi_heif import register_heif_opener  # type: ignore[import-untyped]

    register_heif_opener()
