"""What a YAML parser complains of, said so that a teacher can mend it."""

import re
from typing import Any

from tapscore.model.finding import Finding, Severity
from tapscore.storyfile.places import Places

_ALIGN = (
    "This line doesn't line up with the lines around it.",
    "Lines that belong together start below one another: count the spaces in front.",
)
_TAB = (
    "A tab stands at the beginning of this line; the file can't be read past it.",
    "Use spaces instead of the tab key at the start of lines.",
)
_UNKNOWN = (
    "The file can't be understood from here on.",
    "Look at this line and the one above: spaces in front, colons, quotes, brackets.",
)
_BARE_LANE = re.compile(r"\s*(?:-\s+)?lane\s*:\s*[|\-]")
_GLUED = re.compile(r"\s*(?:-\s+)?[\w ]+:[^\s:/]")


def syntax_finding(error: Any, places: Places, length: int) -> Finding:
    """The finding for a text that PyYAML could not parse (a ``MarkedYAMLError``)."""
    failed = min((error.problem_mark or error.context_mark).index, length)
    span = places.span(failed, failed)
    message, remedy, at_context = _explain(
        str(error.problem),
        str(error.context),
        places.line(span.line),
        places.line(span.line - 1),
        span.column - 1,
    )
    if at_context and error.context_mark is not None:
        began = min(error.context_mark.index, length)
        span = places.span(began, began)
    return Finding("yaml", Severity.MUST_MEND, message, remedy, (), span)


def _explain(
    problem: str, context: str, here: str, above: str, column: int
) -> tuple[str, str, bool]:
    """Message, remedy, and whether the place is where the thing began, not where it failed."""
    if "\t" in here[: len(here) - len(here.lstrip())]:
        return *_TAB, False
    if here[column : column + 1] == "\t":
        return (
            "A tab stands here; the file can't be read past it.",
            "Use a space instead of the tab key.",
            False,
        )
    if _BARE_LANE.match(here):
        return (
            "A rhythm needs quotes round it.",
            'Write for example `lane: "| X x x |"`.',
            False,
        )
    if "mapping values are not allowed" in problem:
        return *_second_colon(here, above, column), False
    if "expected ':'" in problem:
        return (
            "A colon is missing in this line.",
            "Write the name, a colon, a space, and then what it is.",
            True,
        )
    if "block scalar" in context:
        return (
            "A `|` or `>` stands outside quotes here.",
            "Put quotes round the words, and look whether the line above closes its quotes.",
            False,
        )
    if "quoted scalar" in context:
        return (
            "Quotes are opened here and never closed.",
            "Put the same quote mark at the end of the words.",
            True,
        )
    if "flow" in context:
        return (
            "The bracket that opens here is not closed, or a comma is missing in it.",
            "Put commas between the parts, and close every `[` with `]` and every `{` with `}`.",
            True,
        )
    if "block collection" in context or "block mapping" in context:
        return *_ALIGN, False
    if any(why in problem for why in ("cannot start", "node content", "tag handle", "alias")):
        return (
            "The words can't start with this mark as they stand.",
            "Put quotes round the words.",
            False,
        )
    return *_UNKNOWN, False


def _second_colon(here: str, above: str, column: int) -> tuple[str, str]:
    if _GLUED.match(above):
        return (
            "A space is missing after the colon in the line above.",
            "Write the name, a colon, a space, and then what it is.",
        )
    before = here[:column]
    if ": " in before:
        return (
            "There is a second colon in this line.",
            "Put quotes round words that hold a colon.",
        )
    return (
        "This line stands too far to the right, or the line above should end with a colon.",
        "Line it up with the line it belongs to.",
    )


def character_finding(error: Any, text: str, places: Places) -> Finding:
    """The finding for a character that no text holds (a ``ReaderError``)."""
    index = min(int(getattr(error, "position", 0) or 0), max(len(text) - 1, 0))
    found = next((i for i, c in enumerate(text) if ord(c) < 32 and c not in "\t\n\r"), index)
    return Finding(
        "strange-character",
        Severity.MUST_MEND,
        "There is a character here that can't be seen and doesn't belong in a text.",
        "Delete it: put the cursor behind it and press backspace, or type the line again.",
        (),
        places.span(found, min(found + 1, len(text))),
    )
