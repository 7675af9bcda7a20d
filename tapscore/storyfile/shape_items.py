"""Shape of what stands in a section: lines, refrains' returns, waits and offerings."""

from fractions import Fraction

from tapscore.model.finding import Span, StoryPath
from tapscore.model.lane import Lane
from tapscore.model.manner import PartialManner
from tapscore.model.story import (
    CHANNELS,
    Entrance,
    Item,
    Line,
    Offer,
    RefrainUse,
    Translation,
    Unread,
    Wait,
)
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import (
    Bare,
    Doc,
    Kind,
    NamedDoc,
    Reading,
    choice,
    dashed,
    list_of,
    number,
    text,
)
from tapscore.storyfile.lane_text import lane_text, parse_lane
from tapscore.storyfile.languages import is_language
from tapscore.storyfile.near import nearest
from tapscore.storyfile.records import Field, Record
from tapscore.storyfile.shape_comfort import areas
from tapscore.storyfile.shape_manner import MANNER_FIELDS, name, names
from tapscore.wording.catalogue import say

PARTS = {"manner": PartialManner}
_seconds = number(1, 600, "10", say("seconds"))


def _read_lane(reading: Reading, node: nodes.Node, path: StoryPath) -> Lane | None:
    if not isinstance(node, nodes.Scalar):
        reading.report("wrong-kind", node.span, path, case="rhythm")
        return None
    lane, problems = parse_lane(node.value, reading.names)
    for problem in problems:
        span = span_inside(reading.text, node, problem.column)
        reading.report("lane", span, path, **problem.about)
    return lane


def span_inside(source: str, node: nodes.Scalar, column: int) -> Span:
    """Where a column of a scalar's value stands in the file, if it can be told."""
    span = node.span
    quote = 0 if node.plain else 1
    start = span.start + quote
    if source[start : start + len(node.value)] != node.value:
        return span
    return Span(span.line, span.column + quote + column, start + column, start + column + 1)


_lane: Kind[Lane] = Kind(_read_lane, lane_text, {"type": "string"})


def _prop_moves() -> Kind[tuple[Entrance, ...]]:
    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[Entrance, ...] | None:
        if not isinstance(node, nodes.Mapping):
            props = names.read(reading, node, path)
            return None if props is None else tuple(Entrance(prop) for prop in props)
        moves: list[Entrance] = []
        for entry in node.entries:
            prop, at = entry.key.value, entry.value
            empty = isinstance(at, nodes.Scalar) and not at.value.strip()
            spot = None if empty else name.read(reading, at, (*path, prop))
            moves.append(Entrance(prop, spot))
        return tuple(moves)

    def write(moves: tuple[Entrance, ...]) -> Doc:
        if all(move.at is None for move in moves):
            return names.write(tuple(move.prop for move in moves))
        return NamedDoc((move.prop, move.at if move.at is not None else Bare("")) for move in moves)

    loose = {"type": "object", "additionalProperties": {"type": ["string", "null"]}}
    return Kind(read, write, {"anyOf": [*names.schema["anyOf"], loose]})


def _translated() -> Kind[tuple[Translation, ...]]:
    """Words by language tag; a tag that names no language is told and left out."""
    said = text("Wiosłuj, latarnio")

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> tuple[Translation, ...] | None:
        if not isinstance(node, nodes.Mapping):
            about = {"name": "in", "example": "{pl: Wiosłuj, ur: ...}"}
            reading.report("wrong-kind", node.span, path, case="named", **about)
            return None
        found: list[Translation] = []
        for entry in node.entries:
            tag = entry.key.value
            if not is_language(tag):
                reading.report("no-language", entry.key.span, (*path, tag), tag=tag)
                continue
            words = said.read(reading, entry.value, (*path, tag))
            if words is not None:
                found.append(Translation(tag, words))
        return tuple(found)

    def write(translations: tuple[Translation, ...]) -> Doc:
        return NamedDoc((each.tag, said.write(each.words)) for each in translations)

    loose = {"type": "object", "additionalProperties": said.schema}
    return Kind(read, write, loose, "{pl: Wiosłuj, latarnio}")


_translations = _translated()
_some_words = text("Row the lan-tern")


def _read_words(reading: Reading, node: nodes.Node, path: StoryPath) -> str | None:
    """Words, or empty quotes for a line that is tapped and not spoken."""
    if isinstance(node, nodes.Scalar) and not node.plain and not node.value.strip():
        return ""
    return _some_words.read(reading, node, path)


