"""Plays a story passage by passage: what sounds, where the cursor is, and when it waits.

Nothing counts down: at a wait or an offering the player stops and stays until ``go_on``.
"""

from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from attrs import field, frozen
from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot

from tapscore.exports.audio.heard import TapsHeard
from tapscore.exports.audio.versions.slower import slowed
from tapscore.gui.listening.rendering import Rendering, SoundJob
from tapscore.gui.listening.sound_out import NOT_OPENED, Loudspeaker, SoundOut
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment
from tapscore.screen.clock import Clock, MonotonicClock, SmoothPosition
from tapscore.screen.passage import (
    Going,
    Passage,
    PassagePlace,
    event_beats,
    next_hold,
    passage_from,
)

if TYPE_CHECKING:
    from tapscore.screen.passage_sound import PassageSound

TICK_MS = 16
PATIENCE_SEC = 2.0
"""A sound device that has not moved on for this long is taken for none."""
WAKING_SEC = 6.0
"""The same before its first sound: some wake slowly (a fresh PulseAudio took 2.4 s)."""


class PlayerState(Enum):
    """What the player is doing."""

    STILL = "still"
    PREPARING = "preparing"
    PLAYING = "playing"
    HOLDING = "holding"


@frozen
class PlayChoices:
    """How to listen."""

    speed: Fraction = field(default=Fraction(1))
    my_part: str | None = None
    count_in: bool = True
    left_out: str | None = None
    """Whose taps are not heard: somebody practises them."""
    mono: bool = False
    loudest: Loudness | None = None
    """Taps written louder are heard at this loudness."""


@frozen
class CursorAt:
    """Where the cursor is."""

    segment: int
    share: float
    """How far through the segment in felt beats, 0 to 1."""
    stepped_share: float
    """The same at the last tap or syllable, for a cursor that does not glide."""
    counting_in: bool = False
    holding: bool = False


