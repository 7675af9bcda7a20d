"""Read a story file: all mistakes in one pass, each with line, column and remedy."""

import re
from collections.abc import Mapping
from itertools import islice
from pathlib import Path

from attrs import evolve, frozen

from tapscore.disc.reading import TooLargeError, begins_as_utf_16, read_bounded, text_of
from tapscore.model.finding import Finding, Severity, Span, StoryPath
from tapscore.model.story import Story
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import Reading
from tapscore.storyfile.lane_text import Names
from tapscore.storyfile.lane_words import lane_word_findings
from tapscore.storyfile.migrate import MIGRATIONS, Migration, bring_up_to_date
from tapscore.storyfile.origins import Source
from tapscore.storyfile.references import reference_findings
from tapscore.storyfile.shape import VERSION, read_root
from tapscore.storyfile.story_findings import MOST_FINDINGS, keep_findings, names_in
from tapscore.wording.about import About, Datum

_LONE_RETURN = re.compile(r"\r(?!\n)")
"""Ends of lines as very old files have them; editors today show and write others."""


@frozen
class StoryText:
    """A story as it was read: the text, its tree, the story and what was found."""

    text: str
    """The text the spans refer to; after a migration, the migrated text."""
    root: nodes.Mapping | None
    story: Story | None
    """None where the file could not be read at all."""
    findings: tuple[Finding, ...]
    migrated_from: int | None = None

    def locate(self, path: StoryPath) -> Span | None:
        """Where something of the story stands in the text."""
        return nodes.locate(self.root, path)

    def placed(self, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
        """Findings with their places in the text, in the text's order."""
        located = (
            f if f.span is not None else evolve(f, span=self.locate(f.path)) for f in findings
        )
        return tuple(sorted(located, key=lambda f: f.span.start if f.span else -1))


def read_file(path: Path) -> StoryText:
    """Read the story at ``path``; raises OSError where the file can't be opened."""
    try:
        return read_bytes(read_bounded(path, 4 * nodes.MAX_CHARACTERS))
    except TooLargeError:
        return _unreadable("too-long", most=f"{nodes.MAX_CHARACTERS:,}")


def read_bytes(data: bytes) -> StoryText:
    """Read a story from the bytes of a file."""
    if len(data) > 4 * nodes.MAX_CHARACTERS:
        return _unreadable("too-long", most=f"{nodes.MAX_CHARACTERS:,}")
    if b"\0" in data and not begins_as_utf_16(data):
        return _unreadable("not-text", case="binary")
    try:
        return read_text(text_of(data))
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = len(before) - (before.rfind(b"\n") + 1) + 1
        span = Span(line, column, 0, 0)
        return _unreadable("not-text", span, case="letter")


def read_text(text: str, migrations: Mapping[int, Migration] = MIGRATIONS) -> StoryText:
    """Read a story from text."""
    text = _LONE_RETURN.sub("\n", text.removeprefix("\ufeff"))
    if len(text) > nodes.MAX_CHARACTERS:
        return _unreadable("too-long", most=f"{nodes.MAX_CHARACTERS:,}")
    if not text.strip():
        return _unreadable("empty")
    tree = nodes.parse_yaml(text)
    if tree.root is None:
        return StoryText(text, None, None, tree.findings)
    version = _version(tree.root)
    if version is not None and version > VERSION:
        span = nodes.locate(tree.root, ("tapscore",)) or tree.root.span
        newer = _unreadable("newer-version", span, version=version, known=VERSION)
        return evolve(newer, text=text)
    if version is not None and version < VERSION and version in migrations:
        updated = bring_up_to_date(text, version, VERSION, migrations)
        return evolve(read_text(updated, {}), migrated_from=version)
    return _read_tree(text, tree)


def _read_tree(text: str, tree: nodes.Tree) -> StoryText:
    root = tree.root
    assert root is not None
    if not any(root.get(key) for key in ("tapscore", "title", "story")):
        return StoryText(text, None, None, (*tree.findings, _no_story(root)))
    known = names_in(root)
    source = Source(text, root)
    reading = Reading(text, Names(known.spots, known.roles), source)
    story = read_root(reading, root)
    bare = StoryText(text, root, story, ())
    marked = {finding.span for finding in tree.findings}
    in_text = (*tree.findings, *(f for f in reading.findings if f.span not in marked))
    keep_findings(source, story, in_text)
    found = bare.placed(
        (
            *in_text,
            *islice(reference_findings(story, known), MOST_FINDINGS),
            *islice(lane_word_findings(story), MOST_FINDINGS),
        )
    )
    if len(found) > MOST_FINDINGS:
        found = (*found[:MOST_FINDINGS], _many_more(found[MOST_FINDINGS]))
    return evolve(bare, findings=found)


def _no_story(root: nodes.Mapping) -> Finding:
    return Finding("no-story", Severity.MUST_MEND, span=root.span)


def _many_more(first: Finding) -> Finding:
    return Finding("many-more", Severity.MUST_MEND, span=first.span)


def _version(root: nodes.Mapping) -> int | None:
    node = root.get("tapscore")
    if isinstance(node, nodes.Scalar) and node.value.isascii() and node.value.isdigit():
        return int(node.value[:9])
    return None


def _unreadable(code: str, span: Span | None = None, **about: Datum) -> StoryText:
    found = Finding(code, Severity.MUST_MEND, (), span or Span(1, 1, 0, 0), About(**about))
    return StoryText("", None, None, (found,))
