"""What the program counts is what music theory counts, through the whole story."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.about import LineName
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    from tapscore.rhythm.describe import tap_place
    from tapscore.rhythm.metre_opinion import differences

    seen = set()
    for each in differences(scene.story):
        path, line, event = each.placed.path, each.placed.line, each.event
        if line is None or path in seen:
            continue
        seen.add(path)
        where = None
        if event is not None:
            where = tap_place(line, each.placed.manner, event)
        yield found(
            (*path, "lane") if line.lane is not None else path,
            line=scene.called.get(path, LineName(each.placed.number)),
            case=each.what.value,
            bar=each.bar,
            where=where,
            own=float(each.own),
            theirs=float(each.theirs),
            metre=str(each.placed.manner.metre),
        )


_GOOD = example(
    tapped("The moon came up,", "x | X . x X . |"), tapped("the wind lay down.", "x | X . x X . |")
)

RULE = Rule(
    id="metre-agrees",
    title=say("Two ways to count the metre agree"),
    why=say(
        "Everything hangs on where the strong beats fall. A second count, made by a program of "
        "music theory that knows nothing of ours, finds where one of the two went astray: bars and "
        "pickups, ties over bar lines, strong and weak places, section by section."
    ),
    source=say("music21's time signatures: bar lengths and accent weights"),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_GOOD,
    bad=example(tapped("Row the lan-tern home now", "| X . x X x | X . x . . . |")),
    more_good=(
        example(tapped("Row the lan-tern", "| X . x X . x |")),
        example(tapped("Row the boat", "| X . x . X _ _ _ |"), metre="4/4"),
    ),
    more_bad=(
        example(tapped("Row the lan-tern home", "| X . x X . x . | X . . . . . |")),
        example(tapped("Row the boat and home", "| X . x . X . | X . x . . . . . |"), metre="4/4"),
    ),
)
