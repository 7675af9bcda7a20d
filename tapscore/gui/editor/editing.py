"""What the keys and menus do to the story: each a named step on the undo stack."""

from collections.abc import Callable, Sequence
from typing import Any

from attrs import evolve

from tapscore.gui.document import Document
from tapscore.gui.editor.fitting_later import AT_ONCE, FittingLater
from tapscore.model import edits, lane_edits, selection
from tapscore.model.fewer_taps import NAMES, Tapped
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane, TapDetail
from tapscore.model.lane_edits import CellPlace
from tapscore.model.loudness import Loudness
from tapscore.model.selection import Paths
from tapscore.model.story import Item, Line, Offer, RefrainUse, Section, Story, Wait
from tapscore.rhythm.unroll import story_manner
from tapscore.screen.row_places import beside, counted, item_paths, place_after, section_of
from tapscore.screen.rows import Row, RowKind
from tapscore.wording.catalogue import say
from tapscore.workflow.cut_and_join import cut_line, join_lines
from tapscore.workflow.find_words import FoundWords, replace_words
from tapscore.workflow.fit_report import change_said
from tapscore.workflow.fitting import next_rhythm, retyped, rhythm_number
from tapscore.workflow.refitting import metres_kept, refitted
from tapscore.workflow.thinning import thinned


