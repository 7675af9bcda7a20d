"""A short version of a story: start, refrain and finish."""

from collections.abc import Collection, Sequence

from attrs import evolve

from tapscore.checks.metre import pickup_joins
from tapscore.checks.props.props_are_used import used_props
from tapscore.checks.rule import Scene
from tapscore.model.story import Item, Line, Offer, RefrainUse, Section, Story, Wait
from tapscore.model.walk import line_at
from tapscore.model.words import quoted
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

Listed = tuple[str, str]
"""Where, and what was changed."""


def shortened(story: Story, prop: str | None = None) -> tuple[Story, list[Listed]]:
    """The short story and its changes; the middle section is the one with ``prop``, if named."""
    changes: list[Listed] = []
    short = without_unused_props(kept_only(story, _kept(story, prop), changes), changes)
    return ends_joined(short, changes), changes


def kept_only(story: Story, kept: Sequence[Collection[int]], changes: list[Listed]) -> Story:
    """The story with these places of each section; props come, are offered and leave in turn.

    What is out of turn in the whole story stays so.
    """
    there: set[str] = set()
    """Props on the board."""
    whole: set[str] = set()
    """Those on it in the whole story."""
    leaving: list[str] = []
    """Props that left in what was cut: they leave with the next line that stays."""
    sections: list[Section] = []
    for index, section in enumerate(story.sections):
        items: list[Item] = []
        for place, item in enumerate(section.items):
            lines = _lines(story, item)
            if place in kept[index]:
                never = isinstance(item, Offer) and item.prop not in whole
                items.extend((item,) if never else _staying(item, lines, there, leaving, changes))
            else:
                gone = (prop for line in lines for prop in line.props_out)
                leaving += [p for p in gone if p in there and p not in leaving]
            for line in lines:
                _move(line, whole)
        _list_cut(section, len(section.items) - len(kept[index]), changes)
        if items or not section.items:
            sections.append(evolve(section, items=tuple(items)))
    return evolve(story, sections=tuple(sections))


def _lines(story: Story, item: Item) -> tuple[Line, ...]:
    """A line itself, or the lines of a refrain that returns."""
    refrain = story.refrain(item.name) if isinstance(item, RefrainUse) else None
    items = refrain.items if refrain else (item,)
    return tuple(each for each in items if isinstance(each, Line))


def _kept(story: Story, prop: str | None) -> list[set[int]]:
    """The places that stay in each section."""
    sections = story.sections
    last = len(sections) - 1
    if last < 2:
        return [
            _ends(s, first=i == 0, last=i == last) | _turns(s, prop) for i, s in enumerate(sections)
        ]
    whole = {0, _heart(sections, prop), last}
    return [set(range(len(s.items))) if i in whole else set() for i, s in enumerate(sections)]


def _turns(section: Section, prop: str | None) -> set[int]:
    """Where a prop comes, is offered, and is waited for and leaves."""
    found: set[int] = set()
    for index, item in enumerate(section.items):
        if isinstance(item, Offer) and item.prop == prop:
            found.add(index)
        if isinstance(item, Line) and (
            any(entrance.prop == prop for entrance in item.props_in) or prop in item.props_out
        ):
            found.add(index)
    return found


def _heart(sections: tuple[Section, ...], prop: str | None) -> int:
    """The middle section that stays."""
    middle = range(1, len(sections) - 1)
    with_prop = [index for index in middle if _turns(sections[index], prop)]
    if with_prop:
        return with_prop[0]
    lines = [item for item in sections[-1].items if isinstance(item, Line)]
    leaving = {prop for line in lines for prop in line.props_out}
    for index in middle:
        coming = {
            entrance.prop
            for item in sections[index].items
            if isinstance(item, Line)
            for entrance in item.props_in
        }
        if coming & leaving:
            return index
    with_refrain = (i for i in middle if any(isinstance(x, RefrainUse) for x in sections[i].items))
    return next(with_refrain, 1)


def _ends(section: Section, *, first: bool, last: bool) -> set[int]:
    """Of a story with hardly any sections: all to the first refrain, and the last two lines."""
    items = section.items
    lines = [index for index, item in enumerate(items) if isinstance(item, Line)]
    start = _until_refrain(items) if first else 0
    finish = lines[-2] if last and len(lines) > 1 else len(items)
    return {*range(start), *range(max(finish, start), len(items))}


def _until_refrain(items: tuple[Item, ...]) -> int:
    """How many items there are up to the first refrain and its wait."""
    for index, item in enumerate(items):
        if isinstance(item, RefrainUse):
            return index + 1 + isinstance(next(iter(items[index + 1 : index + 2]), None), Wait)
    return min(2, len(items))


def _move(line: Line, there: set[str]) -> None:
    there.difference_update(line.props_out)
    there.update(entrance.prop for entrance in line.props_in)


def _staying(
    item: Item,
    lines: tuple[Line, ...],
    there: set[str],
    leaving: list[str],
    changes: list[Listed],
) -> tuple[Item, ...]:
    """An item that stays, with props that leave where they are; nothing for a lost offering."""
    if isinstance(item, Offer) and item.prop not in there:
        changes.append((say("The turns with “{prop}”", prop=item.prop), say("left out")))
        return ()
    if not isinstance(item, Line):
        for line in lines:
            _move(line, there)
        return (item,)
    own = tuple(prop for prop in item.props_out if prop in there and prop not in leaving)
    out = (*leaving, *own)
    words = quoted(item.words)
    changes += [(words, say("“{prop}” leaves here", prop=prop)) for prop in leaving]
    lost = [prop for prop in item.props_out if prop not in out]
    changes += [(words, say("“{prop}” does not leave here any more", prop=prop)) for prop in lost]
    leaving.clear()
    there.difference_update(out)
    there.update(entrance.prop for entrance in item.props_in)
    return (evolve(item, props_out=out) if out != item.props_out else item,)


def _list_cut(section: Section, count: int, changes: list[Listed]) -> None:
    if count:
        all_of_it = count == len(section.items)
        what = (
            say("left out")
            if all_of_it
            else say(
                "{count} of {items:1 line|# lines} left out", count=count, items=len(section.items)
            )
        )
        changes.append((section_named(section), what))


def section_named(section: Section) -> str:
    """Where, in a list of changes."""
    return say("The section “{title}”", title=section.title)


def without_unused_props(story: Story, changes: list[Listed]) -> Story:
    """The story without props that no longer come."""
    used = used_props(story)
    for prop in story.props:
        if prop.name not in used:
            changes.append((say("The prop “{prop}”", prop=prop.name), say("left out")))
    return evolve(story, props=tuple(prop for prop in story.props if prop.name in used))


def ends_joined(story: Story, changes: list[Listed]) -> Story:
    """Ends of lines filled up or shortened where another line follows them now."""
    rule = pickup_joins.RULE
    assert rule.fix is not None
    for _ in range(len(story.sections)):
        finding = next(iter(rule.findings(Scene(story, perform(story)))), None)
        mended = rule.fix(story, finding) if finding else None
        line = line_at(story, finding.path) if finding else None
        if mended is None or line is None:
            break
        changes.append((quoted(line.words), say("its last bar fits the next line now")))
        story = mended
    return story
