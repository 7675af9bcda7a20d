"""Kinds of value: how each is read from a node, written, and described in the schema.

One declarative table of these (``shape.py``) is the story file's whole definition; the
reader, the writer and the JSON Schema all follow it.
"""

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any, Generic, TypeVar

from attrs import evolve, field, frozen

from tapscore.model.finding import Finding, Severity, Span, StoryPath
from tapscore.model.tempo import number_text
from tapscore.storyfile import nodes
from tapscore.storyfile.lane_text import Names
from tapscore.storyfile.near import listed, nearest
from tapscore.storyfile.origins import BlockOrigin, Source, block_origin
from tapscore.wording.about import About, Datum
from tapscore.wording.catalogue import say

T = TypeVar("T")
Schema = dict[str, Any]


class Bare(str):
    """Text that is written without quotes: a number, yes or no."""

    __slots__ = ()


Doc = str | list["Doc"] | dict[str, "Doc"]
"""A story as plain data: what the file says, without how it is laid out."""


class ListDoc(list[Doc]):
    """Things in a list, with where each came from."""

    def __init__(self, docs: Iterable[Doc], origins: Iterable[BlockOrigin | None]) -> None:
        super().__init__(docs)
        self.origins = tuple(origins)


class NamedDoc(dict[str, Doc]):
    """Names with what belongs to each, in an order that matters; plain dicts are records."""

    def __init__(
        self,
        docs: Iterable[tuple[str, Doc]] = (),
        origins: Iterable[BlockOrigin | None] = (),
    ) -> None:
        pairs = tuple(docs)
        super().__init__(pairs)
        names = (name for name, _ in pairs)
        self.origins: dict[str, BlockOrigin | None] = dict(zip(names, origins, strict=False))

    def __eq__(self, other: object) -> bool:
        return super().__eq__(other) is True and list(self) == list(other)  # type: ignore[call-overload]

    def __ne__(self, other: object) -> bool:
        return not self == other

    __hash__ = None


@frozen(eq=False, repr=False)
class Reading:
    """What reading needs to know besides the node, and what it found."""

    text: str
    names: Names = field(factory=Names)
    source: Source | None = None
    """None where nothing read is to keep an origin."""
    findings: list[Finding] = field(factory=list)

    @property
    def full(self) -> bool:
        """Whether there is far more to report already than anybody mends."""
        return len(self.findings) >= MOST_REPORTED

    def from_block(
        self,
        value: Any,
        parent: nodes.Mapping | nodes.Sequence,
        index: int,
        write: Callable[[Any], Doc],
        **changes: str,
    ) -> Any:
        """``value`` with the block it was read from, and with its name where it has one."""
        made = evolve(value, **changes) if changes else value
        if self.source is None:
            return made
        return evolve(made, origin=BlockOrigin(self.source, parent, index, made, write))

    def report(self, code: str, span: Span, path: StoryPath = (), **about: Datum) -> None:
        """Add something that must be mended; the keywords are what its words are made of."""
        if not self.full:
            found = Finding(code, Severity.MUST_MEND, path, span, About(**about))
            self.findings.append(found)


MOST_REPORTED = 500
LONGEST_TEXT = 20_000
"""Letters of one piece of text: far more than any line or remark, far less than would hurt."""
MOST_NAMES = 200
MOST_ITEMS = 5001
"""Items of one list; more than a story may have in all, so that this is said as well."""
Read = Callable[[Reading, nodes.Node, StoryPath], T | None]


@frozen(eq=False, repr=False)
class Kind(Generic[T]):
    """How one kind of value is read, written and described."""

    read: Read[T]
    write: Callable[[T], Doc]
    schema: Schema
    example: str = "..."
    """What may stand after the colon."""


def scalar_kind(
    parse: Callable[[str], T | None],
    write: Callable[[T], Doc],
    schema: Schema,
    wanted: str,
    example: str,
    known: tuple[str, ...] = (),
) -> Kind[T]:
    """A kind that is one piece of text; ``wanted`` and ``example`` go into the finding."""

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> T | None:
        if not isinstance(node, nodes.Scalar):
            written = "list" if isinstance(node, nodes.Sequence) else "names"
            about = {"name": path_name(path), "written": written, "example": example}
            reading.report("wrong-kind", node.span, path, case="one", **about)
            return None
        if len(node.value) > LONGEST_TEXT:
            size = {"letters": len(node.value), "most": LONGEST_TEXT}
            reading.report("text-too-long", node.span, path, name=path_name(path), **size)
            return None
        value = parse(node.value)
        if value is None:
            said = " ".join(node.value.split())
            reading.report(
                "wrong-value",
                node.span,
                path,
                name=path_name(path),
                said=_cut(said),
                near=_guess(said, known),
                wanted=wanted,
                example=example,
            )
        return value

    return Kind(read, write, schema, example)


def _guess(said: str, known: tuple[str, ...]) -> str | None:
    """What was meant, by the whole or by one part of ``quiet to loud``."""
    parts = [part for part in said.split(" to ") if part not in known]
    guesses = (nearest(part, known) for part in (said, *parts) if part)
    return next(filter(None, guesses), None)


def path_name(path: StoryPath) -> str:
    """The last name of a path that is a word."""
    return next((str(part) for part in reversed(path) if isinstance(part, str)), "this")


def _cut(text: str, most: int = 60) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _some_text(value: str) -> str | None:
    return " ".join(value.split()) or None


def text(example: str = "some words") -> Kind[str]:
    """Words; runs of spaces and line ends count as one space."""
    return scalar_kind(
        _some_text, str, {"type": ["string", "number", "boolean"]}, say("some words"), example
    )


