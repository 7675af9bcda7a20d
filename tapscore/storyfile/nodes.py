"""YAML text as a tree of nodes that know where they stand.

Every scalar stays the text that was written: ``yes``, ``12`` and ``1:30`` never change
type.  Anchors, aliases, tags, duplicate keys and further documents are findings.
"""

from attrs import field, frozen

from tapscore.model.finding import Finding, Severity, Span, StoryPath

MAX_CHARACTERS = 1_000_000
MAX_DEPTH = 24


@frozen
class Scalar:
    """A piece of text."""

    value: str
    span: Span
    plain: bool = True
    """Whether it stands without quotes."""


@frozen
class Entry:
    """A key with its value."""

    key: Scalar
    value: "Node"


@frozen
class Mapping:
    """Keys with values, in order."""

    entries: tuple[Entry, ...]
    span: Span
    flow: bool
    """Whether it is written ``{inline}``."""

    def get(self, key: str) -> "Node | None":
        """The value of a key, None where it is missing."""
        return next((entry.value for entry in self.entries if entry.key.value == key), None)


@frozen
class Sequence:
    """Items in order."""

    items: tuple["Node", ...]
    span: Span
    flow: bool
    """Whether it is written ``[inline]``."""


Node = Scalar | Mapping | Sequence


@frozen
class Tree:
    """What a text holds: a tree, or None with findings that say why not."""

    root: Mapping | None
    findings: tuple[Finding, ...]


def locate(root: Node | None, path: StoryPath) -> Span | None:
    """Where ``path`` stands, or the nearest thing above it that is in the file."""
    if root is None:
        return None
    node, span = root, root.span
    for part in path:
        if isinstance(node, Mapping):
            entry = next((e for e in node.entries if e.key.value == part), None)
            if entry is None:
                break
            node, span = entry.value, entry.key.span
        elif isinstance(node, Sequence) and isinstance(part, int) and part < len(node.items):
            node = node.items[part]
            span = node.span
        else:
            break
    return span


def parse_yaml(text: str) -> Tree:
    """Build the tree of ``text``; a text that is no YAML gives no tree and one finding."""
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    builder = _Builder()
    try:
        for event in yaml.parse(text, Loader=loader):
            builder.take(event)
            if builder.stopped:
                break
    except yaml.MarkedYAMLError as error:
        builder.findings.append(_syntax_finding(error, text))
        return Tree(None, tuple(builder.findings))
    except yaml.reader.ReaderError as error:
        builder.findings.append(_character_finding(error, text))
        return Tree(None, tuple(builder.findings))
    root = builder.root
    if builder.stopped:
        return Tree(None, tuple(builder.findings))
    if not isinstance(root, Mapping):
        builder.report(
            "no-story",
            root.span if root else Span(1, 1, 0, 0),
            "There is no story here: a story file is a list of names with a colon after each.",
            "Start with `tapscore: 1` and `title: ...`, or make a file with `tapscore new`.",
        )
        return Tree(None, tuple(builder.findings))
    return Tree(root, tuple(builder.findings))


@frozen
class _Open:
    mapping: bool
    flow: bool
    start: Span
    children: list[Node] = field(factory=list)