class StoryEditing:
    """Edits of one document; every method says with its result where the cursor goes."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self.later = FittingLater(document, document)
        """Finds rhythms for many lines at once."""

    @property
    def story(self) -> Story:
        """The story as it is now."""
        return self._document.story

    def type_lines(self, before: Row, lines: Sequence[str]) -> bool:
        """Change a line's words; its rhythm follows as far as it was not made by hand.

        ``before`` is the row as it was when typing began, so that the words and taps of that
        moment count, not those of a word half typed.  Of several lines the first is the line's
        own, the others come below it.  Nothing if the line is gone.
        """
        if before.line is None or not isinstance(edits.found(self.story, before.path), Line):
            return False
        glossary = self.story.divided_words
        line = retyped(before.line, lines[0], before.metre, glossary)
        story = edits.replace_item(self.story, before.path, line)
        below = [retyped(Line(""), words, before.metre, glossary) for words in lines[1:]]
        story, _ = selection.insert_all(story, beside(before.path, 1), below)
        return self._document.edit(say("Change words"), story, join=f"words {before.path}")

    def put_back(self, before: Row) -> bool:
        """Give a line the words and taps it had before typing; a step that can be undone."""
        if before.line is None or not isinstance(edits.found(self.story, before.path), Line):
            return False
        story = edits.replace_item(self.story, before.path, before.line)
        return self._document.edit(say("Put the words back"), story)

    def rename_section(self, index: int, title: str) -> None:
        """Change a section's heading."""
        story = edits.change_section(self.story, index, lambda s: evolve(s, title=title))
        self._document.edit(say("Change heading"), story)

    def insert(self, row: Row | None, item: Item) -> StoryPath:
        """Put a new item after ``row``; the item's path."""
        story = self.story
        if not story.sections:
            story = edits.add_section(story, 0, say("Beginning"))
        path = place_after(story, row)
        self._document.edit(_ADD[type(item)], edits.insert_item(story, path, item))
        return path

    def insert_section(self, row: Row | None) -> StoryPath:
        """Start a new section after the one ``row`` is in."""
        index = section_of(row)
        index = len(self.story.sections) if index is None else index + 1
        self._document.edit(
            say("Add section"), edits.add_section(self.story, index, say("New section"))
        )
        return ("story", index)

    def insert_all(
        self,
        name: str,
        row: Row | None,
        items: Sequence[Item],
        first: Callable[[Story], Story] = lambda story: story,
        source: Story | None = None,
    ) -> Paths:
        """Put several items after ``row`` in one step, after a change that comes ``first``.

        What comes from a ``source`` keeps the metre that it has there.
        """
        story = first(self.story)
        if not story.sections:
            story = edits.add_section(story, 0, say("Beginning"))
        story, paths = selection.insert_all(story, place_after(story, row), items)
        if source is not None:
            story = metres_kept(source, story, copied=True)
        self._document.edit(name, story)
        return paths

    def paste_words(self, row: Row | None, text: str) -> Paths:
        """Put copied words after ``row``, each line fitted."""
        lines = [" ".join(line.split()) for line in text.splitlines() if line.strip()]
        if not lines:
            return ()
        glossary = self.story.divided_words
        metre = row.metre if row else story_manner(self.story).metre
        if len(lines) <= AT_ONCE:
            items = [retyped(Line(""), words, metre, glossary) for words in lines]
            return self.insert_all(say("Paste words"), row, items)
        plain = tuple(Line(words) for words in lines)
        paths = self.insert_all(say("Paste words"), row, plain)
        self.later.fit(plain, metre)
        return paths

    def delete(self, rows: Sequence[Row]) -> bool:
        """Take lines, waits, offerings, returns and headings away."""
        paths = [row.path for row in rows if row.item is not None or row.kind is RowKind.SECTION]
        story = metres_kept(self.story, selection.delete_all(self.story, paths))
        return self._document.edit(say("Delete {counted}", counted=counted(rows)), story)

    def repeat(self, rows: Sequence[Row]) -> Paths:
        """Put the same once more below the last of these rows."""
        paths = item_paths(rows)
        if not paths:
            return ()
        story, new = selection.repeat_all(self.story, paths)
        self._document.edit(say("Repeat {counted}", counted=counted(rows)), story)
        return new

    def move(self, rows: Sequence[Row], by: int) -> Paths:
        """Move items up (-1) or down (1)."""
        story, paths = selection.move_all(self.story, item_paths(rows), by)
        story = metres_kept(self.story, story)
        self._document.edit(say("Move {counted}", counted=counted(rows)), story)
        return paths

    def move_to(self, rows: Sequence[Row], below: Row | None) -> Paths:
        """Move items below a row."""
        story, paths = selection.move_to(
            self.story, item_paths(rows), place_after(self.story, below)
        )
        story = metres_kept(self.story, story)
        return (
            paths
            if self._document.edit(say("Move {counted}", counted=counted(rows)), story)
            else ()
        )

    def cut_in_two(self, row: Row, syllable: int) -> Paths:
        """Make two lines of one, before the word of a syllable; nothing where that can't be."""
        line = edits.found(self.story, row.path)
        if not isinstance(line, Line):
            return ()
        pieces = cut_line(line, syllable, row.metre, self.story.divided_words)
        if pieces is None:
            return ()
        story = edits.replace_item(self.story, row.path, pieces[0])
        below = beside(row.path, 1)
        self._document.edit(say("Cut line in two"), edits.insert_item(story, below, pieces[1]))
        return row.path, below

    def join(self, rows: Sequence[Row]) -> Paths:
        """Make one line of lines that follow one another; one row is joined with the next."""
        paths = item_paths(rows)
        if len(paths) == 1:
            paths = (*paths, beside(paths[0], 1))
        items = [edits.found(self.story, path) for path in paths]
        lines = [item for item in items if isinstance(item, Line)]
        if not lines or len(lines) < len(items) or not selection.follow_one_another(paths):
            return ()
        joined = join_lines(lines, rows[0].metre, self.story.divided_words)
        story = edits.replace_item(self.story, paths[0], joined)
        story = selection.delete_all(story, paths[1:])
        self._document.edit(say("Join {count} lines", count=len(lines)), story)
        return paths[:1]

    def replace_words(self, found: Sequence[FoundWords], new: str) -> bool:
        """Say something else at places that were found; one step."""
        return self._document.edit(
            say("{count:Replace|Replace in # places}", count=len(found)),
            replace_words(self.story, found, new),
        )

    def make_refrain(self, rows: Sequence[Row]) -> Paths:
        """Make lines that follow one another a refrain; a return its refrain's own lines again.

        Gives the path of the return, or none where that can't be done.
        """
        paths = item_paths(rows)
        if [row.kind for row in rows] == [RowKind.RETURN]:
            use = rows[0].item
            if not isinstance(use, RefrainUse) or self.story.refrain(use.name) is None:
                return ()  # a return to a refrain that is written nowhere
            self._document.edit(
                say("Write refrain out"), edits.write_out_refrain(self.story, *paths)
            )
            return paths
        lines = [row.line for row in rows if row.line is not None]
        loose = all(row.refrain is None for row in rows)
        if not (lines and loose and len(paths) == len(rows)):
            return ()
        if not selection.follow_one_another(paths):
            return ()
        name = _free_name(self.story, lines[0])
        story = selection.refrain_of(self.story, paths, name)
        self._document.edit(say("Make refrain"), metres_kept(self.story, story))
        return paths[:1]

    def change_lane(self, name: str, row: Row, change: Callable[[Lane], Lane | None]) -> bool:
        """Change the lane of a line; False if the change makes no sense there."""
        if row.line is None or row.line.lane is None:
            return False
        lane = change(row.line.lane)
        if lane is None:
            return False
        story = edits.change_line(self.story, row.path, lambda line: evolve(line, lane=lane))
        return self._document.edit(name, story)

    def set_lane(self, path: StoryPath, lane: Lane) -> bool:
        """Give a line the rhythm that was tapped in."""
        return self.change_items(say("Tap in"), (path,), lambda line: evolve(line, lane=lane))

    def toggle_tap(self, row: Row, event: int) -> bool:
        """Take the tap away from a syllable, or give it one."""
        return self.change_lane(
            say("Tap or no tap"), row, lambda lane: lane_edits.toggle_tap(lane, event)
        )

    def add_tap(self, row: Row, place: CellPlace) -> bool:
        """Put a tap where nothing was."""
        return self.change_lane(say("Add tap"), row, lambda lane: lane_edits.add_tap(lane, place))

    def toggle_accent(self, row: Row, event: int) -> bool:
        """Make a tap strong, or no longer strong."""
        return self.change_lane(
            say("Strong tap"), row, lambda lane: lane_edits.toggle_accent(lane, event)
        )

    def move_tap(self, row: Row, event: int, steps: int) -> bool:
        """Move a tap along the grid."""
        return self.change_lane(
            say("Move tap"), row, lambda lane: lane_edits.move_event(lane, event, steps)
        )

    def hold(self, row: Row, event: int, longer: bool) -> bool:
        """Make a tap last a step more or less."""
        return self.change_lane(
            say("Hold tap"), row, lambda lane: lane_edits.set_held(lane, event, longer)
        )

    def change_tap(
        self, name: str, row: Row, event: int, change: Callable[[TapDetail], TapDetail]
    ) -> bool:
        """Change what is special about one tap."""
        return self.change_lane(name, row, lambda lane: lane_edits.with_detail(lane, event, change))

    def change_items(
        self,
        name: str,
        paths: Sequence[StoryPath],
        change: Callable[[Any], Any],
        join: str | None = None,
    ) -> bool:
        """Change every item among ``paths`` in one step; those that are gone are left out."""
        story = self.story
        for path in paths:
            item = edits.found(story, path)
            if item is not None:
                story = edits.replace_item(story, path, change(item))
        story = refitted(self.story, story).story
        return self._document.edit(name, story, join=join)

    def change_tap_at(
        self,
        name: str,
        path: StoryPath,
        event: int,
        change: Callable[[TapDetail], TapDetail],
        join: str | None = None,
    ) -> bool:
        """Change what is special about one tap of the line at ``path``, if it is there still."""
        line = edits.found(self.story, path)
        if not isinstance(line, Line) or line.lane is None:
            return False
        if event >= len(lane_edits.event_places(line.lane)):
            return False
        lane = lane_edits.with_detail(line.lane, event, change)
        story = edits.replace_item(self.story, path, evolve(line, lane=lane))
        return self._document.edit(name, story, join=join)

    def change_sections(
        self,
        name: str,
        indices: Sequence[int],
        change: Callable[[Section], Section],
        join: str | None = None,
    ) -> bool:
        """Change sections in one step; those that are gone are left out."""
        story = self.story
        for index in indices:
            if index < len(story.sections):
                story = edits.change_section(story, index, change)
        return self._document.edit(name, refitted(self.story, story).story, join=join)

    def another_rhythm(self, rows: Sequence[Row], *, back: bool = False) -> str:
        """Give lines the next-best rhythm for their words, or the one before; says which it is."""
        story, glossary = self.story, self.story.divided_words
        said = change = ""
        for row in rows:
            if row.line is None or not isinstance(edits.found(story, row.path), Line):
                continue
            line = next_rhythm(row.line, row.metre, glossary, back=back)
            story = edits.replace_item(story, row.path, line)
            said = rhythm_number(line, row.metre, glossary)
            change = change_said(row.line, row.metre, line, row.metre)
        lines = [row for row in rows if row.line is not None]
        self._document.edit(say("Another rhythm"), story)
        if len(lines) != 1 or not said:
            return ""
        return say("Rhythm {number}. {change}", number=said, change=change).strip()

    def fewer_taps(self, rows: Sequence[Row], which: Tapped) -> bool:
        """Tap those syllables of lines, or of all lines of sections; the words stay."""
        paths = {row.path for row in rows if row.line is not None}
        sections = {row.path[1] for row in rows if row.kind is RowKind.SECTION}

        def chosen(path: StoryPath) -> bool:
            return path in paths or (path[0] == "story" and path[1] in sections)

        story, _ = thinned(self.story, which, chosen)
        return self._document.edit(say("Tap {which}", which=NAMES[which]), story)

    def louder(self, rows: Sequence[Row], by: int) -> bool:
        """Make lines louder (1) or quieter (-1) by a step, each from where it is."""
        story = self.story
        for row in rows:
            if row.line is not None:
                swell = tuple(stepped(level, by) for level in row.manner.loudness)
                line = evolve(row.line, manner=evolve(row.line.manner, loudness=swell))
                story = edits.replace_item(story, row.path, line)
        return self._document.edit(say("Change loudness"), story)


_ADD = {
    Line: say("Add line"),
    Wait: say("Add wait"),
    Offer: say("Add offering"),
    RefrainUse: say("Add refrain"),
}


def stepped(level: Loudness, by: int) -> Loudness:
    """A level so many steps louder or quieter, as far as there are any."""
    return Loudness(min(max(level + by, 0), 4))


def _free_name(story: Story, line: Line) -> str:
    from tapscore.model.words import printed

    words = [w.strip(".,;:!?…“”‘’\"'()|") for w in printed(line.words).split()]
    base = " ".join(w for w in words[:2] if w).casefold() or "refrain"
    name, count = base, 2
    while story.refrain(name) is not None:
        name, count = f"{base} {count}", count + 1
    return name
