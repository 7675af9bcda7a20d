"""The window: the story left, the board and what to look at again on the right."""

from functools import partial
from html import escape
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QScrollArea,
    QStatusBar,
    QWidget,
)

from tapscore.exports.board.layout import Thing
from tapscore.gui import looks, names_in_use, row_commands, window_place
from tapscore.gui.action_row import ActionRow
from tapscore.gui.checking import Checking
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.overview import Overview
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.editor.tap_strip import TapStrip
from tapscore.gui.felt.details import FeltDetails
from tapscore.gui.felt.pane import FeltPane
from tapscore.gui.find_strip import FindStrip
from tapscore.gui.guess_strip import GuessStrip
from tapscore.gui.hints import HintStrip
from tapscore.gui.listening.session import Listening
from tapscore.gui.mending import Mending
from tapscore.gui.menus import Menus
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.gui.panels.details_panel import DetailsPanel
from tapscore.gui.panels.findings_panel import FindingsPanel
from tapscore.gui.panels.furnishing_panel import FurnishingPanel
from tapscore.gui.panels.props_panel import PropsPanel
from tapscore.gui.panels.roles_panel import RolesPanel
from tapscore.gui.panels.side_panels import SidePanels
from tapscore.gui.panels.story_panel import StoryPanel
from tapscore.gui.panels.time_panel import TimePanel
from tapscore.gui.settings import Settings
from tapscore.gui.spelling.check import SpellingCheck
from tapscore.gui.spelling.strip import SpellingStrip
from tapscore.gui.status_line import StatusLine, reading_ms
from tapscore.gui.story_window import StoryFiles, StoryWindow
from tapscore.gui.window_panels import LOOK_AGAIN, show_place
from tapscore.gui.window_parts import lay_out, make_room
from tapscore.model import edits, furnishing
from tapscore.model.board import Point
from tapscore.model.finding import Finding, StoryPath
from tapscore.model.tempo import tempo_text
from tapscore.model.wordings import clock
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import total_time
from tapscore.rhythm.unroll import story_manner
from tapscore.screen.rows import RowKind
from tapscore.wording.catalogue import say


