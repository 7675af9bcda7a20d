"""Which row of the editor shows what is heard, and what is heard from a row.  No Qt here.

A refrain is heard where it returns: its place in the story is the row of the return, and
its own line's row, further down, shows the same.
"""

from collections.abc import Iterable, Sequence
from enum import Enum

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.rhythm.performance import Performance
from tapscore.screen.rows import Row, RowKind
from tapscore.wording.catalogue import say


class LoopChoice(Enum):
    """What is heard over and over."""

    ONCE = "nothing"
    LINE = "this line"
    SECTION = "this section"
    SELECTED = "what is selected"

    @property
    def words(self) -> str:
        """Its name on the screen."""
        return _LOOP_WORDS[self]


_LOOP_WORDS = {
    LoopChoice.ONCE: say("nothing"),
    LoopChoice.LINE: say("this line"),
    LoopChoice.SECTION: say("this section"),
    LoopChoice.SELECTED: say("what is selected"),
}


@frozen
class ShownAt:
    """Where one segment of the performance is shown."""

    row: int
    """The row in the story: a line, wait, offering or a refrain's return."""
    section_row: int
    own_row: int | None = None
    """A refrain's line where it is written."""
    inner_row: int | None = None
    """A refrain's line where it is shown at this return."""
    before: float = 0.0
    """Share of the row that is over when the segment begins: above 0 within a return."""
    width: float = 1.0
    """Share of the row that the segment takes."""

    def share_in_row(self, share: float) -> float:
        """Share of the story's row, for a share of the segment."""
        return self.before + share * self.width


class HeardRows:
    """Segments and rows of one story, found from each other."""

    def __init__(self, rows: Sequence[Row], performance: Performance) -> None:
        self._rows = rows
        numbers: dict[StoryPath, int] = {}
        inner: dict[tuple[StoryPath | None, StoryPath], list[int]] = {}
        for number, row in enumerate(rows):
            if row.within is None:
                numbers[row.path] = number
            else:
                inner.setdefault((row.within, row.path), []).append(number)
        told = [s.returned_path or s.path for s in performance.segments]
        beats: dict[StoryPath, float] = {}
        for path, segment in zip(told, performance.segments, strict=True):
            beats[path] = beats.get(path, 0.0) + float(segment.beats)
        heard: list[ShownAt] = []
        before: dict[StoryPath, float] = {}
        for path, segment in zip(told, performance.segments, strict=True):
            width = float(segment.beats) / (beats[path] or 1.0)
            shown_inside = inner.get((segment.returned_path, segment.path))
            heard.append(
                ShownAt(
                    # What is folded away is shown by its heading.
                    numbers.get(path, numbers[path[:2]]),
                    numbers[path[:2]],
                    numbers[segment.path] if segment.returned_path else None,
                    shown_inside.pop(0) if shown_inside else None,
                    before.get(path, 0.0),
                    width,
                )
            )
            before[path] = before.get(path, 0.0) + width
        self.heard = tuple(heard)
        self.spoken = tuple(segment.line is not None for segment in performance.segments)
        """Of each segment, whether it is a line and no wait or offering."""

    def from_row(self, row: int) -> int | None:
        """The first segment heard from a row on; None if nothing follows."""
        if self.written_in_refrain(row):
            name = self._refrain(row)
            return self._first(
                h.own_row is not None and h.own_row >= row and self._refrain(h.own_row) == name
                for h in self.heard
            )
        return self._first(
            (h.row if h.inner_row is None else h.inner_row) >= row for h in self.heard
        )

    def line(self, row: int) -> tuple[int, ...]:
        """The segments of one row: one, or all lines of a refrain's return."""
        kind = self._rows[row].kind if 0 <= row < len(self._rows) else None
        if kind in (RowKind.SECTION, RowKind.REFRAIN):
            row += 1
        own = self._first(row in (h.own_row, h.inner_row) for h in self.heard)
        if own is not None:
            return (own,)
        return tuple(i for i, h in enumerate(self.heard) if h.row == row)

    def section(self, row: int) -> tuple[int, ...]:
        """Every segment of the row's section; of a refrain's row: one return of it."""
        if self.written_in_refrain(row):
            first = self.from_row(row)
            return () if first is None else self._return_of(first)
        headings = [h.section_row for h in self.heard if h.section_row <= row]
        return tuple(
            i for i, h in enumerate(self.heard) if headings and h.section_row == max(headings)
        )

    def selected(self, rows: Iterable[int]) -> tuple[int, ...]:
        """The segments of several rows, in the order they are heard."""
        return tuple(sorted({segment for row in rows for segment in self.line(row)}))

    def written_in_refrain(self, row: int) -> bool:
        """Whether the row is a refrain's own, where that is written."""
        return self._refrain(row) is not None

    def _refrain(self, row: int) -> str | None:
        if not 0 <= row < len(self._rows):
            return None
        here = self._rows[row]
        if here.within is not None:
            return None
        return here.title if here.kind is RowKind.REFRAIN else here.refrain

    def _return_of(self, segment: int) -> tuple[int, ...]:
        row = self.heard[segment].row
        return tuple(i for i, h in enumerate(self.heard) if h.row == row)

    @staticmethod
    def _first(matches: Iterable[bool]) -> int | None:
        return next((index for index, match in enumerate(matches) if match), None)
