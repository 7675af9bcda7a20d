"""Devices that do what the test says."""

from tapscore.gui.sound.system import DeviceUnusableError, Fill, Kind, Over, Put, Why


class FakeRunning:
    """One that is open."""

    rate_hz, channels = 44_100, 2

    def __init__(self, over: Over, fill: Fill | None = None, put: Put | None = None) -> None:
        self._over, self._fill, self._put = over, fill, put
        self.ended = False

    def take(self, frames: int, delay_sec: float) -> bytes:
        """Play some more."""
        assert self._fill is not None
        return self._fill(frames, delay_sec)

    def hear(self, data: bytes) -> None:
        """Record some more."""
        assert self._put is not None
        self._put(data)

    def go_away(self) -> None:
        """As when it is unplugged."""
        self._over()

    def end(self) -> None:
        """Let go."""
        self.ended = True


class FakeDevices:
    """Opens everything, unless there is ``trouble``."""

    def __init__(self, *names: str) -> None:
        self.names = list(names)
        self.trouble: DeviceUnusableError | None = None
        self.opened: list[FakeRunning] = []
        self.recorded: list[str] = []

    def must_have(self, kind: Kind) -> None:
        """Trouble, or nothing."""
        if self.trouble is not None:
            raise self.trouble
        if kind == "input" and not self.names:
            raise DeviceUnusableError(Why.DEVICE)

    def microphones(self) -> list[str]:
        """Their names."""
        if self.trouble is not None:
            raise self.trouble
        return list(self.names)

    def play(self, fill: Fill, over: Over) -> FakeRunning:
        """Open a loudspeaker."""
        self.must_have("output")
        self.opened.append(FakeRunning(over, fill=fill))
        return self.opened[-1]

    def record(self, name: str, put: Put, over: Over) -> FakeRunning:
        """Open a microphone."""
        self.must_have("input")
        self.recorded.append(name)
        self.opened.append(FakeRunning(over, put=put))
        return self.opened[-1]
