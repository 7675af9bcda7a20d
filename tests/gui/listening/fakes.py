"""A clock set by hand, a loudspeaker without sound, and stories to listen to."""

from tapscore.gui.listening.player import Player
from tapscore.gui.listening.sound_out import NO_DEVICE
from tapscore.gui.main_window import MainWindow
from tapscore.model.story import Story
from tapscore.screen.passage_sound import PassageSound
from tapscore.storyfile.read import read_text

TWO_WAITS = """\
tapscore: 2
title: Two waits
metre: 4/4
tempo: 120
by: beater
roles:
  beater: {}
  other: {}
refrains:
  back:
    - words: come back
      lane: "| X . . . x . . . |"
    - words: home
      lane: "| X _ . . . . . . |"
      by: other
story:
  - section: One
    lines:
      - words: one two three four
        lane: "| X . x . x . x . |"
      - words: and five six
        lane: "x . | X . . . x . . . |"
        by: other
      - wait: 10
        look for: a look
      - refrain: back
      - words: slow ing down now
        lane: "| X . x . x . x . |"
        tempo: 120 to 60
  - section: Two
    lines:
      - words: un tapped words here
      - offer: bell
        turn: 20
      - words: end
        lane: "| X . . . . . . . |"
props:
  bell: {what: a bell}
"""


Opened = tuple[MainWindow, "HandClock"]
"""A window, and the clock of its player."""


def story_of(text: str = TWO_WAITS) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


class HandClock:
    """Shows what the test sets."""

    def __init__(self) -> None:
        self.sec = 100.0

    def now_sec(self) -> float:
        return self.sec


class NoDevice:
    """A computer without a sound device."""

    def problem(self) -> str:
        return NO_DEVICE

    def start(self, sound: PassageSound) -> str:
        return NO_DEVICE

    def stop(self) -> None:
        pass

    def heard_sec(self) -> float:
        return 0.0

    def failed(self) -> bool:
        return False


class QuietOut(NoDevice):
    """A device that keeps what it is given and is as far as the clock says."""

    def __init__(self, clock: HandClock, refuses: str = "") -> None:
        self._clock = clock
        self._refuses = refuses
        self._from_sec = 0.0
        self.sound: PassageSound | None = None
        self.given: list[PassageSound] = []
        self.broken = False
        self.stuck_sec: float | None = None
        """Where it does not go on."""

    def problem(self) -> str:
        return ""

    def start(self, sound: PassageSound) -> str:
        if self._refuses:
            return self._refuses
        self.sound = sound
        self.given.append(sound)
        self._from_sec = self._clock.sec
        return ""

    def stop(self) -> None:
        self.sound = None

    def heard_sec(self) -> float:
        if self.sound is None:
            return 0.0
        heard = self._clock.sec - self._from_sec
        return heard if self.stuck_sec is None else min(heard, self.stuck_sec)

    def failed(self) -> bool:
        return self.broken


def move(player: Player, clock: HandClock, to_sec: float, begun_sec: float = 100.0) -> None:
    """Set the clock and let the player look at it."""
    clock.sec = begun_sec + to_sec
    player.tick()
