"""The page to begin on: typed words, a file of words, an earlier story or a recent one."""

import os
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QSizePolicy,
    QTabWidget,
    QVBoxLayout,
)

from tapscore.gui import looks
from tapscore.gui.asking import STORIES, WORDS, usual_folder
from tapscore.gui.background import answered_at_once, patiently
from tapscore.gui.enter import CalmDialog
from tapscore.gui.my_board import kept, put_here
from tapscore.gui.my_stories import MyStories
from tapscore.gui.next_year_dialog import NextYearDialog
from tapscore.gui.saving import CopiedFrom
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.gui.starter_dialog import StarterDialog
from tapscore.gui.story_window import StoryWindow
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date
from tapscore.wording.text import Surface
from tapscore.workflow.belongings import belongings
from tapscore.workflow.new_story import blank_story, new_story_text, typed_story_text
from tapscore.workflow.next_year import next_year
from tapscore.workflow.open_story import open_story, title_of

if TYPE_CHECKING:
    from tapscore.gui.files import FileWork
    from tapscore.gui.main_window import MainWindow

MAKE, THROW, GO_ON = say("Make the story"), say("Throw them away"), say("Go on writing")
WORDS_ASKED = say(
    "&Words of a new story, typed or pasted: a new line where you breathe, an empty line where a "
    "new part begins"
)
SIDE_BY_SIDE_LETTERS = 44
"""Narrower than this, in heights of a letter, the two columns stand one below the other."""
_PATH = Qt.ItemDataRole.UserRole


class _Typed(QPlainTextEdit):
    """Takes what room is left; asks for no more than its least height."""

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: as low as it may be."""
        return QSize(super().sizeHint().width(), self.minimumHeight())


class _Listed(QListWidget):
    """The same for a list."""

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: as low as it may be."""
        return QSize(super().sizeHint().width(), self.minimumHeight())