_words: Kind[str] = Kind(_read_words, _some_words.write, _some_words.schema)
_channels = list_of(choice(CHANNELS), "[voice, touch]")
_LINE = Record(
    Line,
    (
        Field("words", "words", _words, True, say('Syllables divided by hyphens; `""` if none.')),
        Field("lane", "lane", _lane, about=say("The rhythm: see `tapscore help lane`.")),
        *MANNER_FIELDS,
        Field(
            "warn first", "warn_first", text(), about=say("What tells pupils that it gets louder.")
        ),
        Field(
            "warned by", "warned_by", names, about=say("Who warns; whoever speaks, if not said.")
        ),
        Field("warned through", "warned_through", _channels, about=say("Two of these at least.")),
        Field("do", "do", text(), about=say("What the adults do besides tapping.")),
        Field("done by", "done_by", names, about=say("Who does it; whoever taps, if not said.")),
        Field("prop in", "props_in", _prop_moves(), about=say("Props that come on to the board.")),
        Field("prop out", "props_out", names, about=say("Props that leave.")),
        Field("look for", "look_for", text(), about=say("The response to look for.")),
        Field("areas", "areas", areas, about=say("Areas of learning, at most two.")),
        Field("in", "translations", _translations, about=say("The words in other languages.")),
        Field("picture", "picture", text("moon.jpg"), about=say("A file beside it, for a screen.")),
    ),
    PARTS,
    what=say("a line"),
)
_RETURN = Record(
    RefrainUse,
    (Field("refrain", "name", text("row home"), True), *MANNER_FIELDS[1:]),
    PARTS,
    what=say("a refrain's return"),
)
_WAIT = Record(
    Wait,
    (
        Field("wait", "least_sec", _seconds, True, say("Seconds, at least; pupils end it.")),
        Field("look for", "look_for", text(), about=say("The response to wait for.")),
    ),
    what=say("a wait"),
)
_OFFER = Record(
    Offer,
    (
        Field("offer", "prop", name, True, say("The prop that each pupil has a turn with.")),
        Field(
            "turn",
            "turn_sec",
            _seconds,
            about=say("Seconds for each pupil, at least."),
            default=Fraction(30),
        ),
        Field("look for", "look_for", text(), about=say("The response to look for.")),
    ),
    what=say("an offering"),
)
LINE_KEYS = {each.key: place for place, each in enumerate(_LINE.fields)}
"""The keys of a line, and where each stands among the others."""
ITEM_RECORDS: dict[str, tuple[type, Record]] = {
    "words": (Line, _LINE),
    "refrain": (RefrainUse, _RETURN),
    "wait": (Wait, _WAIT),
    "offer": (Offer, _OFFER),
}


def _read_item(reading: Reading, node: nodes.Node, path: StoryPath) -> Item:
    if isinstance(node, nodes.Mapping):
        for key, (_, record) in ITEM_RECORDS.items():
            if node.get(key) is not None:
                item: Item | None = record.read(reading, node, path)
                return item if item is not None else unread(reading, node)
    if isinstance(node, nodes.Scalar) and not node.value.strip():
        reading.report("what-is-this", node.span, path, case="nothing")
        return unread(reading, node)
    keys = [entry.key.value for entry in node.entries] if isinstance(node, nodes.Mapping) else []
    guess = nearest(keys[0], ITEM_RECORDS) if keys else None
    report_unread(reading, node.span, path, guess)
    return unread(reading, node)


def report_unread(reading: Reading, span: Span, path: StoryPath, near: str | None = None) -> None:
    """Say that something is none of the things that stand in a section."""
    reading.report("what-is-this", span, path, case="neither", near=near)


def unread(reading: Reading, node: nodes.Node) -> Unread:
    """Keep what could not be understood as it stands in the file."""
    return Unread(reading.text[node.start : node.end])


def _write_item(item: Item) -> Doc:
    """An item as the file says it; what was never understood is marked and left alone."""
    if isinstance(item, Unread):
        return {"": item.source}
    record = next(record for kind, record in ITEM_RECORDS.values() if isinstance(item, kind))
    return record.write(item)


ITEM: Kind[Item] = Kind(
    _read_item,
    _write_item,
    {"anyOf": [record.kind().schema for _, record in ITEM_RECORDS.values()]},
)

items: Kind[tuple[Item, ...]] = dashed(ITEM, "words", "lines")
