"""Texts with named holes, and how the holes are filled.

A hole is ``{name}`` or ``{name:how}``.  ``how`` is one of

- ``.0f`` and the like: as Python formats numbers;
- ``1 step|# steps``: one form for each of the language's plurals, ``#`` being the number;
- ``start=begins|finish=ends|*=goes on``: the form that the value names, ``*`` any other;
- ``and``, ``or``, ``list``: names joined; with ``quoted`` before, each in quotation marks, with
  ``marked`` before, each marked as what is written in the file;
  a list may also choose a form for each ``kind:name`` in it, with ``{each}`` as the name;
- ``marked``: words in which things are marked as written in the file;
- ``loudness``: the nearest of the five words; ``inside``: a line's name within a sentence.

Forms may hold holes themselves.  ``{key.warn_first}`` and ``{mark.tap}`` are what the file
calls a key or a mark, or what the window does.
"""

import re
from collections.abc import Callable, Mapping
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from attrs import frozen

from tapscore.wording.about import Datum, LineName

_MARKED = re.compile("`([^`]*)`")


class Surface(Enum):
    """Where a sentence is read: beside the story file, or in the editor's window."""

    FILE = "file"
    WINDOW = "window"


class Text(NamedTuple):
    """What one kind of finding says, with holes."""

    message: str
    remedy: str
    window_remedy: str | None = None
    """For the window, where other words for keys and marks are not enough."""
    window_message: str | None = None

    def on(self, surface: Surface) -> tuple[str, str]:
        """Message and remedy for a surface, holes still open."""
        if surface is Surface.FILE:
            return self.message, self.remedy
        return (
            self.window_message or _without_marks(self.message),
            self.window_remedy or _without_marks(self.remedy),
        )


@lru_cache(maxsize=1024)
def _without_marks(text: str) -> str:
    """What is written in a file in quotation marks, as the window has no letters for code."""
    return _MARKED.sub(r"“\1”", text)


class Said(NamedTuple):
    """A finding in words."""

    message: str
    remedy: str


@frozen(eq=False)
class Language:
    """How one language says things."""

    texts: Mapping[str, Text]
    """By code, or ``code/case`` where a code has several cases."""
    keys: Mapping[str, tuple[str, str]]
    """Keys and marks by their names in texts: in the file, in the window."""
    loudness: tuple[str, ...]
    plural: Callable[[int | float | Fraction], int]
    """Which of the forms goes with a number."""
    joined: Callable[[tuple[str, ...], str], str]
    """Names and ``and``, ``or`` or ``list``."""
    quoted: Callable[[str], str]
    more_here: str
    """Follows where a line has more findings of a kind; ``more_here`` says how many."""
    line_name: Callable[[LineName, bool], str]
    """A line's name, and whether it stands within a sentence."""


@frozen(eq=False)
class Hole:
    """A place to be filled."""

    name: str
    how: str = ""


@lru_cache(maxsize=1024)
def parts_of(text: str) -> tuple[str | Hole, ...]:
    """A text cut into words and holes.  Raises ValueError for braces that don't close."""
    parts: list[str | Hole] = []
    start = 0
    while start < len(text):
        opens = text.find("{", start)
        if opens < 0:
            parts.append(text[start:])
            break
        if opens > start:
            parts.append(text[start:opens])
        closes = _closing(text, opens)
        name, _, how = text[opens + 1 : closes].partition(":")
        parts.append(Hole(name, how))
        start = closes + 1
    return tuple(parts)


def forms_of(how: str) -> tuple[str, ...]:
    """The forms among which a hole chooses; none if it doesn't."""
    forms: list[str] = []
    depth = start = 0
    for index, letter in enumerate(how):
        depth += (letter == "{") - (letter == "}")
        if letter == "|" and depth == 0:
            forms.append(how[start:index])
            start = index + 1
    return (*forms, how[start:]) if forms else ()


def filled(text: str, about: Mapping[str, Datum], language: Language, surface: Surface) -> str:
    """The text with its holes filled.  Raises KeyError for a name that isn't there."""
    said: list[str] = []
    for part in parts_of(text):
        if isinstance(part, str):
            said.append(part)
        elif part.name in language.keys:
            said.append(language.keys[part.name][surface is Surface.WINDOW])
        else:
            said.append(_value(about[part.name], part.how, about, language, surface))
    return "".join(said)


def number_words(value: int | float | Fraction) -> str:
    """A number as it is written: a fraction as a decimal."""
    if isinstance(value, Fraction):
        value = value.numerator if value.denominator == 1 else float(value)
    return f"{value:.6f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def _closing(text: str, opens: int) -> int:
    depth = 0
    for index in range(opens, len(text)):
        depth += (text[index] == "{") - (text[index] == "}")
        if depth == 0:
            return index
    raise ValueError(f"a brace doesn't close: {text!r}")


def _value(
    value: Datum, how: str, about: Mapping[str, Datum], language: Language, surface: Surface
) -> str:
    forms = forms_of(how)
    if forms and isinstance(value, tuple):
        return language.joined(
            tuple(_each(item, forms, about, language, surface) for item in value), "list"
        )
    if forms:
        chosen = _chosen(value, forms, language)
        if isinstance(value, int | float | Fraction):
            chosen = chosen.replace("#", number_words(value))
        return filled(chosen, about, language, surface)
    match value:
        case LineName():
            return language.line_name(value, how == "inside")
        case tuple():
            quoting, _, join = how.rpartition(" ")
            names = value
            if quoting == "marked" and surface is Surface.FILE:
                names = tuple(f"`{name}`" for name in value)
            elif quoting:
                names = tuple(map(language.quoted, value))
            return language.joined(names, join)
        case int() | float() | Fraction() if how == "loudness":
            return language.loudness[min(max(int(value + 0.5), 0), len(language.loudness) - 1)]
        case int() | float() | Fraction():
            return format(float(value), how) if how else number_words(value)
        case str() if how == "marked" and surface is Surface.WINDOW:
            return _without_marks(value)
    return "" if value is None else value


def _each(
    item: str,
    forms: tuple[str, ...],
    about: Mapping[str, Datum],
    language: Language,
    surface: Surface,
) -> str:
    kind, _, name = item.partition(":")
    return filled(_chosen(kind, forms, language), {**about, "each": name}, language, surface)


def _chosen(value: Datum, forms: tuple[str, ...], language: Language) -> str:
    named = dict(form.partition("=")[::2] for form in forms if "=" in form.partition("{")[0])
    if len(named) == len(forms):
        key = "" if value is None else str(value)
        if isinstance(value, int | float | Fraction):
            key = number_words(value)
        return named[key] if key in named else named["*"]
    assert isinstance(value, int | float | Fraction)
    return forms[min(language.plural(value), len(forms) - 1)]
