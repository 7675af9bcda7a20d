"""Which versions of a story there are: whole, slower, each part, taps alone, and loops."""

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.exports.audio.versions.slower import slowed
from tapscore.exports.audio.voice.line_names import line_names
from tapscore.model.finding import StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import Section, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment

SLOW, HALF = Fraction(3, 4), Fraction(1, 2)
WHOLE_COUNT_IN_BARS, LOOP_COUNT_IN_BARS = 2, 1
"""Two bars before the whole story leave time for what is announced before its first line."""


class Kind(Enum):
    """What a version is for; the value is its heading."""

    WHOLE = "The whole story"
    PART = "My part in front"
    SECTION = "One section again and again"
    LINE = "One line again and again"
    TAPS = "Taps alone, for a speaker laid on the board"


@frozen
class Version:
    """One sound file to be made."""

    kind: Kind
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

    def performance(self) -> Performance:
        """It in time, with its count-in (none for taps alone)."""
        bars = LOOP_COUNT_IN_BARS
        if self.kind in (Kind.WHOLE, Kind.PART):
            bars = WHOLE_COUNT_IN_BARS
        if self.kind is Kind.TAPS:
            bars = 0
        return perform(self.story, count_in_bars=bars, longest_offer_sec=self.longest_offer_sec)

    @property
    def loops(self) -> bool:
        """Whether it is for going round and round."""
        return self.kind in (Kind.SECTION, Kind.LINE)


def versions(story: Story, *, longest_offer_sec: Fraction | None = None) -> tuple[Version, ...]:
    """Every version of a story, in the order they are offered."""
    heard = perform(story)
    if not heard.lines:
        whole = [Version(Kind.WHOLE, "whole", "As written", story)]
    else:
        whole = [*_whole(story), *_parts(story), *_sections(story, heard), *_lines(story, heard)]
        whole.append(Version(Kind.TAPS, "taps-alone", "Taps alone", story))
    return tuple(evolve(version, longest_offer_sec=longest_offer_sec) for version in whole)


def _whole(story: Story) -> Iterator[Version]:
    yield Version(Kind.WHOLE, "whole", "As written", story)
    yield Version(Kind.WHOLE, "whole-slower", "Slower, 75 %", slowed(story, SLOW), SLOW)
    yield Version(Kind.WHOLE, "whole-half", "Half as fast, 50 %", slowed(story, HALF), HALF)


def _parts(story: Story) -> Iterator[Version]:
    if len(story.role_names) < 2:
        return
    for count, role in enumerate(story.role_names, 1):
        yield Version(Kind.PART, f"part-{count}", role, story, role=role)


def _sections(story: Story, heard: Performance) -> Iterator[Version]:
    names = [line_names(heard)[segment.path] for segment in heard.lines]
    for index, section in enumerate(story.sections):
        alone = evolve(story, sections=(section,))
        count = len(perform(alone).lines)
        called, names = tuple(names[:count]), names[count:]
        if called:
            title = section.title or f"Part {index + 1}"
            yield Version(Kind.SECTION, f"section-{index + 1}", title, alone, line_names=called)


def _lines(story: Story, heard: Performance) -> Iterator[Version]:
    names = line_names(heard)
    first: dict[StoryPath, Segment] = {}
    for segment in heard.lines:
        first.setdefault(segment.path, segment)
    for count, (path, segment) in enumerate(first.items(), 1):
        yield Version(
            Kind.LINE,
            f"line-{count:02d}",
            names[path],
            _alone(story, path, segment),
            line_names=(names[path],),
        )


def _alone(story: Story, path: StoryPath, segment: Segment) -> Story:
    """The story with nothing but one line, in the manner it has where it stands."""
    assert segment.line is not None
    manner = PartialManner()
    if path[0] == "story" and isinstance(path[1], int):
        manner = story.sections[path[1]].manner
    return evolve(story, sections=(Section("", (segment.line,), manner),))
