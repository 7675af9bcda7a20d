"""What the listener may choose for her own ears; the story stays as it is."""

from fractions import Fraction

from attrs import evolve, frozen

from tapscore.model.loudness import Loudness
from tapscore.rhythm.performance import PerformedTap


@frozen
class TapsHeard:
    """How taps reach the ear."""

    mono: bool = False
    """The same in both ears, for one earphone or a phone's loudspeaker."""
    loudest: Loudness | None = None
    """Taps written louder are heard at this loudness; None leaves all as written."""

    def tap(self, tap: PerformedTap) -> PerformedTap:
        """The tap as it is heard: at the ceiling an accent adds nothing either."""
        if self.loudest is None or tap.level < self.loudest:
            return tap
        return evolve(tap, level=Fraction(int(self.loudest)), accent=False)


AS_WRITTEN = TapsHeard()
