"""Story starters: whole stories of our own with gaps for a class's own words.

A starter is a story file in ``resources/starters/``.  Lines such as ``#? ride: What do we travel
in? | bus`` at its head name its gaps, ask for them, and give the words that stand there until
somebody has better ones; ``{ride}`` marks where they go.
"""

import re
from collections.abc import Mapping
from pathlib import Path

from attrs import evolve, frozen

from tapscore.model.fewer_taps import Tapped
from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines, line_at
from tapscore.resources import resource_path
from tapscore.rhythm.unroll import as_written
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.workflow.fitting import fitted, hyphenated
from tapscore.workflow.thinning import thinned

LONGEST_FILL = 40
_GAP = re.compile(r"^#\? (\w+): (.*) \| (.*)\n", re.M)
_FILL = re.compile(r"[^\W\d_]+(?:[ '’-][^\W\d_]+)*")


class UnusableFillError(ValueError):
    """Words that can't stand in a gap; says why and what to do."""


@frozen
class Gap:
    """A place for words of one's own."""

    name: str
    asks: str
    usual: str
    """What stands there until then, syllables divided."""


@frozen
class Starter:
    """A story with gaps."""

    name: str
    title: str
    gaps: tuple[Gap, ...]
    text: str


def starters() -> tuple[Starter, ...]:
    """The starters that come with the program, in order of name."""
    return tuple(_read(path) for path in sorted(resource_path("starters").glob("*.yaml")))


def starter(name: str) -> Starter | None:
    """The starter of that name."""
    return next((each for each in starters() if each.name == name), None)


def _read(path: Path) -> Starter:
    whole = path.read_text(encoding="utf-8")
    gaps = tuple(Gap(*found) for found in _GAP.findall(whole))
    text = _GAP.sub("", whole)
    title = re.search(r"^title: (.*)$", text, re.M)
    return Starter(path.stem, title[1] if title else path.stem, gaps, text)


def starter_text(chosen: Starter, fills: Mapping[str, str]) -> str:
    """The text of a story file: the starter with its gaps filled.

    A line whose words are not the usual ones gets the rhythm that suits them, tapped on the
    beats.  Raises UnusableFillError for a gap there is none of, and for what is not words.
    """
    words = {gap.name: gap.usual for gap in chosen.gaps}
    for name, fill in fills.items():
        words[name] = _checked(chosen, name, fill)
    usual = _story(chosen, {gap.name: gap.usual for gap in chosen.gaps})
    story = _story(chosen, words)
    metres = {placed.path: placed.manner.metre for placed in as_written(story)}
    changed: list[StoryPath] = []

    def fit(path: StoryPath, line: Line) -> Line:
        before = line_at(usual, path)
        if before is None or before.words == line.words:
            return line
        changed.append(path)
        return fitted(evolve(line, words=hyphenated(line.words)), metres[path])

    story = change_lines(story, fit)
    story, _ = thinned(story, Tapped.BEATS, lambda path: path in changed)
    return _head(chosen, fills) + write_story(story)


def _story(chosen: Starter, words: Mapping[str, str]) -> Story:
    text = chosen.text
    lines = []
    for line in text.splitlines(keepends=True):
        spoken = line.lstrip().startswith(("- words:", "words:"))
        filled = line
        for name, word in words.items():
            said = word if spoken else word.replace("-", "")
            filled = filled.replace("{" + name + "}", said)
        lines.append(filled)
    read = read_text("".join(lines))
    assert read.story is not None
    return read.story


def _checked(chosen: Starter, name: str, fill: str) -> str:
    gap = next((each for each in chosen.gaps if each.name == name), None)
    if gap is None:
        known = ", ".join(each.name for each in chosen.gaps)
        raise UnusableFillError(
            say(
                "There is no gap “{name}” in this starter; there are: {known}.",
                name=name,
                known=known,
            )
        )
    words = " ".join(fill.split())
    if len(words) > LONGEST_FILL or not _FILL.fullmatch(words):
        raise UnusableFillError(
            say(
                "“{words}” can't stand for {name}: write a word or two, letters alone.",
                words=words[:LONGEST_FILL],
                name=name,
            )
        )
    return words


def _head(chosen: Starter, fills: Mapping[str, str]) -> str:
    """What a story file begins with: which words are still ours."""
    head = [
        "# "
        + say(
            "Begun from tapscore's story starter “{chosen}”: make every word yours.",
            chosen=chosen.name,
        )
    ]
    ours = [gap for gap in chosen.gaps if gap.name not in fills]
    if ours:
        head.append("# " + say("Still as it came, for you to fill:"))
        head += [
            "#   " + say("{asks} Now: {words}.", asks=gap.asks, words=gap.usual.replace("-", ""))
            for gap in ours
        ]
    return "".join(f"{line}\n" for line in head)
