"""Lines and columns of a text as an editor counts them."""

import re
from bisect import bisect_right

from tapscore.model.finding import Span

_LINE_END = re.compile(r"\r\n|\n|\r")


class Places:
    """Finds lines and columns (from 1) of offsets in one text.

    YAML 1.1 also ends lines at three rarer characters, which no editor shows as line ends.
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._starts = [0, *(match.end() for match in _LINE_END.finditer(text))]

    def span(self, start: int, end: int) -> Span:
        """The stretch from one offset to another."""
        line = bisect_right(self._starts, start)
        return Span(line, start - self._starts[line - 1] + 1, start, end)

    def line(self, number: int) -> str:
        """The text of a line counted from 1, without its end; nothing outside the text."""
        if not 1 <= number <= len(self._starts):
            return ""
        end = self._starts[number] if number < len(self._starts) else len(self._text)
        return self._text[self._starts[number - 1] : end].rstrip("\r\n")
