"""Find and replace in a story's words, as they are printed: hyphens divide nothing here."""

import re
from collections.abc import Callable, Iterable, Iterator
from difflib import SequenceMatcher
from functools import partial
from typing import Any

from attrs import evolve, frozen

from tapscore.model.edits import change_section, item_at, replace_item
from tapscore.model.finding import StoryPath
from tapscore.model.metre import Metre
from tapscore.model.story import Item, Line, Offer, Story, Wait
from tapscore.model.words import printed
from tapscore.rhythm.unroll import as_written
from tapscore.workflow.fitting import retyped

_KEYS: dict[type, tuple[str, ...]] = {
    Line: ("words", "warn_first", "do", "look_for"),
    Wait: ("look_for",),
    Offer: ("look_for",),
}


@frozen
class FoundWords:
    """One place where words were found."""

    path: StoryPath
    key: str
    """Which text of the item: ``words``, ``warn_first``, ``do``, ``look_for``; or ``title``."""
    start: int
    end: int
    """Columns in the text as printed, from 0."""
    text: str
    """What stands there."""


def texts(story: Story) -> Iterator[tuple[StoryPath, str, str]]:
    """Every text that is read or said in the telling: path, key, and the words as printed."""
    items: dict[StoryPath, list[tuple[StoryPath, Item]]] = {}
    for placed in as_written(story):
        if placed.item is not None:
            items.setdefault(placed.path[:2], []).append((placed.path, placed.item))
    for index, section in enumerate(story.sections):
        yield ("story", index), "title", section.title
        yield from _texts_of(items.get(("story", index), ()))
    for refrain in story.refrains:
        yield from _texts_of(items.get(("refrains", refrain.name), ()))


def _texts_of(items: Iterable[tuple[StoryPath, Item]]) -> Iterator[tuple[StoryPath, str, str]]:
    for path, item in items:
        for key in _KEYS.get(type(item), ()):
            text = getattr(item, key)
            if text:
                yield path, key, printed(text) if key == "words" else text


def find_words(story: Story, wanted: str, *, whole: bool = False) -> tuple[FoundWords, ...]:
    """Where words stand, in the order of telling; capitals don't matter.

    ``whole``: not within longer words.
    """
    wanted = " ".join(wanted.split())
    if not wanted:
        return ()
    # what is sought may begin or end with a mark, which is no part of a word
    before, after = (r"\b" * (whole and not re.match(r"\W", end)) for end in (wanted, wanted[-1]))
    pattern = re.compile(f"{before}{re.escape(wanted)}{after}", re.IGNORECASE)
    return tuple(
        FoundWords(path, key, match.start(), match.end(), match[0])
        for path, key, text in texts(story)
        for match in pattern.finditer(text)
    )


def replace_words(story: Story, found: Iterable[FoundWords], new: str) -> Story:
    """The story with these places saying something else; rhythms follow as when typing."""
    places: dict[tuple[StoryPath, str], list[FoundWords]] = {}
    for each in found:
        places.setdefault((each.path, each.key), []).append(each)
    metres = {placed.path: placed.manner.metre for placed in as_written(story)}
    for (path, key), here in places.items():
        if key == "title":
            assert isinstance(path[1], int)
            title = _with_text(here, new)(story.sections[path[1]].title)
            story = change_section(story, path[1], partial(evolve, title=title))
        else:
            item = item_at(story, path)
            story = replace_item(story, path, _changed(story, item, key, here, new, metres[path]))
    return story


def _changed(
    story: Story, item: Any, key: str, here: list[FoundWords], new: str, metre: Metre
) -> Item:
    change = _with_text(here, new)
    if key != "words":
        other: Item = evolve(item, **{key: change(getattr(item, key)) or None})
        return other
    words = as_divided(item.words, change(printed(item.words)))
    return retyped(item, words, metre, story.divided_words)


def _with_text(here: list[FoundWords], new: str) -> Callable[[str], str]:
    """Puts the new words in, with a capital where the old ones had one."""

    def change(text: str) -> str:
        for each in sorted(here, key=lambda found: found.start, reverse=True):
            capital = each.text[:1].isupper() and new[:1].islower()
            words = new[:1].upper() + new[1:] if capital else new
            text = text[: each.start] + words + text[each.end :]
        return " ".join(text.split())

    return change


def as_divided(written: str, typed: str) -> str:
    """Words as typed, those that stood there already divided as they were."""
    old, new = written.split(), typed.split()
    bare = [printed(word) for word in old]
    for what, i1, i2, j1, j2 in SequenceMatcher(None, bare, new, False).get_opcodes():
        if what == "equal":
            new[j1:j2] = old[i1:i2]
    return " ".join(new)
