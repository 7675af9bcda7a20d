"""The story file's shape, as one table that reader, writer and schema follow."""

from typing import Any

from attrs import evolve

from tapscore.model.cautions import CAUTIONS
from tapscore.model.finding import StoryPath
from tapscore.model.story import Prop, Refrain, Role, Section, Spoken, Story
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import (
    Bare,
    Doc,
    Kind,
    Reading,
    choice,
    dashed,
    list_of,
    named,
    scalar_kind,
    text,
    whole,
)
from tapscore.storyfile.origins import BlockOrigin
from tapscore.storyfile.records import Field, Record
from tapscore.storyfile.shape_board import board
from tapscore.storyfile.shape_comfort import accepted, comfort
from tapscore.storyfile.shape_items import ITEM_RECORDS, PARTS, items, unread
from tapscore.storyfile.shape_manner import MANNER_FIELDS, name, names
from tapscore.wording.catalogue import say

VERSION = 2

SECTION = Record(
    Section,
    (
        Field("section", "title", text("Evening"), True, say("The heading.")),
        *MANNER_FIELDS,
        Field("lines", "items", items),
    ),
    PARTS,
    what=say("a section"),
)


def _read_section(reading: Reading, node: nodes.Node, path: StoryPath) -> Section:
    if isinstance(node, nodes.Mapping):
        if node.get("section") is None and any(node.get(key) for key in ITEM_RECORDS):
            reading.report("no-section", node.span, path)
            return Section("", (unread(reading, node),))
        section: Section | None = SECTION.read(reading, node, path)
        if section is not None:
            return section
    else:
        reading.report("wrong-kind", node.span, path, case="section")
    return Section("", (unread(reading, node),))


_sections = dashed(
    Kind(_read_section, SECTION.write, SECTION.kind().schema), "section", say("sections")
)
_refrains: Kind[tuple[Refrain, ...]] = named(
    Kind(
        lambda reading, node, path: (
            None if (found := items.read(reading, node, path)) is None else Refrain("", found)
        ),
        lambda refrain: items.write(refrain.items),
        items.schema,
    ),
    "{row home: [{words: row the lan-tern home}]}",
)
_ROLE = Record(
    lambda seat=None: Role("", seat), (Field("seat", "seat", text("north")),), what=say("a role")
)
_PROP = Record(
    lambda **values: Prop("", **values),
    (
        Field("what", "what", text("string of wooden beads"), default=""),
        Field("sets", "sets", whole(1, 30, "2", say("sets")), default=1),
        Field("instead", "instead", text("wooden curtain rings")),
        Field("outdoors", "outdoors", text("a ribbon tied on"), about=say("Of it, out of doors.")),
        Field("cautions", "cautions", list_of(choice(tuple(CAUTIONS)), "[cord]")),
        Field("by", "by", name),
        Field("picture", "picture", text("beads.jpg"), about=say("A file beside the story.")),
        Field("handed by", "handed_by", names, about=say("Roles that hand it to pupils.")),
    ),
    what=say("a prop"),
)

_divided = text("HIG-gle-dy")
_glossary: Kind[tuple[Spoken, ...]] = named(
    Kind(
        lambda reading, node, path: (
            None if (said := _divided.read(reading, node, path)) is None else Spoken("", said)
        ),
        lambda spoken: _divided.write(spoken.syllables),
        _divided.schema,
    ),
    "{higgledy: HIG-gle-dy}",
    "word",
)
_version: Kind[int] = scalar_kind(
    lambda text: VERSION if text.strip() == str(VERSION) else None,
    lambda version: Bare(str(version)),
    {"const": VERSION},
    say("the version of the file's shape"),
    str(VERSION),
)


def _make_story(
    version: int = VERSION,  # noqa: ARG001 - checked before the story is read
    title: str = "",
    **values: Any,
) -> Story:
    return Story(title, **values)


STORY = Record(
    _make_story,
    (
        Field(
            "tapscore",
            "version",
            _version,
            True,
            say("Version of the story file."),
            value_of=lambda _: VERSION,
        ),
        Field("title", "title", text("The Lantern Boat"), True, say("Name of the story.")),
        Field("term", "term", text("Autumn 2026"), about=say("When it is told.")),
        Field("class", "class_name", text("Willow"), about=say("Which class; no pupil's name.")),
        Field(
            "next year", "next_year", list_of(text(), "[fewer waves]"), about=say("To change then.")
        ),
        Field("outdoors", "outdoors", text("a table"), about=say("Tapped there, not the board.")),
        Field("weather", "weather", text("under the porch in rain"), about=say("What is settled.")),
        Field("language", "language", text("en-GB"), about=say("Language of the words.")),
        Field("glossary", "glossary", _glossary, about=say("How this story's own words divide.")),
        *MANNER_FIELDS,
        Field("picture", "picture", text("cover.jpg"), about=say("A file beside the story.")),
        Field(
            "pupils", "pupils", whole(1, 30, "6", say("pupils")), about=say("How many; no names.")
        ),
        Field("board", "board", board),
        Field("comfort", "comfort", comfort, about=say("What pupils are spared.")),
        Field(
            "roles",
            "roles",
            named(
                _ROLE.kind(),
                "{leader: {seat: north}}",
            ),
        ),
        Field(
            "props",
            "props",
            named(
                _PROP.kind(),
                "{beads: {what: wooden beads}}",
            ),
        ),
        Field("refrains", "refrains", _refrains),
        Field("story", "sections", _sections, True, say("Sections with their lines.")),
        Field("accepted", "accepted", accepted, about=say("Findings that are meant to be so.")),
    ),
    PARTS,
    what=say("a story"),
    lenient=True,
)

STORY_KEYS = {each.key: place for place, each in enumerate(STORY.fields)}
"""The keys of a story, and where each stands among the others."""


RECORDS: dict[type, Record] = {Story: STORY, Section: SECTION, Role: _ROLE, Prop: _PROP}
"""The records that stand in a story, by what they make."""


def read_root(reading: Reading, root: nodes.Mapping) -> Story:
    """The story of a tree; what could not be read is reported and left out."""
    story: Story = STORY.read(reading, root, ())
    if reading.source is None:
        return story
    return evolve(story, origin=BlockOrigin(reading.source, None, 0, story, to_document))


def to_document(story: Story) -> dict[str, Doc]:
    """The story as plain data."""
    return STORY.write(story)


def story_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of the story file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "tapscore story file",
        **STORY.kind().schema,
    }
