"""Which adult is near which pupil today."""

from collections import Counter
from collections.abc import Sequence

from tapscore.checks.setting import setting_of
from tapscore.model.story import Story
from tapscore.workflow.today.assigning import least_cost

_ANOTHER_MM = 1e6
"""One more pupil for the same adult weighs more than any distance on a floor."""


def near_pupils(
    story: Story, hosts: Sequence[str], free: Sequence[str] = ()
) -> tuple[tuple[str, str], ...]:
    """Each pupil's place, in the board's order, and who is near: a role, or a ``free`` adult.

    Whoever is with a pupil stays with that pupil; the others are shared evenly, adults without
    a role first, then by the distance from seat to place.
    """
    places = story.board.places if story.board else ()
    found = {place.name: place.partner for place in places if place.partner in hosts}
    others = [place for place in places if place.name not in found]
    who = [*free, *hosts]
    if others and who:
        setting = setting_of(story)
        has = Counter(found.values())
        turns = [(name, nth) for nth in range(len(others)) for name in who]
        costs: list[list[float]] = []
        for place in others:
            costs.append([])
            for name, nth in turns:
                seat = setting.seat(name)
                apart = seat.distance_mm(place.at) if seat is not None else 0.0
                costs[-1].append((nth + has[name]) * _ANOTHER_MM + apart)
        for place, column in zip(others, least_cost(costs), strict=True):
            found[place.name] = turns[column][0]
    return tuple((place.name, near) for place in places if (near := found.get(place.name)))
