"""What a check or the reader found: a value with a place, never an exception."""

from enum import Enum

from attrs import frozen

StoryPath = tuple[str | int, ...]
"""Keys and positions down the story file, for example ``("story", 0, "lines", 2, "lane")``."""


class Severity(Enum):
    """How much a finding matters; the value is the words shown."""

    MUST_MEND = "must mend"
    LOOK_AGAIN = "look again"
    ADVICE = "advice"


@frozen
class Span:
    """A stretch of a text file: lines and columns from 1, offsets in characters from 0."""

    line: int
    column: int
    start: int
    end: int


@frozen
class Finding:
    """One thing to look at: what is wrong, and what to do about it."""

    code: str
    severity: Severity
    message: str
    remedy: str
    path: StoryPath = ()
    span: Span | None = None

    @property
    def must_mend(self) -> bool:
        """Whether the story cannot be used before this is mended."""
        return self.severity is Severity.MUST_MEND
