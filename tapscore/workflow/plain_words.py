"""Plain words from TXT, Markdown and DOCX files, as parts with headings."""

import re
from itertools import zip_longest
from pathlib import Path

from attrs import field, frozen

from tapscore.disc.reading import begins_as_utf_16, read_bounded, text_of
from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say
from tapscore.words.word_classes import word_classes
from tapscore.workflow.fitting import HYPHENS, spaced

_HEADING = re.compile(r"#{1,6}\s+(.*?)\s*#*$")
_MARKUP = re.compile(r"(\*\*|__|\*|_|`)(?=\S)(.+?)(?<=\S)\1")
_BULLET = re.compile(
    r"^(?:[-*+•◦▪▫‣⁃∙·●○■□◆◇❖➢➤►▶▸✓✔✦★☆→⇒–—o\ue000-\uf8ff]\s+"
    r"|\(?\d{1,3}[.)]\)?\s+|\(?(?:[a-z]|[ivx]{2,5}|[IVX]{1,5})[.)]\s+)"
)
"""What a word processor puts before the lines of a list; its own symbols (the private letters of
its fonts) come with what is pasted from it."""
_LABEL = re.compile(r"^([A-Z][\w'’]*(?: [\w'’]+){0,2}):\s+(?=\S)")
_LABELS = frozenset(("narrator", "leader", "teacher", "all", "everyone", "everybody", "children"))
_PART = re.compile(
    r"(?:verse|chorus|refrain|part|chapter|scene|section)\b[ \divx]*[.:]?\Z", re.IGNORECASE
)
PART_RETURNS = re.compile(r"(?:chorus|refrain)\b[ \divx]*\Z", re.IGNORECASE)
_HYPHEN = re.compile(r"(?<=[^\W\d_])-(?=[^\W\d_])")
"""A hyphen as people write it, which in a story file is an equals sign: it stays in print."""
_ENDS = (*",;:.!?…–—-", *"”’\"')")
_HEADING_WORDS = 5
_MOSTLY = 0.8
MOST_CHARACTERS = 200_000
LONGEST_LINE = 1_900
"""A little under what a story file's line may have, as hyphens come into it."""


class UnreadableWordsError(Exception):
    """A file of words that can't be used; the message says why and what to do."""


@frozen
class PlainPart:
    """Lines that stand together, with the heading above them if there is one."""

    lines: tuple[str, ...]
    heading: str | None = None


@frozen
class PlainWords:
    """What a file of words holds."""

    parts: tuple[PlainPart, ...]
    title: str | None = field(default=None)
    labels: tuple[str, ...] = ()
    """Who says a line, as it was written before it (``Narrator:``) and is no part of it."""


def read_words(path: Path) -> PlainWords:
    """Read a file of words; raises UnreadableWordsError where that makes no sense."""
    try:
        data = read_bounded(path)
    except OSError as error:
        raise UnreadableWordsError(
            say(
                "{file} can't be read: {why}. Look at the name.",
                file=path,
                why=reason(error),
            )
        ) from error
    if path.suffix.casefold() == ".docx" or data[:4] == b"PK\x03\x04":
        paragraphs = _docx_paragraphs(path)
    else:
        paragraphs = _text_paragraphs(data, path)
    return _words_in(paragraphs, str(path))


def typed_words(text: str, title: str = "") -> PlainWords:
    """Words that were typed or pasted; raises UnreadableWordsError where that makes no sense.

    With a ``title`` a first line that stands alone is a line like the others.
    """
    words = _words_in(text, say("What was typed"))
    if not title:
        return words
    first = () if words.title in (None, title) else (PlainPart((str(words.title),)),)
    return PlainWords((*first, *words.parts), title)


def _words_in(text: str, source: str) -> PlainWords:
    _look_at_size(text, source)
    words = words_of(text)
    if not words.parts:
        raise UnreadableWordsError(
            say("{source} has no words in it. Write the story there first.", source=source)
        )
    return words


def _look_at_size(text: str, source: str) -> None:
    if len(text) > MOST_CHARACTERS:
        raise UnreadableWordsError(
            say(
                "{source} is longer than {most:,} characters; no tapped story is. Look "
                "whether it is the right file.",
                source=source,
                most=MOST_CHARACTERS,
            )
        )
    for number, line in enumerate(text.splitlines(), 1):
        if len(line) > LONGEST_LINE:
            raise UnreadableWordsError(
                say(
                    "Line {number} of {source} has {count:,} words ({line} ...): too many for one "
                    "breath. Begin a new line where you breathe.",
                    number=number,
                    source=source,
                    count=len(line.split()),
                    line=line[:30],
                )
            )


