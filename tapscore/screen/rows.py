"""The story as the rows of the editor, one below the other.  No Qt here."""

from collections import Counter
from collections.abc import Iterator
from enum import Enum

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.model.lane import lane_events
from tapscore.model.manner import Manner, PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Item, Line, Offer, RefrainUse, Section, Story, Unread, Wait
from tapscore.model.wordings import joined
from tapscore.model.words import printed
from tapscore.rhythm.describe import describe, tap_place
from tapscore.rhythm.unroll import (
    Placed,
    as_written,
    at_returns,
    refrains_as_written,
    section_as_written,
    story_manner,
)
from tapscore.screen.folds import PLAIN, Folds, Key
from tapscore.wording.catalogue import say


class RowKind(Enum):
    """What a row shows."""

    SECTION = "section"
    LINE = "line"
    RETURN = "refrain returns"
    WAIT = "wait"
    OFFER = "offering"
    UNREAD = "not understood"
    REFRAIN = "refrain"
    HINT = "hint"


_KIND_NAMES = {
    RowKind.SECTION: say("section"),
    RowKind.LINE: say("line"),
    RowKind.RETURN: say("refrain returns"),
    RowKind.WAIT: say("wait"),
    RowKind.OFFER: say("offering"),
    RowKind.UNREAD: say("not understood"),
    RowKind.REFRAIN: say("refrain"),
    RowKind.HINT: say("hint"),
}


def kind_name(kind: RowKind) -> str:
    """What a row shows, in a word or two."""
    return _KIND_NAMES[kind]


@frozen
class Row:
    """One row: what it shows, and what it stands for in the story."""

    kind: RowKind
    placed: Placed
    title: str = ""
    """A heading, a refrain's name, or the words of a hint."""
    section_manner: PartialManner = PartialManner()
    """What a section says for its lines."""
    fold: Key | None = None
    """What folds it, for a heading and a return."""
    folded: int | None = None
    """How many rows are folded away below it; None where it is not folded."""

    @property
    def within(self) -> StoryPath | None:
        """The return at which this line of a refrain is shown; None where it is written."""
        return self.placed.returned_path

    @property
    def path(self) -> StoryPath:
        """Where it is in the story."""
        return self.placed.path

    @property
    def item(self) -> Item | None:
        """The item shown, if the row shows one."""
        return self.placed.item

    @property
    def line(self) -> Line | None:
        """The line shown, if the row shows one."""
        return self.placed.line

    @property
    def number(self) -> int | None:
        """The line's number on the cards."""
        return self.placed.number

    @property
    def manner(self) -> Manner:
        """All that holds here."""
        return self.placed.manner

    @property
    def metre(self) -> Metre:
        """The metre that holds here."""
        return self.placed.manner.metre

    @property
    def refrain(self) -> str | None:
        """The refrain whose own line this is."""
        return self.placed.refrain


_KINDS = {
    Line: RowKind.LINE,
    RefrainUse: RowKind.RETURN,
    Wait: RowKind.WAIT,
    Offer: RowKind.OFFER,
    Unread: RowKind.UNREAD,
}
EMPTY_STORY = say("This story has no lines yet. Press Insert to write the first one.")
EMPTY_SECTION = say("This section has no lines yet. Press Insert to write one.")


class Written:
    """Every item once, as ``as_written`` gives it; what is the same is not placed anew."""

    def __init__(self) -> None:
        self._kept: dict[int, tuple[Section, Manner, int, tuple[Placed, ...]]] = {}

    def of(self, story: Story) -> tuple[Placed, ...]:
        """The items of a story, placed."""
        base, number = story_manner(story), 0
        found: list[Placed] = []
        kept: dict[int, tuple[Section, Manner, int, tuple[Placed, ...]]] = {}
        for index, section in enumerate(story.sections):
            old = self._kept.get(index)
            if old is None or old[0] is not section or old[2] != number or old[1] != base:
                placed = tuple(section_as_written(section, index, base, number))
                old = (section, base, number, placed)
            kept[index] = old
            found += old[3]
            number = max((each.number or 0 for each in old[3]), default=0) or number
        self._kept = kept
        found += refrains_as_written(story)
        return tuple(found)


def rows_of(
    story: Story, folds: Folds = PLAIN, written: tuple[Placed, ...] | None = None
) -> tuple[Row, ...]:
    """The rows of a story: sections with their lines, then every refrain with its own.

    Where ``folds`` says so, a refrain's lines are shown at its returns, too, and a section's
    are not.  ``written`` is every item once, where somebody has it already.
    """
    base = story_manner(story)
    written = tuple(as_written(story)) if written is None else written
    returned = at_returns(written) if folds != PLAIN else {}
    items: dict[StoryPath, list[Row]] = {}
    times: Counter[str] = Counter()
    for placed in written:
        items.setdefault(placed.path[:2], []).extend(_rows_at(placed, returned, folds, times))
    rows: list[Row] = []
    for index, section in enumerate(story.sections):
        path: StoryPath = ("story", index)
        manner = section.manner.over(base)
        head = Placed(None, path, manner, section.title)
        key = _key(section.title, times, "section ")
        below = items.get(path, [])
        shown = folds.shows_section(key)
        rows.append(
            Row(
                RowKind.SECTION,
                head,
                section.title,
                section.manner,
                key,
                None if shown else len(below),
            )
        )
        hint = Row(RowKind.HINT, Placed(None, (*path, "lines", 0), manner), EMPTY_SECTION)
        rows += (below or [hint]) if shown else ()
    if not story.sections:
        rows.append(Row(RowKind.HINT, Placed(None, ("story", 0), base), EMPTY_STORY))
    for refrain in story.refrains:
        path = ("refrains", refrain.name)
        rows.append(Row(RowKind.REFRAIN, Placed(None, path, base), refrain.name))
        rows += items.get(path, [])
    return tuple(rows)


