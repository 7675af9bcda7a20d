"""Texts with named holes, and how the holes are filled.

A hole is ``{name}`` or ``{name:how}``.  ``how`` is one of

- ``.0f`` and the like: as Python formats numbers;
- ``1 step|# steps``: one form for each of the language's plurals, ``#`` being the number; a
  language with a single form writes ``# steps|``;
- ``start=begins|finish=ends|*=goes on``: the form that the value names, ``*`` any other;
- ``and``, ``or``, ``list``: names joined; with ``quoted`` before, each in quotation marks, with
  ``marked`` before, each marked as what is written in the file;
  a list may also choose a form for each ``kind:name`` in it, with ``{each}`` as the name;
- ``marked``: words in which things are marked as written in the file;
- ``loudness``: the nearest of the five words; ``inside``: a line's name within a sentence.

Forms may hold holes themselves.  ``{key.warn_first}`` and ``{mark.tap}`` are what the file
calls a key or a mark, or what the window does.

The English has two forms for numbers, one and all others; a translation as many as the
``Plural-Forms`` of its catalogue says.  A translation that doesn't fit its English counts as
missing: nobody is shown an exception for a translator's slip.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from attrs import frozen

from tapscore.wording.about import Datum, LineName
from tapscore.wording.catalogue import translations
from tapscore.wording.grammar import LOUDNESS, decimal, joined, line_name, quoted

_MARKED = re.compile("`([^`]*)`")
_NUMBER = re.compile(r"[+]?,?(\d*)(\.\d)?[fd]?")

_OTHER = translations() is not None
"""Whether another language than English is spoken."""

Value = Datum | Path | BaseException
"""What may stand in a hole; a file or what went wrong is said as Python says it."""
Plural = Callable[[float | Fraction], int]
"""Which of the forms goes with a number."""


class Surface(Enum):
    """Where a sentence is read: beside the story file, or in the editor's window."""

    FILE = "file"
    WINDOW = "window"


class Text(NamedTuple):
    """What one kind of finding says, with holes: English, and what is looked up for others."""

    message: str
    remedy: str
    window_remedy: str | None = None
    """For the window, where other words for keys and marks are not enough."""
    window_message: str | None = None

    def on(self, surface: Surface) -> tuple[str, str]:
        """Message and remedy for a surface, in English, holes still open."""
        if surface is Surface.FILE:
            return self.message, self.remedy
        return (
            self.window_message or without_marks(self.message),
            self.window_remedy or without_marks(self.remedy),
        )


class Said(NamedTuple):
    """A finding in words."""

    message: str
    remedy: str


@frozen
class Hole:
    """A place to be filled."""

    name: str
    how: str = ""

    @property
    def forms(self) -> tuple[str, ...]:
        """The forms among which it chooses; none if it doesn't."""
        return forms_of(self.how)

    @property
    def named(self) -> dict[str, str]:
        """Its forms by the values they go with; none if a number chooses."""
        return _named(self.how)


def fill(
    context: str | None,
    english: str,
    values: Mapping[str, Value],
    surface: Surface = Surface.FILE,
) -> str:
    """An English text in the language of the program, its holes filled.

    Raises KeyError for a name that isn't there, ValueError for braces that don't close.
    """
    if _OTHER:
        translated = _translated(context, english)
        if translated is not None:
            words, plural = translated
            try:
                return _filled(_for(surface, words), values, surface, plural)
            except (KeyError, ValueError, TypeError):
                pass  # what only the value shows: a form for numbers where a name stands
    return _filled(_for(surface, english), values, surface, english_plural)


def english_plural(number: float | Fraction) -> int:
    """Which form goes with a number in English."""
    return 0 if number == 1 else 1


@lru_cache(maxsize=4096)
def _translated(context: str | None, english: str) -> tuple[str, Plural] | None:
    """The translation of a text and the plurals it is written with; None for English."""
    there = translations()
    said = None if there is None else there.of(context, english)
    if there is None or said is None or faults(english, said, there.forms):
        return None
    return said, there.plural


def faults(english: str, translation: str, forms: int) -> tuple[str, ...]:
    """Why a translation can't be used, for the translator; ``forms`` as Plural-Forms says.

    Every hole of the English must be there and no other; one that only chooses among words of
    English grammar may be left out.
    """
    try:
        wanted = tuple(holes_of(english))
    except ValueError:
        return ()  # no text with holes, but braces
    if not all(hole.name.replace(".", "_").isidentifier() for hole in wanted):
        return ()
    try:
        holes = tuple(holes_of(translation))
    except ValueError as error:
        return (str(error),)
    known = {hole.name for hole in wanted}
    there = {hole.name for hole in holes}
    choices = {hole.name: hole.named for hole in wanted if hole.named}
    needed = {hole.name for hole in wanted if not hole.named} - {"each"}
    found = [f"{{{name}}} is missing" for name in sorted(needed - there)]
    found += [f"{{{name}}} is not in the English" for name in sorted(there - known)]
    for hole in holes:
        found += _faults_of(hole, choices.get(hole.name, {}), forms)
    english_hows = {(hole.name, hole.how) for hole in wanted}
    for hole in holes:
        plain = not hole.forms and (hole.name, hole.how) not in english_hows
        if plain and hole.how and hole.how not in _WORDS and not _NUMBER.fullmatch(hole.how):
            found.append(f"{{{hole.name}:{hole.how}}}: “{hole.how}” is no way to fill a hole")
    return tuple(dict.fromkeys(found))


