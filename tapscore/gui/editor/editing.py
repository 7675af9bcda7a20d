"""What the keys and menus do to the story: each a named step on the undo stack."""

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve

from tapscore.gui.document import Document
from tapscore.model import edits, lane_edits
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane, TapDetail
from tapscore.model.lane_edits import CellPlace
from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, Offer, RefrainUse, Section, Story, Wait
from tapscore.rhythm.unroll import story_manner
from tapscore.screen.rows import Row, RowKind
from tapscore.workflow.fitting import next_rhythm, retyped


class StoryEditing:
    """Edits of one document; every method says with its result where the cursor goes."""

    def __init__(self, document: Document) -> None:
        self._document = document

    @property
    def story(self) -> Story:
        """The story as it is now."""
        return self._document.story

    def type_words(self, before: Row, words: str) -> None:
        """Change a line's words; its rhythm follows as far as it was not made by hand.

        ``before`` is the row as it was when typing began, so that the words and taps of that
        moment count, not those of a word half typed.
        """
        if before.line is not None:
            line = retyped(before.line, words, before.metre, self.story.divided_words)
            story = edits.replace_item(self.story, before.path, line)
            self._document.edit("Change words", story, join=f"words {before.path}")

    def rename_section(self, index: int, title: str) -> None:
        """Change a section's heading."""
        story = edits.change_section(self.story, index, lambda s: evolve(s, title=title))
        self._document.edit("Change heading", story)

    def insert(self, row: Row | None, item: Item) -> StoryPath:
        """Put a new item after ``row``; the item's path."""
        story = self.story
        if not story.sections:
            story = edits.add_section(story, 0, "Beginning")
        path = _place_after(story, row)
        names = {Line: "line", Wait: "wait", Offer: "offering", RefrainUse: "refrain"}
        self._document.edit(f"Add {names[type(item)]}", edits.insert_item(story, path, item))
        return path

    def insert_line(self, row: Row | None) -> StoryPath:
        """Put an empty line after ``row``."""
        return self.insert(row, Line(""))

    def insert_wait(self, row: Row | None) -> StoryPath:
        """Put a wait of ten seconds after ``row``."""
        return self.insert(row, Wait(Fraction(10)))

    def insert_section(self, row: Row | None) -> StoryPath:
        """Start a new section after the one ``row`` is in."""
        index = _section_of(row)
        index = len(self.story.sections) if index is None else index + 1
        self._document.edit("Add section", edits.add_section(self.story, index, "New section"))
        return ("story", index)

    def paste(self, row: Row | None, text: str) -> StoryPath | None:
        """Put copied words after ``row``, each line fitted; the first line's path."""
        lines = [" ".join(line.split()) for line in text.splitlines() if line.strip()]
        if not lines:
            return None
        story = self.story
        if not story.sections:
            story = edits.add_section(story, 0, "Beginning")
        first = _place_after(story, row)
        metre = row.metre if row else story_manner(story).metre
        for number, words in enumerate(lines):
            line = retyped(Line(""), words, metre, story.divided_words)
            story = edits.insert_item(story, _beside(first, number), line)
        self._document.edit("Paste words", story)
        return first

    def delete(self, row: Row) -> None:
        """Take a line, wait, offering or return away, or a section's heading."""
        if row.item is not None:
            self._document.edit(f"Delete {row.kind.value}", edits.delete_item(self.story, row.path))
        elif row.kind is RowKind.SECTION:
            index = row.path[1]
            assert isinstance(index, int)
            self._document.edit("Delete heading", edits.delete_section(self.story, index))

    def duplicate(self, row: Row) -> StoryPath:
        """Put the same once more below."""
        if row.item is None:
            return row.path
        self._document.edit(f"Repeat {row.kind.value}", edits.duplicate_item(self.story, row.path))
        return _beside(row.path, 1)

    def move(self, row: Row, by: int) -> StoryPath:
        """Move an item up or down."""
        if row.item is None:
            return row.path
        story, path = edits.move_item(self.story, row.path, by)
        self._document.edit(f"Move {row.kind.value}", story)
        return path

    def make_refrain(self, row: Row) -> None:
        """Make a line a refrain; a refrain's return its own lines again."""
        if row.kind is RowKind.RETURN:
            self._document.edit("Write refrain out", edits.write_out_refrain(self.story, row.path))
        elif row.line is not None and row.refrain is None:
            name = _free_name(self.story, row.line)
            self._document.edit("Make refrain", edits.make_refrain(self.story, row.path, name))

    def change_lane(
        self, name: str, row: Row, change: Callable[[Lane], Lane | None], join: str | None = None
    ) -> bool:
        """Change the lane of a line; False if the change makes no sense there."""
        if row.line is None or row.line.lane is None:
            return False
        lane = change(row.line.lane)
        if lane is None:
            return False
        story = edits.change_line(self.story, row.path, lambda line: evolve(line, lane=lane))
        return self._document.edit(name, story, join=join)

    def set_lane(self, path: StoryPath, lane: Lane) -> bool:
        """Give a line the rhythm that was tapped in."""
        return self.change_line("Tap in", (path,), lambda line: evolve(line, lane=lane))

    def toggle_tap(self, row: Row, event: int) -> bool:
        """Take the tap away from a syllable, or give it one."""
        return self.change_lane(
            "Tap or no tap", row, lambda lane: lane_edits.toggle_tap(lane, event)
        )

    def add_tap(self, row: Row, place: CellPlace) -> bool:
        """Put a tap where nothing was."""
        return self.change_lane("Add tap", row, lambda lane: lane_edits.add_tap(lane, place))

    def toggle_accent(self, row: Row, event: int) -> bool:
        """Make a tap strong, or no longer strong."""
        return self.change_lane(
            "Strong tap", row, lambda lane: lane_edits.toggle_accent(lane, event)
        )

    def move_tap(self, row: Row, event: int, steps: int) -> bool:
        """Move a tap along the grid."""
        return self.change_lane(
            "Move tap", row, lambda lane: lane_edits.move_event(lane, event, steps)
        )

    def hold(self, row: Row, event: int, longer: bool) -> bool:
        """Make a tap last a step more or less."""
        return self.change_lane(
            "Hold tap", row, lambda lane: lane_edits.set_held(lane, event, longer)
        )

    def change_tap(
        self, name: str, row: Row, event: int, change: Callable[[TapDetail], TapDetail]
    ) -> bool:
        """Change what is special about one tap."""
        return self.change_lane(name, row, lambda lane: lane_edits.with_detail(lane, event, change))

    def change_line(
        self,
        name: str,
        paths: tuple[StoryPath, ...],
        change: Callable[[Line], Line],
        join: str | None = None,
    ) -> bool:
        """Change every line among ``paths`` in one step."""
        story = self.story
        for path in paths:
            if isinstance(edits.item_at(story, path), Line):
                story = edits.change_line(story, path, change)
        return self._document.edit(name, story, join=join)

    def change_manner(
        self,
        name: str,
        paths: tuple[StoryPath, ...],
        change: Callable[[PartialManner], PartialManner],
    ) -> bool:
        """Change how lines are tapped."""
        return self.change_line(name, paths, lambda line: evolve(line, manner=change(line.manner)))

    def change_section(self, name: str, index: int, change: Callable[[Section], Section]) -> bool:
        """Change one section."""
        return self._document.edit(name, edits.change_section(self.story, index, change))

    def change_item(self, name: str, path: StoryPath, item: Item, join: str | None = None) -> bool:
        """Put another item in the place of one."""
        return self._document.edit(name, edits.replace_item(self.story, path, item), join=join)

    def another_rhythm(self, row: Row) -> bool:
        """Give a line the next-best rhythm for its words."""
        if row.line is None:
            return False
        line = next_rhythm(row.line, row.metre, self.story.divided_words)
        return self.change_line("Another rhythm", (row.path,), lambda _: line)


def _place_after(story: Story, row: Row | None) -> StoryPath:
    if row is None:
        last = len(story.sections) - 1
        return ("story", last, "lines", len(story.sections[last].items))
    if row.item is not None:
        return _beside(row.path, 1)
    if row.kind is RowKind.HINT and len(row.path) == 2:
        return (*row.path, "lines", 0)
    if row.kind is RowKind.HINT:
        return row.path
    return (*row.path, "lines", 0) if row.kind is RowKind.SECTION else (*row.path, 0)


def _beside(path: StoryPath, by: int) -> StoryPath:
    index = path[-1]
    assert isinstance(index, int)
    return (*path[:-1], index + by)


def _section_of(row: Row | None) -> int | None:
    if row is None or row.path[0] != "story":
        return None
    index = row.path[1]
    return index if isinstance(index, int) else None


def _free_name(story: Story, line: Line) -> str:
    from tapscore.model.words import printed

    words = [w.strip(".,;:!?…“”‘’\"'()|") for w in printed(line.words).split()]
    base = " ".join(w for w in words[:2] if w).casefold() or "refrain"
    name, count = base, 2
    while story.refrain(name) is not None:
        name, count = f"{base} {count}", count + 1
    return name
