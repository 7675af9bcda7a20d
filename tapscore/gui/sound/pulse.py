"""Linux: PulseAudio, or PipeWire, which speaks for it, by PulseAudio's own library.

Its 'simple' interface says how far what is heard lies behind what was written, the device's own
delay included, and gives an error when the server dies.  PortAudio over ALSA, tried here, ran in
circles and crashed then.  Devices are listed by pulsectl.
"""

import ctypes
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any, Protocol, cast

from tapscore.gui.background import Errands
from tapscore.gui.sound.system import (
    BUFFER_SEC,
    MICROPHONE_SEC,
    RATE_HZ,
    DeviceUnusableError,
    Fill,
    Kind,
    Over,
    Put,
    Running,
    Why,
)
from tapscore.wording.catalogue import say

BLOCK_SEC = 0.02
_S16LE, _PLAYBACK, _RECORD = 3, 1, 2
"""From pulse/sample.h and pulse/def.h."""
_AS_USUAL = 2**32 - 1


class _SampleSpec(ctypes.Structure):
    _fields_ = (
        ("format", ctypes.c_int),
        ("rate", ctypes.c_uint32),
        ("channels", ctypes.c_uint8),
    )


class _BufferSizes(ctypes.Structure):
    """All in bytes."""

    _fields_ = tuple(
        (name, ctypes.c_uint32) for name in ("maxlength", "tlength", "prebuf", "minreq", "fragsize")
    )


class SoundLine(Protocol):
    """One stream; everything may raise OSError."""

    def write(self, data: bytes) -> None:
        """Hand sound over; waits while there is no room for it."""

    def read(self, count: int) -> bytes:
        """So many bytes, waited for."""

    def delay_sec(self) -> float:
        """How long what is written now takes until it is heard."""

    def close(self) -> None:
        """Drop what has not been heard yet, and let the device go."""


class Server(Protocol):
    """What is used of pulsectl, which has no types."""

    def sink_list(self) -> list[Any]:
        """Loudspeakers."""

    def source_list(self) -> list[Any]:
        """Microphones, and what each loudspeaker plays."""

    def server_info(self) -> Any:
        """Which ones are usual."""


class PulseLine:
    """A stream by libpulse-simple; ctypes lets go of Python's lock while it waits."""

    def __init__(self, what: str, channels: int, *, records: bool, device: str | None) -> None:
        self._library = _library()
        self._error = ctypes.c_int(0)
        frame = 2 * channels
        sizes = _BufferSizes(
            round(MICROPHONE_SEC * RATE_HZ) * frame if records else _AS_USUAL,
            round(BUFFER_SEC * RATE_HZ) * frame,
            _AS_USUAL,
            round(BLOCK_SEC * RATE_HZ) * frame,
            round(BLOCK_SEC * RATE_HZ) * frame,
        )
        self._line = self._library.pa_simple_new(
            None,
            b"tapscore",
            _RECORD if records else _PLAYBACK,
            device.encode() if device is not None else None,
            what.encode(),
            _SampleSpec(_S16LE, RATE_HZ, channels),
            None,
            sizes,
            self._error,
        )
        if not self._line:
            raise OSError(self._error.value, what)

    def write(self, data: bytes) -> None:
        """Hand sound over; waits while there is no room for it."""
        self._done(self._library.pa_simple_write(self._line, data, len(data), self._error))

    def read(self, count: int) -> bytes:
        """So many bytes, waited for."""
        data = ctypes.create_string_buffer(count)
        self._done(self._library.pa_simple_read(self._line, data, count, self._error))
        return data.raw

    def delay_sec(self) -> float:
        """How long what is written now takes until it is heard."""
        self._error.value = 0
        delay_us = self._library.pa_simple_get_latency(self._line, self._error)
        self._done(self._error.value)
        return float(delay_us) / 1e6

    def close(self) -> None:
        """Drop what has not been heard yet, and let the device go."""
        self._library.pa_simple_flush(self._line, self._error)
        self._library.pa_simple_free(self._line)

    def _done(self, result: int) -> None:
        if result:
            raise OSError(self._error.value, "PulseAudio")


