"""What of a story could not be printed as it is written."""

import unicodedata
from collections.abc import Iterator

from tapscore.exports.paper import fonts
from tapscore.exports.paper.pages import REACH_MM, Paper
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Item, Line, Offer, Story, Wait
from tapscore.model.walk import written_items
from tapscore.wording.about import About
from tapscore.wording.catalogue import say


def print_findings(story: Story) -> tuple[Finding, ...]:
    """Characters no font has, and lines whose words and taps run opposite ways."""
    found: list[Finding] = []
    for path, text in story_texts(story):
        lost = fonts.missing(text)
        if lost:
            about = About(text=_short(text), characters=tuple(map(_named, lost)))
            found.append(Finding("print-missing", Severity.LOOK_AGAIN, path=path, about=about))
    return (*found, *_lanes(story))


def _lanes(story: Story) -> tuple[Finding, ...]:
    """Words from right to left over taps from left to right."""
    return tuple(
        Finding(
            "print-right-to-left",
            Severity.ADVICE,
            path=path,
            about=About(text=_short(item.words)),
        )
        for path, item in written_items(story)
        if isinstance(item, Line) and item.lane and fonts.right_to_left(item.words)
    )


def margin_findings(paper: Paper) -> tuple[Finding, ...]:
    """Advice where a margin is narrower than many printers can print."""
    if paper.margin_mm >= REACH_MM - 0.01:
        return ()
    about = About(margin_mm=paper.margin_mm, reach_mm=REACH_MM)
    return (Finding("print-margin", Severity.ADVICE, about=about),)


def story_texts(story: Story) -> Iterator[tuple[StoryPath, str]]:
    """Every text of a story that is printed, with its place in the file."""
    for key, said in (("title", story.title), ("outdoors", story.outdoors)):
        yield (key,), said or ""
    yield ("weather",), story.weather or ""
    for role in story.roles:
        yield ("roles", role.name), role.name
    for prop in story.props:
        for text in (prop.name, prop.what, prop.instead or "", prop.outdoors or ""):
            yield ("props", prop.name), text
    if story.board:
        names = [spot.name for spot in story.board.spots]
        for name in names + [place.name for place in story.board.places]:
            yield ("board",), name
    for refrain in story.refrains:
        yield ("refrains", refrain.name), refrain.name
    for index, section in enumerate(story.sections):
        yield ("story", index, "section"), section.title
    for path, item in written_items(story):
        for said in filter(None, _item_texts(item)):
            yield path, said


def _item_texts(item: Item) -> tuple[str | None, ...]:
    if isinstance(item, Line):
        said = (item.words, item.do, item.warn_first, item.look_for)
        return (*said, *(each.words for each in item.translations))
    return (item.look_for,) if isinstance(item, Wait | Offer) else ()


def _short(text: str) -> str:
    return text if len(text) <= 30 else text[:29] + "…"


def _named(character: str) -> str:
    name = unicodedata.name(character, "").lower()
    return f"{character} ({name or say('character {code}', code=f'{ord(character):X}')})"
