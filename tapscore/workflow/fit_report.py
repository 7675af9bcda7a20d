"""How the words of each line fall on the beats, and in what other ways they could."""

from collections.abc import Mapping, Sequence

from attrs import evolve, frozen

from tapscore.model import edits
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane, lane_events, pickup_beats
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.words import printed
from tapscore.rhythm.unroll import as_written, unroll
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.words.explain import explain_fit, strong_beats_move, what_changes
from tapscore.words.fit import Fit
from tapscore.words.line import read_line
from tapscore.workflow.fitting import ended_like, fitted_together, hyphenated, rhythms
from tapscore.workflow.metre_choice import MetreAdvice, other_metre


@frozen
class FitWay:
    """One rhythm for a line, and a sentence about it."""

    lane: Lane
    sentence: str
    change: str = ""
    """What would be heard differently from the rhythm that is written, if one is."""


@frozen
class LineFit:
    """A line of the story with the rhythm it has and the ones it could have, best first."""

    name: str
    """``"3"`` for the third line, ``"row home 1"`` for a refrain's first."""
    path: StoryPath
    line: Line
    metre: Metre
    written: FitWay | None
    ways: tuple[FitWay, ...]


def line_fits(story: Story) -> tuple[LineFit, ...]:
    """Every line once, in the order it is first heard."""
    found: list[LineFit] = []
    seen: set[StoryPath] = set()
    for placed in unroll(story):
        if isinstance(placed.item, Line) and placed.path not in seen:
            seen.add(placed.path)
            at = placed.path[-1]
            inside = f"{placed.refrain} {int(at) + 1}" if placed.refrain else ""
            name = inside or str(placed.number)
            found.append(
                _line_fit(name, placed.path, placed.item, placed.manner.metre, story.divided_words)
            )
    return tuple(found)


def with_rhythms(
    story: Story, fits: tuple[LineFit, ...], way: int = 0, *, over_taps: bool = False
) -> tuple[Story, tuple[str, ...]]:
    """The story with a rhythm (counted from the best, 0) for lines that have none.

    ``over_taps`` changes lines that have one, too.  Also gives the names of changed lines.
    """
    changed: list[str] = []
    for fit in fits:
        if (fit.written is not None and not over_taps) or way >= len(fit.ways):
            continue
        lane = fit.ways[way].lane
        words = hyphenated(fit.line.words, story.divided_words)
        new = evolve(fit.line, words=words, lane=ended_like(lane, fit.line.lane, fit.metre))
        if new != fit.line:
            story = edits.replace_item(story, fit.path, new)
            changed.append(fit.name)
    return story, tuple(changed)


def metre_advice(story: Story, *, always: bool = False) -> tuple[tuple[str, str], ...]:
    """For each section that has lines of its own, its title and what other metre would suit.

    Only where another one would suit better, or ``always``.
    """
    found: list[tuple[str, str]] = []
    for number, section in enumerate(story.sections):
        advice = _advice(story, number)
        if advice is not None and (advice.better or always):
            found.append((section.title, advice.sentence))
    return tuple(found)


def section_advice(story: Story, number: int) -> tuple[str, str]:
    """A section's title and what other metre would suit it."""
    advice = _advice(story, number)
    if advice is None:
        return "", say("This section has no words of its own.")
    return story.sections[number].title, advice.sentence


def _advice(story: Story, number: int) -> MetreAdvice | None:
    placed = [
        (one.item, one.manner.metre)
        for one in as_written(story)
        if one.path[:2] == ("story", number) and isinstance(one.item, Line)
    ]
    if not placed:
        return None
    metre = placed[0][1]
    lines = [line for line, held in placed if held == metre]
    advice = other_metre([line.words for line in lines], metre)
    if advice.other is None:
        return advice
    preview = _preview(lines, metre, advice.other, story.divided_words)
    return evolve(advice, sentence=f"{advice.sentence} {preview}".strip())


def _preview(lines: Sequence[Line], metre: Metre, other: Metre, glossary: Mapping[str, str]) -> str:
    """What would change in lines that have a rhythm if they went into another metre."""
    written = [line for line in lines if line.lane is not None]
    fresh = fitted_together([evolve(line, lane=None) for line in written], other, glossary)
    both = list(zip(written, fresh, strict=True))
    known = [
        (line, new, said) for line, new in both if (said := change_said(line, metre, new, other))
    ]
    moved = [
        (line.words, said)
        for line, new, said in known
        if (fits := _fits(line, metre, new, other)) and strong_beats_move(*fits)
    ]
    if not known:
        return ""
    if not moved:
        return say("In {other} the same syllables come on the strong beats.", other=str(other))
    words, change = moved[0]
    count = (
        say("{moved} of {known:1 line|# lines}", moved=len(moved), known=len(known))
        if len(known) > 1
        else say("this line")
    )
    shown = f"{quoted(printed(words))}: {change}"
    return say(
        "In {other} other syllables come on the strong beat in {count}. {shown}",
        other=str(other),
        count=count,
        shown=shown,
    )


def change_said(line: Line, metre: Metre, new: Line, other: Metre) -> str:
    """What is heard differently when a line gets another rhythm; nothing if it can't be said."""
    fits = _fits(line, metre, new, other)
    return what_changes(read_line(new.words), *fits) if fits else ""


def _fits(line: Line, metre: Metre, new: Line, other: Metre) -> tuple[Fit, Fit] | None:
    if line.lane is None or new.lane is None:
        return None
    before = _fit_of(line.words, line.lane, metre)
    after = _fit_of(new.words, new.lane, other)
    return None if before is None or after is None else (before, after)


def _line_fit(
    name: str, path: StoryPath, line: Line, metre: Metre, glossary: Mapping[str, str]
) -> LineFit:
    words = line.words if line.lane is not None else hyphenated(line.words, glossary)
    divided = evolve(line, words=words)
    ways = tuple(
        FitWay(
            lane,
            _sentence(words, lane, metre),
            change_said(divided, metre, evolve(divided, lane=lane), metre),
        )
        for lane in rhythms(words, metre, glossary)
    )
    lane = line.lane
    written = FitWay(lane, _sentence(line.words, lane, metre)) if lane is not None else None
    return LineFit(name, path, divided, metre, written, ways)


def _sentence(words: str, lane: Lane, metre: Metre) -> str:
    fit = _fit_of(words, lane, metre)
    if fit is None:
        return say("This line has a rhythm of its own; look whether it sounds right.")
    return explain_fit(read_line(words), fit)


def _fit_of(words: str, lane: Lane, metre: Metre) -> Fit | None:
    """A lane as a placement of its words' syllables, or None where they are not as many."""
    start = pickup_beats(lane, metre)
    onsets = tuple(
        event.onset_beats - start
        for event in lane_events(lane, metre)
        if event.syllable is not None
    )
    if len(onsets) != len(read_line(words)):
        return None
    return Fit(onsets, len(lane.bars), start, 0.0, metre)
