"""The window: the story left, the board and what to look at again on the right."""

from html import escape
from pathlib import Path

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from tapscore.checks.accepting import accept
from tapscore.checks.registry import mended, rule
from tapscore.exports.board.drawing import Thing
from tapscore.gui import looks
from tapscore.gui.checking import Checking
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.hold_details import HoldDetails, SectionDetails
from tapscore.gui.editor.line_details import LineDetails
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.editor.tap_strip import TapStrip
from tapscore.gui.felt.details import FeltDetails
from tapscore.gui.felt.pane import FeltPane
from tapscore.gui.hints import HintStrip
from tapscore.gui.listening.desk import Listening
from tapscore.gui.menus import Menus
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.gui.panels.findings_panel import FindingsPanel
from tapscore.gui.panels.props_panel import PropsPanel
from tapscore.gui.panels.roles_panel import RolesPanel
from tapscore.gui.panels.story_panel import StoryPanel
from tapscore.gui.panels.time_panel import TimePanel
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import FileDesk, StoryWindow
from tapscore.model import edits
from tapscore.model.board import Point
from tapscore.model.finding import Finding, StoryPath
from tapscore.model.tempo import tempo_text
from tapscore.model.wordings import clock
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import running_time
from tapscore.rhythm.unroll import story_manner
from tapscore.screen.rows import RowKind
from tapscore.wording.text import Surface


