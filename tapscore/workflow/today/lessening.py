"""Less of a story, whole without the rest: without props, deeds or taps, short, or its refrain.

Waits always stay.  Every change is listed.
"""

import re
from collections.abc import Collection
from fractions import Fraction

from attrs import evolve

from tapscore.checks.props.props_are_used import used_props
from tapscore.model.comfort import ADVISED_WAIT_SEC
from tapscore.model.edits import Items
from tapscore.model.fewer_taps import NAMES, Tapped
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Mark, lane_events
from tapscore.model.lane_edits import with_marks
from tapscore.model.naming import in_lane
from tapscore.model.story import (
    Entrance,
    Item,
    Line,
    Offer,
    RefrainUse,
    Section,
    Story,
    Wait,
)
from tapscore.model.walk import change_lines, change_lists, edit_line, line_at, section_items
from tapscore.model.words import printed, quoted
from tapscore.rhythm.unroll import as_written
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term
from tapscore.workflow.shorten import Listed, ends_joined, shortened, without_unused_props
from tapscore.workflow.thinning import thinned

ABOUT_WHAT_IS_GONE = say("left out, as it is about what doesn't come")
LEAST_LETTERS = 3
"""Shorter words of a prop's name are not looked for in lines."""


def the_one_prop(story: Story) -> str | None:
    """The prop to keep if one alone can come: one that pupils have turns with, with most sets."""
    used = used_props(story)
    offered = [item.prop for _, item in section_items(story) if isinstance(item, Offer)]
    names = list(dict.fromkeys((*offered, *(p.name for p in story.props), *sorted(used))))
    coming = [name for name in names if name in used]

    def worth(name: str) -> tuple[bool, int, int]:
        prop = story.prop(name)
        return (name in offered, prop.sets if prop else 1, -names.index(name))

    return max(coming, key=worth, default=None)


def short_telling(story: Story) -> tuple[Story, list[Listed]]:
    """Greeting, refrain, one prop and finish."""
    one = the_one_prop(story)
    short, changes = shortened(story, one)
    others = used_props(story) - {one}
    short, more = without_props(short, others)
    untold = [where for where, what in more if what == ABOUT_WHAT_IS_GONE]
    # a name in whatever quotation marks the language has
    moved = [rf"[“”„«»‹›\"'‘‚]\s?{re.escape(name)}(?!\w)" for name in others]
    about = re.compile("|".join([*moved, *map(re.escape, untold), "(?!)"]))
    return short, [
        *(each for each in changes if not about.search(f"{each[0]} {each[1]}")),
        *((say("The prop “{name}”", name=name), say("left out")) for name in sorted(others)),
        *(each for each in more if each[1] != say("left out")),
    ]


def refrain_telling(story: Story) -> Story | None:
    """The refrain twice, each time with its wait; None where no refrain returns."""
    returns = [(path, item) for path, item in section_items(story) if isinstance(item, RefrainUse)]
    if not returns:
        return None
    use = returns[0][1]
    once: Items = (RefrainUse(use.name), *_wait_after(story, use.name))
    bare, _ = without_props(story, used_props(story))
    refrains = tuple(refrain for refrain in bare.refrains if refrain.name == use.name)
    told = evolve(bare, props=(), sections=(Section(say("The refrain"), once * 2),))
    return evolve(told, refrains=refrains) if _stands_alone(refrains[0].items) else told


def _stands_alone(items: Items) -> bool:
    return not any(isinstance(item, RefrainUse) for item in items)


def _wait_after(story: Story, name: str) -> tuple[Wait, ...]:
    """The wait that first follows a refrain, or one as long as is advised where none is in it."""
    for section in story.sections:
        for item, after in zip(section.items, section.items[1:], strict=False):
            if isinstance(item, RefrainUse) and item.name == name and isinstance(after, Wait):
                return (evolve(after, origin=None),)
    own = next((refrain.items for refrain in story.refrains if refrain.name == name), ())
    return () if own and isinstance(own[-1], Wait) else (Wait(Fraction(ADVISED_WAIT_SEC)),)


def without_props(story: Story, names: Collection[str]) -> tuple[Story, list[Listed]]:
    """The story without these props, their turns, what is done with them, and lines on them.

    Lines of refrains, and the first and the last line, stay whatever they name.
    """
    gone = frozenset(names) & used_props(story)
    if not gone:
        return story, []
    changes: list[Listed] = [
        (say("The prop “{name}”", name=name), say("left out")) for name in sorted(gone)
    ]
    lines = [path for path, item in section_items(story) if isinstance(item, Line)]
    ends = {lines[0], lines[-1]} if lines else set()
    pending_in: list[Entrance] = []
    pending_out: list[str] = []

    def in_list(path: StoryPath, items: Items) -> Items:
        made: list[Item] = []
        dropped = False
        for index, item in enumerate(items):
            at = (*path, index)
            if isinstance(item, Offer) and item.prop in gone:
                dropped = True
                continue
            last = made[-1] if made else None
            if dropped and isinstance(item, Wait) and isinstance(last, Wait):
                made[-1] = max(last, item, key=lambda each: each.least_sec)
                continue
            if not isinstance(item, Line):
                made.append(item)
                dropped = False
                continue
            stays = path[0] == "refrains" or at in ends
            goes = not stays and _names_one(item, gone, story)
            line = _without(item, gone, [] if goes else changes)
            if goes:
                changes.append((_words(item), ABOUT_WHAT_IS_GONE))
                pending_in.extend(line.props_in)
                pending_out.extend(line.props_out)
                dropped = True
                continue
            if path[0] != "refrains" and (pending_in or pending_out):
                line = _with_moved(line, pending_in, pending_out)
            made.append(line)
            dropped = False
        return tuple(made)

    told = change_lists(story, in_list)
    told = evolve(told, sections=tuple(s for s in told.sections if s.items))
    told = without_unused_props(told, [])
    return ends_joined(told, changes), changes


