"""Quick tapping doesn't go on and on."""

from collections.abc import Iterable, Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

MOST_PER_SEC = 2.3
MOST_LINES = 1
"""So many lines in a row may be quicker."""


def _find(scene: Scene) -> Iterator[Found]:
    seen = set()
    for stretch in quick_stretches(scene.told):
        if stretch[0].path not in seen:
            seen.add(stretch[0].path)
            rate = sum(each.facts.taps_per_sec for each in stretch) / len(stretch)
            yield found(stretch[0].path, line=stretch[0].name, lines=len(stretch), rate=rate)


def quick_stretches(heard: Iterable[HeardLine]) -> Iterator[list[HeardLine]]:
    """Lines in a row, more than may be, that are tapped too quickly for so long."""
    stretch: list[HeardLine] = []
    for told in (*heard, None):
        dense = told is not None and told.facts.taps_per_sec > MOST_PER_SEC
        if not dense or (told is not None and told.paused):
            if len(stretch) > MOST_LINES:
                yield stretch
            stretch = []
        if dense and told is not None:
            stretch.append(told)


def _lines(first: str, second: str, tempo: int) -> str:
    return example(
        tapped("Rain on the roof-tops and", first),
        tapped("rain on the road and the", second),
        extra=f"tempo: {tempo}\nloudness: quiet\n",
    )


_FULL, _BEATS = "| X x x X x x |", "| X s s X s s |"

RULE = Rule(
    id="taps-thin-enough",
    title=say("Quick tapping doesn't go on"),
    why=say(
        "Many quick taps run together into a buzz; what pupils come to know and wait for is the "
        "beat. A quick line is a treat if the next one leaves room."
    ),
    source=say(
        "{no_source}: not more than about two taps a second for longer than a line",
        no_source=NO_SOURCE,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=_lines(_FULL, _FULL, 43),
    bad=_lines(_FULL, _FULL, 47),
    more_good=(_lines(_FULL, _BEATS, 60), _lines(_BEATS, _BEATS, 60)),
    more_bad=(_lines(_FULL, _FULL, 60), _lines(_FULL, _FULL, 70)),
)
