"""The story as the rows of the editor, one below the other.  No Qt here."""

from enum import Enum

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.model.lane import TapDetail, lane_events
from tapscore.model.loudness import swell_text
from tapscore.model.metre import Metre
from tapscore.model.story import (
    Item,
    Line,
    Manner,
    Offer,
    RefrainUse,
    Story,
    Unread,
    Wait,
)
from tapscore.model.words import printed
from tapscore.rhythm.unroll import story_manner


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
    """One row: what it stands for, and where that is in the story."""

    kind: RowKind
    path: StoryPath
    item: Item | None = None
    title: str = ""
    """A heading, a refrain's name, or the words of a hint."""
    number: int | None = None
    manner: Manner = Manner()
    """All that holds here, filled in."""
    refrain: str | None = None
    """The refrain whose own line this is."""
    own_manner: Manner = Manner()
    """What a section says for its lines."""

    @property
    def line(self) -> Line | None:
        """The line shown, if the row shows one."""
        return self.item if isinstance(self.item, Line) else None

    @property
    def metre(self) -> Metre:
        """The metre that holds here."""
        return self.manner.metre or Metre(4, 4)


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
    rows: list[Row] = []
    number = 0
    for index, section in enumerate(story.sections):
        manner = section.manner.over(base)
        rows.append(
            Row(
                RowKind.SECTION,
                ("story", index),
                title=section.title,
                manner=manner,
                own_manner=section.manner,
            )
        )
        for at, item in enumerate(section.items):
            if isinstance(item, Line):
                number += 1
            rows.append(_row(item, ("story", index, "lines", at), manner, number, None))
        if not section.items:
            path: StoryPath = ("story", index, "lines", 0)
            rows.append(Row(RowKind.HINT, path, title=EMPTY_SECTION, manner=manner))
    if not story.sections:
        rows.append(Row(RowKind.HINT, ("story", 0), title=EMPTY_STORY, manner=base))
    for refrain in story.refrains:
        name = refrain.name
        rows.append(Row(RowKind.REFRAIN, ("refrains", name), title=name, manner=base))
        for at, item in enumerate(refrain.items):
            rows.append(_row(item, ("refrains", name, at), base, None, name))
    return tuple(rows)


def _row(
    item: Item, path: StoryPath, manner: Manner, number: int | None, refrain: str | None
) -> Row:
    if isinstance(item, Line):
        manner = item.manner.over(manner)
    else:
        number = None
    title = item.name if isinstance(item, RefrainUse) else ""
    return Row(_KINDS[type(item)], path, item, title, number, manner, refrain)


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
    """Which tap of a line it is, in words."""
    assert row.line is not None
    assert row.line.lane is not None
    found = lane_events(row.line.lane, row.metre)[event]
    place = f"in bar {found.bar}" if found.bar else "in the pickup"
    syllables = row.line.syllables
    if found.syllable is None or found.syllable >= len(syllables):
        return f"a tap alone {place}"
    return f"“{syllables[found.syllable].text}” {place}"


def tap_text(row: Row, event: int) -> str:
    """One tap in words, for screen readers."""
    assert row.line is not None
    assert row.line.lane is not None
    events = lane_events(row.line.lane, row.metre)
    cell = events[event].cell
    detail = cell.detail or TapDetail()
    manner = row.manner
    stroke = detail.stroke or manner.stroke
    swell = (detail.loudness,) if detail.loudness is not None else manner.loudness or ()
    parts = [f"{event + 1} of {len(events)}", tap_name(row, event)]
    if cell.mark.tapped:
        parts += [
            "strong" if cell.accent else "",
            swell_text(swell),
            stroke.word if stroke else "",
            detail.spot or manner.spot or "",
            "by " + ", ".join(detail.by or manner.by),
        ]
    else:
        parts.append("said without a tap")
    return ", ".join(part for part in parts if part)


def _line_text(row: Row, line: Line) -> str:
    number = f"Line {row.number}. " if row.number else ""
    warn = f"Warn first: {line.warn_first}. " if line.warn_first else ""
    loudness = swell_text(row.manner.loudness or ())
    stroke = row.manner.stroke.word if row.manner.stroke else ""
    tapped = "no rhythm yet" if line.lane is None else f"{loudness}, {stroke}"
    return f"{number}{warn}{printed(line.words)}. {tapped}, by {', '.join(row.manner.by)}"
