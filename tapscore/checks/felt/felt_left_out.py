"""No place is left out for a whole section."""

from collections.abc import Iterator

from tapscore.board.words import USUAL_WEAK_DB
from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.felt.levels import FeltLine, FeltStory, felt_story, is_felt
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def left_out(story: FeltStory) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Titles of sections with the places that none of their taps reaches."""
    sections: dict[str, list[FeltLine]] = {}
    for line in story.lines:
        if line.touches:
            sections.setdefault(line.told.segment.section, []).append(line)
    for title, lines in sections.items():
        places = tuple(
            place
            for number, place in enumerate(story.places)
            if not any(is_felt(line.strongest_db(number) or 0.0) for line in lines)
        )
        if places:
            yield title, places


def _find(scene: Scene) -> Iterator[Found]:
    story = felt_story(scene)
    if story is None:
        return
    titles = [section.title for section in scene.story.sections]
    for title, places in left_out(story):
        yield found(("story", titles.index(title)), section=title, places=places)


def _only(far_cm: int) -> str:
    return on_board(
        f"{TAPS}\n  loudness: very quiet\n  spot: far",
        places="A: {at: [30, 45]}",
        spots=f", far: [{far_cm}, 45]",
    )


RULE = Rule(
    id="felt-left-out",
    title=say("No place is left out for a whole section"),
    why=say("A pupil who feels nothing for a minute is not in the story."),
    source=say(
        "{no_source}; {value:.0f} dB below a medium tap in the middle, by the board's model, "
        "which nobody has measured",
        no_source=NO_SOURCE,
        value=-USUAL_WEAK_DB,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(
        TAPS + "\n  loudness: very quiet\n  spot: far",
        places="A: {at: [12, 78]}",
        spots=", far: [118, 2]",
    ),
    more_good=(
        _only(114),
        _only(60),
    ),
    more_bad=(
        _only(115),
        _only(118),
    ),
)
