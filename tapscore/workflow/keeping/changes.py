"""How two states of a story differ: each change with its place, in words, to be taken back.

Works on what a story file says (``to_document``), so that every key there is or will be is
compared.  Lines are matched first where they are the same and then where they are alike, so
that a changed line is one change and not a lost line and a new one.
"""

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from attrs import frozen

from tapscore.model.story import Story
from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Bare, Doc, NamedDoc
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.write import PartOrigins
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import joined, quoted

Path = tuple[str | int, ...]
Record = dict[str, Doc]
_ALIKE = 0.5
_LONGEST_SAID = 160


@frozen
class Change:
    """One place where a newer state differs from an older one."""

    path: Path
    """To a key, or to an item of a list as the newer state counts."""
    where: str
    what: str
    old: Doc | None
    """None where the older state says nothing here."""
    new: Doc | None
    after: str | int | None = None
    """What the old thing stood behind, for one that is gone: a key, or an item's number."""

    @property
    def sentence(self) -> str:
        """Place and change on one line."""
        return f"{self.where}: {self.what}"


def story_changes(old: Story, new: Story) -> tuple[Change, ...]:
    """Every change from ``old`` to ``new``, in the newer story's order."""
    before, after = to_document(old), to_document(new)
    return tuple(_in_records(before, after, (), after, before))


def taken_back(story: Story, change: Change) -> Story | None:
    """The newer story with one change undone; None where it is no story any more."""
    doc = to_document(story)
    parts = PartOrigins(doc)
    *way, last = change.path
    inner: Doc = doc
    for step in way:
        inner = inner[step]  # type: ignore[index]
    if isinstance(inner, list) and isinstance(last, int):
        inner[last : last + (change.new is not None)] = [] if change.old is None else [change.old]
    elif isinstance(inner, dict) and isinstance(last, str):
        _put_key(inner, last, change)
    return parts.story(doc, story)


def matched(old: Sequence[Doc], new: Sequence[Doc]) -> tuple[tuple[int | None, int | None], ...]:
    """Items of two lists side by side, in an order that both keep; None where one has none."""
    ours, theirs = [emit.inline(each) for each in old], [emit.inline(each) for each in new]
    pairs: list[tuple[int | None, int | None]] = []
    for what, i1, i2, j1, j2 in SequenceMatcher(None, ours, theirs, False).get_opcodes():
        if what == "equal":
            pairs += zip(range(i1, i2), range(j1, j2), strict=True)
            continue
        rest = j1
        for i in range(i1, i2):
            twin = next((j for j in range(rest, j2) if _alike(old[i], new[j])), None)
            if twin is None:
                pairs.append((i, None))
                continue
            pairs += ((None, j) for j in range(rest, twin))
            pairs.append((i, twin))
            rest = twin + 1
        pairs += ((None, j) for j in range(rest, j2))
    return tuple(pairs)


def of_records(value: Doc | None) -> bool:
    """Whether a list holds lines or sections rather than plain things."""
    return isinstance(value, list) and any(isinstance(each, dict) for each in value)


def place_in_words(path: Path, doc: Doc) -> str:
    """``Evening, line 3`` for a path in a document."""
    said: list[str] = []
    at: Doc | None = doc
    kind = ""
    for step in path:
        at = _inside(at, step)
        if isinstance(step, int):
            name = _first(at)
            said.append(
                (name or say("section {step}", step=step + 1))
                if kind == "story"
                else say("line {step}", step=step + 1)
            )
        elif step not in ("story", "lines", "refrains"):
            said.append(say("refrain “{step}”", step=step) if kind == "refrains" else step)
        kind = str(step)
    return ", ".join(said) or say("the story")


def _in_records(
    old: Record, new: Record, path: Path, whole: Doc, whole_old: Doc
) -> Iterator[Change]:
    behind: str | None = None
    for key in [*new, *(key for key in old if key not in new)]:
        before, after = old.get(key), new.get(key)
        if before is not None and after is not None:
            yield from _in_values(before, after, (*path, key), whole, whole_old)
        else:
            behind = _key_before(old, key, new) if after is None else None
            yield _change(before, after, (*path, key), whole, whole_old, behind)
    if isinstance(new, NamedDoc) and set(old) == set(new) and list(old) != list(new):
        yield Change(
            path,
            place_in_words(path, whole),
            say("the order was {names:list}", names=tuple(old)),
            old,
            new,
        )


