"""Tapping along on the space bar: touches of one time round, and what is said of them.

They are forgotten as soon as the sentence is made; nothing is stored.
"""

from tapscore.gui.listening.player import Player, PlayerState
from tapscore.rhythm.practised import practised
from tapscore.screen.passage import Passage
from tapscore.screen.sentences import practice_sentence

EARLY_SEC = 0.15
"""So shortly before a loop begins again a touch is meant for its first tap."""


class Practising:
    """Collects touches while the player plays."""

    def __init__(self, player: Player) -> None:
        self._player = player
        self._role: str | None = None
        self._passage: Passage | None = None
        self._times = 0
        self._touches: list[float] = []
        self._for_next: list[float] = []
        self.on = False
        """Whether the space bar taps."""

    def begin(self, role: str | None) -> None:
        """Another passage, in this adult's part (None: everybody's)."""
        self._role = role
        self._forget()

    def touch(self) -> None:
        """A tap, at this moment."""
        now = self._player.performed()
        if now is None or self._passage is None:
            return
        sec, times = now
        first = self._passage.parts[0].piece
        end = float(first.start_sec + self._passage.body_sec)
        if self._passage.loops and sec > end - EARLY_SEC:
            self._for_next.append(sec - float(self._passage.body_sec))
        else:
            (self._touches if times == self._times else self._for_next).append(sec)

    def look(self) -> str:
        """What to say now: something once a passage, or one time round, is over."""
        if self._player.state is PlayerState.PLAYING:
            self._passage = self._player.passage
            now = self._player.performed()
            if now is None or now[1] == self._times:
                return ""
            sentence = self._sentence()
            self._times, self._touches, self._for_next = now[1], self._for_next, []
            return sentence
        sentence = self._sentence()
        self._forget()
        return sentence

    def _sentence(self) -> str:
        performance = self._player.performance
        if self._passage is None or performance is None:
            return ""
        segments = [part.segment for part in self._passage.parts]
        found = practised(performance, segments, self._role, self._touches)
        return practice_sentence(found, performance)

    def _forget(self) -> None:
        self._passage, self._times = None, 0
        self._touches, self._for_next = [], []
