"""PulseAudio: a line and server that do what the test says, and a real one where there is one."""

import ctypes
import os
import shutil
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tapscore.gui.sound.pulse import PulseDevices
from tapscore.gui.sound.system import RATE_HZ, DeviceUnusableError, Why


class FakeLine:
    """Takes and gives sound until it is told to die."""

    def __init__(self, what: str, channels: int, *, records: bool, device: str | None) -> None:
        self.opened = (channels, records, device)
        self.written = bytearray()
        self.dead = self.closed = False
        self.went = threading.Event()

    def write(self, data: bytes) -> None:
        self._live()
        self.written += data

    def read(self, count: int) -> bytes:
        self._live()
        return bytes(range(256)) * (count // 256) + bytes(count % 256)

    def delay_sec(self) -> float:
        return 0.125

    def close(self) -> None:
        self.closed = True
        self.went.set()

    def _live(self) -> None:
        time.sleep(0.001)
        if self.dead:
            raise OSError(11, "it was killed")


def source(name: str, description: str, monitor_of: str | None = None) -> SimpleNamespace:
    return SimpleNamespace(name=name, description=description, monitor_of_sink_name=monitor_of)


SOURCES = [
    source("out.monitor", "Monitor of Loudspeaker", "out"),
    source("usb", "Headset"),
    source("usb.2", "Headset"),
    source("pci", "Built in"),
]


class Desk:
    """Devices with lines and a server of the test's."""

    def __init__(self, sources: list[SimpleNamespace], sinks: list[object]) -> None:
        self.lines: list[FakeLine] = []
        self.refuses = False
        self.server = SimpleNamespace(
            sink_list=lambda: sinks,
            source_list=lambda: sources,
            server_info=lambda: SimpleNamespace(default_source_name="pci"),
        )
        self.devices = PulseDevices(self._line, self._serve)

    @contextmanager
    def _serve(self) -> Iterator[Any]:
        yield self.server

    def _line(self, what: str, channels: int, **how: Any) -> FakeLine:
        if self.refuses:
            raise OSError(1, "no")
        self.lines.append(FakeLine(what, channels, **how))
        return self.lines[-1]


@pytest.fixture
def desk() -> Desk:
    return Desk(SOURCES, ["out"])


def until(true: Callable[[], object]) -> None:
    end = time.monotonic() + 20
    while not true():
        assert time.monotonic() < end
        time.sleep(0.01)


def test_microphones_are_called_as_in_the_systems_settings_the_usual_one_first(desk: Desk) -> None:
    assert desk.devices.microphones() == ["Built in", "Headset"]


def test_a_loudspeaker_is_filled_block_by_block_and_told_its_delay(desk: Desk) -> None:
    asked: list[tuple[int, float]] = []

    def fill(frames: int, delay_sec: float) -> bytes:
        asked.append((frames, delay_sec))
        return bytes([len(asked) % 256]) * frames * 4

    over: list[bool] = []
    running = desk.devices.play(fill, lambda: over.append(True))
    (line,) = desk.lines
    assert line.opened == (2, False, None)
    until(lambda: len(asked) > 3)
    running.end()
    assert line.went.wait(20)
    assert set(asked) == {(960, 0.125)}
    assert line.written[: 2 * 3840] == b"\x01" * 3840 + b"\x02" * 3840
    assert not over, "it was let go, it did not die"


def test_a_loudspeaker_that_dies_says_so_and_is_let_go(desk: Desk) -> None:
    over = threading.Event()
    running = desk.devices.play(lambda frames, _: bytes(4 * frames), over.set)
    desk.lines[0].dead = True
    assert over.wait(20)
    assert desk.lines[0].went.wait(20)
    running.end()


def test_the_microphone_that_is_chosen_is_opened_by_the_servers_name(desk: Desk) -> None:
    heard: list[bytes] = []
    running = desk.devices.record("Headset", heard.append, lambda: None)
    assert desk.lines[0].opened == (1, True, "usb")
    assert (running.rate_hz, running.channels) == (RATE_HZ, 1)
    until(lambda: heard)
    running.end()
    assert desk.lines[0].went.wait(20)
    assert len(heard[0]) == 960 * 2
    desk.devices.record("gone since", heard.append, lambda: None).end()
    assert desk.lines[1].opened == (1, True, "pci"), "the usual one instead"


def test_what_is_missing_is_told_apart(desk: Desk) -> None:
    def why(work: Callable[[], object]) -> Why:
        with pytest.raises(DeviceUnusableError) as told:
            work()
        return told.value.why

    bare = Desk([SOURCES[0]], []).devices
    assert why(lambda: bare.must_have("output")) is Why.DEVICE
    assert why(lambda: bare.must_have("input")) is Why.DEVICE
    assert why(lambda: bare.record("", lambda _: None, lambda: None)) is Why.DEVICE
    desk.refuses = True
    assert why(lambda: desk.devices.play(lambda *_: b"", lambda: None)) is Why.REFUSED


def test_no_library_and_no_server_are_told_apart(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path}/nobody")
    with pytest.raises(DeviceUnusableError) as told:
        PulseDevices().must_have("output")
    assert told.value.why is Why.DEVICE

    def no_library(name: str) -> ctypes.CDLL:
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", no_library)
    with pytest.raises(DeviceUnusableError) as told:
        PulseDevices(server=lambda: Desk(SOURCES, ["out"])._serve()).play(
            lambda *_: b"", lambda: None
        )
    assert told.value.why is Why.LIBRARY


@pytest.fixture
def sound_server(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Iterator[subprocess.Popen[bytes]]:
    """One of the test's own, with a loudspeaker that nobody hears, and its ear as microphone."""
    if shutil.which("pulseaudio") is None:
        pytest.skip("no pulseaudio here")
    short = tempfile.TemporaryDirectory(dir="/tmp")  # PULSE_SERVER can't do with a blank in it
    at = Path(short.name) / "native"
    environment = {**os.environ, "HOME": str(tmp_path), "XDG_RUNTIME_DIR": str(tmp_path)}
    modules = (
        "module-null-sink sink_name=out sink_properties=device.description=Loudspeaker",
        "module-remap-source master=out.monitor source_name=ear "
        "source_properties=device.description=Ear",
        f"module-native-protocol-unix auth-anonymous=1 socket={at}",
    )
    loaded = [part for module in modules for part in ("-L", module)]
    server = subprocess.Popen(
        ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", *loaded],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until(at.exists)
    monkeypatch.setenv("PULSE_SERVER", f"unix:{at}")
    yield server
    server.kill()
    server.wait()
    short.cleanup()


def test_a_real_server_plays_what_its_microphone_hears(
    sound_server: "subprocess.Popen[bytes]",
) -> None:
    """Reference: PulseAudio itself.  A tone is heard whole; a server that dies is noticed."""
    devices = PulseDevices()
    devices.must_have("output")
    assert devices.microphones() == ["Ear"]
    tone = np.rint(np.sin(np.arange(RATE_HZ) * 2 * np.pi * 480 / RATE_HZ) * 16_000)
    tone_bytes = np.repeat(tone.astype("<i2"), 2).tobytes()
    at = 0
    delays: list[float] = []
    played_over, heard_over = threading.Event(), threading.Event()
    heard = bytearray()

    def fill(frames: int, delay_sec: float) -> bytes:
        nonlocal at
        delays.append(delay_sec)
        block = tone_bytes[at : at + 4 * frames]
        at += 4 * frames
        return block + bytes(4 * frames - len(block))

    recording = devices.record("Ear", heard.extend, heard_over.set)
    until(lambda: heard)  # it takes a second to wake
    playing = devices.play(fill, played_over.set)

    def samples() -> NDArray[np.float64]:
        return np.frombuffer(bytes(heard[: len(heard) // 2 * 2]), "<i2").astype(float)

    def loud() -> NDArray[np.intp]:
        return np.flatnonzero(np.abs(samples()) > 1_000)

    until(lambda: len(loud()) and len(heard) // 2 > loud()[-1] + RATE_HZ / 5)
    whole = samples()[loud()[0] : loud()[-1] + 1]
    assert len(whole) == pytest.approx(RATE_HZ, abs=200)
    loudest = np.abs(whole[: len(whole) // 480 * 480]).reshape(-1, 480).max(axis=1)
    assert loudest.min() > 15_000, "no hole"
    assert 0.1 < max(delays) < 1.5
    sound_server.kill()
    assert played_over.wait(20)
    assert heard_over.wait(20)
    playing.end()
    recording.end()
    with pytest.raises(DeviceUnusableError):
        devices.must_have("output")
