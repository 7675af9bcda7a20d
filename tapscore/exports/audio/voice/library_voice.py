"""The voice as a library that comes along (espeakng-loader), spoken through a process of its own.

The library keeps a state from one text to the next, so that a text would sound otherwise
after another one; a process that says one text says it as the program ``espeak-ng`` does, byte
for byte.  It takes that program's own options, as far as they are asked for here.  Nothing but the
standard library is imported.
"""

import ctypes
import os
import struct
import sys
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

_AT_ONCE = 2
"""``AUDIO_OUTPUT_SYNCHRONOUS``: samples are handed over before a call comes back (speak_lib.h)."""
_RATE = 1
_UTF8 = 1
_OK = 0
SPEAK = "--speak-a-line"
"""What the app without Python is told to be this."""


class _Voice(ctypes.Structure):
    """``espeak_VOICE`` (speak_lib.h): a voice asked for by its language."""

    _fields_ = [
        ("name", ctypes.c_char_p),
        ("languages", ctypes.c_char_p),
        ("identifier", ctypes.c_char_p),
        ("gender", ctypes.c_ubyte),
        ("age", ctypes.c_ubyte),
        ("variant", ctypes.c_ubyte),
        ("unused", ctypes.c_ubyte),
        ("score", ctypes.c_int),
        ("spare", ctypes.c_void_p),
    ]


def library_folder() -> Path | None:
    """Where the library and its data lie; None if it is not installed."""
    found = find_spec("espeakng_loader")
    places = found.submodule_search_locations if found else None
    folder = Path(places[0]) if places else None
    return folder if folder is not None and (folder / "espeak-ng-data").is_dir() else None


def command() -> tuple[str, ...] | None:
    """How it is started, in place of the program; None if it is not installed."""
    if library_folder() is None:
        return None
    if getattr(sys, "frozen", False):
        return (sys.executable, SPEAK)
    return (sys.executable, "-P", "-m", __name__)


def main(options: Sequence[str]) -> int:
    """Say what stands on the standard input as a WAV file; 1 if it can't be said."""
    folder = library_folder()
    if folder is None:
        return 1
    library = ctypes.CDLL(str(_library_in(folder)))
    data = os.fsencode(folder / "espeak-ng-data")
    rate_hz = library.espeak_Initialize(_AT_ONCE, 0, data, 0)
    if rate_hz <= 0:
        return 1
    if "--version" in options:
        library.espeak_Info.restype = ctypes.c_char_p
        version = library.espeak_Info(None).decode()
        sys.stdout.write(f"eSpeak NG text-to-speech: {version}  Data at: {folder}\n")
        return 0
    said = bytearray()

    def take(samples: "ctypes._Pointer[ctypes.c_short]", count: int, _: int) -> int:
        if samples and count:
            said.extend(ctypes.string_at(samples, 2 * count))
        return 0

    kind = (ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)
    callback = ctypes.CFUNCTYPE(*kind)(take)  # kept in a name as long as it may be called
    library.espeak_SetSynthCallback(callback)
    if not _choose(library, options[options.index("-v") + 1]):
        return 1
    library.espeak_SetParameter(_RATE, int(options[options.index("-s") + 1]), 0)
    text = sys.stdin.buffer.read()
    library.espeak_Synth(text, len(text) + 1, 0, 0, 0, _UTF8, None, None)
    sys.stdout.buffer.write(_head(rate_hz, len(said)) + said)
    return 0


def _library_in(folder: Path) -> Path:
    wanted = {"win32": "*espeak-ng*.dll", "darwin": "libespeak-ng*.dylib"}
    return sorted(folder.glob(wanted.get(sys.platform, "libespeak-ng.so*")))[0]


def _choose(library: ctypes.CDLL, voice: str) -> bool:
    """A voice by its name, or else by its language."""
    if library.espeak_SetVoiceByName(voice.encode()) == _OK:
        return True
    by_language = _Voice(languages=voice.encode())
    return bool(library.espeak_SetVoiceByProperties(ctypes.byref(by_language)) == _OK)


def _head(rate_hz: int, count: int) -> bytes:
    """The 44 bytes in front of one channel's samples of sixteen bits (RIFF WAVE)."""
    form = struct.pack("<IHHIIHH", 16, 1, 1, rate_hz, 2 * rate_hz, 2, 16)
    whole = struct.pack("<I", 36 + count)
    return b"RIFF" + whole + b"WAVEfmt " + form + b"data" + struct.pack("<I", count)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