class MainWindow(StoryWindow):
    """One story in one window."""

    def __init__(self, document: Document, settings: Settings, files: FileDesk) -> None:
        super().__init__()
        self.document = document
        document.setParent(self)
        self.settings = settings
        self.files = files
        self.editing = StoryEditing(document)
        self.rows = StoryRows(document, self)
        self.view = StoryView(self.rows, self.editing)
        self.board = BoardPanel()
        self.felt = FeltPane(self.board)
        self.felt_details = FeltDetails()
        self.findings = FindingsPanel()
        self.checking = Checking(document, self)
        self.line_details = LineDetails(self.editing, self._chosen_lines)
        self.hold_details = HoldDetails(self.editing)
        self.section_details = SectionDetails(self.editing)
        self.listening = Listening(document, self.rows, self.view, self)
        self.tap_strip = TapStrip()
        self.hints = HintStrip()
        self.hints.setVisible(False)
        self._head = QLabel()
        self._head.setAccessibleName("Story details")
        self.tabs = QTabWidget()
        self._length = ""
        self._build()
        self.menus = Menus(self)
        self.actions_by_id = self.menus.actions
        self._connect()
        self.look()
        self._story_changed()
        self._title()
        self.resize(1280, 800)
        self.view.setFocus()
        self.view.selectRow(0)

    def _build(self) -> None:
        self.details = QWidget()
        details = QVBoxLayout(self.details)
        details.setContentsMargins(0, 0, 0, 0)
        details.addWidget(self.line_details)
        details.addWidget(self.hold_details)
        details.addWidget(self.section_details)
        self.details.setVisible(False)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(16, 10, 16, 10)
        head.addWidget(self._head, 1)
        column.addLayout(head)
        column.addWidget(self.hints)
        column.addWidget(self.tap_strip)
        column.addWidget(self.view, 1)
        column.addWidget(self.details)
        self.tabs.setAccessibleName("Look again, props, roles, story, felt")
        self.tabs.addTab(self.findings, "Look again")
        self.tabs.addTab(PropsPanel(self.document), "Props")
        self.tabs.addTab(RolesPanel(self.document), "Roles")
        self.tabs.addTab(StoryPanel(self.document), "Story")
        self.time = TimePanel(self.document)
        self.tabs.addTab(self.time, "Time")
        self.tabs.addTab(self.felt_details, "Felt")
        right = QSplitter(Qt.Orientation.Vertical)
        right.addWidget(self.felt)
        right.addWidget(self.tabs)
        right.setSizes([360, 380])
        across = QSplitter(Qt.Orientation.Horizontal)
        across.addWidget(left)
        across.addWidget(right)
        across.setSizes([880, 400])
        across.setStretchFactor(0, 1)
        whole = QWidget()
        rows = QVBoxLayout(whole)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addWidget(across, 1)
        rows.addWidget(self.listening.bar)
        self.setCentralWidget(whole)

    def _connect(self) -> None:
        self.document.changed.connect(self._story_changed)
        self.document.undo_stack.cleanChanged.connect(self._title)
        self.document.undo_stack.indexChanged.connect(self.menus.name_undo)
        self.document.saved.connect(self._title)
        self.view.cursor_moved.connect(self._cursor_moved)
        self.view.selectionModel().selectionChanged.connect(self._cursor_moved)
        self.view.details_wanted.connect(self.show_details)
        self.view.delegate.commitData.connect(self._field_done)
        self.checking.found.connect(self._found)
        self.findings.chosen.connect(self._go_to_finding)
        self.tabs.currentChanged.connect(self._tab_changed)
        self.findings.current_changed.connect(self._look_for_mending)
        self.findings.mend_wanted.connect(self._mend)
        self.findings.accept_wanted.connect(self._accept)
        self.board.moved.connect(self._thing_moved)
        self.felt.answered.connect(self.felt_details.show_answer)
        self.hints.put_away.connect(self._put_hints_away)
        self.view.space = self.listening.space
        self.view.refused.connect(self.say)
        self.view.menu_wanted.connect(self.menus.on_row)
        self.view.tapping_changed.connect(self.tap_strip.setVisible)
        self.view.tapping_changed.connect(self.menus.refresh)
        self.tap_strip.done.connect(lambda: self.view.set_tapping(False))
        self.listening.player.changed.connect(self.menus.refresh)
        self.listening.bar.chosen.connect(self.menus.refresh)
        self.menus.name_undo()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        """Qt: back from another program, which may have changed the file."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.files.look_at_disc(self)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Qt: ask first if something is not saved."""
        if self.files.may_close(self):
            self.listening.shut()
            self.checking.stop()
            self.felt.stop()
            self.document.undo_stack.blockSignals(True)
            self.files.closed(self)
            self.deleteLater()
            event.accept()
        else:
            event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: Escape, where nothing else took it, stops listening."""
        if event.key() == Qt.Key.Key_Escape and self.listening.going:
            self.listening.stop()
            return
        why_not = self.menus.why_not(event)
        if why_not:
            self.say(why_not)
        super().keyPressEvent(event)

    def _chosen_lines(self) -> tuple[StoryPath, ...]:
        return tuple(row.path for row in self.view.selected_rows if row.line is not None)

    def say(self, text: str) -> None:
        """Say something short at the window's foot."""
        self.statusBar().showMessage(text, 5000)

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Every key, and what it does."""
        return self.menus.keys()

    def show_details(self) -> None:
        """Open the details of what is chosen, or close them."""
        self.details.setVisible(not self.details.isVisible())
        self._cursor_moved()
        if self.details.isVisible() and self.line_details.isVisible():
            self.line_details.loudness.setFocus()
        else:
            self.view.setFocus()

    def _cursor_moved(self) -> None:
        row = self.view.current_row
        self.board.show_row(row)
        self.felt.show_row(row)
        kind = row.kind if row is not None else None
        shown: QWidget | None = None
        if row is not None and kind is RowKind.LINE:
            shown = self.line_details
            if self.details.isVisible():
                self.line_details.show_row(row, self.view.cursor_event)
        elif row is not None and kind in (RowKind.WAIT, RowKind.OFFER):
            shown = self.hold_details
            self.hold_details.show_row(row)
        elif row is not None and kind is RowKind.SECTION:
            shown = self.section_details
            self.section_details.show_row(row)
        for each in (self.line_details, self.hold_details, self.section_details):
            each.setVisible(each is shown)
        self.menus.refresh()

    def _field_done(self, field: QWidget) -> None:
        row = self.view.current_row
        text = " ".join(str(field.property("text") or "").split())
        if row is not None and row.kind is RowKind.SECTION and text:
            index = row.path[1]
            assert isinstance(index, int)
            self.editing.rename_section(index, text)

    def _story_changed(self) -> None:
        story = self.document.story
        manner = story_manner(story)
        tempo = tempo_text(manner.tempo)
        gap = "&nbsp;" * 4
        self._head.setText(
            f"<b style='font-size:{round(22 * self.settings.scale)}px'>{escape(story.title)}</b>"
            f"{gap}{manner.metre}{gap}{tempo} a minute{gap}{self._length}"
        )
        self.board.show_board(story.board, story.sitting)
        self.felt.show_story(story)
        self._cursor_moved()

    def _found(self, findings: tuple[Finding, ...]) -> None:
        time = running_time(perform(self.document.story)).total
        self._length = f"at least {clock(time.least_sec)}"
        if self.time.isVisible():
            self.time.refresh()
        self._story_changed()
        self.rows.set_findings(findings)
        self.findings.show_findings(findings, self.checking.accepted)
        self.tabs.setTabText(0, f"Look again ({len(findings)})" if findings else "Look again")

    def _go_to_finding(self, finding: Finding) -> None:
        if self._still_there(finding):
            self.view.go_to(finding.path)

    def _still_there(self, finding: Finding) -> bool:
        """Whether what was found is still in the story; says so where it is not."""
        path = finding.path
        items = path[:4] if path[:1] == ("story",) else path[:3]
        whole = len(items) == (4 if path[:1] == ("story",) else 3)
        gone = bool(path) and path[0] in ("story", "refrains") and whole
        if gone and edits.found(self.document.story, items) is None:
            self.say("That line is gone. The list is looked through again in a moment.")
            return False
        return True

    def _tab_changed(self) -> None:
        if self.tabs.currentWidget() is self.time:
            self.time.refresh()

    def _look_for_mending(self, finding: Finding | None) -> None:
        story = self.document.story
        found = rule(finding.code) if finding is not None else None
        if finding is None or found is None or not self._still_there(finding):
            return
        if mended(story, finding) is not None:
            self.findings.can_mend(found.mends or finding.said(Surface.WINDOW).remedy)

    def _mend(self, finding: Finding) -> None:
        if self._still_there(finding):
            story = mended(self.document.story, finding)
            if story is not None:
                self.document.edit("Mend what was found", story)

    def _accept(self, finding: Finding) -> None:
        if not self._still_there(finding):
            return
        why = self.files.asking.words(
            self, "Keep it so", f"{finding.said(Surface.WINDOW).message}\nWhy is it so?"
        )
        if why:
            self.document.edit("Keep it so", accept(self.document.story, finding, why))

    def _thing_moved(self, thing: Thing, point: Point) -> None:
        story = edits.move_on_board(self.document.story, thing.kind, thing.name, point)
        self.document.edit(f"Move {thing.name}", story)

    def show_hints(self) -> None:
        """Show the first hints, unless they were put away before."""
        self.hints.setVisible(not self.settings.hints_seen)

    def _put_hints_away(self) -> None:
        self.settings.hints_seen = True
        self.hints.setVisible(False)
        self.view.setFocus()

    def look(self) -> None:
        """Show itself in the looks that are set."""
        looks.dress(self)
        self._story_changed()

    def _title(self) -> None:
        path: Path | None = self.document.path
        name = path.name if path else "not saved yet"
        self.setWindowTitle(f"{self.document.story.title} ({name})[*]")
        self.setWindowModified(self.document.modified)
