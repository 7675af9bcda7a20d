"""Names that must agree across a story: spots, seats, roles, props and refrains."""

from collections.abc import Collection, Iterator
from itertools import islice

from attrs import frozen

from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.loudness import parse_loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import DEEPEST_REFRAIN, MOST_HEARD, Item, Line, Offer, RefrainUse, Story
from tapscore.model.strokes import parse_stroke
from tapscore.model.walk import written_items, written_manners
from tapscore.storyfile.near import nearest
from tapscore.wording.about import About

EVERYONE = "everyone"
LONGEST_NAME = 60
MOST_LISTED = 12
MOST_COMPARED = 300


@frozen(eq=False, repr=False)
class Known:
    """Names that a file gives to something, even where the rest of it can't be read."""

    roles: Collection[str]
    spots: Collection[str]
    seats: Collection[str]
    props: Collection[str]
    refrains: Collection[str]

    @property
    def all_kinds(self) -> tuple[Collection[str], ...]:
        """Every kind of names, in the order above."""
        return self.roles, self.spots, self.seats, self.props, self.refrains


def reference_findings(story: Story, known: Known) -> Iterator[Finding]:
    """Every name that points to nothing, and every name that can't be told from another."""
    yield from _clashes(story)
    yield from _places(story)
    for role in story.roles:
        if role.seat is not None:
            yield from _unknown(role.seat, known.seats, "seat", ("roles", role.name, "seat"))
    for where, manner in written_manners(story):
        yield from _manner(known, manner, where)
    for place in story.board.places if story.board else ():
        if place.partner is not None:
            path: StoryPath = ("board", "places", place.name, "with")
            yield from _unknown(place.partner, known.roles, "role", path)
    for prop in story.props:
        if prop.by is not None:
            yield from _unknown(prop.by, known.roles, "role", ("props", prop.name, "by"))
        for handler in prop.handed_by:
            yield from _unknown(handler, known.roles, "role", ("props", prop.name, "handed by"))
    for where, item in written_items(story):
        yield from _item(known, item, where)
    circles = tuple(_circles(story))
    yield from circles or _told_length(story)


def _item(known: Known, item: Item, here: StoryPath) -> Iterator[Finding]:
    if isinstance(item, Line):
        yield from _adults(known, item.done_by, (*here, "done by"))
        yield from _adults(known, item.warned_by, (*here, "warned by"))
        for entrance in item.props_in:
            yield from _unknown(entrance.prop, known.props, "prop", (*here, "prop in"))
            if entrance.at is not None:
                yield from _unknown(entrance.at, known.spots, "spot", (*here, "prop in"))
        for prop in item.props_out:
            yield from _unknown(prop, known.props, "prop", (*here, "prop out"))
    elif isinstance(item, Offer):
        yield from _unknown(item.prop, known.props, "prop", (*here, "offer"))
    elif isinstance(item, RefrainUse):
        yield from _unknown(item.name, known.refrains, "refrain", (*here, "refrain"))


def _manner(known: Known, manner: PartialManner, path: StoryPath) -> Iterator[Finding]:
    if manner.spot is not None:
        yield from _unknown(manner.spot, known.spots, "spot", (*path, "spot"))
    yield from _adults(known, manner.by, (*path, "by"))
    yield from _adults(known, manner.says, (*path, "says"))


def _adults(known: Known, roles: tuple[str, ...], path: StoryPath) -> Iterator[Finding]:
    for role in roles:
        if role != EVERYONE:
            yield from _unknown(role, known.roles, "role", path)


def _unknown(name: str, names: Collection[str], what: str, path: StoryPath) -> Iterator[Finding]:
    if name in names:
        return
    about = About(
        case="others" if names else "none",
        what=what,
        name=name,
        near=nearest(name, islice(names, MOST_COMPARED)),
        known=tuple(islice(names, MOST_LISTED)),
        more="yes" if len(names) > MOST_LISTED else "no",
    )
    yield Finding("unknown-name", Severity.MUST_MEND, path, about=about)


def _places(story: Story) -> Iterator[Finding]:
    if story.board:
        for place in story.board.places:
            if not (len(place.name) == 1 and place.name.isalpha() and place.name.isupper()):
                here = ("board", "places", place.name)
                about = About(name=place.name)
                yield Finding("place-letter", Severity.MUST_MEND, here, about=about)


def _clashes(story: Story) -> Iterator[Finding]:
    spots = {spot.name for spot in story.board.spots} if story.board else set()
    named: list[tuple[str, StoryPath]] = [
        (role.name, ("roles", role.name)) for role in story.roles
    ] + [(name, ("board", "spots", name)) for name in sorted(spots)]
    for name, path in named:
        problem = ""
        if any(mark in name for mark in "();,|"):
            problem = "marks"
        elif not name.strip() or name != " ".join(name.split()):
            problem = "spaces"
        elif len(name) > LONGEST_NAME:
            problem = "long"
        elif name == EVERYONE or parse_loudness(name) is not None or parse_stroke(name) is not None:
            problem = "taken"
        elif path[0] == "roles" and name in spots:
            problem = "both"
        if problem:
            about = About(name=name[:LONGEST_NAME], why=problem)
            yield Finding("name-clash", Severity.MUST_MEND, path, about=about)


def _circles(story: Story) -> Iterator[Finding]:
    uses = {
        refrain.name: tuple(i.name for i in refrain.items if isinstance(i, RefrainUse))
        for refrain in story.refrains
    }
    for name in _in_circles(uses):
        about = About(refrain=name)
        yield Finding("refrain-circle", Severity.MUST_MEND, ("refrains", name), about=about)


def _in_circles(uses: dict[str, tuple[str, ...]]) -> list[str]:
    """Refrains on a way that comes back to itself, found by following every way once."""
    found: set[str] = set()
    done: set[str] = set()
    for start, first in uses.items():
        ways = [(start, iter(first))] if start not in done else []
        on_the_way = {start: 0}
        while ways:
            name, rest = ways[-1]
            following = next(rest, None)
            if following is None:
                ways.pop()
                del on_the_way[name]
                done.add(name)
            elif following in on_the_way:
                found.update(list(on_the_way)[on_the_way[following] :])
            elif following in uses and following not in done:
                on_the_way[following] = len(on_the_way)
                ways.append((following, iter(uses[following])))
    return [name for name in uses if name in found]


def _told_length(story: Story) -> Iterator[Finding]:
    """A story so long, or with refrains in refrains so deep, that no performance is made."""
    refrains = {refrain.name: refrain.items for refrain in story.refrains}
    known: dict[tuple[str, int], int] = {}

    def heard(items: tuple[Item, ...], depth: int) -> int:
        if depth > DEEPEST_REFRAIN:
            return MOST_HEARD + 1
        total = 0
        for item in items:
            if not isinstance(item, RefrainUse):
                total += 1
                continue
            if (item.name, depth) not in known:
                known[item.name, depth] = heard(refrains.get(item.name, ()), depth + 1)
            total += 1 + known[item.name, depth]
        return min(total, MOST_HEARD + 1)

    if sum(heard(section.items, 0) for section in story.sections) > MOST_HEARD:
        yield Finding(
            "too-long-told",
            Severity.MUST_MEND,
            ("refrains",) if story.refrains else ("story",),
            about=About(most=MOST_HEARD, deepest=DEEPEST_REFRAIN),
        )
