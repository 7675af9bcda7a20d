"""Windows and macOS: PortAudio, by sounddevice.

PortAudio calls back for each block and says when its first frame will be heard; reading and
writing without calls back, it does not say that.
"""

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any, Protocol, cast

from tapscore.gui.sound.system import (
    BUFFER_SEC,
    RATE_HZ,
    DeviceUnusableError,
    Fill,
    Kind,
    Over,
    Put,
    Running,
    Why,
)

FRESH_SEC = 2.0
"""Devices are not looked for more often than this."""
RECORDED_SEC = 1.0
"""What a microphone may hold; not every way to sound takes more."""
BLOCK_FRAMES = 1_440
"""Of a recording: 30 ms, so that the level moves with the voice."""
LONGEST_DELAY_SEC = 10.0
"""No device is so far behind, unless what it says is not true."""


class BlockTimes(Protocol):
    """When a block is heard, in seconds of PortAudio's own clock."""

    currentTime: float  # noqa: N815
    outputBufferDacTime: float  # noqa: N815
    """Of its first frame, the device's own delay included."""


class Stream(Protocol):
    """A device that was opened."""

    samplerate: float
    channels: int

    def start(self) -> None:
        """Begin."""

    def close(self) -> None:
        """End at once, and let the device go."""


class PortAudio(Protocol):
    """What is used of the module sounddevice, which has no types."""

    PortAudioError: type[Exception]

    def RawOutputStream(self, **how: Any) -> Stream:  # noqa: N802
        """Open a loudspeaker."""

    def RawInputStream(self, **how: Any) -> Stream:  # noqa: N802
        """Open a microphone."""

    def WasapiSettings(self, *, auto_convert: bool) -> object:  # noqa: N802
        """On Windows: whether the system may change the rate."""

    def query_devices(self, device: int | None = None, kind: str | None = None) -> Any:
        """A device, or the usual one of a kind; raises where there is none."""

    def query_hostapis(self) -> tuple[dict[str, Any], ...]:
        """The ways to sound that the system has."""

    def _initialize(self) -> None: ...

    def _terminate(self) -> None: ...


def _load() -> PortAudio:
    return cast(PortAudio, import_module("sounddevice"))


class _Open:
    """A stream that runs."""

    def __init__(self, stream: Stream, closed: Callable[["_Open"], object]) -> None:
        self.rate_hz, self.channels = round(stream.samplerate), stream.channels
        self._stream = stream
        self._closed = closed

    def end(self) -> None:
        """Be silent at once, and let the device go."""
        self._closed(self)
        self._stream.close()


