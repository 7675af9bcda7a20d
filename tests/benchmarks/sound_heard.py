"""How far the cursor is from what is heard: clicks played to a PulseAudio of this script's own.

``python -m tests.benchmarks.sound_heard`` (needs ``pulseaudio`` and ``parec``).  What its
loudspeaker plays is recorded from its monitor by parec; where each click arrives there is held
against what ``heard_sec`` said at that moment.  Then Python's lock is held again and again, for
longer and longer, while a tone plays, and holes in it are counted.
"""

import os
import subprocess
import tempfile
import threading
import time
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tapscore.gui.listening.sound_out import SAMPLE_RATE_HZ, Loudspeaker
from tapscore.gui.sound.pulse import PulseDevices
from tapscore.gui.sound.system import SoundSystem
from tapscore.screen.passage_sound import PassageSound

EVERY_SEC = 0.5
LASTS_SEC = 12
HELD_SEC = (0.0, 0.1, 0.15, 0.2)


class Ear:
    """What the loudspeaker plays, and when each piece of it came."""

    def __init__(self) -> None:
        self._pieces: list[tuple[float, bytes]] = []
        command = ["parec", "--device=out.monitor", "--raw", f"--rate={SAMPLE_RATE_HZ}"]
        command += ["--format=s16le", "--channels=1", "--latency-msec=5"]
        self._program = subprocess.Popen(command, stdout=subprocess.PIPE)
        self._thread = threading.Thread(target=self._listen)
        self._thread.start()

    def _listen(self) -> None:
        assert self._program.stdout is not None
        while piece := os.read(self._program.stdout.fileno(), 1 << 16):
            self._pieces.append((time.perf_counter(), piece))

    def heard(self) -> tuple[NDArray[np.int16], float]:
        """All samples, and when the first one was heard."""
        self._program.terminate()
        self._thread.join()
        ends = np.cumsum([len(piece) // 2 for _, piece in self._pieces])
        came = np.array([sec for sec, _ in self._pieces])
        samples = np.frombuffer(b"".join(piece for _, piece in self._pieces), np.int16)
        return samples, float(np.percentile(came - ends / SAMPLE_RATE_HZ, 5))


def _sound(samples: NDArray[np.float64]) -> PassageSound:
    sound = PassageSound(len(samples), 0, len(samples))
    sound.first[:] = np.rint(samples * 20_000)[:, None]
    return sound


def clicks(out: Loudspeaker) -> None:
    """Say how far what is said to be heard lies from what is."""
    at = np.arange(LASTS_SEC * SAMPLE_RATE_HZ)
    period = round(EVERY_SEC * SAMPLE_RATE_HZ)
    ear = Ear()
    time.sleep(1)
    begun = time.perf_counter()
    out.start(_sound((at % period < 480).astype(float)))
    told: list[tuple[float, float]] = []
    while time.perf_counter() - begun < LASTS_SEC:
        time.sleep(0.01)
        told.append((time.perf_counter(), out.heard_sec()))
    out.stop()
    samples, first_sec = ear.heard()
    loud = np.flatnonzero(np.abs(samples.astype(int)) > 8_000)
    onsets = loud[np.diff(loud, prepend=-SAMPLE_RATE_HZ) > period // 2]
    moments = first_sec + onsets / SAMPLE_RATE_HZ
    said = np.interp(moments, *np.array(told).T)
    off_ms = (said - np.rint(said / EVERY_SEC) * EVERY_SEC)[1:] * 1_000
    print(
        f"{len(off_ms)} clicks: the cursor is off by {np.median(off_ms):.1f} ms in the median, "
        f"{off_ms.min():.1f} to {off_ms.max():.1f}"
    )


def holes(out: Loudspeaker, held_sec: float) -> None:
    """Say how much of a tone is missing while something holds Python's lock."""
    at = np.arange(LASTS_SEC * SAMPLE_RATE_HZ)
    ear = Ear()
    time.sleep(1)
    begun = time.perf_counter()
    out.start(_sound(np.sin(at * 2 * np.pi * 500 / SAMPLE_RATE_HZ)))
    time.sleep(2)
    longest_sec, count = 0.0, max(round(held_sec * 5e7), 1)
    while time.perf_counter() - begun < LASTS_SEC - 2:
        one = time.perf_counter()
        sum(range(count))  # one call that lets nobody else in
        longest_sec = max(longest_sec, time.perf_counter() - one)
        if longest_sec > held_sec:
            count = round(count * 0.9)
        time.sleep(0.05)
    out.stop()
    samples, _ = ear.heard()
    loud = np.flatnonzero(np.abs(samples.astype(int)) > 5_000)
    tone = np.abs(samples[loud[0] : loud[-1]].astype(int))
    missing = tone[: len(tone) // 96 * 96].reshape(-1, 96).max(axis=1) < 3_000
    print(f"lock held for up to {longest_sec * 1_000:.0f} ms: {2 * missing.sum()} ms missing")


def main() -> None:
    """Start a server, and measure."""
    with tempfile.TemporaryDirectory() as folder:
        socket = Path(folder) / "native"
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1"]
        command += ["--use-pid-file=no", "-L", "module-null-sink sink_name=out"]
        command += ["-L", f"module-native-protocol-unix auth-anonymous=1 socket={socket}"]
        own = {**os.environ, "HOME": folder, "XDG_RUNTIME_DIR": folder}
        server = subprocess.Popen(command, env=own, stderr=subprocess.DEVNULL)
        os.environ["PULSE_SERVER"] = f"unix:{socket}"
        while subprocess.run(["pactl", "info"], capture_output=True, check=False).returncode:
            time.sleep(0.05)
        out = Loudspeaker(SoundSystem(PulseDevices()))
        try:
            clicks(out)
            for held_sec in HELD_SEC:
                holes(out, held_sec)
        finally:
            server.terminate()
            server.wait()


if __name__ == "__main__":
    main()
