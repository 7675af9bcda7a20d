"""What is printed can be printed, and does nothing to a terminal but be read."""

import io
import sys

_DOES_SOMETHING = (
    *(*range(9), *range(0x0B, 0x20), *range(0x7F, 0xA0), 0x061C, 0x200E, 0x200F, 0x2028, 0x2029),
    *(*range(0x202A, 0x202F), *range(0x2066, 0x206A)),
)
"""Control characters (ECMA-48), and the marks that turn the direction of what follows (UAX 9):
a title may hold them, and a terminal would obey."""
_SHOWN = {number: f"<{number:02x}>" for number in _DOES_SOMETHING}


def plain(text: str) -> str:
    """Text with such characters shown as numbers in angle brackets."""
    return text.translate(_SHOWN)


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
