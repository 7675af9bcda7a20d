"""Devices are asked in order, in one thread, and nobody waits for one that gives no answer."""

import threading

import pytest

from tapscore.gui.sound import system as module
from tapscore.gui.sound.system import Devices, DeviceUnusableError, Running, SoundSystem, Why
from tests.gui.sound.fake_devices import FakeDevices


def play(devices: Devices) -> Running:
    return devices.play(lambda frames, _: bytes(4 * frames), lambda: None)


def test_all_is_asked_in_one_thread() -> None:
    system = SoundSystem(FakeDevices())
    asked = {system.ask(lambda _: threading.get_ident()) for _ in range(3)}
    assert len(asked) == 1
    assert asked != {threading.get_ident()}


def test_a_server_that_gives_no_answer_is_waited_for_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "PATIENCE_SEC", 0.05)
    devices = FakeDevices()
    system = SoundSystem(devices)
    answers = threading.Event()

    def hanging(devices: Devices) -> Running:
        assert answers.wait(20)
        return play(devices)

    with pytest.raises(DeviceUnusableError) as told:
        system.begin(hanging)
    assert told.value.why is Why.REFUSED
    monkeypatch.setattr(module, "PATIENCE_SEC", 20)
    with pytest.raises(DeviceUnusableError):
        system.ask(lambda _: None)  # at once, or the test would take 20 s
    with pytest.raises(DeviceUnusableError):
        system.begin(play)
    answers.set()
    monkeypatch.setattr(module, "PATIENCE_SEC", 20)
    while system._slow is not None and not system._slow.ended(0.01):
        pass
    system.ask(lambda _: None)
    assert len(devices.opened) == 2
    assert all(one.ended for one in devices.opened), "opened too late: let go again"


def test_what_one_errand_raises_does_not_end_the_thread() -> None:
    devices = FakeDevices()
    system = SoundSystem(devices)
    devices.trouble = DeviceUnusableError(Why.DEVICE)
    with pytest.raises(DeviceUnusableError):
        system.begin(play)
    devices.trouble = None
    assert system.begin(play) is devices.opened[-1]