def _in_values(old: Doc, new: Doc, path: Path, whole: Doc, whole_old: Doc) -> Iterator[Change]:
    if emit.inline(old) == emit.inline(new):
        return
    if isinstance(old, dict) and isinstance(new, dict) and "" not in {*old, *new}:
        yield from _in_records(old, new, path, whole, whole_old)
    elif isinstance(old, list) and isinstance(new, list) and (of_records(old) or of_records(new)):
        at = 0
        for i, j in matched(old, new):
            if i is not None and j is not None:
                yield from _in_values(old[i], new[j], (*path, j), whole, whole_old)
                at = j + 1
            elif j is not None:
                yield _change(None, new[j], (*path, j), whole, whole_old)
                at = j + 1
            else:
                assert i is not None
                yield _change(old[i], None, (*path, at), whole, whole_old, at)
    else:
        yield _change(old, new, path, whole, whole_old)


def _change(
    old: Doc | None,
    new: Doc | None,
    path: Path,
    whole: Doc,
    whole_old: Doc,
    after: str | int | None = None,
) -> Change:
    item = isinstance(path[-1], int)
    where = place_in_words(path if new is not None and item else path[:-1], whole)
    if old is None or new is None:
        said = said_of(old if new is None else new)
        name = "" if item else f"{path[-1]}: "
        what = (
            say("taken out: {what}", what=f"{name}{said}")
            if new is None
            else say("new: {what}", what=f"{name}{said}")
        )
        if new is None and item:
            where = place_in_words(path[:-1], whole) or place_in_words(path[:-1], whole_old)
    else:
        name = "" if item else f"{path[-1]} "
        what = say(
            "{name}was {before}, is {now}",
            name=name,
            before=said_of(old),
            now=said_of(new),
        )
    return Change(path, where, what, old, new, after)


def _put_key(record: Record, key: str, change: Change) -> None:
    if change.old is None:
        record.pop(key, None)
        return
    if key in record or change.after is None:
        record[key] = change.old
        return
    # names come back where they stood; records are written in their own order anyway
    rest = dict(record)
    record.clear()
    for each, value in rest.items():
        record[each] = value
        if each == change.after:
            record[key] = change.old
    record.setdefault(key, change.old)


def _key_before(old: Record, key: str, new: Record) -> str | None:
    keys = list(old)
    return next((each for each in reversed(keys[: keys.index(key)]) if each in new), None)


def said_of(doc: Doc | None) -> str:
    """A value in quotation marks, the first of it where it is long."""
    text = "" if doc is None else _in_words(doc)
    text = " ".join(text.split())
    return quoted(text if len(text) <= _LONGEST_SAID else text[: _LONGEST_SAID - 1] + "…")


def _in_words(doc: Doc, *, inside: bool = False) -> str:
    """A value without the file's brackets; a record within another stands in round ones."""
    if isinstance(doc, str):
        return doc
    if isinstance(doc, list):
        numbers = all(isinstance(each, Bare) for each in doc)
        how = "list" if numbers or of_records(doc) else "and"
        return joined(tuple(_in_words(each, inside=True) for each in doc), how)
    if {"words", "section", ""} & set(doc):
        return _first(doc)
    pairs = (f"{key} {_in_words(value, inside=True)}".strip() for key, value in doc.items())
    text = joined(tuple(pairs), "list")
    return f"({text})" if inside else text


def _first(doc: Doc | None) -> str:
    """What a line or section says first: its words, its heading."""
    first = next(iter(doc.values()), "") if isinstance(doc, dict) else ""
    return first if isinstance(first, str) else ""


def _inside(doc: Doc | None, step: str | int) -> Doc | None:
    if isinstance(doc, list) and isinstance(step, int):
        return doc[step] if step < len(doc) else None
    return doc.get(str(step)) if isinstance(doc, dict) else None


def _alike(old: Doc, new: Doc) -> bool:
    """Whether one may be what became of the other."""
    if not isinstance(old, dict) or not isinstance(new, dict):
        return False
    if next(iter(old), None) != next(iter(new), None):
        return False
    if "lines" in old and "lines" in new and emit.inline(old["lines"]) == emit.inline(new["lines"]):
        return True
    first, second = _first(old).casefold(), _first(new).casefold()
    return SequenceMatcher(None, first, second, False).ratio() >= _ALIKE
