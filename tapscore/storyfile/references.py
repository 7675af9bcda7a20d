"""Names that must agree across a story: spots, seats, roles, props and refrains."""

from collections.abc import Iterable, Iterator

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.loudness import parse_loudness
from tapscore.model.story import (
    Item,
    Line,
    Manner,
    Offer,
    RefrainUse,
    Story,
)
from tapscore.model.strokes import parse_stroke
from tapscore.storyfile.near import did_you_mean, listed

EVERYONE = "everyone"


def reference_findings(story: Story) -> Iterator[Finding]:
    """Every name that points to nothing, and every name that can't be told from another."""
    yield from _clashes(story)
    yield from _seats(story)
    yield from _manner(story, story.manner, ())
    for prop in story.props:
        if prop.by is not None:
            yield from _unknown(prop.by, story.role_names, "role", ("props", prop.name, "by"))
    for refrain in story.refrains:
        yield from _items(story, refrain.items, ("refrains", refrain.name))
    for index, section in enumerate(story.sections):
        path: StoryPath = ("story", index)
        yield from _manner(story, section.manner, path)
        yield from _items(story, section.items, (*path, "lines"))
    yield from _circles(story)


def _items(story: Story, items: tuple[Item, ...], path: StoryPath) -> Iterator[Finding]:
    props = tuple(prop.name for prop in story.props)
    spots = tuple(spot.name for spot in story.board.spots) if story.board else ()
    for index, item in enumerate(items):
        here = (*path, index)
        if isinstance(item, Line):
            yield from _manner(story, item.manner, here)
            for entrance in item.props_in:
                yield from _unknown(entrance.prop, props, "prop", (*here, "prop in"))
                if entrance.at is not None:
                    yield from _unknown(entrance.at, spots, "spot", (*here, "prop in"))
            for prop in item.props_out:
                yield from _unknown(prop, props, "prop", (*here, "prop out"))
        elif isinstance(item, Offer):
            yield from _unknown(item.prop, props, "prop", (*here, "offer"))
        elif isinstance(item, RefrainUse):
            names = tuple(refrain.name for refrain in story.refrains)
            yield from _unknown(item.name, names, "refrain", (*here, "refrain"))


def _manner(story: Story, manner: Manner, path: StoryPath) -> Iterator[Finding]:
    if manner.spot is not None:
        spots = tuple(spot.name for spot in story.board.spots) if story.board else ()
        yield from _unknown(manner.spot, spots, "spot", (*path, "spot"))
    for role in manner.by:
        if role != EVERYONE:
            yield from _unknown(role, story.role_names, "role", (*path, "by"))


_HOME = {
    "role": "`roles:`",
    "prop": "`props:`",
    "spot": "`spots:` of the board",
    "seat": "`seats:` of the board",
    "refrain": "`refrains:`",
}


def _unknown(name: str, known: Iterable[str], what: str, path: StoryPath) -> Iterator[Finding]:
    names = tuple(known)
    if name in names:
        return
    have = f"The story has {listed(names)}." if names else f"The story has no {what} yet."
    yield Finding(
        "unknown-name",
        Severity.MUST_MEND,
        f"There is no {what} called `{name}`.{did_you_mean(name, names)}",
        f"{have} Write one of these, or add `{name}` under {_HOME[what]}.",
        path,
    )


def _seats(story: Story) -> Iterator[Finding]:
    seats = tuple(seat.name for seat in story.board.seats) if story.board else ()
    for role in story.roles:
        if role.seat is not None:
            yield from _unknown(role.seat, seats, "seat", ("roles", role.name, "seat"))
    if story.board:
        for place in story.board.places:
            if not (len(place.name) == 1 and place.name.isalpha() and place.name.isupper()):
                yield Finding(
                    "place-letter",
                    Severity.MUST_MEND,
                    f"A pupil's place is one capital letter, never a name; here it is "
                    f"`{place.name}`.",
                    "Write `A`, `B`, `C` ... Names of pupils stay out of story files.",
                    ("board", "places", place.name),
                )


def _clashes(story: Story) -> Iterator[Finding]:
    spots = {spot.name for spot in story.board.spots} if story.board else set()
    named: list[tuple[str, StoryPath]] = [
        (role.name, ("roles", role.name)) for role in story.roles
    ] + [(name, ("board", "spots", name)) for name in sorted(spots)]
    for name, path in named:
        problem = ""
        if (
            any(mark in name for mark in "(),|")
            or not name.strip()
            or name != " ".join(name.split())
        ):
            problem = "can't be used: it is empty, or has brackets, commas, bars or spare spaces"
        elif name == EVERYONE or parse_loudness(name) is not None or parse_stroke(name) is not None:
            problem = "already means something else in a rhythm"
        elif path[0] == "roles" and name in spots:
            problem = "is both a role and a spot"
        if problem:
            yield Finding(
                "name-clash",
                Severity.MUST_MEND,
                f"The name `{name}` {problem}.",
                "Give it another name.",
                path,
            )


def _circles(story: Story) -> Iterator[Finding]:
    uses = {
        refrain.name: tuple(i.name for i in refrain.items if isinstance(i, RefrainUse))
        for refrain in story.refrains
    }
    for name, first in uses.items():
        reached: set[str] = set()
        ahead = list(first)
        while ahead:
            at = ahead.pop()
            if at not in reached:
                reached.add(at)
                ahead += uses.get(at, ())
        if name in reached:
            yield Finding(
                "refrain-circle",
                Severity.MUST_MEND,
                f"The refrain `{name}` comes back to itself, so it would never end.",
                "Take the line `- refrain:` that leads back out of it.",
                ("refrains", name),
            )
