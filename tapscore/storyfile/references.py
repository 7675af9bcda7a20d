"""Names that must agree across a story: spots, seats, roles, props and refrains."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import islice

from attrs import frozen

from tapscore.model.by_identity import ByIdentity
from tapscore.model.edits import item_lists
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.loudness import parse_loudness
from tapscore.model.manner import EVERYONE, PartialManner
from tapscore.model.story import DEEPEST_REFRAIN, MOST_HEARD, Item, Line, Offer, RefrainUse, Story
from tapscore.model.strokes import parse_stroke
from tapscore.storyfile.near import nearest
from tapscore.wording.about import About

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

    @property
    def by_kind(self) -> Mapping[str, Collection[str]]:
        """The same by what one of each is called."""
        kinds = ("role", "spot", "seat", "prop", "refrain")
        return dict(zip(kinds, self.all_kinds, strict=True))


def reference_findings(story: Story, known: Known) -> Iterator[Finding]:
    """Every name that points to nothing, and every name that can't be told from another."""
    names = known.by_kind
    yield from _clashes(story)
    yield from _places(story)
    for role in story.roles:
        if role.seat is not None:
            yield from _unknown(names, (("seat", role.seat, "seat"),), ("roles", role.name))
    yield from _unknown(names, _of_manner(story.manner), ())
    for number, section in enumerate(story.sections):
        yield from _unknown(names, _of_manner(section.manner), ("story", number))
    for place in story.board.places if story.board else ():
        if place.partner is not None:
            path: StoryPath = ("board", "places", place.name)
            yield from _unknown(names, (("role", place.partner, "with"),), path)
    for prop in story.props:
        adults = [("role", each, "handed by") for each in prop.handed_by]
        if prop.by is not None:
            adults.insert(0, ("role", prop.by, "by"))
        yield from _unknown(names, adults, ("props", prop.name))
    for above, items in item_lists(story):
        for at, item in enumerate(items):
            named = _named_by(item)
            for kind, name, _ in named:
                if name not in names[kind]:
                    yield from _unknown(names, named, (*above, at))
                    break
    circles = tuple(_circles(story))
    yield from circles or _told_length(story)


_Named = tuple[str, str, str]
"""What is named, its name, and the key it stands under."""


def _of_item(item: Item) -> tuple[_Named, ...]:
    named: list[_Named] = []
    if isinstance(item, Line | RefrainUse):
        named += _of_manner(item.manner)
    if isinstance(item, Line):
        named += _adults(item.done_by, "done by")
        named += _adults(item.warned_by, "warned by")
        for entrance in item.props_in:
            named.append(("prop", entrance.prop, "prop in"))
            if entrance.at is not None:
                named.append(("spot", entrance.at, "prop in"))
        named += [("prop", prop, "prop out") for prop in item.props_out]
    elif isinstance(item, Offer):
        named.append(("prop", item.prop, "offer"))
    elif isinstance(item, RefrainUse):
        named.append(("refrain", item.name, "refrain"))
    return tuple(named)


_named_by: ByIdentity[Item, tuple[_Named, ...]] = ByIdentity(_of_item)


def _of_manner(manner: PartialManner) -> list[_Named]:
    spot = [("spot", manner.spot, "spot")] if manner.spot is not None else []
    return [*spot, *_adults(manner.by, "by"), *_adults(manner.says, "says")]


def _adults(roles: tuple[str, ...], key: str) -> list[_Named]:
    return [("role", role, key) for role in roles if role != EVERYONE]


def _unknown(
    known: Mapping[str, Collection[str]], named: Iterable[_Named], path: StoryPath
) -> Iterator[Finding]:
    for kind, name, key in named:
        names = known[kind]
        if name in names:
            continue
        about = About(
            case="others" if names else "none",
            what=kind,
            name=name,
            near=nearest(name, islice(names, MOST_COMPARED)),
            known=tuple(islice(names, MOST_LISTED)),
            more="yes" if len(names) > MOST_LISTED else "no",
        )
        yield Finding("unknown-name", Severity.MUST_MEND, (*path, key), about=about)


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
