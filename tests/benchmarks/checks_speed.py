"""Times of all checks on 100 lines: cold, again, and after one changed line.

Run by hand: ``python -m tests.benchmarks.checks_speed``.  Ratios are against running every
rule anew in the same process.
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter

from attrs import evolve

from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import Scene
from tapscore.model.edits import change_line
from tapscore.model.story import Line, Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tests.forgetting import forget_all

ROUNDS = 15


def hundred_lines() -> Story:
    """A story of 100 different lines with a refrain, waits, props, board and adults."""
    parts = [
        "tapscore: 2\ntitle: T\nmetre: 6/8\ntempo: 54\nby: beat-keeper\nspot: middle\npupils: 4\n"
        "board: {size_cm: [120, 90], spots: {middle: [60, 45]},\n"
        "  seats: {east: [120, 45], west: [0, 45]}, places: {A: {at: [30, 45]}}}\n"
        "roles: {leader: {seat: west}, beat-keeper: {seat: east}}\n"
        "props: {beads: {what: string of beads, instead: rings, cautions: [cord, small parts]}}\n"
        "refrains:\n  home:\n    - words: Row the lan-tern\n"
        '      lane: "| X . x X . x |"\n'
        "story:\n"
    ]
    for number in range(100):
        if number % 10 == 0:
            parts.append(f"  - section: Part {number // 10}\n    lines:\n")
        parts.append(
            f"      - words: Out on the wa-ter the lit-tle boat {_word(number)}\n"
            '        lane: "| X x x X x x | X x x X . . |"\n'
        )
        if number % 5 == 4:
            parts.append("      - refrain: home\n      - wait: 10\n        look for: a look\n")
    story = read_text("".join(parts)).story
    assert story is not None
    return story


def _word(number: int) -> str:
    letters = "bcdfghjklm"
    return letters[number // 10] + "a" + letters[number % 10]


def _time(run: Callable[[int], Callable[[], object]]) -> float:
    """Median milliseconds of the prepared runs."""
    times = []
    for number in range(ROUNDS):
        prepared = run(number)
        start = perf_counter()
        prepared()
        times.append(1000 * (perf_counter() - start))
    return median(times)


def main() -> None:
    """Print the table."""
    story = hundred_lines()
    scene = Scene(story, perform(story))
    start = perf_counter()
    found = check(scene)
    first = 1000 * (perf_counter() - start)
    print(f"{len(RULES)} rules, 100 lines, {len(scene.told)} told, {len(found)} findings")
    print(f"first check in a process    {first:7.2f} ms (loads the dictionary of stresses)")

    def anew(_: int) -> Callable[[], object]:
        forget_all()
        fresh = Scene(story, perform(story))
        return lambda: check(fresh)

    def changed(number: int) -> Callable[[], object]:
        def change(line: Line) -> Line:
            return evolve(line, words=f"Out on the wa-ter the lit-tle boat x{number}")

        edited = change_line(story, ("story", 5, "lines", 3), change)
        fresh = Scene(edited, perform(edited))
        return lambda: check(fresh)

    def read_again(_: int) -> Callable[[], object]:
        again = hundred_lines()
        fresh = Scene(again, perform(again))
        return lambda: check(fresh)

    all_ms = _time(anew)
    check(Scene(story, perform(story)))
    print(f"every rule on every line    {all_ms:7.2f} ms  1.00")
    for name, run in (("one line changed", changed), ("same text read again", read_again)):
        part_ms = _time(run)
        print(f"{name:27} {part_ms:7.2f} ms  {part_ms / all_ms:.2f}")
    one_by_one = _time(lambda _: lambda: [tuple(r.findings(scene)) for r in RULES])
    print(f"rules one by one, unkept    {one_by_one:7.2f} ms  {one_by_one / all_ms:.2f}")


if __name__ == "__main__":
    main()
