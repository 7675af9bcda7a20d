"""What is printed can be printed, and does nothing to a terminal but be read."""

import io
import re
import sys

_DOES_SOMETHING = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]"
)
"""Control characters (ECMA-48), and the marks that turn the direction of what follows (UAX 9):
a title may hold them, and a terminal would obey."""


def plain(text: str) -> str:
    """Text with such characters shown as numbers in angle brackets."""
    return _DOES_SOMETHING.sub(lambda match: f"<{ord(match[0]):02x}>", text)


class _Terminal(io.TextIOWrapper):
    def write(self, text: str) -> int:
        return super().write(plain(text))


def guard_streams() -> None:
    """Let nothing that a file says act on the terminal; names that are no Unicode can be shown.

    What goes into a file or another program keeps its characters.
    """
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if not isinstance(stream, io.TextIOWrapper):
            continue
        if stream.isatty():
            encoding, buffered = stream.encoding, stream.line_buffering
            raw = stream.detach()
            guarded = _Terminal(raw, encoding, "backslashreplace", line_buffering=buffered)
            setattr(sys, name, guarded)
        else:
            stream.reconfigure(errors="backslashreplace")
