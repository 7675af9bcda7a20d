"""Lines on the clipboard: whole for our own windows, plain words for other programs."""

import re
from collections.abc import Sequence

from attrs import evolve, frozen
from PySide6.QtCore import QMimeData
from PySide6.QtGui import QClipboard, QGuiApplication

from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, Offer, Refrain, RefrainUse, Section, Story, Wait
from tapscore.model.words import printed
from tapscore.rhythm.unroll import story_manner
from tapscore.screen.rows import Row, RowKind
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say

MIME = "application/x-tapscore-lines"
"""A small story file with what was copied in one section; board and roles explain its lanes."""
MOST_CHARACTERS = 200_000
_NO_LETTERS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff]")
"""Control characters, which no story file can hold."""
LONGEST_LINE_WORDS = 60
"""What is said in one breath is shorter by far; more than this is no line."""


@frozen
class Copied:
    """What the clipboard holds that a story can take."""

    items: tuple[Item, ...] = ()
    """Whole lines, waits, offerings and returns."""
    refrains: tuple[Refrain, ...] = ()
    """The refrains that return among them."""
    source: Story | None = None
    """The small story that they are in, with the metres they have."""
    words: str = ""
    """Words from elsewhere."""
    problem: str = ""
    """Why there is nothing to take, in a sentence."""


def copied_rows(rows: Sequence[Row], story: Story) -> QMimeData:
    """What to put on the clipboard for these rows."""
    names = _returning(story, [row.item for row in rows if row.item is not None])
    refrains = tuple(refrain for refrain in story.refrains if refrain.name in names)
    base = story_manner(story).metre
    items = tuple(
        evolve(row.item, manner=evolve(row.item.manner, metre=row.metre))
        if isinstance(row.item, Line) and row.item.lane is not None and row.metre != base
        else row.item
        for row in rows
        if row.item is not None
    )
    small = Story(
        "Copied",
        manner=PartialManner(metre=base),
        board=story.board,
        roles=story.roles,
        refrains=refrains,
        sections=(Section("Copied", items),),
    )
    data = QMimeData()
    data.setText("\n".join(_plain(row) for row in rows))
    if items:
        data.setData(MIME, write_story(small).encode("utf-8"))
    return data


def _returning(story: Story, items: Sequence[Item]) -> set[str]:
    """The refrains that return among items, and those that return within them."""
    names: set[str] = set()
    new = {item.name for item in items if isinstance(item, RefrainUse)}
    while new:
        names |= new
        inside = [refrain.items for refrain in story.refrains if refrain.name in new]
        new = {i.name for some in inside for i in some if isinstance(i, RefrainUse)} - names
    return names


def read_copied(data: QMimeData, *, words_only: bool = False) -> Copied:
    """What can be pasted into a story, or into a field of words."""
    if data.hasFormat(MIME) and not words_only:
        story = read_text(bytes(data.data(MIME).data()).decode("utf-8", "replace")).story
        if story is not None and story.sections:
            return Copied(story.sections[0].items, story.refrains, story)
    text = _NO_LETTERS.sub(" ", data.text()) if data.hasText() else ""
    if not text.strip():
        return Copied(problem=say("There are no words in what was copied."))
    if len(text) > MOST_CHARACTERS:
        return Copied(
            problem=say(
                "That is far too much for one story ({count:,} letters). Copy a part of it.",
                count=len(text),
            )
        )
    longest = max(len(line.split()) for line in text.splitlines())
    if longest > LONGEST_LINE_WORDS:
        return Copied(
            problem=say(
                "One line of it has {longest} words: too many for one breath. Begin a "
                "new line where you breathe, then copy it again.",
                longest=longest,
            )
        )
    return Copied(words=text.replace("\t", " "))


def leave_words_alone() -> None:
    """At the end: the clipboard keeps the words, and nothing that Python made.

    Qt lets go of what it holds when Python is gone already, and crashed then.
    """
    if copied_now().hasFormat(MIME):
        clipboard = QGuiApplication.clipboard()
        clipboard.setText(clipboard.text())


def copied_now(mode: QClipboard.Mode = QClipboard.Mode.Clipboard) -> QMimeData:
    """What was copied last; nothing where the platform gives nothing (Qt then says None)."""
    data: QMimeData | None = QGuiApplication.clipboard().mimeData(mode)
    return QMimeData() if data is None else data


def with_refrains(story: Story, refrains: Sequence[Refrain]) -> Story:
    """The story with those refrains that it has none of that name for."""
    new = tuple(refrain for refrain in refrains if story.refrain(refrain.name) is None)
    return evolve(story, refrains=(*story.refrains, *new)) if new else story


def _plain(row: Row) -> str:
    match row.item:
        case Line(words):
            return printed(words)
        case Wait(least_sec=seconds):
            return say("(wait at least {seconds:g} seconds)", seconds=float(seconds))
        case Offer(prop):
            return say("(offer {prop} to each pupil)", prop=prop)
        case RefrainUse(name):
            return say("(refrain: {name})", name=name)
    return row.title.upper() if row.kind is RowKind.SECTION else row.title
