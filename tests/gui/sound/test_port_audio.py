"""PortAudio, as on Windows and macOS: a library that does what the test says."""

import sys
from types import SimpleNamespace
from typing import Any

import pytest

from tapscore.gui.sound import port_audio
from tapscore.gui.sound.port_audio import PortAudioDevices
from tapscore.gui.sound.system import BUFFER_SEC, DeviceUnusableError, Why


class FakeStream:
    def __init__(self, library: "FakeLibrary", how: dict[str, Any]) -> None:
        self.how = how
        self.samplerate = how["samplerate"] or 44_100.0
        self.channels = how["channels"] or 2
        self.started = self.closed = False
        self._library = library

    def start(self) -> None:
        if self._library.will_not_start:
            raise self._library.PortAudioError("busy")
        self.started = True

    def close(self) -> None:
        self.closed = True


class FakeLibrary:
    """Two ways to sound with the same devices, as Windows has them."""

    def __init__(self) -> None:
        self.PortAudioError: type[Exception] = RuntimeError
        self.plugged: list[tuple[str, int]] = [("Microphone (Real", 0), ("Microphone (Realtek)", 1)]
        self._seen = list(self.plugged)
        self.begun = 1
        self.streams: list[FakeStream] = []
        self.refuse: list[dict[str, Any]] = []
        self.will_not_start = False

    def _open(self, **how: Any) -> FakeStream:
        for no in self.refuse:
            if all(how.get(key) == value for key, value in no.items()):
                raise self.PortAudioError("no")
        self.streams.append(FakeStream(self, how))
        return self.streams[-1]

    RawOutputStream = RawInputStream = _open

    def WasapiSettings(self, *, auto_convert: bool) -> object:  # noqa: N802
        return ("wasapi", auto_convert)

    def query_devices(self, device: int | None = None, kind: str | None = None) -> Any:
        if device is None:
            if not self._seen:
                raise self.PortAudioError("Error querying device -1")
            device = 0
        name, api = self._seen[device]
        return {"name": name, "hostapi": api, "max_input_channels": 2}

    def query_hostapis(self) -> tuple[dict[str, Any], ...]:
        made = []
        for number, name in enumerate(("MME", "Windows WASAPI")):
            devices = [n for n, (_, api) in enumerate(self._seen) if api == number]
            usual = devices[-1] if devices else -1
            made.append(
                {
                    "name": name,
                    "devices": devices,
                    "default_input_device": usual,
                    "default_output_device": usual,
                }
            )
        return tuple(made)

    def _initialize(self) -> None:
        self._seen = list(self.plugged)
        self.begun += 1

    def _terminate(self) -> None:
        self.begun -= 1


@pytest.fixture
def library(monkeypatch: pytest.MonkeyPatch) -> FakeLibrary:
    monkeypatch.setattr(port_audio, "FRESH_SEC", 0)
    return FakeLibrary()


@pytest.fixture
def devices(library: FakeLibrary) -> PortAudioDevices:
    return PortAudioDevices(lambda: library)


def nothing() -> None:
    """Told when it is over."""


def test_each_block_is_told_when_it_will_be_heard(
    library: FakeLibrary, devices: PortAudioDevices
) -> None:
    asked: list[tuple[int, float]] = []

    def fill(frames: int, delay_sec: float) -> bytes:
        asked.append((frames, delay_sec))
        return b"\x07" * 4 * frames

    running = devices.play(fill, nothing)
    (stream,) = library.streams
    assert stream.started
    assert (stream.how["channels"], stream.how["samplerate"]) == (2, 48_000)
    out = bytearray(400)
    for at, heard_at in ((10.0, 10.25), (10.0, 9.0), (10.0, 0.0)):
        times = SimpleNamespace(currentTime=at, outputBufferDacTime=heard_at)
        stream.how["callback"](memoryview(out), 100, times, None)
    assert asked == [(100, 0.25), (100, BUFFER_SEC), (100, BUFFER_SEC)], "no nonsense is believed"
    assert out == b"\x07" * 400
    running.end()
    assert stream.closed


def test_what_was_plugged_in_is_seen_but_never_while_something_is_open(
    library: FakeLibrary, devices: PortAudioDevices
) -> None:
    assert devices.microphones() == ["Microphone (Real"]
    running = devices.play(lambda frames, _: bytes(4 * frames), nothing)
    library.plugged.insert(0, ("USB", 0))
    assert "USB" not in devices.microphones(), "beginning anew would end what is open"
    running.end()
    assert "USB" in devices.microphones()
    assert library.begun == 1
    library.plugged.clear()
    assert devices.microphones() == []
    with pytest.raises(DeviceUnusableError) as told:
        devices.must_have("input")
    assert told.value.why is Why.DEVICE


def test_on_windows_microphones_have_their_whole_names(
    library: FakeLibrary, devices: PortAudioDevices, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    assert devices.microphones() == ["Microphone (Realtek)"]
    devices.record("Microphone (Realtek)", lambda _: None, nothing)
    assert library.streams[-1].how["device"] == 1
    assert library.streams[-1].how["extra_settings"] == ("wasapi", True)
    library.refuse = [{"device": 1}]
    devices.play(lambda frames, _: bytes(4 * frames), nothing)
    assert "device" not in library.streams[-1].how, "the other way, if this one refuses"


def test_a_microphone_that_cant_do_as_wanted_does_it_its_own_way(
    library: FakeLibrary, devices: PortAudioDevices
) -> None:
    library.refuse = [{"samplerate": 48_000}]
    heard: list[bytes] = []
    running = devices.record("Microphone (Real", heard.append, nothing)
    assert (running.rate_hz, running.channels) == (44_100, 2)
    library.streams[-1].how["callback"](memoryview(b"\x01\x02"), 1, None, None)
    assert heard == [b"\x01\x02"]


def test_what_can_t_be_opened_is_let_go_and_told(
    library: FakeLibrary, devices: PortAudioDevices
) -> None:
    library.will_not_start = True
    with pytest.raises(DeviceUnusableError) as told:
        devices.play(lambda frames, _: bytes(4 * frames), nothing)
    assert told.value.why is Why.REFUSED
    assert all(stream.closed for stream in library.streams)


def test_without_the_library_it_says_so() -> None:
    def missing() -> FakeLibrary:
        raise OSError("PortAudio library not found")

    with pytest.raises(DeviceUnusableError) as told:
        PortAudioDevices(missing).microphones()
    assert told.value.why is Why.LIBRARY