class MainWindow(StoryWindow):
    """One story in one window."""

    def __init__(self, document: Document, settings: Settings, files: StoryFiles) -> None:
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
        self.time = TimePanel(document)
        self.side = SidePanels()
        self.board_panel = QScrollArea()
        self.board_panel.setWidgetResizable(True)
        self.board_panel.setFrameShape(QFrame.Shape.NoFrame)
        self.board_panel.setAccessibleName(say("Board and what is felt"))
        self.listening = Listening(document, self.rows, self.view, self)
        self.tap_strip = TapStrip()
        self.finding = FindStrip(self.view, self.editing)
        self.spelling = SpellingCheck(document, settings, self.rows, self)
        self.spelling_strip = SpellingStrip(self.spelling, self.view, self.editing)
        self.overview = Overview(self.view, self.rows)
        self.hints = HintStrip()
        self.hints.setVisible(False)
        self.guesses = GuessStrip(document)
        self.guesses.setVisible(False)
        self._length = ""
        self._status: StatusLine | None = None
        self.menus = Menus(self)
        self.actions_by_id = self.menus.actions
        self.action_row = ActionRow(self.menus)
        self.mending = Mending(self.findings, self)
        self.splitters = lay_out(self)
        self._connect()
        self.look()
        self._title()
        self.view.setFocus()
        self.view.selectRow(0)
        window_place.put(self)

    def _connect(self) -> None:
        self.document.changed.connect(self._story_changed)
        self.document.undo_stack.cleanChanged.connect(self._title)
        self.document.undo_stack.indexChanged.connect(self.menus.follow_undo)
        self.document.saved.connect(self._title)
        self.view.cursor_moved.connect(self._cursor_moved)
        self.view.selectionModel().selectionChanged.connect(self._cursor_moved)
        self.view.details_wanted.connect(self.show_details)
        self.view.delegate.commitData.connect(self._field_done)
        self.checking.found.connect(self._found)
        self.side.changed.connect(self._panel_changed)
        self.board.moved.connect(self._thing_moved)
        self.board.chosen.connect(lambda thing: self.furnishing.show_thing(thing.kind, thing.name))
        self.board.spot_wanted.connect(self._tap_at)
        self.felt.answered.connect(self.felt_details.show_answer)
        self.felt.offered.connect(self.felt_details.allow)
        self.felt_details.allow(self.felt.place.count() > 1)
        self.hints.put_away.connect(self._put_hints_away)
        self.guesses.put_away.connect(self._put_guesses_away)
        self.rows.folded.connect(self._cursor_moved)
        self.view.cut_wanted.connect(partial(row_commands.cut_in_two, self))
        self.finding.done.connect(self._end_finding)
        self.finding.said.connect(self.say)
        self.spelling_strip.done.connect(self._end_finding)
        self.spelling.changed.connect(self.menus.refresh)
        self.view.space = self.listening.space
        self.view.refused.connect(self.say)
        self.view.menu_wanted.connect(self.menus.on_row)
        self.view.tapping_changed.connect(self.tap_strip.setVisible)
        self.view.tapping_changed.connect(self.menus.refresh)
        self.tap_strip.done.connect(lambda: self.view.set_tapping(False))
        self.listening.player.changed.connect(self.menus.refresh)
        self.listening.bar.chosen.connect(self.menus.refresh)
        self.listening.bar.show_ears(*self.settings.ears)
        self.listening.bar.chosen.connect(self._keep_ears)
        self.menus.follow_undo()

    def _keep_ears(self) -> None:
        self.settings.ears = self.listening.bar.ears

    @property
    def details(self) -> DetailsPanel:
        """The panel of what is chosen; as the next four, made when it is first wanted."""
        return self.side.panel(DetailsPanel)

    @property
    def props(self) -> PropsPanel:
        """The panel of the story's props."""
        return self.side.panel(PropsPanel)

    @property
    def roles(self) -> RolesPanel:
        """The panel of the story's roles."""
        return self.side.panel(RolesPanel)

    @property
    def story_details(self) -> StoryPanel:
        """The panel of what holds for the whole story."""
        return self.side.panel(StoryPanel)

    @property
    def furnishing(self) -> FurnishingPanel:
        """The panel of what is on the board."""
        return self.side.panel(FurnishingPanel)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802
        """Qt: files may be dropped anywhere on the window."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802
        """Qt: open them once the other program has its answer; nothing here is replaced."""
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        QTimer.singleShot(0, self, partial(self.files.dropped, self, paths))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: there may be room for less, or for more again."""
        super().resizeEvent(event)
        make_room(self)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        """Qt: back from another program, which may have changed the file."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.files.look_at_disc(self)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Qt: ask first if something is not saved."""
        if self.files.may_close(self):
            window_place.remember(self)
            self.listening.shut()
            self.checking.stop()
            self.spelling.stop()
            self.editing.later.stop()
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

    def say(self, text: str) -> None:
        """Say something short at the window's foot."""
        self.statusBar().showMessage(text, reading_ms(text))

    def statusBar(self) -> QStatusBar:  # noqa: N802
        """Qt: the bar at the foot, there from the first thing that is said."""
        if self._status is None:
            self._status = StatusLine(self)
            self.setStatusBar(self._status)
        return self._status

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Every key, and what it does."""
        return self.menus.keys()

    def show_details(self) -> None:
        """Go to the details of what is chosen, or back to the story."""
        if self._seen_details and self.details.isAncestorOf(self.focusWidget()):
            self.view.setFocus()
            return
        self.side.show_panel(self.details)
        self._show_details()
        if self.details.shown is not None:
            self.details.shown.begin()

    def show_place(self, path: StoryPath) -> None:
        """Open the panel in which something beside the lines stands, with that chosen."""
        show_place(self, path)

    def show_finding(self) -> None:
        """Show the fields in which words are looked for."""
        self.view.end_typing()
        self.spelling_strip.hide()
        self.finding.begin()

    def show_spelling(self) -> None:
        """Go through the words that the dictionary lacks."""
        self.view.end_typing()
        self.finding.hide()
        self.spelling_strip.begin()

    def _end_finding(self) -> None:
        self.finding.hide()
        self.spelling_strip.hide()
        self.view.setFocus()

    def _panel_changed(self) -> None:
        if self.side.current is self.time:
            self.time.refresh()
        self._show_details()

    def _show_details(self) -> None:
        if self._seen_details:
            view = self.view
            self.details.show_rows(view.selected_rows, view.current_row, view.cursor_event)

    @property
    def _seen_details(self) -> bool:
        return isinstance(self.side.current, DetailsPanel)

    def take_away(self, kind: str, name: str) -> None:
        """Take away a thing of the story, wherever it is used."""
        names_in_use.take_away(self, kind, self._names(kind), name)

    def rename(self, kind: str, name: str) -> None:
        """Give a thing of the story another name, wherever it stands."""
        names_in_use.rename_everywhere(self, kind, self._names(kind), name)

    def _names(self, kind: str) -> tuple[str, ...]:
        story = self.document.story
        if kind in furnishing.KINDS:
            return furnishing.names(story.board, kind)
        things = story.props if kind == "prop" else story.roles
        return tuple(each.name for each in things)

    def _tap_at(self, spot: str) -> None:
        self.say(row_commands.tap_at(self, spot))

    def _cursor_moved(self) -> None:
        row = self.view.current_row
        self.board.show_row(row)
        self.felt.show_row(row)
        self._show_details()
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
        size_px = round(22 * self.settings.scale)
        facts = (str(manner.metre), say("{tempo} a minute", tempo=tempo), self._length)
        self.action_row.head.setText(
            ("&nbsp;" * 4).join(
                (f"<b style='font-size:{size_px}px'>{escape(story.title)}</b>", *facts)
            )
        )
        self.board.show_board(story.board, story.sitting)
        self.finding.refresh()
        self.felt.show_story(story)
        self._cursor_moved()

    def _found(self, findings: tuple[Finding, ...]) -> None:
        time = total_time(perform(self.document.story))
        self._length = say("at least {least}", least=clock(time.least_sec))
        if self.time.isVisible():
            self.time.refresh()
        self._story_changed()
        self.rows.set_findings(findings)
        self.findings.show_findings(findings, self.checking.accepted)
        count = f" ({len(findings)})" if findings else ""
        self.side.set_title(self.findings, f"{LOOK_AGAIN}{count}")

    def _thing_moved(self, thing: Thing, point: Point) -> None:
        story = edits.move_on_board(self.document.story, thing.kind, thing.name, point)
        self.document.edit(say("Move {thing}", thing=thing.name), story)

    def show_hints(self) -> None:
        """Show the first hints, unless they were put away before."""
        self.hints.setVisible(not self.settings.hints_seen)

    def _put_hints_away(self) -> None:
        self.settings.hints_seen = True
        self.hints.setVisible(False)
        self.view.setFocus()

    def _put_guesses_away(self) -> None:
        self.guesses.setVisible(False)
        self.view.setFocus()

    def look(self) -> None:
        """Show itself in the looks that are set."""
        looks.dress(self)
        self.overview.set_scale(self.settings.scale)
        make_room(self)
        self._story_changed()

    def _title(self) -> None:
        path: Path | None = self.document.path
        name = path.name if path else say("not saved yet")
        self.setWindowTitle(f"{self.document.story.title} ({name})[*]")
        self.setWindowModified(self.document.modified)
