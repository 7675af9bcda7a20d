"""Who is here today and who does what: adults alone, by initials or by the name of a role.

Pupils are in it only as the letters of places on the board, or as a number.
"""

from enum import Enum

from attrs import evolve, frozen

from tapscore.model.story import Story


class Telling(Enum):
    """How much of a story is told; the value is the word in day files and on screen."""

    WHOLE = "whole"
    LIGHTER = "lighter"
    SHORT = "short"
    REFRAIN = "refrain"
    NOT_TODAY = "not today"


@frozen
class Day:
    """One day's staff."""

    here: tuple[str, ...] = ()
    takes: tuple[tuple[str, str], ...] = ()
    """Role and who takes it, as written."""
    places: tuple[str, ...] | None = None
    """Places whose pupils are here; all of them, if not said."""
    pupils: int | None = None
    """How many pupils are here, where no places are named."""
    tell: Telling | None = None
    """How much is to be told; as suits who is here, if not said."""


@frozen
class Staff:
    """The day's staff set against a story's roles."""

    adult_of: tuple[tuple[str, str], ...]
    """Each role that somebody takes, in the story's order, and who does."""
    free: tuple[str, ...]
    """Adults who are here without a role."""
    away: tuple[str, ...]
    """Roles that nobody takes, in the story's order."""

    @property
    def taken(self) -> dict[str, str]:
        """Adults by role."""
        return dict(self.adult_of)

    @property
    def host_of(self) -> dict[str, str]:
        """For each taken role the first role of the same adult: the one with the seat."""
        first: dict[str, str] = {}
        return {role: first.setdefault(adult, role) for role, adult in self.adult_of}

    @property
    def hosts(self) -> tuple[str, ...]:
        """One role for each adult who has any, in the story's order."""
        return tuple(dict.fromkeys(self.host_of.values()))


def staff_of(story: Story, day: Day) -> Staff:
    """Set a day against a story; whoever is written as a role's name takes that role."""
    takes = dict(day.takes)
    busy = set(takes.values())
    for adult in day.here:
        if adult in story.role_names and adult not in takes and adult not in busy:
            takes[adult] = adult
    adult_of = tuple((role, takes[role]) for role in story.role_names if role in takes)
    busy = {adult for _, adult in adult_of}
    return Staff(
        adult_of,
        tuple(adult for adult in dict.fromkeys(day.here) if adult not in busy),
        tuple(role for role in story.role_names if role not in takes),
    )


def with_pupils_here(story: Story, day: Day) -> Story:
    """The story with the places and the number of the pupils who are here."""
    if day.places is not None:
        board = story.board
        if board is not None:
            here = tuple(place for place in board.places if place.name in day.places)
            board = evolve(board, places=here)
        return evolve(story, board=board, pupils=len(day.places))
    return story if day.pupils is None else evolve(story, pupils=day.pupils)
