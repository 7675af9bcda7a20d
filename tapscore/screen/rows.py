"""The story as the rows of the editor, one below the other.  No Qt here."""

from enum import Enum

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.model.lane import lane_events
from tapscore.model.manner import Manner, PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Item, Line, Offer, RefrainUse, Story, Unread, Wait
from tapscore.model.words import printed
from tapscore.rhythm.describe import describe, tap_place
from tapscore.rhythm.unroll import Placed, as_written, story_manner


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


@frozen
class Row:
    """One row: what it shows, and what it stands for in the story."""

    kind: RowKind
    placed: Placed
    title: str = ""
    """A heading, a refrain's name, or the words of a hint."""
    section_manner: PartialManner = PartialManner()
    """What a section says for its lines."""

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
EMPTY_STORY = "This story has no lines yet. Press Insert to write the first one."
EMPTY_SECTION = "This section has no lines yet. Press Insert to write one."


def rows_of(story: Story) -> tuple[Row, ...]:
    """The rows of a story: sections with their lines, then every refrain with its own."""
    base = story_manner(story)
    items: dict[StoryPath, list[Row]] = {}
    for placed in as_written(story):
        title = placed.item.name if isinstance(placed.item, RefrainUse) else ""
        row = Row(_KINDS[type(placed.item)], placed, title)
        items.setdefault(placed.path[:2], []).append(row)
    rows: list[Row] = []
    for index, section in enumerate(story.sections):
        path: StoryPath = ("story", index)
        manner = section.manner.over(base)
        head = Placed(None, path, manner, section.title)
        rows.append(Row(RowKind.SECTION, head, section.title, section.manner))
        hint = Row(RowKind.HINT, Placed(None, (*path, "lines", 0), manner), EMPTY_SECTION)
        rows += items.get(path, [hint])
    if not story.sections:
        rows.append(Row(RowKind.HINT, Placed(None, ("story", 0), base), EMPTY_STORY))
    for refrain in story.refrains:
        path = ("refrains", refrain.name)
        rows.append(Row(RowKind.REFRAIN, Placed(None, path, base), refrain.name))
        rows += items.get(path, [])
    return tuple(rows)


def row_text(row: Row) -> str:
    """The row in words, for screen readers and tool tips."""
    item = row.item
    match item:
        case Line():
            return _line_text(row, item)
        case Wait():
            look = f", look for {item.look_for}" if item.look_for else ""
            return f"Wait at least {float(item.least_sec):g} seconds{look}"
        case Offer():
            return (
                f"Offer {item.prop} to each pupil, at least {float(item.turn_sec):g} seconds each"
            )
        case RefrainUse():
            return f"Refrain {item.name} returns here"
        case Unread():
            return "Something in the file that was not understood: see Look again"
        case None:
            head = {RowKind.SECTION: "Section ", RowKind.REFRAIN: "Refrain "}.get(row.kind, "")
            return head + row.title
    raise AssertionError(item)


def tap_name(row: Row, event: int) -> str:
    """Which tap or syllable of a line it is, in words."""
    assert row.line is not None
    assert row.line.lane is not None
    found = lane_events(row.line.lane, row.metre)[event]
    place = f"in bar {found.bar}" if found.bar else "in the pickup"
    return f"{tap_place(row.line, row.manner, event)} {place}"


def tap_text(row: Row, event: int) -> str:
    """One tap in words, for screen readers."""
    assert row.line is not None
    assert row.line.lane is not None
    events = lane_events(row.line.lane, row.metre)
    cell = events[event].cell
    parts = [f"{event + 1} of {len(events)}", tap_name(row, event)]
    if cell.mark.tapped:
        found = describe(row.placed, {event})
        parts += [
            "strong" if cell.accent else "",
            found.loudness.words,
            found.stroke.words,
            found.spot.words,
            f"by {found.by.words}",
        ]
    else:
        parts.append("said without a tap")
    return ", ".join(part for part in parts if part)


def tapped_words(row: Row) -> tuple[str, ...]:
    """How a line is tapped, each thing in words; nothing for other rows."""
    if row.line is None:
        return ()
    if row.line.lane is None:
        return ("no rhythm yet: it is said, not tapped",)
    found = describe(row.placed)
    words = (
        found.loudness.words,
        found.stroke.words,
        found.spot.words,
        found.by.words and f"by {found.by.words}",
        found.pace,
        f"in {row.metre}" if row.line.manner.metre else "",
    )
    return tuple(word for word in words if word)


def _line_text(row: Row, line: Line) -> str:
    number = f"Line {row.number}. " if row.number else ""
    warn = f"Warn first: {line.warn_first}. " if line.warn_first else ""
    return f"{number}{warn}{printed(line.words)}. {'; '.join(tapped_words(row))}"
