"""The passage as it is handed over, how far it is heard, and a loudspeaker that fails."""

import numpy as np
import pytest

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ as MIXED_AT_HZ
from tapscore.gui.listening.sound_out import (
    BYTES_PER_FRAME,
    NO_DEVICE,
    NO_LIBRARY,
    NOT_OPENED,
    QUIET_SEC,
    SAMPLE_RATE_HZ,
    Loudspeaker,
    Playing,
)
from tapscore.gui.sound.system import DeviceUnusableError, SoundSystem, Why
from tapscore.screen.passage_sound import PassageSound
from tests.gui.sound.fake_devices import FakeDevices

QUIET = round(QUIET_SEC * SAMPLE_RATE_HZ)


def counted(first: int, again: int) -> PassageSound:
    """Every frame is its own number."""
    sound = PassageSound(first, again, first)
    sound.first[:] = np.arange(first)[:, None]
    sound.again[:] = 1000 + np.arange(again)[:, None]
    return sound


class Hand:
    """A clock set by hand."""

    def __init__(self) -> None:
        self.sec = 7.0

    def __call__(self) -> float:
        return self.sec


def test_the_passage_is_handed_over_in_order() -> None:
    playing = Playing(counted(10, 7))
    data = playing.fill(QUIET - 2, 0)
    for count in (5, 10, 11, 1):
        data += playing.fill(count, 0)
    frames = np.frombuffer(data, np.int16).reshape(-1, 2)[:, 0]
    assert not frames[:QUIET].any()
    assert frames[QUIET:].tolist() == [*range(10), *range(1000, 1007), *range(1000, 1007), 1000]


def test_it_is_sixteen_bit_stereo_at_the_mixers_rate() -> None:
    assert counted(1, 0).read(0, 1).nbytes == BYTES_PER_FRAME
    assert SAMPLE_RATE_HZ == MIXED_AT_HZ


def test_what_is_heard_lies_behind_what_was_handed_over_by_the_delay() -> None:
    clock = Hand()
    playing = Playing(counted(48_000, 0), clock)
    assert playing.heard_sec() == 0
    playing.fill(QUIET, 0)
    playing.fill(24_000, 0.1)
    assert playing.heard_sec() == 0, "still 0.1 s of the silence before it"
    playing.fill(24_000, 0.2)
    assert playing.heard_sec() == pytest.approx(0.3)
    clock.sec += 0.05
    assert playing.heard_sec() == pytest.approx(0.35), "it goes on between two blocks"


def test_a_device_that_takes_nothing_more_stands_still() -> None:
    clock = Hand()
    playing = Playing(counted(48_000, 0), clock)
    playing.fill(QUIET + 24_000, 0)
    playing.fill(960, 0.1)
    clock.sec += 30
    assert playing.heard_sec() == pytest.approx(0.4 + 2 * 0.02)


def test_a_device_that_is_only_being_filled_has_not_begun() -> None:
    """It takes a buffer full at once, each block as late as all that came before it."""
    clock = Hand()
    playing = Playing(counted(48_000, 0), clock)
    for block in range(20):
        playing.fill(960, block * 0.02 - 0.001)
    clock.sec += 1
    assert playing.heard_sec() == 0


@pytest.fixture
def devices() -> FakeDevices:
    return FakeDevices()


@pytest.mark.parametrize(
    ("why", "said"),
    [(Why.LIBRARY, NO_LIBRARY), (Why.DEVICE, NO_DEVICE), (Why.REFUSED, NOT_OPENED)],
)
def test_why_nothing_is_heard_is_a_sentence(devices: FakeDevices, why: Why, said: str) -> None:
    out = Loudspeaker(SoundSystem(devices))
    devices.trouble = DeviceUnusableError(why)
    assert out.problem() == said
    assert out.start(counted(10, 0)) == said
    assert out.heard_sec() == 0
    assert not out.failed()
    out.stop()


def test_it_plays_until_it_is_stopped(devices: FakeDevices) -> None:
    system = SoundSystem(devices)
    out = Loudspeaker(system)
    assert out.problem() == ""
    assert out.start(counted(48_000, 0)) == ""
    (one,) = devices.opened
    one.take(QUIET + 24_000, 0)
    one.take(960, 0.2)
    assert out.heard_sec() == pytest.approx(0.3, abs=0.05)
    out.stop()
    assert out.heard_sec() == 0
    system.ask(lambda _: None)  # errands are done in order
    assert one.ended
    assert not out.failed(), "it was let go, it did not go away"


def test_a_second_passage_ends_the_first(devices: FakeDevices) -> None:
    system = SoundSystem(devices)
    out = Loudspeaker(system)
    out.start(counted(10, 0))
    out.start(counted(10, 0))
    one, two = devices.opened
    system.ask(lambda _: None)  # errands are done in order
    assert one.ended
    assert not two.ended
    out.stop()


def test_a_loudspeaker_that_goes_away_has_failed(devices: FakeDevices) -> None:
    out = Loudspeaker(SoundSystem(devices))
    out.start(counted(10, 0))
    devices.opened[0].go_away()
    assert out.failed()
    out.stop()
    assert not out.failed()
