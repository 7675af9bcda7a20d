"""The beat is neither too quick nor too slow to be followed."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.edits import item_at
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, RefrainUse, Story
from tapscore.model.tempo import Tempo
from tapscore.model.walk import change_manners, written_manners
from tapscore.model.words import printed
from tapscore.wording.catalogue import say

SLOWEST_EASY = 40
FASTEST_EASY = 150


def _find(scene: Scene) -> Iterator[Found]:
    for path, manner in written_manners(scene.story):
        tempo = manner.tempo
        if tempo is None:
            continue
        what, called = _place(scene.story, path)
        for value in dict.fromkeys((tempo.start, tempo.last)):
            if not SLOWEST_EASY <= value <= FASTEST_EASY:
                yield found(
                    (*path, "tempo"),
                    what=what,
                    called=called,
                    tempo=value,
                    much="slow" if value < SLOWEST_EASY else "fast",
                    slowest=SLOWEST_EASY,
                    fastest=FASTEST_EASY,
                )


def _place(story: Story, path: StoryPath) -> tuple[str, str | None]:
    """What has the tempo, and what it is called."""
    match path:
        case ("story", int(index)):
            return "section", story.sections[index].title
        case (_, *_):
            item = item_at(story, path)
            if isinstance(item, RefrainUse):
                return "return", item.name
            return "line", printed(item.words) if isinstance(item, Line) else None
    return "story", None


def _fix(story: Story, finding: Finding) -> Story:
    def eased(path: StoryPath, manner: PartialManner) -> PartialManner:
        here = (*path, "tempo") == finding.path
        return evolve(manner, tempo=_eased(manner.tempo)) if here else manner

    return change_manners(story, eased)


def _eased(tempo: Tempo | None) -> Tempo | None:
    if tempo is None:
        return None
    end = None if tempo.end is None else _within(tempo.end)
    return Tempo(_within(tempo.start), end)


def _within(value: Fraction) -> Fraction:
    return min(max(value, Fraction(SLOWEST_EASY)), Fraction(FASTEST_EASY))


RULE = Rule(
    id="beat-easy-to-follow",
    title=say("The beat is easy to follow"),
    why=say(
        "People tap together best when a beat lasts between 0.4 and 1.5 seconds. Slower than "
        "that everybody guesses when the next one comes; faster, hands stiffen."
    ),
    source=say("Repp (2006), limits of tapping together; the margins are a house rule"),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"', extra="tempo: 54\n"),
    bad=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"', extra="tempo: 30\n"),
    more_good=(
        example(tapped("Row the lan-tern", "| X . x X . x |"), extra="tempo: 40\n"),
        example(tapped("Row the lan-tern", "| X . x X . x |"), extra="tempo: 150 to 60\n"),
    ),
    more_bad=(
        example(tapped("Row the lan-tern", "| X . x X . x |"), extra="tempo: 39\n"),
        example(tapped("Row the lan-tern", "| X . x X . x |", "tempo: 60 to 151")),
    ),
    fix=_fix,
    mends=say("Brings the tempo to the nearest that is easy."),
)
