"""A hand has time to get from one spot to the next."""

from collections.abc import Iterator
from itertools import pairwise

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts, Touch
from tapscore.checks.rule import HOUSE_RULE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

FASTEST_CM_A_SEC = 150.0
SETTLING_SEC = 0.1


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    if setting.board is None:
        return
    for role in facts.role_sec:
        own = [touch for touch in facts.touches if role in touch.roles]
        for one, other in pairwise(own):
            if one.spot != other.spot and _too_far(setting, one, other):
                yield found(
                    ("lane",),
                    role=role,
                    start=one.spot,
                    end=other.spot,
                    seconds=other.onset_sec - one.onset_sec,
                )
                return


def _too_far(setting: Setting, one: Touch, other: Touch) -> bool:
    start, end = setting.spot(one.spot), setting.spot(other.spot)
    if start is None or end is None:
        return False
    needs = SETTLING_SEC + start.distance_mm(end) / 10 / FASTEST_CM_A_SEC
    return other.onset_sec - one.onset_sec < needs


_BOARD = (
    "board: {size_cm: [120, 90], spots: {near: [60, 20], middle: [60, 30], far: [60, 85]}}\n"
    "roles: {leader: }\n"
)


def _hop(lane: str, tempo: int) -> str:
    return example(tapped("hop hop", lane), extra=f"{_BOARD}tempo: {tempo}\n")


RULE = Rule(
    id="hand-has-time-to-move",
    title=say("A hand has time to get from spot to spot"),
    why=say("A hand that must be in two places at once comes late or comes down hard."),
    source=say(
        "{house_rule}: {fastest_cm_a:.0f} cm a second, and a tenth of a second to settle",
        house_rule=HOUSE_RULE,
        fastest_cm_a=FASTEST_CM_A_SEC,
    ),
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=example('- words: hop and hop\n  lane: "| X(near) . . x(middle) . x |"', extra=_BOARD),
    bad=example('- words: hop and hop\n  lane: "| X(near) x(far) . x . . |"', extra=_BOARD),
    more_good=(
        _hop("| X(near) . x(far) . . . |", 74),
        _hop("| X(near) x(near) . . . . |", 150),
    ),
    more_bad=(
        _hop("| X(near) . x(far) . . . |", 76),
        _hop("| X(far) x(middle) . . . . |", 60),
    ),
)
