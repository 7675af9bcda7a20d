"""A line of words as the syllables that are said, each with its weight in the sentence."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from enum import IntEnum

from attrs import evolve, frozen

from tapscore.model.words import beside_figures, split_words
from tapscore.words.letters import INVISIBLE, plain_word
from tapscore.words.pronounce import Pronunciation, pronounce
from tapscore.words.spoken import needs_words, spoken_words
from tapscore.words.weak_words import CLITIC, FUNCTION, LIGHT, LONG, weak_words

_MARKS = (
    "\u0300-\u036f\u0483-\u0489\u0591-\u05bd\u05bf\u05c1\u05c2\u05c4\u05c5\u05c7"
    "\u0610-\u061a\u064b-\u065f\u0670\u06d6-\u06dc\u06df-\u06e4\u0900-\u0903\u093a-\u094f"
)
_UNSEEN = "".join(sorted(INVISIBLE))
_TOKEN = re.compile(
    rf"(?:(?<![^\s(“‘\"'])[-\u2212](?=[£$€]?\d))?(?:[£$€](?=\d))?['’‘ʼ]?[^\W_]"
    rf"(?:[^\W_]|[{_MARKS}{_UNSEEN}]"
    rf"|['’‘ʼ`´=-](?=['’‘ʼ`´=-]*[^\W_])"
    rf"|(?<=\d)[.,:/\u2044](?=\d)|(?<=\d)\u2013(?=[£$€]?\d)|(?<=\u2013)[£$€](?=\d))*"
    rf"(?:(?<=\d)[%°]|(?<=[nsofNSOF])['’](?![^\W_]))?|[&+@×÷%°№]|(?<![^\W_])=|=(?![^\W_])"
)
_INSIDE = re.compile(r"(?<=[^-=])[-=]+")
_PAUSE = re.compile(r"[,;:.!?…–—]|--")
_STOP = re.compile(r"[!?]|(?<!\.)\.(?!\.)")
_TITLES = frozenset(("mr", "mrs", "ms", "dr", "st"))
"""Words that may be shortened with a full stop before a name."""
_NO_GLOSSARY: Mapping[str, str] = {}


class Weight(IntEnum):
    """How heavy a syllable is in the sentence, by the kind of word it stands in."""

    CLITIC = 0
    FUNCTION = 1
    WEAK = 2
    LIGHT = 3
    LONG_FUNCTION = 4
    SECONDARY = 5
    CONTENT = 6
    PRIMARY = 7


@frozen
class SungSyllable:
    """One syllable of a line.

    ``stress``: 0 none, 1 primary, 2 secondary, as in ``Pronunciation``.  ``word`` counts the
    written words from 0; ``first`` and ``last`` tell whether the syllable begins or ends its
    word.  ``start`` and ``end`` are places in the line; a syllable of a number that is spoken
    as words has the span of the whole number.  ``source`` tells where the division comes
    from; ``pause`` whether a comma, dash or stop follows before the next word, and ``stop``
    whether it ends a sentence.
    """

    text: str
    stress: int
    word: int
    first: bool
    last: bool
    start: int
    end: int
    weight: Weight
    source: str
    pause: bool = False
    stop: bool = False


def tokens(words: str) -> Iterator[tuple[str, int, int]]:
    """Written words of a line with their places; punctuation and emoji are left out.

    A hyphen beside figures parts two of them (``1-2-3``).
    """
    for found, begin in _found(words):
        text, start, end = found, begin, begin + len(found)
        opening_quote = text[0] in "'‘" and not _known_elision(text)
        if opening_quote:
            start += 1
            text = text[1:]
        if text[-1] in "'’" and (opening_quote or _quoted(words, start)):
            end -= 1
            text = text[:-1]
        yield text, start, end


def _found(words: str) -> Iterator[tuple[str, int]]:
    for match in _TOKEN.finditer(words):
        text, begin = match[0], 0
        if not text.isalpha():
            for mark in _INSIDE.finditer(text):
                if beside_figures(text, *mark.span()):
                    yield text[begin : mark.start()], match.start() + begin
                    begin = mark.end()
        yield text[begin:], match.start() + begin


def _known_elision(text: str) -> bool:
    plain = plain_word(text)
    return plain in weak_words() or plain in ("'cause", "'em", "'bout", "'neath", "'round", "'cos")


def _quoted(words: str, start: int) -> bool:
    return any(mark in words[:start] for mark in ("‘", " '")) or words[:1] == "'"


def read_line(words: str, glossary: Mapping[str, str] = _NO_GLOSSARY) -> tuple[SungSyllable, ...]:
    """The syllables of a line; none for a line without a word.

    Words may carry the teacher's cuts (``lan-tern``); ``glossary`` maps words in small
    letters to their syllables (``{"higgledy": "HIG-gle-dy"}``).
    """
    syllables: list[SungSyllable] = []
    pieces = [piece.start for piece in split_words(words)]
    last, before, taken = 0, "", -1
    for number, (token, start, end, spoken) in enumerate(_said(words, glossary)):
        title = before.casefold() in _TITLES and words[last:start].rstrip() == "."
        before = token
        if syllables and not title and _PAUSE.search(words, last, start):
            stop = _STOP.search(words, last, start) is not None
            syllables[-1] = evolve(syllables[-1], pause=True, stop=stop)
        last = end
        piece = max(bisect_right(pieces, start) - 1, 0)
        # *5°C* is written as one, and *&* goes with the word before it
        place = syllables[-1].start if piece == taken else start
        if spoken is not None:
            for word in spoken:
                syllables += _spoken(word, number, place, end, glossary)
        else:
            syllables += _written(token, number, place, glossary)
        taken = piece if syllables else -1
    return tuple(syllables)


def written_out(words: str) -> str:
    """The line with figures, signs and shortened words as the words said for them."""
    parts: list[str] = []
    last = 0
    for token, start, end, spoken in _said(words, _NO_GLOSSARY):
        if spoken is None:
            continue
        close = " " if words[start - 1 : start].isalnum() else ""
        parts += [words[last:start], close, " ".join(spoken)]
        # “Mr.” ends no sentence
        last = end + (token.isalpha() and words[end : end + 1] == ".")
        if words[last : last + 1].isalnum():
            parts.append(" ")
    return "".join([*parts, words[last:]])


def _said(
    words: str, glossary: Mapping[str, str]
) -> Iterator[tuple[str, int, int, tuple[str, ...] | None]]:
    """Written words with their places, and what is said for those said otherwise than written."""
    found = list(tokens(words))
    for at, (token, start, end) in enumerate(found):
        # alone an equals sign is said, inside a word it is a hyphen
        said = token.replace("=", "-") if len(token) > 1 else token
        spoken = None
        if plain_word(token) not in glossary and needs_words(said):
            before, _, left = found[at - 1] if at else ("", 0, 0)
            after, right, _ = found[at + 1] if at + 1 < len(found) else ("", end, 0)
            spoken = spoken_words(
                said,
                before.replace("-", "") if words[left:start].isspace() else "",
                after if words[end:right].strip() == "." else "",
            )
        yield token, start, end, None if spoken == (said,) else spoken


def _spoken(
    word: str, number: int, start: int, end: int, glossary: Mapping[str, str]
) -> Iterator[SungSyllable]:
    said = pronounce(word, glossary)
    for text, stress, weight, at in _weighed(word, said):
        last = at + 1 == len(said.syllables)
        yield SungSyllable(text, stress, number, at == 0, last, start, end, weight, said.source)


def _written(
    token: str, number: int, start: int, glossary: Mapping[str, str]
) -> Iterator[SungSyllable]:
    said = pronounce(token, glossary)
    place = start
    line_at = 0
    for text, stress, weight, at in _weighed(token, said):
        first = line_at
        line_at = _after(token, line_at, text)
        last = at + 1 == len(said.syllables)
        end = start + (len(token) if last else line_at)
        yield SungSyllable(
            text, stress, number, at == 0, last, place if at else start, end, weight, said.source
        )
        place = end
        del first


def _after(token: str, at: int, text: str) -> int:
    """Where a syllable's letters end in the token, hyphens that only cut passed over."""
    left = len(text.replace("-", ""))
    while at < len(token) and left:
        left -= token[at] not in "-="
        at += 1
    while at < len(token) and token[at] in "-=":
        at += 1
    return at


def _weighed(word: str, said: Pronunciation) -> Iterator[tuple[str, int, Weight, int]]:
    kind = weak_words().get(plain_word(word).strip("'"), weak_words().get(plain_word(word), ""))
    single = len(said.syllables) == 1
    for at, (text, stress) in enumerate(zip(said.syllables, said.stresses, strict=True)):
        yield text, stress, _weight(kind, stress, single), at


def _weight(kind: str, stress: int, single: bool) -> Weight:
    if single:
        if stress == 1 and kind not in (CLITIC, FUNCTION):
            return Weight.LIGHT if kind == LIGHT else Weight.CONTENT
        return Weight.CLITIC if kind == CLITIC else Weight.FUNCTION
    if stress == 0:
        return Weight.WEAK
    if kind == LONG:
        return Weight.LONG_FUNCTION
    return Weight.SECONDARY if stress == 2 else Weight.PRIMARY
