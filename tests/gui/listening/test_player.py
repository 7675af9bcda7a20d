"""The player with a clock set by hand: places, waits, loops, and what it does without sound."""

from collections.abc import Iterator
from fractions import Fraction

import pytest
from pytestqt.qtbot import QtBot

from tapscore.exports.audio.heard import TapsHeard
from tapscore.gui.background import Background
from tapscore.gui.listening.player import (
    PATIENCE_SEC,
    WAKING_SEC,
    CursorAt,
    PlayChoices,
    Player,
    PlayerState,
)
from tapscore.gui.listening.rendering import Rendering, SoundJob
from tapscore.gui.listening.sound_out import NO_DEVICE, NOT_OPENED
from tapscore.model.loudness import Loudness
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import Going, passage_from
from tapscore.screen.passage_sound import PassageSound
from tests.gui.listening.fakes import HandClock, NoDevice, QuietOut, move, story_of

STORY = story_of()
PERFORMED = perform(STORY)
ALL = Going(tuple(range(len(PERFORMED.segments))))
PLAIN = PlayChoices(count_in=False)


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture
def silent(qtbot: QtBot, clock: HandClock) -> Iterator[Player]:
    """A player without a device: only the clock moves its cursor."""
    player = Player(clock=clock, out=NoDevice())
    yield player
    player.shut()


@pytest.fixture
def out(clock: HandClock) -> QuietOut:
    return QuietOut(clock)


@pytest.fixture
def heard(qtbot: QtBot, clock: HandClock, out: QuietOut) -> Iterator[Player]:
    """A player with a device that needs no sound card."""
    player = Player(clock=clock, out=out)
    yield player
    player.shut()


def state(player: Player) -> PlayerState:
    return player.state


def begin(qtbot: QtBot, player: Player, going: Going, choices: PlayChoices = PLAIN) -> None:
    player.start(STORY, going, choices)
    qtbot.waitUntil(lambda: player.state is not PlayerState.PREPARING)
    player._timer.stop()  # the test looks at the clock by itself


@pytest.mark.parametrize("sounding", [False, True])
def test_at_every_taps_second_the_cursor_is_at_the_tap(
    qtbot: QtBot, clock: HandClock, silent: Player, heard: Player, sounding: bool
) -> None:
    player = heard if sounding else silent
    begin(qtbot, player, ALL)
    for segment in PERFORMED.segments[:2]:
        for tap in segment.taps:
            move(player, clock, tap.onset_sec + 1e-6)
            place = player.place
            assert place is not None
            assert PERFORMED.segments[place.segment] is segment
            share = float((tap.onset_beats - segment.start_beats) / segment.beats)
            assert place.share == pytest.approx(share, abs=1e-4)
            assert place.stepped_share == pytest.approx(share)


def test_a_slower_player_is_at_the_tap_as_much_later(
    qtbot: QtBot, clock: HandClock, silent: Player
) -> None:
    begin(qtbot, silent, ALL, PlayChoices(Fraction(1, 2), None, count_in=False))
    tap = PERFORMED.segments[1].taps[-1]
    move(silent, clock, 2 * tap.onset_sec + 1e-6)
    assert silent.place is not None
    assert silent.place.segment == 1
    share = (tap.onset_beats - PERFORMED.segments[1].start_beats) / PERFORMED.segments[1].beats
    assert silent.place.stepped_share == pytest.approx(float(share))


def test_counting_in_comes_first(qtbot: QtBot, clock: HandClock, silent: Player) -> None:
    begin(qtbot, silent, ALL, PlayChoices())
    move(silent, clock, 1.9)
    assert silent.place == CursorAt(0, 0.0, 0.0, counting_in=True)
    move(silent, clock, 2.5)
    assert silent.place is not None
    assert not silent.place.counting_in
    assert silent.place.share == pytest.approx(0.25)


