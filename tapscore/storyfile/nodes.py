"""YAML text as a tree of nodes that know where they stand.

Every scalar stays the text that was written: ``yes``, ``12`` and ``1:30`` never change
type.  Anchors, aliases, tags, duplicate keys and further documents are findings.
"""

from typing import Any

from attrs import field, frozen

from tapscore.model.finding import Finding, Severity, Span, StoryPath
from tapscore.storyfile.places import Places
from tapscore.storyfile.yaml_faults import character_finding, syntax_finding
from tapscore.wording.about import About, Datum

MAX_CHARACTERS = 1_000_000
MAX_DEPTH = 24
DUPLICATE_KEY = "duplicate-key"
YAML_CODES = frozenset({"shared-part", "typed-part", "key-not-text", DUPLICATE_KEY})
"""What is found in the text before it is known what it says; these findings have no path."""


class _Standing:
    """What stands somewhere in a text: offsets are kept, lines and columns counted when asked for.

    A long story has 30,000 of them, of which findings ask for a few.
    """

    __slots__ = ()
    places: Places
    start: int
    end: int

    @property
    def span(self) -> Span:
        """The stretch of the text."""
        return self.places.span(self.start, self.end)


@frozen(eq=False, repr=False)
class Scalar(_Standing):
    """A piece of text."""

    value: str
    places: Places
    start: int
    end: int
    plain: bool = True
    """Whether it stands without quotes."""


@frozen(eq=False, repr=False)
class KeyAndValue:
    """A key with its value."""

    key: Scalar
    value: "Node"


@frozen(eq=False, repr=False)
class Mapping(_Standing):
    """Keys with values, in order."""

    entries: tuple[KeyAndValue, ...]
    places: Places
    start: int
    end: int
    flow: bool
    """Whether it is written ``{inline}``."""
    left_out: tuple["Node", ...] = ()
    """Keys and values that can't stand there, such as a key's second time; findings say so."""

    def get(self, key: str) -> "Node | None":
        """The value of a key, None where it is missing."""
        return next((entry.value for entry in self.entries if entry.key.value == key), None)


@frozen(eq=False, repr=False)
class Sequence(_Standing):
    """Items in order."""

    items: tuple["Node", ...]
    places: Places
    start: int
    end: int
    flow: bool
    """Whether it is written ``[inline]``."""


Node = Scalar | Mapping | Sequence


@frozen(eq=False, repr=False)
class Tree:
    """What a text holds: a tree, or None with findings that say why not."""

    root: Mapping | None
    findings: tuple[Finding, ...]


def locate(root: Node | None, path: StoryPath) -> Span | None:
    """Where ``path`` stands, or the nearest thing above it that is in the file."""
    if root is None:
        return None
    node: Node = root
    shown: Node = root
    for part in path:
        if isinstance(node, Mapping):
            entry = next((e for e in node.entries if e.key.value == part), None)
            if entry is None:
                break
            node, shown = entry.value, entry.key
        elif isinstance(node, Sequence) and isinstance(part, int) and part < len(node.items):
            node = shown = node.items[part]
        else:
            break
    return shown.span


def innermost(root: Node, at: int) -> tuple[StoryPath, Node]:
    """The innermost node that an offset lies in, and its path."""
    path: list[str | int] = []
    parts: list[tuple[str | int, Node, Node]]
    node = root
    while not isinstance(node, Scalar):
        if isinstance(node, Mapping):
            parts = [(e.key.value, e.key, e.value) for e in node.entries]
        else:
            parts = [(i, each, each) for i, each in enumerate(node.items)]
        last = next((each for each in reversed(parts) if each[1].start <= at), None)
        if last is None or at > max(last[1].end, last[2].end):
            break
        path.append(last[0])
        node = last[2]
    return tuple(path), node