def words_of(text: str) -> PlainWords:
    """Parts of a text: a blank line ends one, a heading names the next.

    A first heading, or a first line that stands alone, is the title.  Bullets, numbers of a
    list and labels such as ``Narrator:`` are no part of the words.  A line without a bullet
    above others that all have one names them.
    """
    parts: list[PlainPart] = []
    lines: list[str] = []
    bullets: list[bool] = []
    heading: str | None = None

    def end() -> None:
        nonlocal lines, bullets, heading
        if heading is None and len(bullets) > 2 and not bullets[0] and all(bullets[1:]):
            heading = lines.pop(0)
        if lines:
            parts.append(PlainPart(tuple(lines), heading))
            heading = None
        lines, bullets = [], []

    title: str | None = None
    written = [" ".join(raw.translate(HYPHENS).split()) for raw in text.splitlines()]
    labels = _labels(written)
    for line in written:
        found = _HEADING.match(line)
        if found:
            end()
            name = _bare(found[1])
            if title is None and not parts:
                title = name
            else:
                heading = name
        elif _PART.match(line):
            end()
            heading = line.rstrip(".:")
        elif not line:
            end()
        else:
            words = _BULLET.sub("", line, count=1)
            label = _LABEL.match(words)
            words = _bare(words[label.end() :] if label and label[1] in labels else words)
            if any(character.isalnum() for character in words):
                lines.append(words)
                bullets.append(bool(_BULLET.match(line)))
    end()
    if title is None and len(parts) > 1 and len(parts[0].lines) == 1 and not parts[0].heading:
        title = parts.pop(0).lines[0]
    return PlainWords(_with_bare_headings(parts), title, labels)


def _with_bare_headings(parts: list[PlainPart]) -> tuple[PlainPart, ...]:
    """Parts named by short lines without a mark at their end, above or before their lines.

    Only where a text has two such names at least and nearly all its other lines end with a
    mark, as a list of words without any must stay whole.
    """
    named: list[PlainPart] = []
    count = 0
    for part, after in zip_longest(parts, parts[1:]):
        carried = named.pop().lines[0] if named and named[-1].heading == "" else None
        first, alone = part.lines[0], len(part.lines) == 1
        told = PlainPart(part.lines, carried) if carried else part
        if part.heading is None and carried is None and _bare_heading(first):
            if not alone:
                told, count = PlainPart(part.lines[1:], first), count + 1
            elif after is not None and after.heading is None and not _bare_heading(after.lines[0]):
                told, count = PlainPart(part.lines, ""), count + 1
        named.append(told)
    lines = [line for part in named if part.heading != "" for line in part.lines]
    marked = sum(line.endswith(_ENDS) for line in lines)
    return tuple(named if count > 1 and marked >= _MOSTLY * len(lines) else parts)


def _bare_heading(line: str) -> bool:
    words = line.split()
    calls = all(word_classes().get(word.casefold()) in ("sound", "call") for word in words)
    short = len(words) <= _HEADING_WORDS and not calls
    return short and line[:1].isupper() and not line.endswith(_ENDS)


def _labels(lines: list[str]) -> tuple[str, ...]:
    """Labels of who speaks: well-known ones, what stands before two lines or more, and in a
    text that has such ones others that may be a name (*Bear: I am cold*, but not *Stop: go*).
    """
    found = [match[1] for line in lines if (match := _LABEL.match(_BULLET.sub("", line, count=1)))]
    sure = {label for label in found if found.count(label) > 1 or label.casefold() in _LABELS}
    return tuple(
        label for label in dict.fromkeys(found) if label in sure or (sure and _name(label))
    )


def _name(label: str) -> bool:
    return label.rsplit(maxsplit=1)[-1].casefold() not in word_classes()


def _bare(text: str) -> str:
    return _HYPHEN.sub("=", spaced(_MARKUP.sub(r"\2", text)))


def _text_paragraphs(data: bytes, path: Path) -> str:
    if b"\0" in data and not begins_as_utf_16(data):
        raise UnreadableWordsError(
            say(
                "{file} is not plain text. Save the words as plain text, Markdown or DOCX.",
                file=path,
            )
        )
    try:
        return text_of(data)
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _docx_paragraphs(path: Path) -> str:
    from tapscore.workflow.docx_words import DocxDamaged, docx_text

    try:
        return docx_text(path, MOST_CHARACTERS)
    except DocxDamaged as error:
        raise UnreadableWordsError(
            say(
                "{file} can't be read as a DOCX file: {why}. Open it in a word processor and "
                "save it again.",
                file=path,
                why=error,
            )
        ) from error
    except OSError as error:
        raise UnreadableWordsError(
            say("{file} can't be read: {why}.", file=path, why=reason(error))
        ) from error
