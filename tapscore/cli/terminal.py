"""What is printed can be printed, and does nothing to a terminal but be read."""

import io
import sys

from tapscore.wording.catalogue import say

STOPPED = say("Stopped. Nothing is half-made.")
_ACTS = (*range(9), *range(0x0B, 0x20), *range(0x7F, 0xA0))
"""Control characters (ECMA-48): a title may hold them, and a terminal would obey, be it at the end
of a pipe."""
_TURNS = (
    *(0x061C, 0x200E, 0x200F, 0x2028, 0x2029),
    *(*range(0x202A, 0x202F), *range(0x2066, 0x206A)),
)
"""Marks that turn the direction of what follows (UAX 9): words from right to left may need them."""
_SHOWN = {number: f"<{number:02x}>" for number in _ACTS}
_SHOWN_ON_TERMINAL = _SHOWN | {number: f"<{number:02x}>" for number in _TURNS}
_IN_JSON = {number: f"\\u{number:04x}" for number in (*_ACTS[_ACTS.index(0x7F) :], *_TURNS)}


def plain(text: str, *, terminal: bool = True) -> str:
    """Text with such characters shown as numbers in angle brackets.

    What goes into a file or another program keeps its marks of direction.
    """
    return text.translate(_SHOWN_ON_TERMINAL if terminal else _SHOWN)


def as_json(data: object) -> str:
    """Data as JSON in which no such character stands as itself, so that none is lost."""
    import json

    return json.dumps(data, ensure_ascii=False, indent=2).translate(_IN_JSON)


class _Guarded(io.TextIOWrapper):
    def write(self, text: str) -> int:
        return super().write(plain(text, terminal=self.isatty()))


def guard_streams() -> None:
    """Let nothing that a file says act on a terminal; names that are no Unicode can be shown."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if isinstance(stream, io.TextIOWrapper):
            encoding, buffered = stream.encoding, stream.line_buffering
            guarded = _Guarded(
                stream.detach(), encoding, "backslashreplace", line_buffering=buffered
            )
            setattr(sys, name, guarded)


def go_back() -> None:
    """Let what is told next stand over what was told last in the terminal's line."""
    if isinstance(sys.stderr, io.TextIOWrapper):
        io.TextIOWrapper.write(sys.stderr, "\r")  # our own, which the guard would show
