"""Every adult can reach the spots they tap."""

from collections.abc import Iterator
from functools import partial

from attrs import evolve

from tapscore.board.bodies import REACH_MM
from tapscore.checks.examples import example, tapped
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.checks.setting import Setting
from tapscore.checks.tapping import tapped_spots
from tapscore.model.edits import change_line
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

REACH_CM = REACH_MM / 10


def _find(scene: Scene) -> Iterator[Found]:
    setting = scene.setting
    if setting.board is None:
        return
    for (role, spot), lines in tapped_spots(scene).items():
        away = _away_cm(setting, role, spot)
        if away is not None and away > REACH_CM:
            yield found(
                lines[0].path,
                line=lines[0].name,
                more=len(lines) - 1,
                role=role,
                spot=spot,
                away_cm=away,
                reach_cm=REACH_CM,
                nearer=next(iter(_near(setting, spot)), None),
            )


def _away_cm(setting: Setting, role: str, spot: str) -> float | None:
    seat, point = setting.seat(role), setting.spot(spot)
    return None if seat is None or point is None else seat.distance_mm(point) / 10


def _near(setting: Setting, spot: str) -> tuple[str, ...]:
    """Roles that reach a spot, nearest first."""
    away = {role: _away_cm(setting, role, spot) for role in setting.bare.role_names}
    reached = {r: cm for r, cm in away.items() if cm is not None and cm <= REACH_CM}
    return tuple(sorted(reached, key=lambda role: reached[role]))


def _fix(story: Story, finding: Finding) -> Story | None:
    role, spot, near = (finding.about[name] for name in ("role", "spot", "nearer"))
    if not isinstance(near, str) or not isinstance(role, str) or not isinstance(spot, str):
        return None
    for told in tapped_spots(Scene(story, perform(story))).get((role, spot), ()):
        by = tuple(near if each == role else each for each in told.facts.manner.by)
        story = change_line(story, told.path, partial(_tapped_by, by=by))
    return story


def _tapped_by(line: Line, by: tuple[str, ...]) -> Line:
    return evolve(line, manner=evolve(line.manner, by=tuple(dict.fromkeys(by))))


_BOARD = (
    "board: {size_cm: [120, 90], spots: {corner: [10, 10]},\n"
    "  seats: {east: [120, 45], west: [0, 45]}}\n"
    "roles: {leader: {seat: east}, second tapper: {seat: west}}\n"
)


def _reaching(x_cm: int) -> str:
    return example(
        tapped("Row the lan-tern", "| X . x X . x |"),
        extra=f"board: {{size_cm: [200, 90], spots: {{s: [{x_cm}, 0]}}, seats: {{w: [0, 0]}}}}\n"
        "roles: {leader: {seat: w}}\nspot: s\n",
    )


RULE = Rule(
    id="spots-in-reach",
    title=say("Every adult reaches the spots they tap"),
    why=say("Leaning far over the board leans on it, and on whoever lies there."),
    source=say(
        "forward reach of a sitting adult, about 65 cm for a small woman (from memory of "
        "anthropometric tables), and 10 cm of leaning: a house rule"
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  spot: corner\n'
        "  by: second tapper\n"
        '- words: down in the net\n  lane: "| X x x X . . |"\n  by: leader',
        extra=_BOARD,
    ),
    bad=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  spot: corner\n  by: leader\n'
        '- words: down in the net\n  lane: "| X x x X . . |"\n  by: second tapper',
        extra=_BOARD,
    ),
    more_good=(
        _reaching(75),
        _reaching(60),
    ),
    more_bad=(
        _reaching(76),
        _reaching(150),
    ),
    fix=_fix,
    mends=say("Gives these lines to the adult who sits nearest to the spot."),
)
