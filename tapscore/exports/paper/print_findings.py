"""What of a story could not be printed as it is written."""

import unicodedata
from collections.abc import Iterator

from tapscore.exports.paper import fonts
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Item, Line, Offer, Story, Wait


def print_findings(story: Story) -> tuple[Finding, ...]:
    """Characters no font has, and letters that run from right to left."""
    found: list[Finding] = []
    for path, text in story_texts(story):
        lost = fonts.missing(text)
        if lost:
            named = ", ".join(_named(character) for character in lost)
            found.append(
                Finding(
                    "print-missing",
                    Severity.LOOK_AGAIN,
                    f"{_where(text)} has a character that the printed fonts lack: {named}.",
                    "It is left out on paper. Write it in words, or draw it on by hand.",
                    path,
                )
            )
        if fonts.right_to_left(text):
            found.append(
                Finding(
                    "print-right-to-left",
                    Severity.LOOK_AGAIN,
                    f"{_where(text)} is written from right to left; paper cannot do that yet.",
                    "Its letters are printed one by one from left to right, not joined. Write"
                    " these words on the cards by hand.",
                    path,
                )
            )
    return tuple(found)


def story_texts(story: Story) -> Iterator[tuple[StoryPath, str]]:
    """Every text of a story that is printed, with its place in the file."""
    yield ("title",), story.title
    for role in story.roles:
        yield ("roles", role.name), role.name
    for prop in story.props:
        for text in (prop.name, prop.what, prop.instead or ""):
            yield ("props", prop.name), text
    if story.board:
        names = [spot.name for spot in story.board.spots]
        for name in names + [place.name for place in story.board.places]:
            yield ("board",), name
    for refrain in story.refrains:
        yield ("refrains", refrain.name), refrain.name
        yield from _items(refrain.items, ("refrains", refrain.name))
    for index, section in enumerate(story.sections):
        yield ("story", index, "section"), section.title
        yield from _items(section.items, ("story", index, "lines"))


def _items(items: tuple[Item, ...], path: StoryPath) -> Iterator[tuple[StoryPath, str]]:
    for index, item in enumerate(items):
        here = (*path, index)
        if isinstance(item, Line):
            for text in (item.words, item.do, item.warn_first, item.look_for):
                if text:
                    yield here, text
        elif isinstance(item, Wait | Offer) and item.look_for:
            yield here, item.look_for


def _where(text: str) -> str:
    short = text if len(text) <= 30 else text[:29] + "…"
    return f"“{short}”"


def _named(character: str) -> str:
    name = unicodedata.name(character, "").lower()
    return f"{character} ({name or f'character {ord(character):X}'})"