def choice(words: tuple[str, ...], example: str | None = None) -> Kind[str]:
    """One of a few words."""

    def parse(value: str) -> str | None:
        folded = " ".join(value.split()).casefold()
        return folded if folded in words else None

    wanted = say("one of {words}", words=listed(words))
    return scalar_kind(parse, str, {"enum": list(words)}, wanted, example or words[0], words)


_DECIMAL = re.compile(r"\d{1,6}(?:\.\d{1,6})?\Z")


def number(low: Fraction | int, high: Fraction | int, example: str, unit: str) -> Kind[Fraction]:
    """A number with at most six decimals, as an exact fraction."""

    def parse(value: str) -> Fraction | None:
        if not _DECIMAL.match(value.strip()):
            return None
        exact = Fraction(value.strip())
        return exact if low <= exact <= high else None

    schema: Schema = {"type": "number", "minimum": float(low), "maximum": float(high)}
    wanted = say(
        "a number of {unit} from {low} to {high}", unit=unit, low=Fraction(low), high=Fraction(high)
    )
    return scalar_kind(parse, lambda n: Bare(number_text(n)), schema, wanted, example)


def whole(low: int, high: int, example: str, unit: str) -> Kind[int]:
    """A whole number."""

    def parse(value: str) -> int | None:
        stripped = value.strip()
        if not (stripped.isascii() and stripped.isdigit() and len(stripped) < 9):
            return None
        return int(stripped) if low <= int(stripped) <= high else None

    schema: Schema = {"type": "integer", "minimum": low, "maximum": high}
    wanted = say("a whole number of {unit} from {low} to {high}", unit=unit, low=low, high=high)
    return scalar_kind(parse, lambda n: Bare(str(n)), schema, wanted, example)


def _yes_or_no(value: str) -> bool | None:
    return {"yes": True, "true": True, "no": False, "false": False}.get(value.strip().casefold())


yes_no: Kind[bool] = scalar_kind(
    _yes_or_no,
    lambda value: Bare("true" if value else "false"),
    {"type": "boolean"},
    say("`true` or `false`"),
    "true",
)


def list_of(kind: Kind[T], example: str) -> Kind[tuple[T, ...]]:
    """A list; one thing alone may stand without the brackets."""

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[T, ...] | None:
        if isinstance(node, nodes.Mapping):
            about = {"name": path_name(path), "example": example}
            reading.report("wrong-kind", node.span, path, case="list", **about)
            return None
        items = node.items if isinstance(node, nodes.Sequence) else (node,)
        values = [kind.read(reading, item, (*path, i)) for i, item in enumerate(items)]
        return tuple(value for value in values if value is not None)

    def write(values: tuple[T, ...]) -> Doc:
        return kind.write(values[0]) if len(values) == 1 else [kind.write(v) for v in values]

    schema: Schema = {"anyOf": [kind.schema, {"type": "array", "items": kind.schema}]}
    return Kind(read, write, schema, example)


def dashed(kind: Kind[T], start: str, what: str) -> Kind[tuple[T, ...]]:
    """A list with a dash before each item; empty where nothing is written."""

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[T, ...] | None:
        if isinstance(node, nodes.Scalar) and not node.value.strip():
            return ()
        if not isinstance(node, nodes.Sequence):
            about = {"name": path_name(path), "what": what, "start": start}
            reading.report("wrong-kind", node.span, path, case="dashed", **about)
            return None
        if len(node.items) > MOST_ITEMS:
            size = {"count": len(node.items), "most": MOST_ITEMS}
            over = node.items[MOST_ITEMS].span
            reading.report("too-many", over, path, case="items", what=what, **size)
        values = [
            kind.read(reading, item, (*path, i)) for i, item in enumerate(node.items[:MOST_ITEMS])
        ]
        return tuple(
            reading.from_block(value, node, i, kind.write)
            for i, value in enumerate(values)
            if value is not None
        )

    def write(values: tuple[T, ...]) -> Doc:
        return ListDoc(map(kind.write, values), map(block_origin, values))

    schema: Schema = {"anyOf": [{"type": "array", "items": kind.schema}, {"type": "null"}]}
    return Kind(read, write, schema, "[]")


def named(kind: Kind[T], example: str, attribute: str = "name") -> Kind[tuple[T, ...]]:
    """A mapping from names to things that know their own name, under ``attribute``."""

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[T, ...] | None:
        if not isinstance(node, nodes.Mapping):
            name = path_name(path)
            if isinstance(node, nodes.Scalar) and not node.value.strip():
                return ()
            about = {"name": name, "example": example}
            reading.report("wrong-kind", node.span, path, case="named", **about)
            return None
        if len(node.entries) > MOST_NAMES:
            reading.report(
                "too-many",
                node.entries[MOST_NAMES].key.span,
                path,
                name=path_name(path),
                count=len(node.entries),
                most=MOST_NAMES,
            )
        values: list[T] = []
        for i, entry in enumerate(node.entries[:MOST_NAMES]):
            name = entry.key.value
            value = kind.read(reading, entry.value, (*path, name))
            if value is not None:
                named_value = reading.from_block(value, node, i, kind.write, **{attribute: name})
                values.append(named_value)
        return tuple(values)

    def write(values: tuple[T, ...]) -> Doc:
        return NamedDoc(
            ((getattr(value, attribute), kind.write(value)) for value in values),
            map(block_origin, values),
        )

    schema: Schema = {
        "anyOf": [{"type": "object", "additionalProperties": kind.schema}, {"type": "null"}]
    }
    return Kind(read, write, schema, example)
