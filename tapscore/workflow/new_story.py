"""A new story file from plain words."""

from pathlib import Path

from tapscore.model.story import Item, Line, Refrain, RefrainUse, Role, Section, Story
from tapscore.storyfile.write import write_story

HEAD = """\
# {title}: made from {source} by tapscore.
# Look at first: the metre and tempo; the hyphens that divide syllables; each rhythm
# (`tapscore help lane`). Then add waits, props and who taps: `tapscore help story`.
"""


def story_from_text(text: str, title: str) -> Story:
    """Sections from blank lines, lines from lines; a line heard twice or more is a refrain.

    A first paragraph of one line that returns nowhere is the title.
    """
    paragraphs = _paragraphs(text)
    if len(paragraphs) > 1 and len(paragraphs[0]) == 1:
        title = paragraphs.pop(0)[0].lstrip("# ").strip() or title
    counts: dict[str, int] = {}
    for line in (line for paragraph in paragraphs for line in paragraph):
        counts[_same(line)] = counts.get(_same(line), 0) + 1
    refrains: dict[str, Refrain] = {}
    sections = []
    for number, paragraph in enumerate(paragraphs, 1):
        items: list[Item] = []
        for line in paragraph:
            if counts[_same(line)] < 2:
                items.append(Line(line))
                continue
            refrain = refrains.setdefault(
                _same(line), Refrain(_refrain_name(line, len(refrains)), (Line(line),))
            )
            items.append(RefrainUse(refrain.name))
        sections.append(Section(f"Part {number}", tuple(items)))
    return Story(
        title,
        roles=(Role("leader"), Role("beat-keeper")),
        refrains=tuple(refrains.values()),
        sections=tuple(sections),
    )


def new_story_text(text: str, source: Path) -> str:
    """The text of a new story file made from the words of ``source``."""
    story = story_from_text(text, source.stem.replace("-", " ").replace("_", " "))
    return HEAD.format(title=story.title, source=source.name) + write_story(story)


def _paragraphs(text: str) -> list[list[str]]:
    paragraphs: list[list[str]] = [[]]
    for raw in text.splitlines():
        line = " ".join(raw.split())
        if line:
            paragraphs[-1].append(line)
        elif paragraphs[-1]:
            paragraphs.append([])
    return [paragraph for paragraph in paragraphs if paragraph]


def _same(line: str) -> str:
    return "".join(c for c in line.casefold() if c.isalnum() or c == " ").strip()


def _refrain_name(line: str, count: int) -> str:
    words = _same(line).split()[:3]
    return " ".join(words) or f"refrain {count + 1}"