_JOINS = ("and", "or", "list")
_WORDS = {
    *("marked", "loudness", "inside", *_JOINS),
    *(f"{how} {join}" for how in ("quoted", "marked") for join in _JOINS),
}


def _faults_of(hole: Hole, english: Mapping[str, str], forms: int) -> Iterator[str]:
    if hole.named:
        if "*" not in hole.named and not set(english) <= set(hole.named):
            yield f"{{{hole.name}:...}} has no form “*=” for all other values"
    elif hole.forms and len(hole.forms) != max(forms, 2):
        yield f"{{{hole.name}:...}} has {len(hole.forms)} forms for numbers instead of {forms}"


def holes_of(text: str) -> Iterator[Hole]:
    """Every hole of a text, those within forms too.  Raises ValueError as `parts_of`."""
    for part in parts_of(text):
        if isinstance(part, Hole):
            yield part
            for form in part.forms:
                yield from holes_of(form)


@lru_cache(maxsize=8192)
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


@lru_cache(maxsize=4096)
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


@lru_cache(maxsize=4096)
def _named(how: str) -> dict[str, str]:
    forms = forms_of(how)
    named = dict(form.partition("=")[::2] for form in forms if "=" in form.partition("{")[0])
    return named if len(named) == len(forms) else {}


@lru_cache(maxsize=1024)
def without_marks(text: str) -> str:
    """What is written in a file in quotation marks, as the window has no letters for code."""
    return _MARKED.sub(lambda found: quoted(found[1]), text)


def number_words(value: int | float | Fraction) -> str:
    """A number as it is written: a fraction as a decimal."""
    if isinstance(value, Fraction):
        value = value.numerator if value.denominator == 1 else float(value)
    if isinstance(value, float):
        return decimal(f"{value:.6f}".rstrip("0").rstrip("."))
    return str(value)


def _for(surface: Surface, text: str) -> str:
    return text if surface is Surface.FILE else without_marks(text)


def _closing(text: str, opens: int) -> int:
    depth = 0
    for index in range(opens, len(text)):
        depth += (text[index] == "{") - (text[index] == "}")
        if depth == 0:
            return index
    raise ValueError(f"a brace doesn't close: {text!r}")


def _filled(text: str, about: Mapping[str, Value], surface: Surface, plural: Plural) -> str:
    said: list[str] = []
    for part in parts_of(text):
        if isinstance(part, str):
            said.append(part)
        elif part.name in about:
            value = about[part.name]
            if not part.how and isinstance(value, str):  # most are: rows are painted with them
                said.append(value)
            else:
                said.append(_value(value, part, about, surface, plural))
        else:
            said.append(_key(part.name, surface))
    return "".join(said)


def _key(name: str, surface: Surface) -> str:
    from tapscore.wording.english import KEYS

    return KEYS[name][surface is Surface.WINDOW]


def _value(
    value: Value, hole: Hole, about: Mapping[str, Value], surface: Surface, plural: Plural
) -> str:
    how = hole.how
    if not how and isinstance(value, int):
        return str(value)
    forms = forms_of(how) if how else ()
    if forms and isinstance(value, tuple):
        return joined(tuple(_each(item, how, about, surface, plural) for item in value), "list")
    if forms:
        chosen = _chosen(value, how, plural)
        if isinstance(value, int | float | Fraction):
            chosen = chosen.replace("#", number_words(value))
        return _filled(chosen, about, surface, plural)
    match value:
        case LineName():
            return line_name(value, how == "inside")
        case tuple():
            quoting, _, join = how.rpartition(" ")
            names = value
            if quoting == "marked" and surface is Surface.FILE:
                names = tuple(f"`{name}`" for name in value)
            elif quoting:
                names = tuple(map(quoted, value))
            return joined(names, join)
        case int() | float() | Fraction():
            return _number(value, how)
        case str() if how == "marked" and surface is Surface.WINDOW:
            return without_marks(value)
    return "" if value is None else str(value)


def _number(value: int | float | Fraction, how: str) -> str:
    if how == "loudness":
        return LOUDNESS[min(max(int(value + 0.5), 0), len(LOUDNESS) - 1)]
    if not how:
        return number_words(value)
    return decimal(format(value if isinstance(value, int) else float(value), how))


def _each(item: str, how: str, about: Mapping[str, Value], surface: Surface, plural: Plural) -> str:
    kind, _, name = item.partition(":")
    return _filled(_chosen(kind, how, plural), {**about, "each": name}, surface, plural)


def _chosen(value: Value, how: str, plural: Plural) -> str:
    named = _named(how)
    if named:
        key = "" if value is None else str(value)
        if isinstance(value, int | float | Fraction):
            key = number_words(value)
        return named[key] if key in named else named["*"]
    if not isinstance(value, int | float | Fraction):
        raise TypeError(f"{value!r} is no number, but forms for numbers stand there")
    forms = forms_of(how)
    return forms[min(plural(value), len(forms) - 1)]
