"""Sizes of print from the distance it is read at."""

from attrs import frozen

from tapscore.wording.catalogue import say

FLOOR_PT = 16.0
"""No card is printed smaller than this, however near (UKAAF G003: large print)."""
NEAREST_M, FARTHEST_M = 0.3, 3.0


@frozen
class Sizes:
    """Sizes in points of everything on a page."""

    words: float
    """The words of the story."""
    action: float
    """What to do, and the wait."""
    number: float
    """The number of the card."""
    label: float
    """Everything else."""
    mark: float
    """The unit of the tap marks."""

    @property
    def smallest(self) -> float:
        """The smallest print there is."""
        return min(self.words, self.action, self.number, self.label)


def card_sizes(distance_m: float) -> Sizes:
    """Sizes of a card read at ``distance_m``: words 40 pt, actions 48 pt, labels 24 pt at 1 m.

    Raises ValueError outside 0.3 to 3 m.
    """
    if not NEAREST_M <= distance_m <= FARTHEST_M:
        raise ValueError(
            say(
                "cards are made to be read at {nearest} to {farthest} m, not {distance} m",
                nearest=NEAREST_M,
                farthest=FARTHEST_M,
                distance=distance_m,
            )
        )

    def at(size_pt: float) -> float:
        return max(size_pt * distance_m, FLOOR_PT)

    return Sizes(at(40), at(48), at(30), at(24), at(40) * 0.84)


SHEET_SIZES = Sizes(words=14.0, action=14.0, number=13.0, label=12.0, mark=10.5)
"""The leader's sheet, held in the hand at about half a metre."""