def _with_moved(line: Line, coming: list[Entrance], leaving: list[str]) -> Line:
    """A line with what came and left in lines before it that are not told."""
    through = {each.prop for each in coming} & set(leaving)
    props_in = tuple(each for each in coming if each.prop not in through)
    props_out = tuple(name for name in leaving if name not in through)
    coming.clear()
    leaving.clear()
    leaving_here = {each.prop for each in props_in} & set(line.props_out)
    return evolve(
        line,
        props_in=(*(e for e in props_in if e.prop not in leaving_here), *line.props_in),
        props_out=tuple(
            dict.fromkeys(
                (*props_out, *(name for name in line.props_out if name not in leaving_here))
            )
        ),
    )


def _without(line: Line, gone: frozenset[str], changes: list[Listed]) -> Line:
    props_in = tuple(entrance for entrance in line.props_in if entrance.prop not in gone)
    props_out = tuple(prop for prop in line.props_out if prop not in gone)
    moved = {entrance.prop for entrance in line.props_in} | set(line.props_out)
    done = line.do
    if done is not None and any(_named(done, name, near=name in moved) for name in gone):
        changes.append((_words(line), say("without “{done}”", done=done)))
        done = None
    warned = line.warn_first
    if warned and any(_named(warned, name, near=name in moved) for name in gone):
        changes.append(
            (_words(line), say("“{warned}” can't be done: warn in another way", warned=warned))
        )
    if (props_in, props_out, done) == (line.props_in, line.props_out, line.do):
        return line
    done_by = line.done_by if done is not None else ()
    return evolve(line, props_in=props_in, props_out=props_out, do=done, done_by=done_by)


def _names_one(line: Line, gone: frozenset[str], story: Story) -> bool:
    """Whether a line is about a prop that doesn't come."""
    coming = {entrance.prop for entrance in line.props_in}
    kept = [prop.name for prop in story.props if prop.name not in gone]
    words = printed(line.words)
    if any(_named(words, name, near=False) for name in kept):
        return False
    return any(_named(words, name, near=name in coming) for name in gone)


def _named(text: str, name: str, *, near: bool) -> bool:
    """Whether a text speaks of a prop: by its last word, or ``near`` it by any of its words."""
    parts = [word for word in re.findall(r"\w+", name.casefold()) if len(word) >= LEAST_LETTERS]
    said = {_stem(word) for word in re.findall(r"\w+", text.casefold())}
    return any(_stem(word) in said for word in (parts if near else parts[-1:]))


def _stem(word: str) -> str:
    return word.removesuffix("s") if len(word) > LEAST_LETTERS else word


def without_deed(story: Story, path: StoryPath) -> tuple[Story, list[Listed]]:
    """The story without what is done with the line at ``path``."""
    line = line_at(story, path)
    if line is None or line.do is None:
        return story, []
    changed = edit_line(story, path, lambda each: evolve(each, do=None, done_by=()))
    assert changed is not None
    return changed, [(_words(line), say("without “{do}”", do=line.do))]


def fewer_taps(
    story: Story, which: Tapped, paths: Collection[StoryPath]
) -> tuple[Story, list[Listed]]:
    """Lines tapped on beats, or strong beats, alone."""
    told, changed = thinned(story, which, lambda path: path in paths)
    return told, [
        (_words(line), say("tapped {where}", where=term(NAMES[which])))
        for path in changed
        if (line := line_at(told, path))
    ]


def tapped_at(story: Story, spot: str, paths: Collection[StoryPath]) -> tuple[Story, list[Listed]]:
    """Lines tapped at a spot, all their taps."""
    changes: list[Listed] = []

    def line_there(path: StoryPath, line: Line) -> Line:
        if path not in paths:
            return line
        lane = None if line.lane is None else in_lane(line.lane, "spot", lambda _: None)
        if line.manner.spot == spot and lane == line.lane:
            return line
        changes.append((_words(line), say("tapped at {spot}, which can be reached", spot=spot)))
        return evolve(line, manner=evolve(line.manner, spot=spot), lane=lane)

    return change_lines(story, line_there), changes


def said_alone(story: Story, paths: Collection[StoryPath]) -> tuple[Story, list[Listed]]:
    """Lines that are said and not tapped."""
    changes: list[Listed] = []

    metres = {placed.path: placed.manner.metre for placed in as_written(story)}

    def line_alone(path: StoryPath, line: Line) -> Line:
        if path not in paths or line.lane is None:
            return line
        changes.append((_words(line), say("said, and not tapped")))
        events = lane_events(line.lane, metres[path])
        marks = {
            at: Mark.SYLLABLE_ALONE if event.cell.mark.said else Mark.REST
            for at, event in enumerate(events)
        }
        return evolve(line, lane=with_marks(line.lane, marks))

    return change_lines(story, line_alone), changes


def _words(line: Line) -> str:
    return quoted(line.words)
