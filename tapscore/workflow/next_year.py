"""A story's copy for next year: words, rhythm, board and props stay, all of this year goes.

What goes is listed; where a text may hold initials or a date, somebody is asked.  The copy is
laid out anew from the story alone, so that no note of the old file can be left in it.
"""

import re
from collections.abc import Collection, Iterator

from attrs import evolve, field, frozen

from tapscore.model.story import Story
from tapscore.storyfile.kinds import Doc, NamedDoc
from tapscore.storyfile.read import StoryText
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.write import fresh_text
from tapscore.wording.catalogue import say
from tapscore.workflow.shorten import Listed

DocPath = tuple[str | int, ...]
_MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
_DATE = (
    r"\b\d{1,4}[./-]\d{1,2}[./-]\d{1,4}\b"
    rf"|\b(?:\d{{1,2}}(?:st|nd|rd|th)?\s+)?(?:{_MONTHS})\b(?:\s+\d{{1,4}}\b)?"
    r"|\b(?:19|20)\d\d\b"
)
_INITIALS = r"\b[A-Z]\.\s?(?:[A-Z]\.?)?(?=\W|$)|\b[A-Z]{2,3}\b"
_TRACE = re.compile(f"(?P<date>{_DATE})|(?P<initials>{_INITIALS})")
_NO_INITIALS = frozenset({"OK", "TV", "UK", "II", "III"})
_NO_TEXT = ("lane", "language", "metre", "loudness", "tempo", "stroke", "finding", "areas")
_CAN_GO = (
    *("do", "look for", "what", "instead", "class", "next year"),
    *("outdoors", "weather", "picture"),
)
"""What may be left out and leaves a whole story; a warning never goes unseen."""
HEAD = f"# {say('Noted to change this year:')}\n"


@frozen
class Trace:
    """A text that may hold initials or a date."""

    path: DocPath
    where: str
    """``Line 3, do``."""
    text: str
    found: tuple[str, ...]
    can_go: bool
    """Whether it may be left out; else it can only be kept as it is, or written otherwise."""


@frozen
class NextYear:
    """What a copy for next year would be."""

    gone: tuple[Listed, ...]
    traces: tuple[Trace, ...]
    doc: dict[str, Doc] = field(repr=False, eq=False)


def next_year(source: StoryText, story: Story) -> NextYear:
    """The copy of a story, with what goes of itself and what must be asked about."""
    gone: list[Listed] = [(say("Own note"), note) for note in notes_in(source.text)]
    for each in story.accepted:
        about = f"{each.finding}{say(' at “{where}”', where=each.where) if each.where else ''}"
        gone.append((say("Accepted"), about + (f": {each.why}" if each.why else "")))
    if story.term:
        gone.append((say("Term"), story.term))
    doc = to_document(evolve(story, accepted=(), term=None, origin=None))
    return NextYear(tuple(gone), tuple(_traces(doc)), doc)


def copy_text(copy: NextYear, left_out: Collection[Trace]) -> str:
    """The text of the copy's file, without the texts that are ``left_out``.

    Raises ValueError for one that can't go.
    """
    doc = {key: _copied(value) for key, value in copy.doc.items()}
    for trace in sorted(left_out, key=_places, reverse=True):
        if not trace.can_go:
            raise ValueError(
                say("{where} can't be left out: write it otherwise.", where=trace.where)
            )
        _drop(doc, trace.path)
    text = fresh_text(doc)
    notes = doc.get("next year", [])
    listed = [notes] if isinstance(notes, str) else list(notes)
    if not listed:
        return text
    return HEAD + "".join(f"#  - {_commented(str(note))}\n" for note in listed) + "\n" + text


def traces_in(text: str) -> tuple[str, ...]:
    """All that looks like initials or a date in a text, each once."""
    found = (match[0].strip() for match in _TRACE.finditer(text))
    return tuple(dict.fromkeys(each for each in found if each not in _NO_INITIALS))


def notes_in(text: str) -> tuple[str, ...]:
    """The notes (comments) of a story file, in its order.

    A note that goes on in the next line is one; one that begins with a dash is a new one.
    """
    notes: list[str] = []
    goes_on = False
    for line in text.splitlines():
        quote = ""
        for at, sign in enumerate(line):
            if quote:
                quote = "" if sign == quote else quote
            elif sign in "\"'" and (at == 0 or line[at - 1] in " [{:,"):
                quote = sign
            elif sign == "#" and (at == 0 or line[at - 1] in " \t"):
                note = line[at + 1 :].strip()
                alone = not line[:at].strip()
                if note and alone and goes_on and not note.startswith("-"):
                    notes[-1] += f" {note}"
                elif note:
                    notes.append(note)
                goes_on = alone and bool(note)
                break
        else:
            goes_on = False
    return tuple(notes)


def _traces(doc: dict[str, Doc]) -> Iterator[Trace]:
    for path, text in _texts(doc, ()):
        found = traces_in(text)
        if found:
            can_go = path[-1] in _CAN_GO or path[0] == "next year"
            yield Trace(path, _where(path, doc), text, found, can_go)


def _texts(doc: Doc, path: DocPath) -> Iterator[tuple[DocPath, str]]:
    """Every text of a document with its path; names of things stand in their keys."""
    if isinstance(doc, str):
        yield path, str(doc)
    elif isinstance(doc, list):
        for at, each in enumerate(doc):
            yield from _texts(each, (*path, at))
    else:
        for key, value in doc.items():
            if key in _NO_TEXT:
                continue
            if path and path[-1] in ("roles", "props", "refrains", "places", "seats", "spots"):
                yield (*path, key, ""), key
            yield from _texts(value, (*path, key))


def _where(path: DocPath, doc: dict[str, Doc]) -> str:
    """Where a text stands, in a few words."""
    last = path[-1] if path[-1] != "" else "name"
    match path:
        case ("story", int(section), "lines", int(line), *_):
            return say(
                "Part {section}, place {line}, {name}",
                section=section + 1,
                line=line + 1,
                name=_name(path[4:]),
            )
        case ("story", int(section), *_):
            return say("Part {section}, {last}", section=section + 1, last=last)
        case (str(kind), str(name), *_) if kind in doc:
            return f"{kind}, {name}, {last}"
    return str(path[0])


def _name(path: DocPath) -> str:
    return " ".join(str(part) for part in path if isinstance(part, str)) or "text"


def _copied(doc: Doc) -> Doc:
    """The same data, without where it came from."""
    if isinstance(doc, str):
        return doc
    if isinstance(doc, list):
        return [_copied(each) for each in doc]
    pairs = ((key, _copied(value)) for key, value in doc.items())
    return NamedDoc(pairs) if isinstance(doc, NamedDoc) else dict(pairs)


def _commented(text: str) -> str:
    """For a comment: nothing in it ends the line or can't stand in a file."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _places(trace: Trace) -> list[int]:
    """By these the later things of a list go first."""
    return [part if isinstance(part, int) else -1 for part in trace.path]


def _drop(doc: Doc, path: DocPath) -> None:
    """Take out what stands at a path: a key, or one thing of a list."""
    at: Doc = doc
    for part in path[:-1]:
        at = at[part]  # type: ignore[index]
    del at[path[-1]]  # type: ignore[arg-type,union-attr]
