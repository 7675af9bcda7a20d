"""Few things happen at the same time."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import HOUSE_RULE, NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.model.loudness import Loudness
from tapscore.wording.catalogue import say

MOST = 3
MOST_GENTLE = 2


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    things = _things(facts)
    most = MOST_GENTLE if setting.comfort.introduce_gently else MOST
    if len(things) > most:
        yield found(count=len(things), things=tuple(things), most=most)


def _things(facts: LineFacts) -> list[str]:
    """What happens, by kinds; a prop with its name."""
    line, manner = facts.line, facts.line.manner
    things = [f"prop:{entrance.prop}" for entrance in line.props_in]
    if line.do is not None:
        things.append("do")
    if len({touch.stroke for touch in facts.touches}) > 1:
        things.append("strokes")
    elif manner.stroke is not None:
        things.append("stroke")
    if manner.tempo is not None:
        things.append("tempo")
    if manner.loudness is not None and (len(manner.loudness) > 1 or facts.peak > Loudness.MEDIUM):
        things.append("loudness")
    return things


def _busy(*keys: str, gently: bool = False) -> str:
    comfort = "comfort: {introduce gently: true}\n" if gently else ""
    return example(
        tapped("Row the lan-tern", "| X . x X . x |", *keys), extra=f"tempo: 54\n{comfort}"
    )


RULE = Rule(
    id="few-things-at-once",
    title=say("Few things happen at once"),
    why=say(
        "A pupil who has to choose between a sound, a movement and a thing may take in none "
        "of them."
    ),
    source=say(
        "one stimulus at a time: {no_source}; the count of {most} ({most_gentle} where the "
        "board is introduced gently): {house_rule}",
        no_source=NO_SOURCE,
        most=MOST,
        most_gentle=MOST_GENTLE,
        house_rule=HOUSE_RULE,
    ),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  stroke: scratch\n  do: sway'
    ),
    bad=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  stroke: scratch\n  do: sway\n'
        "  tempo: 54 to 66\n  loudness: quiet to medium",
        extra="tempo: 54\n",
    ),
    more_good=(
        _busy("stroke: scratch", "do: sway", "tempo: 54 to 66"),
        _busy("stroke: scratch", "do: sway", gently=True),
    ),
    more_bad=(
        _busy("stroke: scratch", "do: sway", "tempo: 54 to 66", "loudness: loud"),
        _busy("stroke: scratch", "do: sway", "tempo: 54 to 66", gently=True),
    ),
)