class PortAudioDevices:
    """The devices that PortAudio sees; it loads on first use."""

    def __init__(self, load: Callable[[], PortAudio] = _load) -> None:
        self._load = load
        self._library: PortAudio | None = None
        self._begun = False
        self._looked_sec = float("-inf")
        self._open: list[_Open] = []

    @property
    def library(self) -> PortAudio:
        """PortAudio; DeviceUnusableError where it is missing."""
        if self._library is None:
            try:
                self._library = self._load()
            except (ImportError, OSError):
                raise DeviceUnusableError(Why.LIBRARY) from None
            self._begun = True
            self._looked_sec = time.monotonic()
        return self._library

    def must_have(self, kind: Kind) -> None:
        """Raise if there is no device of this kind."""
        if not self._has(kind):
            self.look_again()
            if not self._has(kind):
                raise DeviceUnusableError(Why.DEVICE)

    def microphones(self) -> list[str]:
        """What they are called, the usual one first."""
        self.look_again()
        return list(self._inputs())

    def play(self, fill: Fill, over: Over) -> Running:
        """Begin on the loudspeaker that the system takes."""

        def handed(out: memoryview, frames: int, times: BlockTimes, _: object) -> None:
            delay_sec = times.outputBufferDacTime - times.currentTime
            believed = 0 <= delay_sec < LONGEST_DELAY_SEC
            out[:] = fill(frames, delay_sec if believed else BUFFER_SEC)

        return self._begin(
            "output",
            lambda: self._usual("output"),
            samplerate=RATE_HZ,
            channels=2,
            latency=BUFFER_SEC,
            callback=handed,
            finished_callback=over,
        )

    def record(self, name: str, put: Put, over: Over) -> Running:
        """Begin with the microphone of this name, or else the usual one."""
        return self._begin(
            "input",
            lambda: self._at_any_rate(name),
            samplerate=RATE_HZ,
            channels=1,
            latency=RECORDED_SEC,
            blocksize=BLOCK_FRAMES,
            callback=lambda block, *_: put(bytes(block)),
            finished_callback=over,
        )

    def look_again(self) -> None:
        """See what was plugged in or out, and which is usual now, unless something is open.

        PortAudio itself goes by what there was when it began.
        """
        library = self.library
        if self._open or time.monotonic() - self._looked_sec < FRESH_SEC:
            return
        with contextlib.suppress(library.PortAudioError):
            if self._begun:
                self._begun = False
                library._terminate()
            library._initialize()
            self._begun = True
        self._looked_sec = time.monotonic()

    def _begin(
        self, kind: Kind, choices: Callable[[], Iterator[dict[str, Any]]], **how: Any
    ) -> Running:
        self.look_again()
        self.must_have(kind)
        for chosen in choices():
            stream = self._opened(kind, how | chosen)
            if stream is not None:
                self._open.append(running := _Open(stream, self._open.remove))
                return running
        raise DeviceUnusableError(Why.REFUSED)

    def _opened(self, kind: Kind, how: dict[str, Any]) -> Stream | None:
        library = self.library
        make = library.RawOutputStream if kind == "output" else library.RawInputStream
        try:
            stream = make(dtype="int16", **how)
        except (library.PortAudioError, ValueError):
            return None
        try:
            stream.start()
        except library.PortAudioError:
            stream.close()
            return None
        return stream

    def _usual(self, kind: Kind) -> Iterator[dict[str, Any]]:
        """What to open the system's own choice with, the best first."""
        api = self._wasapi()
        if api is not None and api[f"default_{kind}_device"] >= 0:
            yield {"device": api[f"default_{kind}_device"], **self._settings()}
        yield {}

    def _at_any_rate(self, name: str) -> Iterator[dict[str, Any]]:
        """What to open a microphone with: as wanted, or else as the device does it."""
        inputs = self._inputs()
        for way in [*([inputs[name]] if name in inputs else []), *self._usual("input")]:
            yield way
            yield way | {"samplerate": None, "channels": None}

    def _inputs(self) -> dict[str, dict[str, Any]]:
        """The microphones, the usual one first, and what to open each with."""
        try:
            usual = self.library.query_devices(kind="input")
        except (self.library.PortAudioError, ValueError):
            return {}
        api = self._wasapi() or self.library.query_hostapis()[usual["hostapi"]]
        numbers = sorted(api["devices"], key=lambda each: bool(each != api["default_input_device"]))
        found: dict[str, dict[str, Any]] = {}
        for number in numbers:
            device = self.library.query_devices(number)
            if device["max_input_channels"]:
                found.setdefault(device["name"], {"device": number, **self._settings()})
        return found

    def _has(self, kind: Kind) -> bool:
        try:
            return bool(self.library.query_devices(kind=kind))
        except (self.library.PortAudioError, ValueError):
            return False

    def _wasapi(self) -> dict[str, Any] | None:
        """Of the ways to sound that Windows has, the one with whole names and true delays."""
        if sys.platform != "win32":
            return None
        apis = self.library.query_hostapis()
        return next((api for api in apis if api["name"] == "Windows WASAPI"), None)

    def _settings(self) -> dict[str, Any]:
        if self._wasapi() is None:
            return {}
        return {"extra_settings": self.library.WasapiSettings(auto_convert=True)}