def _library() -> Any:
    try:
        library = ctypes.CDLL("libpulse-simple.so.0")
    except OSError:
        raise DeviceUnusableError(Why.LIBRARY) from None
    error = ctypes.POINTER(ctypes.c_int)
    library.pa_simple_new.restype = ctypes.c_void_p
    library.pa_simple_new.argtypes = [
        *(ctypes.c_char_p, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_char_p),
        *(ctypes.POINTER(_SampleSpec), ctypes.c_void_p, ctypes.POINTER(_BufferSizes), error),
    ]
    library.pa_simple_get_latency.restype = ctypes.c_uint64
    library.pa_simple_get_latency.argtypes = [ctypes.c_void_p, error]
    library.pa_simple_flush.argtypes = [ctypes.c_void_p, error]
    library.pa_simple_free.restype = None
    library.pa_simple_free.argtypes = [ctypes.c_void_p]
    for each in (library.pa_simple_write, library.pa_simple_read):
        each.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_size_t, error]
    return library


@contextmanager
def _pulsectl() -> Iterator[Server]:
    try:
        from pulsectl import Pulse, PulseError  # type: ignore[import-untyped]
    except (ImportError, OSError):
        raise DeviceUnusableError(Why.LIBRARY) from None
    try:
        with Pulse("tapscore", connect=False) as server:
            server.connect(autospawn=True)
            yield cast(Server, server)
    except (PulseError, OSError):
        raise DeviceUnusableError(Why.DEVICE) from None


class _Loop:
    """A thread of its own that moves sound from or to one line."""

    def __init__(
        self, line: SoundLine, channels: int, step: Callable[[SoundLine], object], over: Over
    ) -> None:
        self.rate_hz, self.channels = RATE_HZ, channels
        self._stopping = threading.Event()
        self._errands = Errands()
        self._errands.do(partial(_run, line, step, over, self._stopping))

    def end(self) -> None:
        """Be silent with the next block, and let the device go."""
        self._stopping.set()
        self._errands.no_more()


def _run(
    line: SoundLine, step: Callable[[SoundLine], object], over: Over, stopping: threading.Event
) -> None:
    try:
        while not stopping.is_set():
            step(line)
    except OSError:
        over()
    finally:
        line.close()


class PulseDevices:
    """What the sound server has."""

    def __init__(
        self,
        line: Callable[..., SoundLine] = PulseLine,
        server: Callable[[], Any] = _pulsectl,
    ) -> None:
        self._line = line
        self._server = server

    def must_have(self, kind: Kind) -> None:
        """Raise if there is no device of this kind."""
        with self._server() as server:
            there = server.sink_list() if kind == "output" else _sources(server)
        if not there:
            raise DeviceUnusableError(Why.DEVICE)

    def microphones(self) -> list[str]:
        """What they are called in the system's settings, the usual one first."""
        with self._server() as server:
            return list(_sources(server))

    def play(self, fill: Fill, over: Over) -> Running:
        """Begin on the loudspeaker that the system takes."""
        self.must_have("output")
        line = self._opened(say("Listening"), 2, records=False, device=None)
        return _Loop(line, 2, partial(_write, fill), over)

    def record(self, name: str, put: Put, over: Over) -> Running:
        """Begin with the microphone of this name, or else the usual one."""
        with self._server() as server:
            sources = _sources(server)
        if not sources:
            raise DeviceUnusableError(Why.DEVICE)
        device = sources.get(name, next(iter(sources.values())))
        line = self._opened(say("Recording"), 1, records=True, device=device)
        return _Loop(line, 1, lambda line: put(line.read(round(BLOCK_SEC * RATE_HZ) * 2)), over)

    def _opened(self, what: str, channels: int, *, records: bool, device: str | None) -> SoundLine:
        try:
            return self._line(what, channels, records=records, device=device)
        except OSError:
            raise DeviceUnusableError(Why.REFUSED) from None


def _write(fill: Fill, line: SoundLine) -> None:
    line.write(fill(round(BLOCK_SEC * RATE_HZ), line.delay_sec()))


def _sources(server: Server) -> dict[str, str]:
    """Microphones by their descriptions, with the server's names for them."""
    usual = server.server_info().default_source_name
    found: dict[str, str] = {}
    for each in sorted(server.source_list(), key=lambda source: bool(source.name != usual)):
        if each.monitor_of_sink_name is None:  # what a loudspeaker plays is no microphone
            found.setdefault(each.description, each.name)
    return found
