"""The story made as it was told: a tempo, a wait, a loudness or a swell, one at a time."""

from fractions import Fraction
from statistics import median

from attrs import evolve

from tapscore.model import edits
from tapscore.model.finding import StoryPath
from tapscore.model.loudness import Loudness, Swell
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, RefrainUse, Story, Wait
from tapscore.model.tempo import FASTEST, SLOWEST, Tempo
from tapscore.model.walk import change_manners
from tapscore.rehearsal.differences import Difference, told_tempo
from tapscore.rhythm.performance import Segment
from tapscore.rhythm.unroll import story_manner
from tapscore.workflow.listening_back import Heard


def as_told(story: Story, heard: Heard, difference: Difference) -> Story | None:
    """The story made as it was told in one place; None where it is as told already or changed.

    A refrain that was told otherwise in one return is changed in that return.
    """
    segment = heard.performance.segments[difference.segment]
    path = difference.finding.path
    if difference.finding.code == "told-tempo-whole":
        return _retimed(story, pace_told(heard))
    item = edits.found(story, path)
    if isinstance(item, Wait) and difference.finding.code == "told-wait":
        lasted = difference.finding.about["lasted"]
        assert isinstance(lasted, int)
        return edits.replace_item(story, path, evolve(item, least_sec=Fraction(lasted)))
    if not isinstance(item, Line | RefrainUse):
        return None
    manner = _as_told(heard, segment, difference)
    if manner is None:
        return None
    changed = edits.replace_item(story, path, evolve(item, manner=manner.within(item.manner)))
    return None if changed == story else changed


def _as_told(heard: Heard, segment: Segment, difference: Difference) -> PartialManner | None:
    """What of a line's manner was otherwise."""
    about = difference.finding.about
    match difference.finding.code:
        case "told-tempo":
            line = next(
                line
                for line in (heard.told.lines if heard.told else ())
                if line.segment == difference.segment
            )
            start, end = told_tempo(segment, line.ratio)
            return PartialManner(
                tempo=Tempo(Fraction(start), None if end is None else Fraction(end))
            )
        case "told-no-louder":
            return PartialManner(loudness=(_step(about["earlier"]),))
        case "told-much-louder":
            louder = max(_step(about["earlier"]), _step(about["loudness"])) + 1
            return PartialManner(loudness=(Loudness(min(louder, Loudness.VERY_LOUD)),))
        case "told-swell":
            swell: Swell = segment.manner.loudness
            return PartialManner(loudness=swell[:1] if about["sounded"] == "even" else swell[::-1])
    return None


def _step(value: object) -> Loudness:
    assert isinstance(value, int)
    return Loudness(value)


def pace_told(heard: Heard) -> float:
    """How fast all of it was told against the writing: above 1 is faster."""
    lines = heard.told.lines if heard.told else ()
    return median([1 / line.ratio for line in lines if line.sure] or [1.0])


def _retimed(story: Story, pace: float) -> Story:
    """Every tempo that is written, and the story's own, faster or slower."""
    usual = evolve(story.manner, tempo=story_manner(story).tempo)
    story = evolve(story, manner=usual)

    def faster(_: StoryPath, manner: PartialManner) -> PartialManner:
        tempo = manner.tempo
        if tempo is None:
            return manner
        last = None if tempo.end is None else _bounded(tempo.end, pace)
        return evolve(manner, tempo=Tempo(_bounded(tempo.start, pace), last))

    return change_manners(story, faster)


def _bounded(tempo: Fraction, pace: float) -> Fraction:
    return Fraction(min(max(round(float(tempo) * pace), SLOWEST), FASTEST))
