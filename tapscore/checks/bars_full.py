"""Every bar holds as many steps as its metre has."""

from collections.abc import Iterator

from tapscore.checks.rule import Rule, Scene, Trouble, example
from tapscore.model.finding import Severity
from tapscore.rhythm.line_bars import bar_faults


def _find(scene: Scene) -> Iterator[Trouble]:
    seen = set()
    for segment in scene.performance.lines:
        if segment.line is None or segment.line.lane is None or segment.path in seen:
            continue
        seen.add(segment.path)
        metre = segment.metre
        for bar, steps in bar_faults(segment.line.lane, metre):
            name = f"Bar {bar}" if bar else "The pickup"
            wanted = f"a bar of {metre} has {metre.steps}"
            if steps > metre.steps:
                remedy = f"Take {steps - metre.steps} out, or put a bar line `|` where a bar ends."
            elif bar:
                remedy = f"Add {metre.steps - steps}; `.` is a step of silence."
            else:
                remedy = "Put a bar line in front: it is no pickup but a bar."
                wanted = f"a pickup is shorter than a bar, and {wanted}"
            yield Trouble(
                (*segment.path, "lane"), f"{name} has {steps} steps, but {wanted}.", remedy
            )


RULE = Rule(
    id="bars-full",
    title="Bars are as long as the metre says",
    why="A bar with a step too many or too few throws everybody who taps to the beat.",
    source="definition of the time signature (any theory primer)",
    severity=Severity.MUST_MEND,
    find=_find,
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example('- words: Row the lan-tern home\n  lane: "| X . x X x | X . . . . . |"'),
)
