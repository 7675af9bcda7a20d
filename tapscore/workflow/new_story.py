"""A new story file from plain words: sections, refrains and a rhythm for every line."""

import textwrap
from collections.abc import Collection, Sequence
from fractions import Fraction
from pathlib import Path

from attrs import evolve

from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Item, Line, Refrain, RefrainUse, Role, Section, Story, Wait
from tapscore.storyfile.write import write_story
from tapscore.workflow.fitting import fitted_together, hyphenated
from tapscore.workflow.metre_choice import likely_metre
from tapscore.workflow.plain_words import Part, PlainWords, read_words

USUAL_WAIT_SEC = Fraction(10)
HEAD = """\
# {title}: made by tapscore from {source}.
# Look at first:
{why}
# 2. The hyphens that divide syllables, and each rhythm (`tapscore help lane`);
#    `tapscore fit` shows other ways.
# 3. The waits after each refrain: what do you look for there?
# 4. Then add props, the board and who taps (`tapscore help story`).
"""


def new_story_text(source: Path) -> str:
    """The text of a new story file made from the words of ``source``.

    Raises UnreadableWordsError where there is nothing to make a story of.
    """
    words = read_words(source)
    title = words.title or source.stem.replace("-", " ").replace("_", " ")
    metre, why = likely_metre([line for part in words.parts for line in part.lines])
    story = story_of(words, title, metre)
    head = HEAD.format(
        title=_on_one_line(story.title),
        source=_on_one_line(source.name),
        why=_commented(f"1. The metre. {why}"),
    )
    return head + write_story(story)


def _on_one_line(text: str) -> str:
    """For a comment: a name with a line end in it must not begin a line of the file."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _commented(text: str) -> str:
    return textwrap.fill(text, 88, initial_indent="# ", subsequent_indent="#    ")


def story_of(words: PlainWords, title: str, metre: Metre) -> Story:
    """A story of plain words; lines that return, alone or together, become refrains."""
    returning = _returning(words.parts)
    names: dict[tuple[str, ...], str] = {}
    refrains: list[Refrain] = []
    sections: list[Section] = []
    for number, part in enumerate(words.parts, 1):
        items: list[Item] = []
        lines = list(part.lines)
        while lines:
            group = _group_at(lines, returning)
            if group is None:
                items.append(Line(lines.pop(0)))
                continue
            if group not in names:
                names[group] = _refrain_name(lines[0], names.values())
                refrains.append(
                    Refrain(names[group], tuple(Line(line) for line in lines[: len(group)]))
                )
            items += [RefrainUse(names[group]), Wait(USUAL_WAIT_SEC)]
            del lines[: len(group)]
        sections.append(Section(part.heading or f"Part {number}", _fitted(items, metre)))
    return Story(
        title,
        manner=PartialManner(metre=metre),
        roles=(Role("leader"), Role("beat-keeper")),
        refrains=tuple(evolve(r, items=_fitted(r.items, metre)) for r in refrains),
        sections=tuple(sections),
    )


def _fitted(items: Sequence[Item], metre: Metre) -> tuple[Item, ...]:
    """Runs of lines fitted together, so that ends and pickups make whole bars."""
    result: list[Item] = []
    run: list[Line] = []
    for item in (*items, None):
        if isinstance(item, Line):
            run.append(evolve(item, words=hyphenated(item.words)))
            continue
        result.extend(fitted_together(run, metre))
        run = []
        if item is not None:
            result.append(item)
    return tuple(result)


def _same(line: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in line.casefold()).split())


def _returning(parts: Sequence[Part]) -> set[tuple[str, ...]]:
    """Groups of lines, as long as can be, that come at least twice."""
    all_lines = [[_same(line) for line in part.lines] for part in parts]
    counts: dict[str, int] = {}
    for lines in all_lines:
        for line in lines:
            counts[line] = counts.get(line, 0) + 1
    groups: set[tuple[str, ...]] = set()
    for lines in all_lines:
        at = 0
        while at < len(lines):
            end = at
            while end < len(lines) and counts[lines[end]] == counts[lines[at]] > 1:
                if lines[end] in lines[at:end]:
                    break
                end += 1
            while end > at + 1 and _times(tuple(lines[at:end]), all_lines) != counts[lines[at]]:
                end -= 1
            if end > at:
                groups.add(tuple(lines[at:end]))
            at = max(end, at + 1)
    return groups


def _times(group: tuple[str, ...], all_lines: Sequence[Sequence[str]]) -> int:
    size = len(group)
    return sum(
        tuple(lines[at : at + size]) == group
        for lines in all_lines
        for at in range(len(lines) - size + 1)
    )


def _group_at(lines: Sequence[str], groups: set[tuple[str, ...]]) -> tuple[str, ...] | None:
    same = [_same(line) for line in lines]
    found = [group for group in groups if tuple(same[: len(group)]) == group]
    return max(found, key=len, default=None)


def _refrain_name(line: str, taken: Collection[str]) -> str:
    base = " ".join(_same(line).split()[:3]) or "refrain"
    name, count = base, 2
    while name in taken:
        name, count = f"{base} {count}", count + 1
    return name
