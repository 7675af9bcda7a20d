"""The cautions page: what to think of with these props and any pupil, and whom to ask."""

from collections.abc import Sequence

from attrs import evolve, frozen

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Cell, Element, Page, Panel, Rule, Text
from tapscore.exports.paper.inks import MUTED
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    NOTICE_PAD,
    TEXT_PT,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    title,
)
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.cautions import title_of
from tapscore.model.story import Story
from tapscore.resources import resource_path

SHARES = (0.34, 0.22, 0.28, 0.16)
ROW_PT = 26.0
LEAST_ROWS = 8
BLANK = "\N{NO-BREAK SPACE}"
CELLS = 1
"""Which table of the document."""


@frozen
class Reminder:
    """One hazard of ``resources/cautions.txt``."""

    part: str
    """``"PROPS"``, ``"PUPILS"`` ..."""
    name: str
    sentences: tuple[str, ...]


def reminders() -> tuple[str, tuple[Reminder, ...]]:
    """The opening words of ``resources/cautions.txt`` and its reminders, sources left out.

    A part's name stands in capitals by itself; a hazard's name begins a line and its
    sentences follow, set in.
    """
    whole = resource_path("cautions.txt").read_text(encoding="utf-8")
    blocks = [block for block in whole.split("\n\n") if block.strip()]
    opening = " ".join(blocks[1].split())
    part, found = "", []
    for block in blocks[2:]:
        lines = block.strip("\n").split("\n")
        if len(lines) == 1 and lines[0].isupper():
            part = lines[0].strip()
            continue
        said = " ".join(line.strip() for line in lines[1:])
        before, ask, rest = said.partition(" Ask ")
        names = rest.partition(" Source:")[0]
        sentences = (before, f"Ask {names}") if ask else (before,)
        found.append(Reminder(part, lines[0].strip(), sentences))
    return opening, tuple(found)


def cautions_page(story: Story, *, paper: str = "A4", margin_mm: float | None = None) -> Printed:
    """Print the cautions.  Raises ValueError for a paper or margin there is no room on."""
    pages = cautions_pages(story, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what="cautions", subject="What to think of, and whom to ask")


def cautions_pages(
    story: Story, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``cautions_page`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    opening, known = reminders()
    inner = wide - NOTICE_PAD
    made = [
        title(f"{story.title}: cautions", "Read this before the first session.", wide),
        notice([text(opening, inner, 13.0, bold="")], wide, warn=True),
    ]
    by_word = {reminder.name: reminder for reminder in known if reminder.part == "PROPS"}
    cautioned = [prop for prop in story.props if prop.cautions]
    if cautioned:
        made.append(heading("This story’s props", wide))
    for word in dict.fromkeys(word for prop in cautioned for word in prop.cautions):
        names = ", ".join(prop.name for prop in cautioned if word in prop.cautions)
        reminder = by_word.get(word)
        name = title_of(word)
        bold = f"{names}: {name}. "
        made.append(text(" ".join(reminder.sentences) if reminder else "", wide, bold=bold))
    rest = [reminder for reminder in known if reminder.part != "PROPS"]
    for part in dict.fromkeys(reminder.part for reminder in rest):
        made.append(heading(part.capitalize(), wide))
        made += [_reminder(reminder, wide) for reminder in rest if reminder.part == part]
    made.append(heading("Asked and answered for this class", wide))
    asked = [f"{prop.name}: {title_of(word)}" for prop in cautioned for word in prop.cautions]
    made += _table([*asked, *[""] * max(LEAST_ROWS - len(asked), 3)], wide)
    return running_pages(made, size, f"{story.title}: cautions")


def _reminder(reminder: Reminder, wide: float) -> Band:
    name = reminder.name[:1].upper() + reminder.name[1:]
    return text(" ".join(reminder.sentences), wide, bold=f"{name}. ", space=5.0)


def _table(asked: Sequence[str], wide: float) -> list[Band]:
    """Rows to fill in by hand: what, asked whom, the answer, and when."""
    heads = ("What", "Asked whom", "Answer", "Date")
    made: list[Band] = []
    for row, words in enumerate([heads, *((word, "", "", "") for word in asked)]):
        cells: list[Block] = []
        x = high = 0.0
        for share, word in zip(SHARES, words, strict=True):
            said = bands.paragraph((Piece(word, row == 0),), TEXT_PT, wide * share - 8)
            if not word:
                blank = Text(0, TEXT_PT, BLANK, TEXT_PT, MUTED, False, width_pt=3.0)
                said = Band((Block("TD", (blank,)),), TEXT_PT)
            tag, scope = ("TH", "Column") if row == 0 else ("TD", "")
            cells += [
                evolve(block, tag=tag, cell=Cell(CELLS, row, scope)) for block in said.at(x + 4, 3)
            ]
            high = max(high, said.height + 6, 0.0 if row == 0 else ROW_PT)
            x += wide * share
        grid: list[Element] = [Panel(0.4, 0.4, wide - 0.8, high - 0.8, 0, None, MUTED, 0.8)]
        x = 0.0
        for share in SHARES[:-1]:
            x += wide * share
            grid.append(Rule(x, 0, x, high, MUTED, 0.8))
        made.append(Band((Block("Artifact", tuple(grid)), *cells), high, with_next=row == 0))
    return made
