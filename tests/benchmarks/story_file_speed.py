"""How writing and checking a story grow with its length.  By hand: ``python`` this file.

Every figure is the median of five processes, each with a story of words and rhythms that no
other has; CPU time.  Beside it stands what ruamel.yaml takes to read the same text and write it
back with its comments (its round-trip mode), in a process of its own as well.
"""

import subprocess
import sys
import time
from collections.abc import Callable
from math import log10
from random import Random
from statistics import median

from attrs import evolve

from tapscore.model.edits import change_line
from tapscore.model.story import Line, Section, Story
from tapscore.storyfile.read import read_text
from tapscore.storyfile.story_findings import story_findings
from tapscore.storyfile.write import write_story
from tapscore.workflow.open_story import checked_story

LINES = (10, 100, 1000)
ROUNDS = 5
SOUNDS = ("row", "lan", "tern", "moon", "tip", "py", "wa", "ter", "boat", "oh", "sail", "home")


def long_text(lines: int, seed: int) -> str:
    """A story file of so many lines, each other than every other, with comments."""
    random = Random(seed)
    parts = ["tapscore: 2", f"title: Story {seed}", "metre: 6/8", "story:"]
    for number in range(lines):
        if number % 10 == 0:
            parts += [f"  - section: Part {number // 10}", "    lines:"]
        sounds = [random.choice(SOUNDS) for _ in range(random.randint(4, 8))]
        marks = " ".join(random.choice("xX") if i < len(sounds) else "." for i in range(12))
        parts += [
            f"      # about line {number}",
            f"      - words: {'-'.join(sounds[:2])} {' '.join(sounds[2:])} {number % 7}",
            f'        lane: "| {marks[:11]} | {marks[12:]} |"   # as tried',
            "        loudness: quiet",
        ]
    return "\n".join(parts) + "\n"


def _every(story: Story, change: Callable[[int, Line], Line], one_in: int) -> Story:
    def changed(section: Section) -> Section:
        items = [
            change(number, item) if isinstance(item, Line) and number % one_in == 0 else item
            for number, item in enumerate(section.items)
        ]
        return evolve(section, items=tuple(items))

    return evolve(story, sections=tuple(map(changed, story.sections)))


def _moved(story: Story, random: Random) -> Story:
    items = [item for section in story.sections for item in section.items]
    random.shuffle(items)
    ahead = iter(items)
    sections = (
        evolve(section, items=tuple(next(ahead) for _ in section.items))
        for section in story.sections
    )
    return evolve(story, sections=tuple(sections))


def _ms(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1e3


def one(what: str, lines: int, seed: int) -> float:
    """One figure in this process, in milliseconds."""
    text = long_text(lines, seed)
    if what == "ruamel.yaml, there and back":
        from io import StringIO

        from ruamel.yaml import YAML

        yaml = YAML()
        return _ms(lambda: yaml.dump(yaml.load(text), StringIO()))
    if what == "read":
        return _ms(lambda: read_text(text))
    story = read_text(text).story
    assert story is not None
    if what == "write, title changed":
        new = evolve(story, title="Other")
    elif what == "write, a line of each section changed":
        new = _every(story, lambda i, line: evolve(line, do=f"rock {i}"), 10)
    elif what == "write, every line changed":
        new = _every(story, lambda i, line: evolve(line, words=f"{line.words} oh", do=str(i)), 1)
    elif what == "write, every line elsewhere":
        new = _moved(story, Random(seed))
    else:
        checked_story(story)  # the window has checked it when it opened
        path = ("story", 0, "lines", 3)
        new = change_line(story, path, lambda line: evolve(line, do=f"rock {seed}"))
        check = story_findings if what == "reader's findings, a line changed" else checked_story
        return _ms(lambda: check(new))
    return _ms(lambda: write_story(new))


FIGURES = (
    "read",
    "write, title changed",
    "write, a line of each section changed",
    "write, every line changed",
    "write, every line elsewhere",
    "reader's findings, a line changed",
    "all findings, a line changed",
    "ruamel.yaml, there and back",
)


def _in_process(what: str, lines: int, seed: int) -> float:
    command = [sys.executable, __file__, what, str(lines), str(seed)]
    return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def main() -> None:
    """Print the figures and how they grow from 100 to 1,000 lines."""
    print(f"{'ms of CPU, lines:':42}" + "".join(f"{lines:>9}" for lines in LINES) + "   exponent")
    for what in FIGURES:
        taken = [
            median(_in_process(what, lines, 1000 * n + lines) for n in range(ROUNDS))
            for lines in LINES
        ]
        print(f"{what:42}" + "".join(f"{t:9.1f}" for t in taken), end="")
        print(f"{log10(taken[2] / taken[1]):11.2f}")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(one(sys.argv[1], int(sys.argv[2]), int(sys.argv[3])))
    else:
        main()
