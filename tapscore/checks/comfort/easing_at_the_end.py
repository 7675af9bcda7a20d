"""The story slows or quietens at its end."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import NO_SOURCE, SHAPE_FROM_LINES, Found, Rule, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.model.tempo import SLOWEST, Tempo
from tapscore.model.walk import edit_line
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    tapped = [told for told in scene.told if told.facts.touches]
    if len(tapped) < SHAPE_FROM_LINES:
        return
    last = tapped[-1]
    usual_tempo = story_manner(scene.story).tempo
    tempo = last.segment.manner.tempo
    assert tempo is not None
    assert usual_tempo is not None
    slower = tempo.last < min(tempo.start, usual_tempo.start)
    levels = sorted(told.facts.last_level for told in tapped)
    quieter = last.facts.last_level < levels[len(levels) // 2]
    if slower or quieter:
        return
    slowing = _slowing(usual_tempo)
    yield found(last.path, line=last.name, usual=slowing.start, slower=slowing.last)


def _slowing(usual: Tempo) -> Tempo:
    """To four fifths, in whole beats a minute."""
    return Tempo(usual.start, Fraction(max(round(usual.start * Fraction(4, 5)), SLOWEST)))


def _fix(story: Story, finding: Finding) -> Story | None:
    if finding.path[0] == "refrains":
        return None
    usual = story_manner(story).tempo
    assert usual is not None
    return edit_line(
        story,
        finding.path,
        lambda line: evolve(
            line,
            manner=evolve(
                line.manner,
                tempo=_slowing(usual),
                loudness=(Loudness.QUIET, Loudness.VERY_QUIET),
            ),
        ),
    )


RULE = Rule(
    id="easing-at-the-end",
    title=say("The story eases at its end"),
    why=say(
        "A story that slows and quietens tells everybody, without a word, that it is over "
        "and that the board will come to rest."
    ),
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        tempo: 60 to 48\n        loudness: quiet to very quiet\n", "")),
    more_good=(
        example(*[TAPS] * 5),
        example(*[TAPS] * 5, TAPS + "\n  loudness: very quiet"),
    ),
    more_bad=(
        example(*[TAPS] * 6),
        example(TAPS + "\n  loudness: very quiet", *[TAPS] * 5),
    ),
    fix=_fix,
    mends=say("Lets the last line slow down and grow quieter."),
)
