"""Every line is felt at every place."""

from collections.abc import Iterator

from tapscore.board.words import USUAL_WEAK_DB
from tapscore.checks.examples import TAPS, on_board, tapped
from tapscore.checks.felt.felt_left_out import left_out
from tapscore.checks.felt.levels import felt_story, is_felt
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity, StoryPath
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    story = felt_story(scene)
    if story is None:
        return
    told_of = {(section, place) for section, places in left_out(story) for place in places}
    said: set[StoryPath] = set()
    for line in story.lines:
        weak = [
            place
            for number, place in enumerate(story.places)
            if (most_db := line.strongest_db(number)) is not None
            and not is_felt(most_db)
            and (line.told.segment.section, place) not in told_of
        ]
        if weak and line.told.path not in said:
            said.add(line.told.path)
            yield found(line.told.path, line=line.told.name, places=tuple(weak))


_FAR_AWAY = "A: {at: [60, 20]}, B: {at: [12, 78]}"


def _second(*keys: str, far_cm: int) -> str:
    return on_board(
        f"{TAPS}\n" + tapped("far from the shore", "| X . x X . x |", *keys),
        places="A: {at: [30, 45]}",
        spots=f", far: [{far_cm}, 45]",
    )


RULE = Rule(
    id="felt-weak",
    title=say("Every line is felt at every place"),
    why=say("What is not felt is missed by a pupil who listens with the whole body."),
    source=say(
        "{no_source}; {value:.0f} dB below a medium tap in the middle, by the board's model, "
        "which nobody has measured",
        no_source=NO_SOURCE,
        value=-USUAL_WEAK_DB,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(
        f'{TAPS}\n- words: far from the shore\n  lane: "| X . x X . x |"\n  loudness: very quiet\n'
        "  spot: far",
        places=_FAR_AWAY,
        spots=", far: [118, 2]",
    ),
    more_good=(
        _second("loudness: very quiet", "spot: far", far_cm=114),
        _second("loudness: loud", "spot: far", far_cm=115),
    ),
    more_bad=(
        _second("loudness: very quiet", "spot: far", far_cm=115),
        _second("loudness: very quiet", "spot: far", far_cm=118),
    ),
)
