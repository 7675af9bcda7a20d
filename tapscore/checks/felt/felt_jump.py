"""What a place gets does not jump without a warning, even if the loudness does not."""

from collections.abc import Iterator

from tapscore.board.words import USUAL_JUMP_DB, step_db
from tapscore.checks.examples import TAPS, on_board, tapped
from tapscore.checks.felt.levels import FeltLine, FeltStory, felt_story, is_felt
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity, StoryPath
from tapscore.wording.catalogue import say

_TOLERANCE = 1e-6


def _find(scene: Scene) -> Iterator[Found]:
    story = felt_story(scene)
    said: set[StoryPath] = set()
    if story is None:
        return
    steps = scene.setting.comfort.jump_steps
    for number, place in enumerate(story.places):
        for line, jump_db in _jumps(story, number, steps):
            if line.told.path not in said:
                said.add(line.told.path)
                yield found(
                    line.told.path, line=line.told.name, louder_db=step_db(jump_db), place=place
                )


def _jumps(story: FeltStory, place: int, steps: int) -> Iterator[tuple[FeltLine, float]]:
    """Lines with a jump that the loudness alone does not tell of, and how far it goes."""
    before_db: float | None = None
    loudness = 0.0
    for line in story.lines:
        warned = line.told.line.warn_first is not None
        for touch in line.touches:
            level_db = touch.level_db[place]
            if not is_felt(level_db):
                continue
            if before_db is not None and not warned:
                jump_db = level_db - before_db
                louder = touch.loudness - loudness > steps + _TOLERANCE
                if jump_db >= USUAL_JUMP_DB and not louder:
                    yield line, jump_db
            before_db, loudness = level_db, touch.loudness


_FAR = ", far: [108, 80]"
_PLACE = "A: {at: [60, 20]}"


def _from_far(*keys: str) -> str:
    lines = tapped("Row", "| x . . . . . |", "spot: far"), tapped("Row", "| x . . . . . |", *keys)
    spots = ", near: [100, 45], far: [117, 45]"
    return on_board("\n".join(lines), places="A: {at: [30, 45]}", spots=spots)


RULE = Rule(
    id="felt-jump",
    title=say("What is felt does not jump without a warning"),
    why=say(
        "The same tap may be felt far more strongly at one spot than at another, and so "
        "startle somebody though it sounds no louder."
    ),
    source=say(
        "{no_source}; {usual_jump:.0f} dB by the board's model, which nobody has measured",
        no_source=NO_SOURCE,
        usual_jump=USUAL_JUMP_DB,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places=_PLACE, spots=_FAR),
    bad=on_board(
        f'{TAPS}\n- words: far from the shore\n  lane: "| X . x X . x |"\n  stroke: heel of hand',
        places=_PLACE,
        spots=_FAR,
    ),
    more_good=(
        _from_far("spot: middle"),
        _from_far("spot: near", "warn first: lean in"),
    ),
    more_bad=(
        _from_far("spot: near"),
        _from_far("spot: near", "stroke: flat hand"),
    ),
)
