"""Where in the story the rows of the editor's list are, and where something after them goes."""

from collections.abc import Sequence

from tapscore.model.finding import StoryPath
from tapscore.model.selection import Paths
from tapscore.model.story import Story
from tapscore.screen.rows import Row, RowKind, kind_name
from tapscore.wording.catalogue import say


def item_paths(rows: Sequence[Row]) -> Paths:
    """Where the items among rows are written."""
    return tuple(row.path for row in rows if row.item is not None)


def counted(rows: Sequence[Row]) -> str:
    """``"line"``, ``"3 lines"``: what these rows are, for the name of a step."""
    kinds = {row.kind for row in rows}
    if len(rows) == 1:
        return say("heading") if kinds == {RowKind.SECTION} else kind_name(rows[0].kind)
    count = len(rows)
    return (
        say("{count:1 line|# lines}", count=count)
        if kinds == {RowKind.LINE}
        else say("{count:1 row|# rows}", count=count)
    )


def place_after(story: Story, row: Row | None) -> StoryPath:
    """Where something new goes that is put after a row; at the end without one."""
    if row is None:
        last = len(story.sections) - 1
        return ("story", last, "lines", len(story.sections[last].items))
    if row.item is not None:
        return beside(row.path, 1)
    if row.folded is not None and isinstance(row.path[1], int):
        return (*row.path, "lines", len(story.sections[row.path[1]].items))
    if row.kind is RowKind.HINT and len(row.path) == 2:
        return (*row.path, "lines", 0)
    if row.kind is RowKind.HINT:
        return row.path
    return (*row.path, "lines", 0) if row.kind is RowKind.SECTION else (*row.path, 0)


def beside(path: StoryPath, by: int) -> StoryPath:
    """The path so many items further on in its list."""
    index = path[-1]
    assert isinstance(index, int)
    return (*path[:-1], index + by)


def section_of(row: Row | None) -> int | None:
    """Which section a row is in; None where it is in none."""
    index = row.path[1] if row is not None else None  # a refrain's is its name
    return index if isinstance(index, int) else None
