"""Which versions of a story there are: whole, slower, each part, taps alone, and loops.

Taps alone are laid on a board where pupils may be: a file of them ends at every wait, every
offering and before every line with a warning, so that nothing runs through them.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from enum import Enum
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.exports.audio.versions.slower import slowed
from tapscore.exports.audio.voice.line_names import line_names
from tapscore.model.finding import StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Section, Story
from tapscore.model.wordings import ordinal
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say

SLOW, HALF = Fraction(3, 4), Fraction(1, 2)
WHOLE_COUNT_IN_BARS, LOOP_COUNT_IN_BARS = 2, 1
"""Two bars before the whole story leave time for what is announced before its first line."""


class VersionKind(Enum):
    """What a version is for."""

    WHOLE = "whole"
    PART = "part"
    SECTION = "section"
    LINE = "line"
    HOME = "home"
    TAPS = "taps"

    @property
    def heading(self) -> str:
        """What stands above versions of this kind."""
        return HEADINGS[self]


HEADINGS = {
    VersionKind.WHOLE: say("The whole story"),
    VersionKind.PART: say("My part in front"),
    VersionKind.SECTION: say("One section again and again"),
    VersionKind.LINE: say("One line again and again"),
    VersionKind.HOME: say("For home: words and taps up to the next wait"),
    VersionKind.TAPS: say("Taps alone, for adults: a speaker laid on the board"),
}


@frozen
class SoundVersion:
    """One sound file to be made."""

    kind: VersionKind
    stem: str
    """Its file's name without the ending."""
    title: str
    story: Story
    """What is performed: the whole story, slower, or a part of it."""
    speed: Fraction = Fraction(1)
    role: str | None = None
    """Whose part is forward."""
    line_names: tuple[str, ...] | None = None
    """Names of the lines heard, where the story is only a part."""
    longest_offer_sec: Fraction | None = None
    then: str = ""
    """Of taps alone, what somebody does before going on."""

    def performance(self) -> Performance:
        """It in time, with its count-in (none for taps alone)."""
        bars = LOOP_COUNT_IN_BARS
        if self.kind in (VersionKind.WHOLE, VersionKind.PART):
            bars = WHOLE_COUNT_IN_BARS
        if self.kind in (VersionKind.TAPS, VersionKind.HOME):
            bars = 0
        return perform(self.story, count_in_bars=bars, longest_offer_sec=self.longest_offer_sec)

    @property
    def loops(self) -> bool:
        """Whether it is for going round and round."""
        return self.kind in (VersionKind.SECTION, VersionKind.LINE)


def versions(
    story: Story, *, longest_offer_sec: Fraction | None = None
) -> tuple[SoundVersion, ...]:
    """Every version of a story, in the order they are offered."""
    heard = perform(story)
    if not heard.lines:
        whole = [SoundVersion(VersionKind.WHOLE, "whole", say("As written"), story)]
    else:
        whole = [*_whole(story), *_parts(story), *_sections(story, heard), *_lines(story, heard)]
        whole += _passages(story, heard)
    return tuple(evolve(version, longest_offer_sec=longest_offer_sec) for version in whole)


def _whole(story: Story) -> Iterator[SoundVersion]:
    yield SoundVersion(VersionKind.WHOLE, "whole", say("As written"), story)
    yield SoundVersion(
        VersionKind.WHOLE, "whole-slower", say("Slower, 75 %"), slowed(story, SLOW), SLOW
    )
    yield SoundVersion(
        VersionKind.WHOLE, "whole-half", say("Half as fast, 50 %"), slowed(story, HALF), HALF
    )


def _parts(story: Story) -> Iterator[SoundVersion]:
    if len(story.role_names) < 2:
        return
    for count, role in enumerate(story.role_names, 1):
        yield SoundVersion(VersionKind.PART, f"part-{count}", role, story, role=role)


def _sections(story: Story, heard: Performance) -> Iterator[SoundVersion]:
    names = [line_names(heard)[segment.path] for segment in heard.lines]
    often = Counter(section.title for section in story.sections)
    times: Counter[str] = Counter()
    for index, section in enumerate(story.sections):
        times[section.title] += 1
        alone = evolve(story, sections=(section,))
        count = len(perform(alone).lines)
        called, names = tuple(names[:count]), names[count:]
        if called:
            title = section.title or say("Part {number}", number=index + 1)
            if section.title and often[section.title] > 1:
                which = ordinal(times[section.title])
                title = say("{title}, {which} time", title=title, which=which)
            yield SoundVersion(
                VersionKind.SECTION, f"section-{index + 1}", title, alone, line_names=called
            )


