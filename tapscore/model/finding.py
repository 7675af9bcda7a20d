"""What a check or the reader found: a value with a place, never an exception."""

from enum import Enum
from typing import TYPE_CHECKING

from attrs import frozen

from tapscore.wording.about import NOTHING, About
from tapscore.wording.catalogue import say

if TYPE_CHECKING:  # a story without a fault needs no texts of faults
    from tapscore.wording.text import Said, Surface

StoryPath = tuple[str | int, ...]
"""Keys and positions down the story file, for example ``("story", 0, "lines", 2, "lane")``."""


class Severity(Enum):
    """How much a finding matters."""

    MUST_MEND = "must mend"
    LOOK_AGAIN = "look again"
    ADVICE = "advice"

    @property
    def words(self) -> str:
        """The words shown, in the language of the program."""
        return say(
            "{severity:must mend=must mend|look again=look again|advice=advice}",
            severity=self.value,
        )


@frozen
class Span:
    """A stretch of a text file: lines and columns from 1, offsets in characters from 0."""

    line: int
    column: int
    start: int
    end: int


@frozen
class Finding:
    """One thing to look at: where it is and what it is about; words are made of it last."""

    code: str
    severity: Severity
    path: StoryPath = ()
    span: Span | None = None
    about: About = NOTHING

    @property
    def must_mend(self) -> bool:
        """Whether the story cannot be used before this is mended."""
        return self.severity is Severity.MUST_MEND

    @property
    def message(self) -> str:
        """What is wrong, in the words of the story file."""
        return self.said().message

    @property
    def remedy(self) -> str:
        """What to do about it, in the words of the story file."""
        return self.said().remedy

    def said(self, surface: "Surface | None" = None) -> "Said":
        """What is wrong and what to do, for the file or for the window."""
        from tapscore.wording.said import said

        return said(self.code, self.about, surface)