@pytest.mark.parametrize("sounding", [False, True])
def test_a_wait_stays_until_somebody_goes_on(
    qtbot: QtBot, clock: HandClock, silent: Player, heard: Player, sounding: bool
) -> None:
    player = heard if sounding else silent
    begin(qtbot, player, ALL)
    for sec in (4.6, 20.0, 900.0):
        move(player, clock, sec)
        assert state(player) is PlayerState.HOLDING
        assert player.place == CursorAt(2, 0.0, 0.0, holding=True)
    assert not player.running
    player.go_on()
    qtbot.waitUntil(lambda: player.state is PlayerState.PLAYING)
    move(player, clock, 0.01, begun_sec=1000.0)
    assert player.place is not None
    assert player.place.segment == 3


def test_offerings_wait_too_and_then_comes_the_end(
    qtbot: QtBot, clock: HandClock, silent: Player
) -> None:
    begin(qtbot, silent, Going(ALL.segments, first=6))
    move(silent, clock, 3.0)
    assert state(silent) is PlayerState.HOLDING
    assert silent.segment is not None
    assert silent.segment.prop == "bell"
    silent.go_on()
    move(silent, clock, 30.0)
    assert state(silent) is PlayerState.STILL
    assert silent.place is None
    assert not silent.running


def test_to_begin_at_a_wait_is_to_wait(qtbot: QtBot, silent: Player) -> None:
    begin(qtbot, silent, Going(ALL.segments, first=2))
    assert state(silent) is PlayerState.HOLDING
    assert not silent.running


def test_going_on_where_nothing_waits_does_nothing(
    qtbot: QtBot, clock: HandClock, silent: Player
) -> None:
    begin(qtbot, silent, ALL)
    move(silent, clock, 1.0)
    before = silent.place
    silent.go_on()
    assert (state(silent), silent.place) == (PlayerState.PLAYING, before)


def test_a_loop_goes_round_for_as_long_as_it_likes(
    qtbot: QtBot, clock: HandClock, heard: Player, out: QuietOut
) -> None:
    begin(qtbot, heard, Going((0,), loops=True))
    assert out.sound is not None
    period_sec = out.sound.period_sec
    assert period_sec == 2.0
    for time in (0, 1, 7, 500):
        for into in (0.5, 1.25):
            clock.sec = 100 + time * period_sec + into
            heard.tick()
            heard.tick()
            assert heard.place is not None
            assert heard.place.share == pytest.approx(into / 2, abs=1e-3)
    assert state(heard) is PlayerState.PLAYING
    assert len(out.given) == 1


def test_a_loop_with_a_wait_waits_each_time_round(
    qtbot: QtBot, clock: HandClock, silent: Player
) -> None:
    begin(qtbot, silent, Going((0, 1, 2), loops=True))
    for _ in range(3):
        move(silent, clock, 5.0, begun_sec=clock.sec)
        assert state(silent) is PlayerState.HOLDING
        silent.go_on()
        assert state(silent) is PlayerState.PLAYING
        assert silent.place is not None
        assert silent.place.segment == 0


def test_without_a_device_it_says_so_and_mixes_nothing(qtbot: QtBot, silent: Player) -> None:
    silent.start(STORY, ALL, PLAIN)
    assert state(silent) is PlayerState.PLAYING
    assert silent.problem == NO_DEVICE
    assert not any(each.running for each in silent.findChildren(Background))


def test_a_device_that_does_not_open_is_taken_for_none(qtbot: QtBot, clock: HandClock) -> None:
    player = Player(clock=clock, out=QuietOut(clock, refuses=NOT_OPENED))
    begin(qtbot, player, ALL)
    move(player, clock, 1.0)
    assert player.problem == NOT_OPENED
    assert player.place is not None
    assert player.place.share == pytest.approx(0.5)
    player.shut()


