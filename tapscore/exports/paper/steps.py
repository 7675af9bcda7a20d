"""The performance in the pieces that people turn cards by: lines, refrains and pauses."""

from collections import Counter
from collections.abc import Iterable, Iterator
from enum import Enum

from attrs import evolve, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.manner import Manner
from tapscore.model.words import printed
from tapscore.rhythm.performance import Performance, Segment, SegmentKind


class StepKind(Enum):
    """What a step is."""

    LINE = "line"
    REFRAIN = "refrain"
    PAUSE = "pause"


@frozen
class Step:
    """A numbered line with the waits and offerings after it, one return of a refrain, or
    waits and offerings by themselves.

    A return with another refrain in it is told in parts, before and after that.
    """

    kind: StepKind
    segments: tuple[Segment, ...]
    indexes: tuple[int, ...]
    """Where the segments stand in the performance."""
    otherwise: bool = False
    """Whether it is a return that is written to differ from the refrain's first time."""
    after_otherwise: int = 0
    """Equal where nothing between two returns, nor they themselves, is otherwise: the second
    may then be told as the one before.  0 as long as nothing has been."""
    part: int = 1
    """Which part of its return it is."""

    @property
    def number(self) -> int | None:
        """The number of the line."""
        return self.segments[0].number

    @property
    def refrain(self) -> str | None:
        """The refrain's name."""
        return self.segments[0].refrain

    @property
    def refrain_time(self) -> int:
        """1 the first time the refrain is heard."""
        return self.segments[0].refrain_time

    @property
    def lines(self) -> tuple[Segment, ...]:
        """Its spoken lines."""
        return tuple(s for s in self.segments if s.kind is SegmentKind.LINE)

    @property
    def tail(self) -> tuple[Segment, ...]:
        """The waits and offerings after its last line."""
        rest: list[Segment] = []
        for segment in reversed(self.segments):
            if segment.kind is SegmentKind.LINE:
                break
            rest.append(segment)
        return tuple(reversed(rest))

    @property
    def last_words(self) -> str:
        """The end of what is said in it, short enough to listen for."""
        lines = self.lines
        if not lines or lines[-1].line is None:
            return ""
        return last_words(printed(lines[-1].line.words))


def steps(performance: Performance) -> tuple[Step, ...]:
    """Steps of a performance, in order."""
    found: list[Step] = []
    for index, segment in enumerate(performance.segments):
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        last = found[-1] if found else None
        if segment.refrain is not None:
            kind = StepKind.REFRAIN
            joins = (
                last is not None
                and last.refrain == segment.refrain
                and last.refrain_time == segment.refrain_time
            )
        elif segment.kind is SegmentKind.LINE:
            kind, joins = StepKind.LINE, False
        else:
            kind = StepKind.PAUSE
            # what a section begins with stands below its heading
            joins = (
                last is not None
                and last.refrain is None
                and last.segments[-1].section == segment.section
            )
        if joins and last is not None:
            found[-1] = Step(last.kind, (*last.segments, segment), (*last.indexes, index))
        else:
            found.append(Step(kind, (segment,), (index,)))
    return tuple(_compared(found))


def _compared(found: Iterable[Step]) -> Iterator[Step]:
    first: dict[StoryPath, Manner] = {}
    before: Counter[str | None] = Counter()
    parts: Counter[tuple[str | None, int]] = Counter()
    for step in found:
        parts[step.refrain, step.refrain_time] += 1
        part = parts[step.refrain, step.refrain_time] if step.refrain is not None else 1
        differs = [first.setdefault(s.path, s.manner) != s.manner for s in step.lines]
        before[step.refrain] += any(differs)
        after = before[step.refrain]
        yield evolve(step, otherwise=any(differs), after_otherwise=after, part=part)
        before[step.refrain] += any(differs)


def times_heard(told: Iterable[Step]) -> dict[str, int]:
    """How often each refrain comes."""
    found: dict[str, int] = {}
    for step in told:
        if step.refrain is not None:
            found[step.refrain] = step.refrain_time
    return found


def first_returns(told: Iterable[Step]) -> dict[str, tuple[Segment, ...]]:
    """The lines of each refrain that is heard, as they are the first time."""
    found: dict[str, tuple[Segment, ...]] = {}
    for step in told:
        if step.refrain is not None and step.refrain_time == 1:
            found[step.refrain] = (*found.get(step.refrain, ()), *step.lines)
    return found


def last_words(text: str) -> str:
    """The last few words, without the mark that ends them."""
    words = text.split()[-4:]
    joined = " ".join(words).strip(" ,.;:!?…–—")
    while len(joined) > 40 and len(words) > 1:
        words = words[1:]
        joined = " ".join(words).strip(" ,.;:!?…–—")
    return joined[-40:]
