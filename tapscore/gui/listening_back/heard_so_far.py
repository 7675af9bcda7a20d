"""What the window for listening back has heard so far, and which place each sentence means."""

from tapscore.model.wordings import clock
from tapscore.rehearsal.differences import Difference
from tapscore.workflow.listening_back import Heard
from tapscore.workflow.rehearsals import LineHeard, Repeated, keeps_happening, lines_heard

Sentence = Repeated | LineHeard


class HeardSoFar:
    """Rehearsals of one story; differences first in the list, then every line of the last one."""

    def __init__(self) -> None:
        self.rehearsals: list[Heard] = []
        self.lines: tuple[LineHeard, ...] = ()
        self.said: list[Repeated] = []

    def add(self, heard: Heard) -> None:
        """One more rehearsal; what is said is that of all together."""
        self.rehearsals.append(heard)
        self.lines = lines_heard(heard)
        self.said = list(keeps_happening(self.rehearsals)) if heard.can_tell else []

    def without_last(self) -> None:
        """The last one gives way, to be looked at once more."""
        self.rehearsals = self.rehearsals[:-1]

    @property
    def can_tell(self) -> bool:
        """Whether the last rehearsal could be told."""
        return bool(self.rehearsals) and self.rehearsals[-1].can_tell

    @property
    def lines_told(self) -> tuple[LineHeard, ...]:
        """Every line, where it can be told; else none."""
        return self.lines if self.can_tell else ()

    def sentence_at(self, row: int) -> Sentence | None:
        """What a row of the list means."""
        if 0 <= row < len(self.said):
            return self.said[row]
        at = row - len(self.said)
        return self.lines[at] if 0 <= at < len(self.lines) else None

    def row_of_line(self, line: int) -> int:
        """Where a line stands in the list."""
        return len(self.said) + line

    def difference_with_time(self, said: Repeated) -> str:
        """A difference, and when it happened in the file."""
        where = said.difference.at_sec
        at = "" if where is None else f" ({clock(self._begin_sec + where)})"
        return f"{said.message}{at}"

    def segment_of(self, sentence: Sentence) -> int:
        """The line that is meant: of a wait the one before it."""
        if isinstance(sentence, LineHeard):
            return sentence.segment
        at = sentence.difference.segment
        segments = self.rehearsals[-1].performance.segments
        while at > 0 and segments[at].line is None:
            at -= 1
        return at

    def line_of(self, sentence: Sentence) -> int | None:
        """Which line on the strip is meant."""
        segments = [line.segment for line in self.lines]
        segment = self.segment_of(sentence)
        return segments.index(segment) if segment in segments else None

    def place_sec(self, sentence: Sentence | None) -> tuple[float, float] | None:
        """From when to when it is in the recording; None where that is not known."""
        if sentence is None:
            return None
        if isinstance(sentence, LineHeard):
            if sentence.begin_sec is None or sentence.end_sec is None:
                return None
            return sentence.begin_sec, sentence.end_sec
        begin, end = sentence.difference.at_sec, sentence.difference.until_sec
        if begin is None or end is None:
            return None
        return self._begin_sec + begin, self._begin_sec + end

    @property
    def _begin_sec(self) -> float:
        told = self.rehearsals[-1].told if self.rehearsals else None
        return told.begin_sec if told is not None else 0.0


def difference_in(sentence: Sentence | None) -> Difference | None:
    """The difference that a sentence says, if it says one."""
    return sentence.difference if isinstance(sentence, Repeated) else None