@frozen
class Passage:
    """Lines that sound one after the other without a stop, and what comes at its end."""

    lines: tuple[Segment, ...]
    """Empty only where a story begins with a wait or an offering."""
    stops: tuple[Segment, ...] = ()
    """Waits and offerings after it; last, where it warns, the line that comes next."""

    def alone(self, story: Story) -> Story:
        """The story with nothing but this, in the manner it has where it stands."""
        lines = tuple(_in_its_manner(segment) for segment in self.lines)
        return evolve(story, sections=(Section(self.lines[0].section, lines),))


def passages(heard: Iterable[Segment]) -> Iterator[Passage]:
    """What is told, from one stop to the next: a wait, an offering, a line with a warning."""
    lines: list[Segment] = []
    stops: list[Segment] = []
    for segment in heard:
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        warned = segment.line is not None and bool(segment.line.warn_first)
        if segment.line is not None and (stops or (warned and lines)):
            yield Passage(tuple(lines), (*stops, segment) if warned else tuple(stops))
            lines, stops = [], []
        (stops if segment.line is None else lines).append(segment)
    if lines or stops:
        yield Passage(tuple(lines), tuple(stops))


def _passages(story: Story, heard: Performance) -> Iterator[SoundVersion]:
    """The taps from one stop to the next, each a file of its own."""
    names = line_names(heard)
    told = [passage for passage in passages(heard.segments) if passage.lines]
    for count, passage in enumerate(told, 1):
        called = tuple(names[segment.path] for segment in passage.lines)
        then = ". ".join(_stop_words(segment) for segment in passage.stops)
        if count == len(told):
            finished = say("The story is finished: say so, in the same way every time")
            then = f"{then}. {finished}" if then else finished
        title = say("{number}, from {line}", number=count, line=called[0].lstrip("0"))
        yield SoundVersion(
            VersionKind.TAPS,
            f"taps-{count:02d}",
            title,
            passage.alone(story),
            line_names=called,
            then=then,
        )


def _stop_words(segment: Segment) -> str:
    if segment.line is not None:
        return say("Warn first: {warning}", warning=segment.line.warn_first or "")
    return pause_words(segment)


def _in_its_manner(segment: Segment) -> Line:
    """The line with all that holds for it written on it."""
    assert segment.line is not None
    manner = segment.manner
    whole = PartialManner(
        manner.metre,
        manner.tempo,
        manner.loudness,
        manner.stroke,
        manner.spot,
        manner.by,
        manner.says,
    )
    return evolve(segment.line, manner=whole)


def pause_words(segment: Segment) -> str:
    """A wait or an offering in words: how long at least, and what to look for."""
    if segment.kind is SegmentKind.WAIT:
        return say(
            "Wait {seconds:.0f} seconds or longer{answer:=|*=; look for {answer}}",
            seconds=segment.length_sec,
            answer=segment.look_for or None,
        )
    return say(
        "Offer the {prop}: {turns:1 turn|# turns} of {seconds} seconds",
        prop=segment.prop or "",
        turns=segment.turns,
        seconds=segment.turn_sec,
    )


def _lines(story: Story, heard: Performance) -> Iterator[SoundVersion]:
    names = line_names(heard)
    each = {segment.path: segment for segment in heard.lines}
    for count, (path, segment) in enumerate(each.items(), 1):
        yield SoundVersion(
            VersionKind.LINE,
            f"line-{count:02d}",
            names[path],
            _alone(story, path, segment),
            line_names=(names[path],),
        )


def _alone(story: Story, path: StoryPath, segment: Segment) -> Story:
    """The story with nothing but one line, in the manner it has where it stands.

    What swells or changes tempo through a section is heard as far as the line has a share in it.
    A refrain's line is heard as it is written, whatever a return has of its own.
    """
    assert segment.line is not None
    line = _in_its_manner(segment) if path[0] == "story" else segment.line
    return evolve(story, sections=(Section("", (line,)),))
