"""Any order of edits, undo, redo and save leaves a sound story."""

import tempfile
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from PySide6.QtWidgets import QApplication

from tapscore.disc.whole import write_whole_bytes
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.model.story import Line, Story, Wait
from tapscore.resources import demo_stories
from tapscore.screen.rows import Row, rows_of
from tapscore.storyfile.read import read_file, read_text

ROW = st.integers(0, 40)
EVENT = st.integers(0, 12)


class Editing(RuleBasedStateMachine):
    """Edits a copy of a demo story as a restless teacher would."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        source = read_file(demo_stories()[1])
        self.document = Document(source, None)
        self.first = self.document.story
        self.editing = StoryEditing(self.document)
        self.rows = StoryRows(self.document)
        self.read: Story | None = None

    def row(self, number: int) -> Row:
        return self.rows.rows[number % len(self.rows.rows)]

    def some(self, number: int) -> tuple[Row, ...]:
        """One row, or three of them, one or two apart."""
        rows = self.rows.rows
        at = number % len(rows)
        return rows[at : at + 3 * (1 + at % 2) : 1 + at % 2] if at % 3 else (rows[at],)

    @rule(number=ROW, words=st.text("aeiou tlmn-'’é🙂", max_size=24))
    def type_words(self, number: int, words: str) -> None:
        if self.row(number).line is not None:
            self.editing.type_lines(self.row(number), [words])

    @rule(number=ROW)
    def delete(self, number: int) -> None:
        self.editing.delete(self.some(number))

    @rule(number=ROW)
    def insert(self, number: int) -> None:
        self.editing.insert(self.row(number), Line("row the boat"))

    @rule(number=ROW)
    def wait(self, number: int) -> None:
        self.editing.insert(self.row(number), Wait(Fraction(10)))

    @rule(number=ROW)
    def section(self, number: int) -> None:
        self.editing.insert_section(self.row(number))

    @rule(number=ROW)
    def duplicate(self, number: int) -> None:
        self.editing.repeat(self.some(number))

    @rule(number=ROW, by=st.sampled_from([-1, 1]))
    def move(self, number: int, by: int) -> None:
        self.editing.move(self.some(number), by)

    @rule(number=ROW)
    def refrain(self, number: int) -> None:
        self.editing.make_refrain(self.some(number))

    @rule(number=ROW, event=EVENT, what=st.sampled_from(["tap", "accent", "later", "hold"]))
    def tap(self, number: int, event: int, what: str) -> None:
        row = self.row(number)
        if row.line is None or row.line.lane is None:
            return
        from tapscore.model.lane_edits import event_places

        count = len(event_places(row.line.lane))
        if not count:
            return
        event %= count
        match what:
            case "tap":
                self.editing.toggle_tap(row, event)
            case "accent":
                self.editing.toggle_accent(row, event)
            case "later":
                self.editing.move_tap(row, event, 1)
            case "hold":
                self.editing.hold(row, event, True)

    @rule(number=ROW)
    def rhythm(self, number: int) -> None:
        self.editing.another_rhythm(self.some(number))

    @precondition(lambda self: self.document.undo_stack.canUndo())
    @rule()
    def undo(self) -> None:
        self.document.undo_stack.undo()

    @precondition(lambda self: self.document.undo_stack.canRedo())
    @rule()
    def redo(self) -> None:
        self.document.undo_stack.redo()

    @rule()
    def save(self) -> None:
        text = self.document.text()
        path = self.folder / "story.yaml"
        write_whole_bytes(path, text.encode("utf-8"))
        assert read_file(path).story == self.document.story
        self.document.mark_saved(path)

    @invariant()
    def rows_follow_the_story(self) -> None:
        assert self.rows.rows == rows_of(self.document.story, self.rows.folds)

    @invariant()
    def text_reads_back(self) -> None:
        """Looked at once a story: many steps change nothing."""
        if self.document.story is not self.read:
            assert read_text(self.document.text()).story == self.document.story
            self.read = self.document.story

    def teardown(self) -> None:
        while self.document.undo_stack.canUndo():
            self.document.undo_stack.undo()
        assert self.document.story == self.first


@pytest.mark.usefixtures("qapp")
def test_any_order_of_edits(qapp: QApplication) -> None:
    from hypothesis.stateful import run_state_machine_as_test

    run_state_machine_as_test(
        Editing, settings=settings(max_examples=15, stateful_step_count=25, deadline=None)
    )
