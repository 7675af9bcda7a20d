"""Two people's changes to one story, put together line by line.

What only one of them changed is taken as she has it.  Where both changed the same thing
differently, both ways are told, and one of them has to be chosen.
"""

from attrs import frozen

from tapscore.model.story import Story
from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Doc, ListDoc, NamedDoc
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.write import PartOrigins
from tapscore.wording.catalogue import say
from tapscore.workflow.keeping.changes import (
    Path,
    Record,
    matched,
    of_records,
    place_in_words,
    said_of,
)


@frozen
class Clash:
    """Something that both changed, each in her own way; None: taken out."""

    path: Path
    where: str
    mine: Doc | None
    theirs: Doc | None

    @property
    def sentence(self) -> str:
        """Both ways on one line."""
        return say(
            "{where}: yours {mine}, the file's {theirs}",
            where=self.where,
            mine=_way(self.mine),
            theirs=_way(self.theirs),
        )


@frozen
class Merged:
    """A story put together; ``clashes`` are as one side has them."""

    story: Story | None
    """None where what came of it can't be read: then it must be done by hand."""
    clashes: tuple[Clash, ...]


def merge(base: Story, mine: Story, theirs: Story, *, mine_wins: bool = True) -> Merged:
    """Put together two stories that were both made from ``base``, in the text of ``theirs``."""
    my_doc, their_doc = to_document(mine), to_document(theirs)
    merging = _Merging(mine_wins, my_doc, PartOrigins(my_doc, their_doc))
    doc = merging.records(to_document(base), my_doc, their_doc, ())
    return Merged(merging.origins.story(doc, theirs), tuple(merging.clashes))


class _Merging:
    def __init__(self, mine_wins: bool, whole: Doc, origins: PartOrigins) -> None:
        self.origins = origins
        self._mine_wins = mine_wins
        self._whole = whole
        self.clashes: list[Clash] = []

    def records(self, base: Record, mine: Record, theirs: Record, path: Path) -> Record:
        merged: Record = NamedDoc() if isinstance(mine, NamedDoc) else {}
        for key in _keys(mine, theirs):
            value = self._value(base.get(key), mine.get(key), theirs.get(key), (*path, key))
            if value is not None:
                merged[key] = value
        return merged

    def _value(
        self, base: Doc | None, mine: Doc | None, theirs: Doc | None, path: Path
    ) -> Doc | None:
        if _same(mine, theirs) or _same(mine, base):
            return theirs
        if isinstance(mine, dict) and isinstance(theirs, dict):
            old = base if isinstance(base, dict) else {}
            if base is None or _one_kind(old, mine, theirs):
                return self.records(old, mine, theirs, path)
        lists = isinstance(mine, list) and isinstance(theirs, list) and isinstance(base, list)
        if lists and any(of_records(each) for each in (base, mine, theirs)):
            return self._lists(base, mine, theirs, path)  # type: ignore[arg-type]
        return mine if _same(theirs, base) else self._clash(mine, theirs, path)

    def _lists(self, base: list[Doc], mine: list[Doc], theirs: list[Doc], path: Path) -> Doc:
        ours, my_new = _beside(base, mine)
        others, their_new = _beside(base, theirs)
        merged = ListDoc((), ())
        for i in range(len(base) + 1):
            first, second = my_new.get(i, []), their_new.get(i, [])
            merged += first
            merged += [each for each in second if not any(_same(each, mine) for mine in first)]
            if i < len(base):
                at = (*path, len(merged))
                value = self._value(base[i], ours.get(i), others.get(i), at)
                if value is not None:
                    merged.append(value)
                    self.origins.replaces(value, others.get(i))
        return merged

    def _clash(self, mine: Doc | None, theirs: Doc | None, path: Path) -> Doc | None:
        self.clashes.append(Clash(path, place_in_words(path, self._whole), mine, theirs))
        return mine if self._mine_wins else theirs


def _beside(base: list[Doc], other: list[Doc]) -> tuple[dict[int, Doc], dict[int, list[Doc]]]:
    """What became of each item of ``base``, and what is new before each."""
    became: dict[int, Doc] = {}
    new: dict[int, list[Doc]] = {}
    at = 0
    for i, j in matched(base, other):
        if i is not None:
            at = i + 1
            if j is not None:
                became[i] = other[j]
        elif j is not None:
            new.setdefault(at, []).append(other[j])
    return became, new


def _keys(mine: Record, theirs: Record) -> list[str]:
    """All keys, each of theirs behind the one it follows there."""
    keys = list(mine)
    at = 0
    for key in theirs:
        if key in mine:
            at = keys.index(key) + 1
        else:
            keys.insert(at, key)
            at += 1
    return keys


def _one_kind(base: Record, mine: Record, theirs: Record) -> bool:
    """Whether two ways of one thing may be mixed.

    Not where a line became a wait on one side, and not where both changed words or rhythm:
    the one's taps would stand under the other's syllables.
    """
    if isinstance(mine, NamedDoc):
        return True
    if len({next(iter(each), None) for each in (base, mine, theirs)}) > 1 or "" in base:
        return False
    written = [tuple(each.get(key) for key in ("words", "lane")) for each in (base, mine, theirs)]
    return written[0] in written[1:] or written[1] == written[2]


def _same(one: Doc | None, other: Doc | None) -> bool:
    if one is None or other is None:
        return one is other
    return emit.inline(one) == emit.inline(other)


def _way(doc: Doc | None) -> str:
    return say("takes it out") if doc is None else say("says {what}", what=said_of(doc))