def parse_yaml(text: str) -> Tree:
    """Build the tree of ``text``; a text that is no YAML gives no tree and one finding."""
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    places = Places(text)
    builder = _Builder(places, yaml)
    try:
        for event in yaml.parse(text, Loader=loader):
            builder.take(event)
            if builder.stopped:
                break
    except yaml.MarkedYAMLError as error:
        builder.findings.append(syntax_finding(error, places, len(text)))
        return Tree(None, tuple(builder.findings))
    except yaml.reader.ReaderError as error:
        builder.findings.append(character_finding(error, text, places))
        return Tree(None, tuple(builder.findings))
    root = builder.root
    if builder.stopped:
        return Tree(None, tuple(builder.findings))
    if not isinstance(root, Mapping):
        builder.report("no-story", root.span if root else Span(1, 1, 0, 0))
        return Tree(None, tuple(builder.findings))
    return Tree(root, tuple(builder.findings))


@frozen(eq=False, repr=False)
class _Open:
    mapping: bool
    flow: bool
    start: int
    children: list[Node] = field(factory=list)


class _Builder:
    """Turns the parser's events into nodes, with a stack instead of recursion."""

    def __init__(self, places: Places, kinds: Any) -> None:
        self._places = places
        self._kinds = kinds
        self.findings: list[Finding] = []
        self.root: Node | None = None
        self.stopped = False
        self._open: list[_Open] = []
        self._documents = 0
        self._texts: dict[str, str] = {}  # keys and words that stand many times are one text

    def report(self, code: str, span: Span, **about: Datum) -> None:
        found = Finding(code, Severity.MUST_MEND, (), span, About(**about))
        self.findings.append(found)

    def take(self, event: Any) -> None:
        yaml = self._kinds
        if isinstance(event, yaml.ScalarEvent):
            if event.anchor or event.tag:
                self._refuse_extras(event)
            text = self._texts.setdefault(event.value, event.value)
            start, end = event.start_mark.index, event.end_mark.index
            self._add(Scalar(text, self._places, start, end, not event.style))
        elif isinstance(event, yaml.CollectionStartEvent):
            self._refuse_extras(event)
            mapping = isinstance(event, yaml.MappingStartEvent)
            self._open.append(_Open(mapping, bool(event.flow_style), event.start_mark.index))
            if len(self._open) > MAX_DEPTH:
                self.report("too-deep", self._span(event), most=MAX_DEPTH)
                self.stopped = True
        elif isinstance(event, yaml.CollectionEndEvent):
            self._close(event)
        elif isinstance(event, yaml.AliasEvent):
            span = self._span(event)
            self.report("shared-part", span, case="uses", anchor=event.anchor)
            self._add(Scalar("", self._places, span.start, span.end))
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self.report("second-story", self._span(event))
                self.stopped = True

    def _refuse_extras(self, event: Any) -> None:
        if event.anchor:
            self.report("shared-part", self._span(event), case="names", anchor=event.anchor)
        if event.tag:
            self.report("typed-part", self._span(event))

    def _close(self, event: Any) -> None:
        opened = self._open.pop()
        start, children = opened.start, opened.children
        end = event.end_mark.index if opened.flow or not children else children[-1].end
        end = max(end, start)
        if opened.mapping:
            entries, left_out = self._entries(children)
            self._add(Mapping(entries, self._places, start, end, opened.flow, left_out))
        else:
            self._add(Sequence(tuple(children), self._places, start, end, opened.flow))

    def _entries(self, children: list[Node]) -> tuple[tuple[KeyAndValue, ...], tuple[Node, ...]]:
        entries: dict[str, KeyAndValue] = {}
        left_out: list[Node] = []
        for key, value in zip(children[::2], children[1::2], strict=True):
            if not isinstance(key, Scalar):
                self.report("key-not-text", key.span)
                left_out += (key, value)
            elif key.value in entries:
                first = entries[key.value].key.span.line
                self.report(DUPLICATE_KEY, key.span, key=key.value, first=first)
                left_out += (key, value)
            else:
                entries[key.value] = KeyAndValue(key, value)
        return tuple(entries.values()), tuple(left_out)

    def _add(self, node: Node) -> None:
        if self._open:
            self._open[-1].children.append(node)
        elif self.root is None:
            self.root = node

    def _span(self, event: Any) -> Span:
        return self._places.span(event.start_mark.index, event.end_mark.index)
