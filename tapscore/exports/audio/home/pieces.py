"""What is heard at home from one press to the next, and what is read meanwhile.

The sound stops at every wait, every turn and before every line with a warning, and goes on
when somebody presses: nothing runs on by itself, and nothing counts.
"""

from collections.abc import Iterable, Iterator

from attrs import evolve, frozen

from tapscore.exports.audio.versions.version import Passage, SoundVersion, VersionKind, passages
from tapscore.exports.audio.voice.line_names import line_names
from tapscore.exports.paper.home_version import CHILD
from tapscore.model.edits import found
from tapscore.model.story import Refrain, RefrainUse, Story, Translation
from tapscore.model.words import printed
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say


@frozen
class HomeLine:
    """One line as it is read."""

    words: str
    translations: tuple[Translation, ...] = ()
    notes: tuple[str, ...] = ()
    """What is done with it."""


@frozen
class HomePiece:
    """What sounds after one press, with what is read before it and when it has ended."""

    version: SoundVersion | None
    """What sounds; None where a story begins with a wait."""
    lines: tuple[HomeLine, ...]
    first: str = ""
    """The warning that is given before the press."""
    then: tuple[str, ...] = ()
    """What comes after it: a wait, a turn with a thing."""


@frozen
class HomeStory:
    """All pieces: each refrain by itself, and the whole story in its order."""

    refrains: tuple[tuple[str, tuple[HomePiece, ...]], ...]
    whole: tuple[HomePiece, ...]


def home_story(story: Story) -> HomeStory:
    """The pieces of a story; those that sound alike are one sound."""
    heard = perform(story)
    names = line_names(heard)
    alone: dict[Story, SoundVersion] = {}

    def version(passage: Passage) -> SoundVersion | None:
        if not passage.lines:
            return None
        told = passage.alone(story)
        told = evolve(told, sections=(evolve(told.sections[0], title=""),))
        if told not in alone:
            called = tuple(names[segment.path] for segment in passage.lines)
            words = passage.lines[0].printed_words
            alone[told] = SoundVersion(
                VersionKind.HOME, f"{len(alone) + 1:02d}", words, told, line_names=called
            )
        return alone[told]

    def pieces(segments: Iterable[Segment]) -> tuple[HomePiece, ...]:
        return tuple(
            HomePiece(version(passage), _lines(passage.lines), _first(passage), _then(passage))
            for passage in passages(segments)
        )

    refrains = tuple(
        (refrain.name, told)
        for refrain in story.refrains
        if (told := pieces(_first_return(story, heard, refrain)))
    )
    return HomeStory(refrains, pieces(heard.segments))


def sounding(told: HomeStory) -> tuple[SoundVersion, ...]:
    """Every sound once, in the order of the page."""
    pieces = (*(piece for _, pieces in told.refrains for piece in pieces), *told.whole)
    return tuple(dict.fromkeys(each.version for each in pieces if each.version is not None))


def _first_return(story: Story, heard: Performance, refrain: Refrain) -> tuple[Segment, ...]:
    """A refrain's first return, with what returns within it; nothing of one that never comes."""
    own = [
        segment
        for segment in heard.segments
        if segment.refrain == refrain.name and segment.refrain_time == 1
    ]
    where = own[0].returned_path if own else None
    use = None if where is None else found(story, where)
    if isinstance(use, RefrainUse) and use.name == refrain.name:
        return tuple(segment for segment in heard.segments if segment.returned_path == where)
    return tuple(own)


def _lines(segments: tuple[Segment, ...]) -> tuple[HomeLine, ...]:
    return tuple(
        HomeLine(printed(line.words), line.translations, tuple(_notes(segment)))
        for segment in segments
        if (line := segment.line) is not None
    )


def _notes(segment: Segment) -> Iterator[str]:
    line = segment.line
    assert line is not None
    if line.props_out:
        yield say("Put away: {things}", things=", ".join(line.props_out))
    if line.props_in:
        yield say("Show: {things}", things=", ".join(each.prop for each in line.props_in))
    if line.do:
        yield say("Do: {deed}", deed=line.do.replace("every pupil", CHILD))
    if line.look_for:
        yield say("Look for: {answer}", answer=line.look_for)


def _first(passage: Passage) -> str:
    line = passage.lines[0].line if passage.lines else None
    return (line.warn_first or "") if line is not None else ""


def _then(passage: Passage) -> tuple[str, ...]:
    """Waits and turns; a line that is warned of says so where it begins."""
    return tuple(_stop(segment) for segment in passage.stops if segment.line is None)


def _stop(segment: Segment) -> str:
    if segment.kind is SegmentKind.OFFER:
        said = say("Give {thing} time: touch, hold, listen, let go.", thing=segment.prop or "")
    else:
        said = say(
            "Wait, still and without words: {seconds} seconds or more.",
            seconds=round(segment.length_sec),
        )
    if segment.look_for:
        said += " " + say("Look for {answer}", answer=segment.look_for)
    return said
