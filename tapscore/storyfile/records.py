"""Records: mappings with known keys that become one attrs value each."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from attrs import field, frozen

from tapscore.model.finding import StoryPath
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import Doc, Kind, Read, Reading, Schema, path_name
from tapscore.storyfile.near import nearest

T = TypeVar("T")


@frozen(eq=False, repr=False)
class Field:
    """A key of the file and the attribute it fills (``manner.tempo`` fills a part of one)."""

    key: str
    attribute: str
    kind: Kind[Any]
    required: bool = False
    about: str = ""
    """One sentence for the JSON Schema, shown by editors that know it."""
    default: Any = None
    """What the attribute is when the key is missing; then it is not written."""
    value_of: Callable[[Any], Any] | None = None
    """How the written value comes from the whole one, where it is no attribute of it."""


@frozen(eq=False, repr=False)
class Record:
    """The keys of a mapping, in the order they are written."""

    make: Callable[..., Any]
    fields: tuple[Field, ...]
    parts: Mapping[str, Callable[..., Any]] = field(factory=dict)
    """Constructors of attributes that hold several keys, such as ``manner``."""
    what: str = "this"
    lenient: bool = False
    """Whether a value is made even where something required is missing."""
    known: frozenset[str] = field(init=False)

    @known.default
    def _keys(self) -> frozenset[str]:
        return frozenset(each.key for each in self.fields)

    def kind(self) -> Kind[Any]:
        """The kind of this record."""
        example = next((each for each in self.fields if each.required), self.fields[0])
        return Kind(
            _reader(self),
            self.write,
            _schema(self),
            f"{{{example.key}: {example.kind.example}}}",
        )

    def write(self, value: object) -> dict[str, Doc]:
        """The keys that ``value`` says something for."""
        doc: dict[str, Doc] = {}
        for each in self.fields:
            found = each.value_of(value) if each.value_of else _attribute(value, each.attribute)
            if each.required or found not in (None, (), each.default):
                doc[each.key] = each.kind.write(found)
        return doc

    def read(self, reading: Reading, node: nodes.Mapping, path: StoryPath) -> Any:
        """Build the value; what is missing or can't be read is reported and left out."""
        values: dict[str, Any] = {}
        parts: dict[str, dict[str, Any]] = {name: {} for name in self.parts}
        complete = True
        written = {entry.key.value: entry.value for entry in node.entries}
        if not written.keys() <= self.known:
            _report_unknown(self, reading, node, path)
        for each in self.fields:
            found = written.get(each.key)
            if found is None:
                if each.required:
                    complete = False
                    reading.report(
                        "missing",
                        node.span,
                        (*path, each.key),
                        key=each.key,
                        what=self.what,
                        example=each.kind.example,
                    )
                continue
            value = each.kind.read(reading, found, (*path, each.key))
            if value is None:
                complete = complete and not each.required
                continue
            part, _, name = each.attribute.rpartition(".")
            (parts[part] if part else values)[name] = value
        if not (complete or self.lenient):
            return None
        return self.make(**values, **{name: self.parts[name](**parts[name]) for name in parts})


def _attribute(value: object, dotted: str) -> Any:
    for name in dotted.split("."):
        value = getattr(value, name)
    return value


def _reader(record: Record) -> Read[Any]:
    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> Any:
        if isinstance(node, nodes.Mapping):
            return record.read(reading, node, path)
        if (
            isinstance(node, nodes.Scalar)
            and not node.value.strip()
            and not any(each.required for each in record.fields)
        ):
            return record.make()
        example = next((each for each in record.fields if each.required), record.fields[0])
        reading.report(
            "wrong-kind",
            node.span,
            path,
            case="names",
            name=path_name(path),
            known=tuple(each.key for each in record.fields),
            example=f"{{{example.key}: {example.kind.example}}}",
        )
        return None

    return read


def _schema(record: Record) -> Schema:
    properties: dict[str, Schema] = {}
    for each in record.fields:
        about = {"description": each.about} if each.about else {}
        properties[each.key] = {**each.kind.schema, **about}
    schema: Schema = {
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
    }
    required = [each.key for each in record.fields if each.required]
    if required:
        return {**schema, "required": required}
    return {"anyOf": [schema, {"type": "null"}]}


def _report_unknown(record: Record, reading: Reading, node: nodes.Mapping, path: StoryPath) -> None:
    known = tuple(each.key for each in record.fields)
    for entry in node.entries:
        if entry.key.value not in known and not reading.full:
            name = entry.key.value[:60]
            reading.report(
                "unknown-key",
                entry.key.span,
                (*path, entry.key.value),
                key=name,
                what=record.what,
                near=nearest(name, known),
                known=known,
            )
