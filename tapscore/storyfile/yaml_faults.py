"""What a YAML parser complains of, said so that a teacher can mend it."""

import re
from typing import Any

from tapscore.model.finding import Finding, Severity
from tapscore.storyfile.places import Places
from tapscore.wording.about import About

_BARE_LANE = re.compile(r"\s*(?:-\s+)?lane\s*:\s*[|\-]")
_GLUED = re.compile(r"\s*(?:-\s+)?[\w ]+:[^\s:/]")


def syntax_finding(error: Any, places: Places, length: int) -> Finding:
    """The finding for a text that PyYAML could not parse (a ``MarkedYAMLError``)."""
    failed = min((error.problem_mark or error.context_mark).index, length)
    span = places.span(failed, failed)
    case, at_context = _explain(
        str(error.problem),
        str(error.context),
        places.line(span.line),
        places.line(span.line - 1),
        span.column - 1,
    )
    if at_context and error.context_mark is not None:
        began = min(error.context_mark.index, length)
        span = places.span(began, began)
    return Finding("yaml", Severity.MUST_MEND, (), span, About(case=case))


def _explain(problem: str, context: str, here: str, above: str, column: int) -> tuple[str, bool]:
    """Which fault it is, and whether the place is where the thing began, not where it failed."""
    if "\t" in here[: len(here) - len(here.lstrip())]:
        return "tab-in-front", False
    if here[column : column + 1] == "\t":
        return "tab", False
    if _BARE_LANE.match(here):
        return "bare-rhythm", False
    if "mapping values are not allowed" in problem:
        return _second_colon(here, above, column), False
    if "expected ':'" in problem:
        return "no-colon", True
    if "block scalar" in context:
        return "block", False
    if "quoted scalar" in context:
        return "quotes", True
    if "flow" in context:
        return "bracket", True
    if "block collection" in context or "block mapping" in context:
        return "align", False
    if any(why in problem for why in ("cannot start", "node content", "tag handle", "alias")):
        return "mark-in-front", False
    return "unknown", False


def _second_colon(here: str, above: str, column: int) -> str:
    if _GLUED.match(above):
        return "no-space"
    return "second-colon" if ": " in here[:column] else "too-far-right"


def character_finding(error: Any, text: str, places: Places) -> Finding:
    """The finding for a character that no text holds (a ``ReaderError``)."""
    index = min(int(getattr(error, "position", 0) or 0), max(len(text) - 1, 0))
    found = next((i for i, c in enumerate(text) if ord(c) < 32 and c not in "\t\n\r"), index)
    return Finding(
        "strange-character",
        Severity.MUST_MEND,
        span=places.span(found, min(found + 1, len(text))),
    )