def _rows_at(
    placed: Placed,
    returned: dict[StoryPath, tuple[Placed, ...]],
    folds: Folds,
    times: Counter[str],
) -> Iterator[Row]:
    """The row of an item, and below a return those of what is heard there."""
    if not isinstance(placed.item, RefrainUse):
        yield Row(_KINDS[type(placed.item)], placed)
        return
    name, inside = placed.item.name, returned.get(placed.path, ())
    if placed.refrain is not None or not inside:
        yield Row(RowKind.RETURN, placed, name)
        return
    key = _key(name, times, "refrain ")
    shown = folds.shows_return(key)
    yield Row(RowKind.RETURN, placed, name, fold=key, folded=None if shown else len(inside))
    if shown:
        for each in inside:
            yield Row(_KINDS[type(each.item)], each)


def _key(name: str, times: Counter[str], kind: str) -> Key:
    times[kind + name] += 1
    return name, times[kind + name] - 1


def items_inside(story: Story, row: Row) -> tuple[Row, ...]:
    """The rows of the items of a section, for a heading below which they are folded away."""
    if row.kind is not RowKind.SECTION:
        return ()
    return tuple(
        each for each in rows_of(story) if each.path[:2] == row.path and each.item is not None
    )


def row_text(row: Row) -> str:
    """The row in words, for screen readers and tool tips."""
    text = _item_text(row)
    if row.folded is None:
        return text
    return f"{text}. {say('{folded} rows folded away', folded=row.folded)}"


def _item_text(row: Row) -> str:
    item = row.item
    match item:
        case Line():
            return _line_text(row, item)
        case Wait():
            return say(
                "Wait at least {least:g} seconds{look:=|*=, look for {look}}",
                least=float(item.least_sec),
                look=item.look_for,
            )
        case Offer():
            return say(
                "Offer {prop} to each pupil, at least {turn_sec:g} seconds each"
                "{look:=|*=, look for {look}}",
                prop=item.prop,
                turn_sec=float(item.turn_sec),
                look=item.look_for,
            )
        case RefrainUse():
            return say("Refrain {name} returns here", name=item.name)
        case Unread():
            return say("Something in the file that was not understood: see Look again")
        case None:
            if row.kind is RowKind.SECTION:
                return say("Section {title}", title=row.title)
            if row.kind is RowKind.REFRAIN:
                return say("Refrain {title}", title=row.title)
            return row.title
    raise AssertionError(item)


def tap_name(row: Row, event: int) -> str:
    """Which tap or syllable of a line it is, in words."""
    assert row.line is not None
    assert row.line.lane is not None
    found = lane_events(row.line.lane, row.metre)[event]
    place = say("in bar {bar}", bar=found.bar) if found.bar else say("in the pickup")
    return f"{tap_place(row.line, row.manner, event)} {place}"


def tap_text(row: Row, event: int) -> str:
    """One tap in words, for screen readers."""
    assert row.line is not None
    assert row.line.lane is not None
    events = lane_events(row.line.lane, row.metre)
    cell = events[event].cell
    place = say("{number} of {count}", number=event + 1, count=len(events))
    parts = [place, tap_name(row, event)]
    if cell.mark.tapped:
        found = describe(row.placed, {event})
        parts += [
            say("strong") if cell.accent else "",
            found.loudness.words,
            found.stroke.words,
            found.spot.words,
            say("by {who}", who=found.by.words),
        ]
    else:
        parts.append(say("said without a tap"))
    return ", ".join(part for part in parts if part)


def tapped_words(row: Row) -> tuple[str, ...]:
    """How a line is tapped, each thing in words; nothing for other rows."""
    if row.line is None:
        return ()
    if row.line.lane is None:
        return (say("no rhythm yet: it is said, not tapped"),)
    found = describe(row.placed)
    words = (
        found.loudness.words,
        found.stroke.words,
        found.spot.words,
        found.by.words and say("by {who}", who=found.by.words),
        found.pace,
        say("in {metre}", metre=str(row.metre)) if row.line.manner.metre else "",
    )
    return tuple(word for word in words if word)


def prop_words(line: Line) -> tuple[str, ...]:
    """What comes on to the board and leaves it with a line, in words."""
    return (
        *(
            say(
                "{prop} comes on to the board with this line{at:=|*=, at {at}}",
                prop=entrance.prop,
                at=entrance.at,
            )
            for entrance in line.props_in
        ),
        *(say("{prop} leaves the board after this line", prop=prop) for prop in line.props_out),
    )


def done_words(line: Line) -> tuple[str, ...]:
    """Who else speaks or warns than usual, what is done, and what to look for."""
    others = (
        say("Said by {who}", who=joined(line.manner.says)) if line.manner.says else "",
        say("Warned by {who}", who=joined(line.warned_by)) if line.warned_by else "",
    )
    by = joined(line.done_by)
    done = say("{do}{by:=|*= ({by})}", do=line.do, by=by) if line.do else ""
    look = say("Look for: {look_for}", look_for=line.look_for) if line.look_for else ""
    return tuple(text for text in (*others, done, look) if text)


def _line_text(row: Row, line: Line) -> str:
    """Everything that the row shows, so that who hears it knows as much as who sees it."""
    said = [printed(line.words), "; ".join(tapped_words(row)), *prop_words(line)]
    said += done_words(line)
    if line.warn_first:
        said.insert(0, say("Warn first: {warn_first}", warn_first=line.warn_first))
    if row.within is not None:
        said.insert(0, say("Refrain {name}", name=row.refrain))
    elif row.number:
        said.insert(0, say("Line {number}", number=row.number))
    return ". ".join(said)
