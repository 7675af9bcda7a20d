"""One file to be made from a story, and the user's choices about it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal

from attrs import field, frozen

from tapscore.model.finding import Finding
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story

Progress = Callable[[float], None]
Sound = Literal["mp3", "m4a", "ogg", "flac", "wav"]
SOUNDS: tuple[Sound, ...] = ("mp3", "m4a", "ogg", "flac", "wav")


@frozen
class Choices:
    """What the user can choose about exports."""

    card_paper: str = "A5"
    """A standard paper, or its sides in millimetres (``120x180``); see ``paper_name``."""
    distance_m: float = 1.0
    """How far away part sheets and cards are read."""
    sound: Sound = "mp3"
    per_sheet: int = 1
    """Cards on a sheet: 1, 2 or 4, to be cut."""
    backs: bool = False
    """Whether every other page is the back of the cards before it."""
    recordings: Path | None = None
    """Folder with the teacher's own recordings of lines, beside the story."""
    other_paper: str = "A4"
    """Paper of everything that is no card; several cards of an own size stand on it, too."""
    margin_mm: float | None = None
    """What every page leaves blank at its edges; as each paper usually does if not said."""
    mono: bool = False
    """Whether sound is the same in both ears."""
    short_turns: bool = False
    """Whether turns with props last ten seconds in sound, and not as long as written."""
    loudest_heard: Loudness | None = None
    """Taps written louder are heard at this loudness, for the listener's comfort."""
    by_heart: bool = False
    """Whether what changes today is printed as cards to learn by heart, not as part sheets."""
    beside: Path | None = None
    """The story's folder, where its pictures lie."""
    part_language: str = ""
    """Tag of the language that part sheets have under my lines, too; none if not said."""
    home_language: str = ""
    """Tag of the only language that the home version has besides the story's; all if not said."""
    part_paper: str = ""
    """Paper of the part sheets; A4 if hands are free at every change then, else A3, if not said."""


@frozen
class Product:
    """One file, or one folder of files, to be made."""

    export: str
    file_name: str
    write: Callable[[Path, Progress], tuple[Finding, ...]]
    """Fills the file or the empty folder at a path; says how far it is, from 0 to 1."""
    is_folder: bool = False


def something(story: Story) -> str:  # noqa: ARG001
    """Why an export has nothing to show of a story: no reason, it always has something."""
    return ""


@frozen
class Export:
    """One kind of export, with the files it makes of a story."""

    name: str
    about: str
    products: Callable[[Story, Choices], Iterator[Product]] = field(repr=False)
    """None where there is nothing to show of a story."""
    nothing: Callable[[Story], str] = field(default=something, repr=False)
    """Why there is nothing to show of a story, in a sentence; empty where there is."""