class StartPage(CalmDialog):
    """A page that is gone once a story's window is open."""

    def __init__(self, files: "FileWork", window: StoryWindow | None = None) -> None:
        super().__init__(window)
        looks.dress_program(files.settings)
        self.setWindowTitle(say("Begin"))
        self._files = files
        self.words = _Typed()
        self.title = QLineEdit()
        self.my_board = QCheckBox(say("On my &board"))
        self._board = kept(files.settings)
        self.my_board.setChecked(self._board is not None)
        self.my_board.setVisible(self._board is not None)
        self.make = QPushButton(say("&Make the story"))
        self.from_file = QPushButton(say("Words from a &file ..."))
        self.blank = QPushButton(say("An &empty story"))
        self.copy = QPushButton(say("A &copy of an earlier story ..."))
        self.open_story = QPushButton(say("&Open a story ..."))
        self.starter = QPushButton(say("A story with &gaps ..."))
        self.demos = tuple(_demo_button(path) for path in demo_stories())
        self.recent = _Listed()
        self.said = QLabel()
        self.tabs = QTabWidget()
        self.stories = MyStories(files.settings, files.asking)
        self._across = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._build()
        self._fill_recent()
        self._connect()
        open_roomy(self, 900, 600)
        (self.recent if self.recent.isEnabled() else self.words).setFocus()

    def _build(self) -> None:
        self.words.setTabChangesFocus(True)
        self.said.setWordWrap(True)
        for widget, name in (
            (self.words, say("Words of the new story")),
            (self.title, say("Title of the new story")),
            (self.recent, say("Stories you had last; Enter opens one")),
            (self.said, say("What was said")),
        ):
            widget.setAccessibleName(name)
        self.ensurePolished()
        least_px = 5 * self.fontMetrics().height()
        policy = QSizePolicy.Policy
        for field in (self.words, self.recent):
            field.setMinimumHeight(least_px)
            field.setSizePolicy(policy.Expanding, policy.Expanding)
        self.recent.setWordWrap(True)
        left = QVBoxLayout()
        left.addWidget(_label(WORDS_ASKED, self.words))
        left.addWidget(self.words, 1)
        left.addWidget(_label(say("&Title (it can wait)"), self.title))
        left.addWidget(self.title)
        left.addWidget(self.my_board)
        left.addWidget(self.make)
        left.addWidget(self.said)
        right = QVBoxLayout()
        right.addWidget(_label(say("&Go on with"), self.recent))
        right.addWidget(self.recent, 1)
        right.addWidget(self.open_story)
        right.addSpacing(16)
        right.addWidget(QLabel(say("Or begin with")))
        for button in (self.from_file, self.starter, self.copy, self.blank, *self.demos):
            right.addWidget(button)
        for column in (left, right):
            column.setSpacing(8)  # else they take over the gap between them
        self._across.setSpacing(24)
        self._across.addLayout(left, 3)
        self._across.addLayout(right, 2)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 8, 8, 8)
        area = scrolled(self._across, say("Ways to begin"))
        area.setMinimumWidth(0)
        mine = QVBoxLayout()
        mine.addWidget(self.stories)
        listed = scrolled(mine, say("My stories"))
        listed.setMinimumWidth(0)
        self.tabs.addTab(area, say("Begin"))
        self.tabs.addTab(listed, say("M&y stories"))
        for tabs in (self.tabs, self.tabs.tabBar()):
            tabs.setAccessibleName(say("Begin, or my stories"))
        whole.addWidget(self.tabs)

    def _connect(self) -> None:
        self.make.clicked.connect(self.make_story)
        QShortcut(QKeySequence("Ctrl+Return"), self, self.make_story)
        self.from_file.clicked.connect(self._from_file)
        self.blank.clicked.connect(self._blank)
        self.starter.clicked.connect(self._starter)
        self.tabs.currentChanged.connect(self._turned)
        self.stories.opened.connect(lambda path: self._done(self._files.open_path(path)))
        self.stories.next_year.connect(self._next_year)
        self.copy.clicked.connect(self._copy)
        self.open_story.clicked.connect(self._open)
        self.recent.itemActivated.connect(self._open_recent)
        for path, button in zip(demo_stories(), self.demos, strict=True):
            button.clicked.connect(partial(self._demo, path))

    def _fill_recent(self) -> None:
        for path in self._files.settings.recent:
            item = QListWidgetItem(answered_at_once(partial(_title_and_date, path), path.stem))
            item.setToolTip(str(path))
            item.setData(_PATH, path)
            self.recent.addItem(item)
        self.recent.setCurrentRow(0)
        if not self.recent.count():
            where = usual_folder()
            self.recent.addItem(
                say(
                    "No story yet. Those you save lie in {usual_folder}, or where you choose.",
                    usual_folder=where,
                )
                if os.access(where, os.W_OK)
                else say("No story yet. Those you save lie where you choose.")
            )
            self.recent.setEnabled(False)

    def make_story(self) -> None:
        """Make a story of the words that stand on the page."""
        text, title = self.words.toPlainText(), " ".join(self.title.text().split())
        if not text.strip():
            self.said.setText(say("Type or paste the words of the story first."))
            self.words.setFocus()
            return
        made = self._files.from_words(
            self, partial(typed_story_text, text, title), say("What was typed")
        )
        if made is not None:
            self.words.clear()
            self._done(self._on_my_board(made))

    def _from_file(self) -> None:
        source = self._files.asking.open_file(self, say("Words of the new story"), WORDS)
        if source is None:
            return
        made = self._files.from_words(self, partial(new_story_text, source), source.name)
        if made is not None:
            self._done(self._on_my_board(made))

    def _blank(self) -> None:
        story = blank_story(" ".join(self.title.text().split()))
        self._done(self._on_my_board(self._files.show_new(write_story(story))))

    def _turned(self, tab: int) -> None:
        """Qt: the list of stories is made when it is first looked at."""
        if tab == 1:
            self.stories.look()
            self.stories.list.setFocus()

    def _next_year(self, path: Path) -> None:
        opened = patiently(partial(open_story, path))
        if opened.story is None or opened.source.findings:
            self.stories.said.setText(
                say("{path} has something to mend first: open it.", path=path.name)
            )
            return
        dialog = NextYearDialog(
            self,
            opened.story.title,
            next_year(opened.source, opened.story),
            recordings=belongings(path, None).recordings is not None,
        )

        def made(text: str) -> None:
            copy = CopiedFrom(path, recordings=dialog.recordings.isChecked())
            self._done(self._files.show_new(text, copied=copy))

        dialog.made.connect(made)
        dialog.open()

    def _starter(self) -> None:
        dialog = StarterDialog(self)
        dialog.made.connect(self._show_starter)
        dialog.open()

    def _show_starter(self, text: str) -> None:
        self._done(self._on_my_board(self._files.show_new(text)))

    def _on_my_board(self, window: "MainWindow") -> "MainWindow":
        if self._board is not None and self.my_board.isChecked():
            put_here(window)
        return window

    def _copy(self) -> None:
        path = self._files.asking.open_file(self, say("The story to copy"), STORIES)
        if path is None:
            return
        opened = patiently(partial(open_story, path))
        if opened.story is None:
            said = opened.findings[0].said(Surface.WINDOW)
            self._files.asking.tell(
                self,
                say("{path} can't be copied.", path=path.name),
                f"{said.message}\n{said.remedy}",
            )
            return
        title = " ".join(self.title.text().split()) or self._files.asking.words(
            self,
            say("A copy"),
            say("What shall the copy of “{title}” be called?", title=opened.story.title),
        )
        if title:
            copy = evolve(opened.story, title=title)
            self._done(self._files.show_new(write_story(copy)))

    def _open(self) -> None:
        path = self._files.asking.open_file(self, say("Open a story"), STORIES)
        if path is not None:
            self._done(self._files.open_path(path))

    def _open_recent(self, item: QListWidgetItem) -> None:
        self._done(self._files.open_path(item.data(_PATH)))

    def _demo(self, path: Path) -> None:
        self._done(show_demo(self._files, path))

    def _done(self, window: "MainWindow | None") -> None:
        if window is not None and self._may_go():
            self.accept()
            window.activateWindow()

    def _may_go(self) -> bool:
        """Ask before typed words are lost; False where the page stays, or made a story of them."""
        if not self.words.toPlainText().strip():
            return True
        answer = self._files.asking.choose(
            self, say("The words you typed are in no story yet."), "", (MAKE, THROW, GO_ON)
        )
        if answer == MAKE:
            self.make_story()
        return answer == THROW

    def done(self, result: int) -> None:
        """Qt: gone; the next one is made anew."""
        self.stories.looking.cancel()
        self.stories.looking.give_up()
        self.stories.swapping.making.stop()
        super().done(result)
        self._files.start_page = None
        self.deleteLater()

    def reject(self) -> None:
        """Qt: Escape asks before typed words are lost."""
        if self._may_go():
            super().reject()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: one column where there is no room for two."""
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE_LETTERS * self.fontMetrics().height()
        direction = QBoxLayout.Direction
        self._across.setDirection(direction.LeftToRight if wide else direction.TopToBottom)


def show_demo(files: "FileWork", path: Path) -> "MainWindow":
    """Open a demo story as a copy that has no file yet."""
    window = files.show_story(read_file(path), None)
    window.show_hints()
    window.statusBar().showMessage(say("A demo story to try things out: save it to keep it."))
    return window


def _label(text: str, field: QPlainTextEdit | QLineEdit | QListWidget) -> QLabel:
    label = QLabel(text)
    label.setBuddy(field)
    label.setWordWrap(True)
    return label


def _demo_button(path: Path) -> QPushButton:
    return QPushButton(say("Try “{title_of}”, a demo story", title_of=title_of(path)))


def _title_and_date(path: Path) -> str:
    saved = datetime.fromtimestamp(path.stat().st_mtime)
    return f"{title_of(path)}\n{say('saved {when}', when=long_date(saved))}"