class _Builder:
    """Turns the parser's events into nodes, with a stack instead of recursion."""

    def __init__(self) -> None:
        self.findings: list[Finding] = []
        self.root: Node | None = None
        self.stopped = False
        self._open: list[_Open] = []
        self._documents = 0

    def report(self, code: str, span: Span, message: str, remedy: str) -> None:
        self.findings.append(Finding(code, Severity.MUST_MEND, message, remedy, (), span))

    def take(self, event: object) -> None:
        import yaml

        if isinstance(event, yaml.ScalarEvent):
            span = _span(event)
            self._refuse_extras(event, span)
            self._add(Scalar(event.value, span, event.style is None or event.style == ""))
        elif isinstance(event, yaml.CollectionStartEvent):
            span = _span(event)
            self._refuse_extras(event, span)
            mapping = isinstance(event, yaml.MappingStartEvent)
            self._open.append(_Open(mapping, bool(event.flow_style), span))
            if len(self._open) > MAX_DEPTH:
                self.report(
                    "too-deep",
                    span,
                    f"Things stand inside one another more than {MAX_DEPTH} deep here.",
                    "A story needs far less: look for brackets that are never closed.",
                )
                self.stopped = True
        elif isinstance(event, yaml.CollectionEndEvent):
            self._close(event)
        elif isinstance(event, yaml.AliasEvent):
            span = _span(event)
            self.report(
                "shared-part",
                span,
                f"`*{event.anchor}` points to another part of the file; stories can't do that.",
                "Write the words out, or make a refrain of lines that return.",
            )
            self._add(Scalar("", span))
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self.report(
                    "second-story",
                    _span(event),
                    "A second story starts here; a file holds one.",
                    "Take out the line `---`, or put the second story into a file of its own.",
                )
                self.stopped = True

    def _refuse_extras(self, event: object, span: Span) -> None:
        if getattr(event, "anchor", None):
            self.report(
                "shared-part",
                span,
                f"`&{event.anchor}` names a part to be shared; stories can't do that.",  # type: ignore[attr-defined]
                "Take the mark out. Lines that return belong under `refrains:`.",
            )
        if getattr(event, "tag", None):
            self.report(
                "typed-part",
                span,
                f"`{event.tag}` says what kind of thing follows; stories can't do that.",  # type: ignore[attr-defined]
                "Take it out. If it is part of the words, put quotes round them.",
            )

    def _close(self, event: object) -> None:
        opened = self._open.pop()
        start, children = opened.start, opened.children
        end = _span(event).end if opened.flow or not children else children[-1].span.end
        span = Span(start.line, start.column, start.start, max(end, start.start))
        if opened.mapping:
            self._add(Mapping(self._entries(children), span, opened.flow))
        else:
            self._add(Sequence(tuple(children), span, opened.flow))

    def _entries(self, children: list[Node]) -> tuple[Entry, ...]:
        entries: dict[str, Entry] = {}
        for key, value in zip(children[::2], children[1::2], strict=True):
            if not isinstance(key, Scalar):
                self.report(
                    "key-not-text",
                    key.span,
                    "A name before a colon must be plain words, not a list.",
                    "Write one name, a colon, and what it is.",
                )
            elif key.value in entries:
                first = entries[key.value].key.span.line
                self.report(
                    "duplicate-key",
                    key.span,
                    f"`{key.value}` is already said in line {first}.",
                    "Keep one of the two.",
                )
            else:
                entries[key.value] = Entry(key, value)
        return tuple(entries.values())

    def _add(self, node: Node) -> None:
        if self._open:
            self._open[-1].children.append(node)
        elif self.root is None:
            self.root = node


def _span(event: object) -> Span:
    start, end = event.start_mark, event.end_mark  # type: ignore[attr-defined]
    return Span(start.line + 1, start.column + 1, start.index, end.index)


def _syntax_finding(error: object, text: str) -> Finding:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column, index = (mark.line, mark.column, mark.index) if mark else (0, 0, 0)
    lines = text.split("\n")
    here = lines[line] if line < len(lines) else ""
    message, remedy = _explain(str(getattr(error, "problem", "")), here, lines, line)
    span = Span(line + 1, column + 1, min(index, len(text)), min(index, len(text)))
    return Finding("yaml", Severity.MUST_MEND, message, remedy, (), span)


def _explain(problem: str, here: str, lines: list[str], line: int) -> tuple[str, str]:
    above = next((text for text in reversed(lines[:line]) if text.strip()), "")
    if "\t" in here[: len(here) - len(here.lstrip())] or "'\\t'" in problem:
        return (
            "A tab stands at the beginning of this line; the file can't be read past it.",
            "Use spaces instead of the tab key at the start of lines.",
        )
    if "mapping values are not allowed" in problem:
        return (
            "There is a second colon here, or this line stands too far to the right.",
            "Put quotes round words that hold a colon, or line this up with the line above.",
        )
    if "could not find expected ':'" in problem:
        return (
            f"A colon is missing near here, after `{(here.strip() or above.strip())[:40]}`.",
            "Write the name, a colon, a space, and then what it is.",
        )
    if "unexpected end of stream" in problem or "scanning a quoted scalar" in problem:
        return (
            "Quotes are opened here and never closed.",
            "Put the same quote mark at the end of the words.",
        )
    if "block mapping" in problem or "block collection" in problem or "<block end>" in problem:
        return (
            "This line doesn't line up with the lines around it.",
            "Lines that belong together start below one another: count the spaces in front.",
        )
    if "'%'" in problem or "'@'" in problem or "'`'" in problem or "cannot start" in problem:
        return (
            "The words can't start with this mark as they stand.",
            "Put quotes round the words.",
        )
    if "expected ',' or" in problem:
        return (
            "A comma or a closing bracket is missing here.",
            "Put commas between the parts and close every `[` and `{`.",
        )
    return (
        "The file can't be understood from here on.",
        "Look at this line and the one above: spaces in front, colons, quotes, brackets.",
    )


def _character_finding(error: object, text: str) -> Finding:
    index = min(int(getattr(error, "position", 0) or 0), max(len(text) - 1, 0))
    found = next((i for i, c in enumerate(text) if ord(c) < 32 and c not in "\t\n\r"), index)
    before = text[:found]
    line = before.count("\n") + 1
    column = found - (before.rfind("\n") + 1) + 1
    return Finding(
        "strange-character",
        Severity.MUST_MEND,
        "There is a character here that can't be seen and doesn't belong in a text.",
        "Delete it: put the cursor behind it and press backspace, or type the line again.",
        (),
        Span(line, column, found, found + 1),
    )