class Player(QObject):
    """One passage at a time; ``moved`` gives a CursorAt, or None when the cursor goes."""

    changed = Signal()
    """The state, or a problem with the sound."""
    moved = Signal(object)

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        clock: Clock | None = None,
        out: SoundOut | None = None,
    ) -> None:
        super().__init__(parent)
        self._clock = clock or MonotonicClock()
        self._out = out or Loudspeaker()
        self._rendering = Rendering(self)
        self._rendering.ready.connect(self._sound_ready)
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self.tick)
        self.state = PlayerState.STILL
        self.problem = ""
        """Why nothing is heard, in a sentence; empty while there is sound."""
        self.place: CursorAt | None = None
        self.performance: Performance | None = None
        """What is played, at the speed chosen."""
        self._story = Story("")
        self._choices = PlayChoices()
        self._going = Going(())
        self._at = 0
        self._passage: Passage | None = None
        self._sound: PassageSound | None = None
        self._smooth = SmoothPosition()
        self._began_sec = 0.0
        self._silent_from_sec = 0.0
        self._heard_sec = self._heard_at_sec = 0.0
        """What the device last said, and when it first said that."""

    @property
    def segment(self) -> Segment | None:
        """The segment at the cursor."""
        if self.place is None or self.performance is None:
            return None
        return self.performance.segments[self.place.segment]

    @property
    def running(self) -> bool:
        """Whether a timer or a thread's answer may still move the cursor."""
        return self._timer.isActive() or self.state is PlayerState.PREPARING

    @property
    def passage(self) -> Passage | None:
        """The lines that are heard."""
        return self._passage

    def performed(self) -> tuple[float, int] | None:
        """Seconds of the performance now, and which time round; None unless it plays."""
        if self._passage is None or self.state is not PlayerState.PLAYING:
            return None
        period = self._sound.period_sec if self._sound else None
        return self._passage.performed(self._now_sec(), period)

    def start(
        self, story: Story, going: Going, choices: PlayChoices, *, count_in: bool | None = None
    ) -> None:
        """Begin at the going's first position; ``count_in`` may differ for this once."""
        self._silence()
        self._story = slowed(story, choices.speed)
        self.performance = perform(self._story)
        self._choices = choices
        self._going = going
        self._go_from(going.first, choices.count_in if count_in is None else count_in)

    def warm_up(self, story: Story) -> None:
        """Make the sounds of a story ready in the background, if anything can be heard."""
        if not self._out.problem():
            self._rendering.warm(story)

    def go_on(self) -> None:
        """Leave the wait or the offering; nothing if there is none now."""
        if self.state is not PlayerState.HOLDING:
            return
        self._silence()
        self._go_from(self._at + 1, self._choices.count_in)

    def stop(self) -> None:
        """Be silent and take the cursor away."""
        self._silence()
        self._set_place(None)
        self._set_state(PlayerState.STILL)

    def shut(self) -> None:
        """Stop for good; to be called before the window goes."""
        self.stop()
        self._rendering.stop()

    @Slot()
    def tick(self) -> None:
        """Look at the clock and move on."""
        passage = self._passage
        if passage is None:
            self._timer.stop()
            return
        sec = self._now_sec()
        if self.state is PlayerState.PLAYING:
            if passage.loops or sec < self._lines_sec(passage):
                period = self._sound.period_sec if self._sound else None
                self._show(passage, passage.moment(sec, period))
                return
            self._hold_or_end(passage.after)
        if self._sound is None or sec >= self._sound.first_sec:
            self._silence()

    def _go_from(self, at: int, count_in: bool) -> None:
        assert self.performance is not None
        self._at = at
        passage = passage_from(self.performance, self._going, at, count_in=count_in)
        if passage is None:
            self._hold_or_end(next_hold(self.performance, self._going, at))
            return
        self._passage = passage
        self._show(passage, passage.moment(0.0))
        problem = self._out.problem()
        if problem:
            self._begin_silent(problem)
        else:
            self._set_state(PlayerState.PREPARING)
            choices = self._choices
            self._rendering.ask(
                SoundJob(
                    self._story,
                    passage,
                    choices.my_part,
                    choices.left_out,
                    TapsHeard(choices.mono, choices.loudest),
                )
            )

    @Slot(object)
    def _sound_ready(self, sound: "PassageSound") -> None:
        if self.state is not PlayerState.PREPARING:
            return
        problem = self._out.start(sound)
        if problem:
            self._rendering.give_up()
            self._begin_silent(problem)
            return
        self._sound = sound
        self._smooth = SmoothPosition()
        self._begin("")

    def _begin_silent(self, problem: str) -> None:
        self._sound = None
        self._silent_from_sec = 0.0
        self._begin(problem)

    def _begin(self, problem: str) -> None:
        self._began_sec = self._heard_at_sec = self._clock.now_sec()
        self._heard_sec = 0.0
        self.problem = problem
        self._set_state(PlayerState.PLAYING)
        self._timer.start()

    def _now_sec(self) -> float:
        """Seconds since the passage began, as heard."""
        now = self._clock.now_sec()
        if self._sound is None:
            return self._silent_from_sec + now - self._began_sec
        heard = self._out.heard_sec()
        if heard != self._heard_sec:
            self._heard_sec, self._heard_at_sec = heard, now
        patience = PATIENCE_SEC if heard > 0 else WAKING_SEC
        if self._out.failed() or now - self._heard_at_sec > patience:
            self._sound_lost(now)
            return self._silent_from_sec
        return self._smooth.at(now, heard)

    def _sound_lost(self, now: float) -> None:
        self._silent_from_sec = self._smooth.at(now, self._out.heard_sec())
        self._began_sec = now
        self._out.stop()
        self._rendering.give_up()
        self._sound = None
        self.problem = NOT_OPENED
        self.changed.emit()

    def _lines_sec(self, passage: Passage) -> float:
        return self._sound.lines_sec if self._sound else float(passage.length_sec)

    def _show(self, passage: Passage, moment: PassagePlace) -> None:
        segment = passage.performance.segments[moment.segment]
        stepped = event_beats(segment, moment.beats) / float(segment.beats)
        self._set_place(CursorAt(moment.segment, moment.share, stepped, moment.counting_in))

    def _hold_or_end(self, hold: int | None) -> None:
        if hold is None:
            self._set_place(None)
            self._set_state(PlayerState.STILL)
            return
        self._at = hold
        self._set_place(CursorAt(self._going.segments[hold], 0.0, 0.0, holding=True))
        self._set_state(PlayerState.HOLDING)

    def _silence(self) -> None:
        self._timer.stop()
        self._out.stop()
        self._rendering.give_up()
        self._passage = self._sound = None

    def _set_place(self, place: CursorAt | None) -> None:
        if place != self.place:
            self.place = place
            self.moved.emit(place)

    def _set_state(self, state: PlayerState) -> None:
        self.state = state
        self.changed.emit()