def test_a_device_may_take_its_time_to_wake(
    qtbot: QtBot, clock: HandClock, heard: Player, out: QuietOut
) -> None:
    out.stuck_sec = 0.0
    begin(qtbot, heard, ALL)
    move(heard, clock, PATIENCE_SEC + 1)
    assert heard.problem == ""
    assert heard.place is not None
    assert heard.place.share == 0.0
    out.stuck_sec = None
    move(heard, clock, PATIENCE_SEC + 1.5)
    assert heard.problem == ""


@pytest.mark.parametrize(("broken", "stuck_sec"), [(True, None), (False, 0.0), (False, 0.4)])
def test_a_device_that_goes_away_leaves_the_cursor_moving(
    qtbot: QtBot,
    clock: HandClock,
    heard: Player,
    out: QuietOut,
    broken: bool,
    stuck_sec: float | None,
) -> None:
    begin(qtbot, heard, ALL)
    if broken:
        move(heard, clock, 0.6)
        move(heard, clock, 1.0)
        out.broken = True
    else:
        out.stuck_sec = stuck_sec
        move(heard, clock, 0.5)
        assert heard.problem == ""
        clock.sec += 0.1 + (PATIENCE_SEC if stuck_sec else WAKING_SEC)
    heard.tick()
    assert heard.problem == NOT_OPENED
    assert out.sound is None
    first = heard.place
    assert first is not None
    assert first.segment == 0
    assert first.share == pytest.approx(0.5 if broken else (stuck_sec or 0.0) / 2, abs=0.06)
    clock.sec += 0.5
    heard.tick()
    assert heard.place is not None
    assert heard.place.share - first.share == pytest.approx(0.25, abs=0.01)


def test_stopping_while_the_sound_is_made_ready(
    qtbot: QtBot, clock: HandClock, heard: Player, out: QuietOut
) -> None:
    heard.start(STORY, ALL, PLAIN)
    assert state(heard) is PlayerState.PREPARING
    heard.stop()
    qtbot.wait(150)
    assert state(heard) is PlayerState.STILL
    assert out.given == []


def test_only_the_newest_wish_is_heard(
    qtbot: QtBot, clock: HandClock, heard: Player, out: QuietOut
) -> None:
    heard.start(STORY, ALL, PLAIN)
    heard.start(STORY, Going((8,)), PLAIN)
    qtbot.waitUntil(lambda: heard.state is PlayerState.PLAYING)
    qtbot.wait(50)
    assert len(out.given) == 1
    assert out.given[0].lines_sec == 2.0


def test_a_sound_that_comes_too_late_is_not_played(
    qtbot: QtBot, clock: HandClock, heard: Player, out: QuietOut
) -> None:
    heard._sound_ready(PassageSound(10, 0, 10))
    assert state(heard) is PlayerState.STILL
    assert out.given == []


def test_taps_are_heard_no_louder_than_was_chosen(
    heard: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[SoundJob] = []
    monkeypatch.setattr(heard._rendering, "ask", asked.append)
    heard.start(STORY, ALL, PlayChoices(mono=True, loudest=Loudness.QUIET))
    assert [job.heard for job in asked] == [TapsHeard(True, Loudness.QUIET)]


def test_only_the_newest_sound_is_answered(qtbot: QtBot) -> None:
    rendering = Rendering()
    found: list[PassageSound] = []
    rendering.ready.connect(found.append)
    for first in (0, 3, 8):
        passage = passage_from(PERFORMED, ALL, first, count_in=False)
        assert passage is not None
        rendering.ask(SoundJob(STORY, passage))
    qtbot.waitUntil(lambda: bool(found))
    qtbot.wait(50)
    assert [sound.lines_sec for sound in found] == [2.0]
    rendering.stop()


def test_nothing_runs_after_the_end(qtbot: QtBot, clock: HandClock, heard: Player) -> None:
    begin(qtbot, heard, ALL)
    (background,) = heard.findChildren(Background)
    assert background.running
    heard.shut()
    assert not background.running
    assert not heard.running
