"""Plain data to YAML: blocks for what has lines, one line for what is short."""

import re

from tapscore.storyfile.kinds import Bare, Doc

WIDTH = 96
_PLAIN = re.compile(r"[^\W_](?:[\w .;!?'’“”()/&+=\-–—…,]*[\w.!?'’”)…])?\Z")
_NOT_TEXT = re.compile(
    r"(?:y|yes|n|no|on|off|true|false|null|~|[-+.]?[\d.][\d_.,eExXoOa-fA-F+\-]*)\Z", re.IGNORECASE
)
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t"}
_TO_ESCAPE = re.compile('[\\\\"\x00-\x1f\x7f-\xa0\xad\u2028\u2029\ufeff\ud800-\udfff\ufffe\uffff]')


def scalar(text: str, *, flow: bool = False) -> str:
    """One piece of text, quoted wherever another reader might take it for something else."""
    if isinstance(text, Bare):
        return str(text)
    plain = (
        _PLAIN.match(text)
        and not _NOT_TEXT.match(text)
        and "  " not in text
        and not (flow and ("," in text or "?" in text))
    )
    if plain:
        return text
    return '"' + _TO_ESCAPE.sub(_escape, text) + '"'


def _escape(match: re.Match[str]) -> str:
    character = match[0]
    return _ESCAPES.get(character) or f"\\u{ord(character):04x}"


def inline(doc: Doc) -> str:
    """A whole document on one line."""
    if isinstance(doc, str):
        return scalar(doc, flow=True)
    if isinstance(doc, list):
        return "[" + ", ".join(inline(item) for item in doc) + "]"
    return "{" + ", ".join(inline_entry(key, value) for key, value in doc.items()) + "}"


def inline_entry(key: str, value: Doc) -> str:
    """``key: value`` for curly brackets; nothing written is a space after the colon."""
    return f"{scalar(key, flow=True)}: {inline(value)}"


def entry(key: str, value: Doc, indent: int) -> str:
    """``key: value``, on one line or with a block below; ``indent`` is the key's column."""
    return f"{scalar(key)}:{after_colon(value, indent)}"


def after_colon(value: Doc, indent: int) -> str:
    """What follows a key's colon."""
    if isinstance(value, str):
        return f" {scalar(value)}".rstrip()
    short = inline(value)
    if fits_one_line(value) and indent + len(short) < WIDTH - 20:
        return " " + short
    return "\n" + block(value, indent + 2)


def block(value: list[Doc] | dict[str, Doc], indent: int) -> str:
    """A list or mapping over several lines, every line indented."""
    space = " " * indent
    if isinstance(value, list):
        return "\n".join(space + item(each, indent) for each in value)
    return "\n".join(space + entry(key, each, indent) for key, each in value.items())


def item(value: Doc, indent: int) -> str:
    """One item of a list, from its dash; ``indent`` is the dash's column."""
    if isinstance(value, dict) and "" in value:
        return "- " + _as_it_stood(str(value[""]), indent + 2)
    if isinstance(value, dict) and value:
        return "- " + block(value, indent + 2).lstrip(" ")
    return "- " + (scalar(value) if isinstance(value, str) else inline(value))


def _as_it_stood(source: str, indent: int) -> str:
    """What was never understood, its lines after the first moved to ``indent``."""
    first, *rest = source.rstrip().split("\n")
    said = [line for line in rest if line.strip()]
    least = min((len(line) - len(line.lstrip(" ")) for line in said), default=0)
    return "\n".join([first, *(" " * indent + line[least:] for line in rest)])


def fits_one_line(value: Doc, depth: int = 2) -> bool:
    """Whether a value may stand on one line: nothing deeper than lists of plain things."""
    if isinstance(value, str):
        return True
    if not value:
        return True
    if depth == 0:
        return False
    inner = value if isinstance(value, list) else list(value.values())
    if isinstance(value, list) and any(isinstance(each, dict) for each in inner):
        return False
    return all(fits_one_line(each, depth - 1) for each in inner)
