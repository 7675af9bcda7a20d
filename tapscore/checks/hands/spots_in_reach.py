"""Every adult can reach the spots they tap."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, Trouble, example
from tapscore.checks.setting import Setting, distance_cm, setting_of
from tapscore.checks.walk import edit_line, line_at
from tapscore.model.finding import Severity
from tapscore.model.story import Story

REACH_CM = 75.0


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    if setting.board is None:
        return
    seen = set()
    for touch in facts.touches:
        for role in touch.roles:
            if touch.spot is None or (role, touch.spot) in seen:
                continue
            seen.add((role, touch.spot))
            away = _away_cm(setting, role, touch.spot)
            if away is not None and away > REACH_CM:
                yield Found(
                    f"asks the {role} to tap “{touch.spot}”, {away:.0f} cm from where they sit; "
                    f"an arm reaches about {REACH_CM:.0f} cm.",
                    _remedy(setting, touch.spot),
                    ("lane",),
                )


def _away_cm(setting: Setting, role: str, spot: str) -> float | None:
    seat, point = setting.seat(role), setting.spot(spot)
    return None if seat is None or point is None else distance_cm(seat, point)


def _near(setting: Setting, spot: str) -> tuple[str, ...]:
    """Roles that reach a spot, nearest first."""
    away = {role: _away_cm(setting, role, spot) for role in setting.role_names}
    reached = {r: cm for r, cm in away.items() if cm is not None and cm <= REACH_CM}
    return tuple(sorted(reached, key=lambda role: reached[role]))


def _remedy(setting: Setting, spot: str) -> str:
    near = _near(setting, spot)
    if near:
        return f"Give it to the {near[0]}, who sits nearer, or choose another spot."
    return "Choose a spot nearer to a seat, or move the seat."


def _fix(story: Story, trouble: Trouble) -> Story | None:
    setting = setting_of(story)
    line = line_at(story, trouble.path)
    if line is None:
        return None
    spots = story.board.spots if story.board else ()
    spot = next((each.name for each in spots if f"“{each.name}”" in trouble.message), None)
    near = _near(setting, spot) if spot is not None else ()
    if not near:
        return None
    return edit_line(
        story, trouble.path, lambda each: evolve(each, manner=evolve(each.manner, by=(near[0],)))
    )


_BOARD = (
    "board: {size_cm: [120, 90], spots: {corner: [10, 10]},\n"
    "  seats: {east: [120, 45], west: [0, 45]}}\n"
    "roles: {leader: {seat: east}, second tapper: {seat: west}}\n"
)

RULE = Rule(
    id="spots-in-reach",
    title="Every adult reaches the spots they tap",
    why="Leaning far over the board leans on it, and on whoever lies there.",
    source="forward reach of a sitting adult, about 65 cm for a small woman (from memory of "
    "anthropometric tables), and 10 cm of leaning: a house rule",
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
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
    fix=_fix,
    mends="Gives the line to the adult who sits nearest to the spot.",
)
